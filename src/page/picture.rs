//! The class as a picture (SVG): the clock runs downwards, a row a step; at the right one lane for each part of the set-up that changes.
//!
//! **Not true to scale.** A step of half a minute beside one of five would leave no room for its name, so each row is as tall as its words. The clock stands at
//! each row. What the eye is to find are changes: in its lane a value is one stretch, drawn plain or hatched by turns, with a bar where it changes; a halt is a bar
//! across the whole picture with its word. Nothing is said by colour: it is black, white and hatching.
//!
//! **Width.** [`WIDTH`] units with letters of 11 to 12: on paper as wide as A4 large enough to read from a stand, on a phone of 320 points still
//! 8. Text is measured ([`super::letters`]), broken into lines, and drawn in a lane only where it fits its stretch: the row says it in any case.

use askama::Template;

use super::letters::{lines, width};
use crate::report::sheet::HALT;
use crate::report::timeline::{Stretch, Timeline};
use crate::report::words::harmless;

/// How wide the picture is.
pub const WIDTH: f64 = 440.0;
const EDGE: f64 = 10.0;
/// The mark of two rows that cannot change places.
const SQUARE: f64 = 5.0;
const LANE: f64 = 17.0;
const EFFORT: f64 = 34.0;
const GAP: f64 = 6.0;
const NAME: f64 = 12.0;
const SMALL: f64 = 10.0;
const TITLE: f64 = 16.0;
const NOT_MET: &str = "Wishes not met";
const TIGHT: &str =
    "Tight: where a square stands at the left, a rule keeps the two from changing places";
/// From line to line, in parts of the size.
const LEADING: f64 = 1.3;
/// The hardest that the bar of effort shows, in METs; what is harder fills it.
const HARDEST: f64 = 8.0;

/// A text: where its line stands and begins.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Left end of the line; of one that is turned, its foot.
    pub x: f64,
    /// Where the line stands.
    pub y: f64,
    /// Size of the letters.
    pub size: f64,
    /// Heavy letters.
    pub bold: bool,
    /// Whether it runs upwards.
    pub turned: bool,
    /// The words.
    pub words: String,
}

impl Text {
    /// The box that it takes at most: left, top, right, bottom.
    pub fn room(&self) -> [f64; 4] {
        let (along, up, down) = (
            width(&self.words, self.size, self.bold),
            self.size * 0.95,
            self.size * 0.25,
        );
        if self.turned {
            [self.x - up, self.y - along, self.x + down, self.y]
        } else {
            [self.x, self.y - up, self.x + along, self.y + down]
        }
    }
}

/// How a box is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// White, with an outline.
    Plain,
    /// Hatched, with an outline.
    Hatched,
    /// Black.
    Solid,
    /// A hair line.
    Hair,
}

/// A box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
    /// Its filling.
    pub fill: Fill,
}

/// A picture as boxes and texts.
#[derive(Debug, Clone, PartialEq, Default, Template)]
#[template(path = "picture.svg", config = "src/page/askama.toml")]
pub struct Picture {
    /// What it is called.
    pub title: String,
    /// What it shows, for those who do not see it.
    pub shows: String,
    /// Tells it from others on the same page: 0 for one alone.
    pub number: usize,
    /// How wide it is.
    pub width: f64,
    /// How tall it is.
    pub height: f64,
    /// Boxes, the first ones below.
    pub boxes: Vec<Box>,
    /// Texts, above all boxes.
    pub texts: Vec<Text>,
}

impl Picture {
    fn attributes(&self, b: &Box) -> String {
        match b.fill {
            Fill::Plain => r##"fill="#ffffff" stroke="#000000" stroke-width="0.6""##.into(),
            Fill::Hatched => format!(
                r##"fill="url(#{})" stroke="#000000" stroke-width="0.6""##,
                self.named("hatching")
            ),
            Fill::Solid => r##"fill="#000000""##.into(),
            Fill::Hair => r##"fill="#9a9a9a""##.into(),
        }
    }

    /// A name that no other picture on the page has.
    fn named(&self, what: &str) -> String {
        match self.number {
            0 => format!("picture-{what}"),
            n => format!("picture-{n}-{what}"),
        }
    }

    /// Adds lines of text below one another from `top`; where they end.
    fn write(&mut self, x: f64, top: f64, size: f64, bold: bool, words: &[String]) -> f64 {
        for (k, words) in words.iter().enumerate() {
            self.texts.push(Text {
                x,
                y: top + size * (0.95 + LEADING * k as f64),
                size,
                bold,
                turned: false,
                words: words.clone(),
            });
        }
        top + size * LEADING * words.len() as f64
    }

    fn bar(&mut self, x: f64, y: f64, w: f64, h: f64, fill: Fill) {
        self.boxes.push(Box { x, y, w, h, fill });
    }
}

/// The picture in parts that are no taller than asked, as few as that takes and about equally full, each with at least one row; only the last says what
/// stands below all of them.
pub fn parts(strip: &Timeline, wide: f64, tallest: f64) -> Vec<Picture> {
    let whole = filled(strip, wide, tallest);
    let less = [0.5, 0.6, 0.7, 0.8, 0.9].map(|part| part * tallest);
    let mut evener = less.iter().map(|&tall| filled(strip, wide, tall));
    let fits = |parts: &Vec<Picture>| {
        parts.len() == whole.len() && parts.iter().all(|p| p.height <= tallest)
    };
    evener.find(fits).unwrap_or(whole)
}

/// Parts with as many rows as each holds.
fn filled(strip: &Timeline, wide: f64, tallest: f64) -> Vec<Picture> {
    let n = strip.stretches.len();
    let mut parts = Vec::new();
    let mut from = 0;
    while from < n {
        let mut to = from + 1;
        let mut drawn = part(strip, wide, from..to);
        while to < n {
            let longer = part(strip, wide, from..to + 1);
            if longer.height > tallest {
                break;
            }
            (drawn, to) = (longer, to + 1);
        }
        parts.push(drawn);
        from = to;
    }
    parts
}

fn part(strip: &Timeline, wide: f64, rows: std::ops::Range<usize>) -> Picture {
    let all = strip.stretches.len();
    let mut some = strip.clone();
    some.stretches = strip.stretches[rows.clone()].to_vec();
    if rows.end < all {
        some.end.clear();
        some.unmet.clear();
        some.tight.clear();
    }
    let mut drawn = of_width(&some, wide);
    if rows.len() < all {
        drawn.shows.push_str(&format!(
            " This part: movements {} to {} of {all}.",
            rows.start + 1,
            rows.end
        ));
    }
    drawn
}

/// The picture of a class, [`WIDTH`] wide.
pub fn picture(strip: &Timeline) -> Picture {
    of_width(strip, WIDTH)
}

/// The picture of a class, so wide.
pub fn of_width(strip: &Timeline, wide: f64) -> Picture {
    let strip = &harmless(strip);
    let mut drawn = Picture {
        title: strip.title.clone(),
        width: wide,
        shows: shows(strip),
        ..Picture::default()
    };
    let inner = wide - 2.0 * EDGE;
    let heading = lines(&strip.title, TITLE, true, inner);
    let mut y = drawn.write(EDGE, EDGE, TITLE, true, &heading);
    for text in [&strip.about, &strip.says] {
        y = drawn.write(EDGE, y, SMALL, false, &lines(text, SMALL, false, inner));
    }
    // However many lanes there are, half of the width is left for words.
    let lane = LANE.min(inner / 2.0 / strip.lanes.len().max(1) as f64);
    let lanes = wide - EDGE - lane * strip.lanes.len() as f64;
    let effort = lanes - GAP - EFFORT;
    // Names of columns run upwards above them.
    let names = strip
        .lanes
        .iter()
        .map(|name| (SMALL.min(lane - 2.0), name.as_str()));
    let tallest = names.clone().map(|(size, name)| width(name, size, false));
    let tallest = tallest.fold(width("effort", SMALL, false), f64::max);
    y += GAP + tallest;
    for (k, (size, name)) in names.enumerate() {
        drawn.texts.push(Text {
            x: lanes + lane * (k as f64 + 0.5) + size * 0.35,
            y,
            size,
            bold: false,
            turned: true,
            words: name.to_owned(),
        });
    }
    drawn.texts.push(Text {
        x: effort + EFFORT / 2.0 + SMALL * 0.35,
        y,
        size: SMALL,
        bold: false,
        turned: true,
        words: "effort".into(),
    });
    y += GAP / 2.0;
    let clocks = strip.stretches.iter().map(|s| width(&s.clock, NAME, true));
    let words = EDGE + GAP + clocks.fold(0.0, f64::max);
    let columns = Columns {
        words,
        effort,
        lanes,
        lane,
    };
    let mut tops = vec![y];
    for stretch in &strip.stretches {
        y = row(&mut drawn, &columns, stretch, y);
        tops.push(y);
    }
    for k in 0..strip.lanes.len() {
        draw_lane(&mut drawn, &columns, strip, k, &tops);
    }
    drawn.bar(EDGE, y, inner, 0.6, Fill::Solid);
    if !strip.end.is_empty() {
        let end = [format!("{} End", strip.end)];
        y = drawn.write(EDGE, y + GAP / 2.0, SMALL, true, &end);
    }
    for (heading, all) in [(NOT_MET, &strip.unmet), (TIGHT, &strip.tight)] {
        if all.is_empty() {
            continue;
        }
        y = drawn.write(
            EDGE,
            y + GAP,
            SMALL,
            true,
            &lines(heading, SMALL, true, inner),
        );
        for text in all {
            y = drawn.write(EDGE, y, SMALL, false, &lines(text, SMALL, false, inner));
        }
    }
    drawn.height = (y + EDGE).ceil();
    drawn
}

/// Where columns begin, and how wide a lane is.
struct Columns {
    words: f64,
    effort: f64,
    lanes: f64,
    lane: f64,
}

/// One row from `top`; where it ends.
fn row(drawn: &mut Picture, at: &Columns, stretch: &Stretch, top: f64) -> f64 {
    let across = at.effort - GAP - EDGE;
    let mut y = top;
    if stretch.held {
        drawn.bar(
            EDGE - SQUARE - 2.0,
            y - SQUARE / 2.0,
            SQUARE,
            SQUARE,
            Fill::Solid,
        );
    }
    if stretch.stop {
        let inner = drawn.width - 2.0 * EDGE;
        drawn.bar(EDGE, y, inner, 2.4, Fill::Solid);
        y += 2.4;
    } else {
        drawn.bar(EDGE, y, across, 0.6, Fill::Hair);
        y += 0.6;
    }
    let mut before = Vec::new();
    if stretch.stop {
        before.push(HALT.to_owned());
    }
    if !stretch.time.is_empty() {
        before.push(stretch.time.clone());
    }
    before.extend(stretch.changes.iter().cloned());
    y += GAP / 2.0;
    if !before.is_empty() {
        let text = lines(&before.join(" · "), SMALL, stretch.stop, across);
        y = drawn.write(EDGE, y, SMALL, stretch.stop, &text);
    }
    let room = at.effort - GAP - at.words;
    let clock = [stretch.clock.clone()];
    drawn.write(EDGE, y, NAME, true, &clock);
    let middle = y + NAME * 0.2;
    y = drawn.write(
        at.words,
        y,
        NAME,
        true,
        &lines(&stretch.name, NAME, true, room),
    );
    let part = (stretch.effort / HARDEST).clamp(0.0, 1.0);
    drawn.bar(at.effort, middle, EFFORT, 8.0, Fill::Plain);
    drawn.bar(at.effort, middle, EFFORT * part, 8.0, Fill::Solid);
    y = drawn.write(
        at.words,
        y,
        SMALL,
        false,
        &lines(&stretch.amount, SMALL, false, room),
    );
    y + GAP / 2.0
}

/// The stretches of one lane: from change to change, plain and hatched by turns, with the value where there is room for it.
fn draw_lane(drawn: &mut Picture, at: &Columns, strip: &Timeline, lane: usize, tops: &[f64]) {
    let x = at.lanes + at.lane * lane as f64;
    let value = |row: usize| strip.stretches[row].set_to[lane].as_str();
    let mut begun = 0;
    let mut hatched = false;
    for row in 1..=strip.stretches.len() {
        if row < strip.stretches.len() && value(row) == value(begun) {
            continue;
        }
        let (top, bottom) = (tops[begun], tops[row]);
        let fill = if hatched { Fill::Hatched } else { Fill::Plain };
        drawn.bar(x, top, at.lane, bottom - top, fill);
        if begun > 0 {
            drawn.bar(x, top - 1.2, at.lane, 2.4, Fill::Solid);
        }
        let size = (SMALL - 1.0).min(at.lane - 4.0);
        let along = width(value(begun), size, false);
        if along + 2.0 * GAP <= bottom - top {
            let foot = top + GAP + along;
            if hatched {
                // Letters stand on white.
                drawn.bar(
                    x + 1.5,
                    top + GAP - 2.0,
                    at.lane - 3.0,
                    along + 4.0,
                    Fill::Plain,
                );
            }
            drawn.texts.push(Text {
                x: x + at.lane / 2.0 + size * 0.35,
                y: foot,
                size,
                bold: false,
                turned: true,
                words: value(begun).to_owned(),
            });
        }
        (begun, hatched) = (row, !hatched);
    }
}

/// The picture in words.
fn shows(strip: &Timeline) -> String {
    let stops = strip
        .stretches
        .iter()
        .filter(|s| s.stop)
        .map(|s| s.name.as_str());
    let stops: Vec<&str> = stops.collect();
    let mut text = format!(
        "The class along the clock, from top to bottom: what is done, how hard it is, and when these change: {}. {}",
        if strip.lanes.is_empty() {
            "nothing".to_owned()
        } else {
            strip.lanes.join(", ")
        },
        strip.says,
    );
    if !stops.is_empty() {
        text.push_str(&format!(" The class halts before {}.", stops.join("; ")));
    }
    if !strip.tight.is_empty() {
        let all = strip.tight.join(". ");
        text.push_str(&format!(
            " Neighbours that cannot change places, by the rule: {all}."
        ));
    }
    text
}
