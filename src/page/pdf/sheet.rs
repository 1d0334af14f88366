//! One run sheet: what stands before the class, a table of its rows, what stands after it.
//!
//! The look is that of the page for browsers: a narrow column for the clock, a wide one for what is done, one for the springs. What is said
//! between two rows stands above the row that it leads to and is never parted from it by the end of a page.

use super::setting::{Block, ROOM, Run, Setter, bold, plain, soft};
use super::sketch::{Ink, Kind, Mark, NodeId};
use crate::page::format::Density;
use crate::report::section::{Line, Section};
use crate::report::sheet::{HALT, SPRINGS_KEY, Sheet, SheetRow, Transition};

/// Sizes and distances of a density.
#[derive(Debug, Clone, Copy)]
struct Style {
    title: f64,
    heading: f64,
    text: f64,
    small: f64,
    /// White above and below a row.
    air: f64,
    /// White above a section.
    gap: f64,
    /// Sections as lists below headings of their own, or each as one paragraph.
    lists: bool,
}

const FULL: Style = Style {
    title: 20.0,
    heading: 11.5,
    text: 10.0,
    small: 9.0,
    air: 2.5,
    gap: 9.0,
    lists: true,
};

const GLANCE: Style = Style {
    title: 14.0,
    heading: 9.0,
    text: 8.6,
    small: 7.8,
    air: 0.8,
    gap: 3.0,
    lists: false,
};

impl Style {
    /// The same, smaller.
    fn times(self, by: f64) -> Self {
        Self {
            title: self.title * by,
            heading: self.heading * by,
            text: self.text * by,
            small: self.small * by,
            air: self.air * by,
            gap: self.gap * by,
            ..self
        }
    }
}

/// How much smaller a glance may be set so that it fits on one page; at the last its letters are nearly 7 points.
const SMALLER: [f64; 5] = [1.0, 0.95, 0.9, 0.85, 0.8];

/// How far items stand in.
const INDENT: f64 = 11.0;
/// Width of the column for the springs, in parts of all.
const SPRINGS: f64 = 0.24;
/// White between columns.
const GUTTER: f64 = 8.0;

/// Sets a sheet on pages of its own. Its heading, and the part that holds all of it.
///
/// A glance is set as large as it fits on one page; where it does not fit at all, it is set large and runs on.
pub fn set(
    setter: &mut Setter<'_>,
    sheet: &Sheet,
    density: Density,
    level: u16,
) -> (NodeId, NodeId) {
    let style = match density {
        Density::Full => FULL,
        Density::Glance => {
            let fits = SMALLER.iter().map(|&by| GLANCE.times(by)).find(|style| {
                let mut trial = setter.blank();
                set_in(&mut trial, sheet, level, style);
                trial.sketch.pages.len() == 1
            });
            fits.unwrap_or(GLANCE)
        }
    };
    setter.turn();
    set_in(setter, sheet, level, &style)
}

fn set_in(setter: &mut Setter<'_>, sheet: &Sheet, level: u16, style: &Style) -> (NodeId, NodeId) {
    let article = setter.part(0, Kind::Article);
    let title = heading(setter, article, &sheet.title, level, style.title, 30.0);
    if !sheet.subtitle.is_empty() {
        paragraph(setter, article, &[soft(&*sheet.subtitle)], style.text);
    }
    setter.gap(style.gap / 2.0);
    for line in &sheet.opening {
        paragraph(setter, article, &[plain(marked(line))], style.text);
    }
    let mut sections = Sections {
        article,
        level: level + 1,
        style,
    };
    for section in &sheet.before {
        sections.set(setter, section);
    }
    if !sheet.rows.is_empty() {
        setter.gap(style.gap);
        if style.lists {
            heading(setter, article, "The class", level + 1, style.heading, 60.0);
        }
        table(setter, article, sheet, style);
    }
    sections.springs(setter, sheet);
    for section in &sheet.after {
        sections.set(setter, section);
    }
    (title, article)
}

/// A heading that keeps this much room below it on its page.
pub fn heading(
    setter: &mut Setter<'_>,
    below: NodeId,
    text: &str,
    level: u16,
    size: f64,
    more: f64,
) -> NodeId {
    let part = setter.part(below, Kind::Heading(level, text.to_owned()));
    let block = setter.set(&[bold(text)], size, ROOM, Some(part));
    let height = block.height;
    setter.place(block, more);
    let (page, y) = setter.here();
    setter
        .sketch
        .places
        .push((part, page, (y - height).max(0.0)));
    part
}

fn paragraph(setter: &mut Setter<'_>, below: NodeId, runs: &[Run], size: f64) {
    let part = setter.part(below, Kind::Paragraph);
    let block = setter.set(runs, size, ROOM, Some(part));
    setter.place(block, 0.0);
}

fn marked(line: &Line) -> String {
    format!("{}{}", line.tone.mark(), line.text)
}

/// Sections below the same part.
struct Sections<'a> {
    article: NodeId,
    level: u16,
    style: &'a Style,
}

impl Sections<'_> {
    fn set(&mut self, setter: &mut Setter<'_>, section: &Section) {
        let style = self.style;
        setter.gap(style.gap);
        if !style.lists {
            let mut runs = vec![bold(format!("{}:", section.heading))];
            runs.push(plain(in_one(section.lines.iter().map(said))));
            paragraph(setter, self.article, &runs, style.small);
            return;
        }
        heading(
            setter,
            self.article,
            &section.heading,
            self.level,
            style.heading,
            30.0,
        );
        let list = setter.part(self.article, Kind::List);
        for line in &section.lines {
            if line.laid_out {
                let item = setter.part(list, Kind::Item);
                let body = setter.part(item, Kind::ItemBody);
                let block = setter.set_fixed(&line.text, style.text, ROOM, Some(body));
                setter.place(block, 0.0);
                continue;
            }
            let (block, body) = item(setter, list, &[plain(marked(line))], style.text, ROOM);
            setter.place(block, 0.0);
            if line.under.is_empty() {
                continue;
            }
            let below = setter.part(body, Kind::List);
            for text in &line.under {
                let (block, _) = item(setter, below, &[plain(&**text)], style.small, ROOM - INDENT);
                let mut inset = Block::default();
                inset.put(block, INDENT, 0.0);
                setter.place(inset, 0.0);
            }
        }
    }

    /// The key of the springs.
    fn springs(&mut self, setter: &mut Setter<'_>, sheet: &Sheet) {
        let lines = sheet
            .springs
            .iter()
            .map(|class| Line::plain(format!("{}: {}", class.label, class.about())));
        let section = Section {
            heading: SPRINGS_KEY.into(),
            lines: lines.collect(),
        };
        if !section.lines.is_empty() {
            self.set(setter, &section);
        }
    }
}

/// Lines as one text: sentences one after the other, what is no sentence between semicolons.
fn in_one(lines: impl Iterator<Item = String>) -> String {
    let mut text = String::new();
    for line in lines {
        if !text.is_empty() {
            text.push_str(if text.ends_with('.') { " " } else { "; " });
        }
        text.push_str(&line);
    }
    text
}

/// A line with what belongs under it, in one.
fn said(line: &Line) -> String {
    let mut text = marked(line);
    if !line.under.is_empty() {
        text.push_str(&format!(" ({})", line.under.join("; ")));
    }
    text
}

/// An item of a list, and the part that holds what it says.
fn item(
    setter: &mut Setter<'_>,
    list: NodeId,
    runs: &[Run],
    size: f64,
    room: f64,
) -> (Block, NodeId) {
    let item = setter.part(list, Kind::Item);
    let label = setter.part(item, Kind::ItemLabel);
    let body = setter.part(item, Kind::ItemBody);
    let mut block = setter.set(&[plain("\u{2022}")], size, INDENT, Some(label));
    let words = setter.set(runs, size, room - INDENT, Some(body));
    block.put(words, INDENT, 0.0);
    (block, body)
}

/// Where the columns of the table begin, and how wide they are.
struct Columns {
    clock: f64,
    done: f64,
    springs: f64,
}

impl Columns {
    fn new(setter: &Setter<'_>, sheet: &Sheet, style: &Style) -> Self {
        let clocks = sheet.rows.iter().map(|r| bold(&*r.clock));
        let clocks = clocks.chain([bold(&*sheet.end)]);
        let times = sheet.rows.iter().map(|r| soft(&*r.before.time));
        let times = times.chain(sheet.reset.iter().map(|r| soft(&*r.time)));
        let widest = clocks
            .map(|r| setter.width(&r, style.text))
            .chain(times.map(|r| setter.width(&r, style.small)))
            .fold(setter.width(&bold("Time"), style.small), f64::max);
        let clock = widest + GUTTER;
        let labels = sheet.rows.iter().map(|r| bold(&*r.springs));
        let widest = (labels.map(|r| setter.width(&r, style.text)))
            .fold(setter.width(&bold("Springs"), style.small), f64::max);
        // Other springs beside them are sentences and need room.
        let springs = if style.lists {
            ROOM * SPRINGS
        } else {
            widest.min(ROOM * SPRINGS)
        };
        Self {
            clock,
            done: ROOM - clock - springs - GUTTER,
            springs,
        }
    }

    fn springs_at(&self) -> f64 {
        ROOM - self.springs
    }
}

fn table(setter: &mut Setter<'_>, article: NodeId, sheet: &Sheet, style: &Style) {
    let columns = Columns::new(setter, sheet, style);
    let table = setter.part(article, Kind::Table);
    let head = setter.part(table, Kind::TableHead);
    let names = setter.part(head, Kind::Row);
    let mut block = Block::default();
    for (x, room, name) in [
        (0.0, columns.clock, "Time"),
        (
            columns.clock,
            columns.done,
            "What to do, and what to say before it",
        ),
        (columns.springs_at(), columns.springs, "Springs"),
    ] {
        let part = setter.part(names, Kind::ColumnHeading);
        let words = setter.set(&[bold(name)], style.small, room, Some(part));
        block.put(words, x, 0.0);
    }
    rule(&mut block, 1.0);
    setter.place(block.clone(), 40.0);
    setter.head = Some(block);
    let body = setter.part(table, Kind::TableBody);
    for row in &sheet.rows {
        let mut block = Block::default();
        say(setter, &mut block, body, &columns, style, (&row.before, ""));
        done(setter, &mut block, body, &columns, style, row);
        setter.place(block, 0.0);
    }
    let mut block = Block::default();
    if let Some(reset) = &sheet.reset {
        say(setter, &mut block, body, &columns, style, (reset, "Reset:"));
    }
    let end = setter.part(body, Kind::Row);
    let (clock, word) = (
        setter.part(end, Kind::RowHeading),
        setter.part(end, Kind::Cell(2)),
    );
    let top = block.height + style.air;
    let line = setter.set(&[bold(&*sheet.end)], style.text, columns.clock, Some(clock));
    block.put(line, 0.0, top);
    let line = setter.set(&[bold("End")], style.text, columns.done, Some(word));
    block.put(line, columns.clock, top);
    setter.place(block, 0.0);
    setter.head = None;
}

/// A rule across the page below what is there.
fn rule(block: &mut Block, thick: f64) {
    let y = block.height;
    block.marks.push(Mark {
        x: 0.0,
        y,
        ink: Ink::Box {
            w: ROOM,
            h: thick,
            shade: if thick < 0.8 { 150 } else { 0 },
            outline: false,
        },
        part: None,
    });
    block.height += thick;
}

/// What is said before a row, on a band; a halt has a thick rule above it.
fn say(
    setter: &mut Setter<'_>,
    block: &mut Block,
    body: NodeId,
    columns: &Columns,
    style: &Style,
    (transition, lead): (&Transition, &str),
) {
    rule(block, if transition.stop { 2.4 } else { 0.5 });
    if !transition.stop && transition.time.is_empty() && transition.cues.is_empty() {
        return;
    }
    let row = setter.part(body, Kind::Row);
    let (time, words) = (
        setter.part(row, Kind::Cell(1)),
        setter.part(row, Kind::Cell(2)),
    );
    let mut runs = Vec::new();
    if transition.stop {
        runs.push(bold(HALT));
    }
    if !lead.is_empty() {
        runs.push(plain(lead));
    }
    runs.push(plain(transition.cues.join("; ")));
    let mut said = Block::default();
    let line = setter.set(
        &[soft(&*transition.time)],
        style.small,
        columns.clock,
        Some(time),
    );
    said.put(line, 0.0, style.air);
    let line = setter.set(&runs, style.small, ROOM - columns.clock, Some(words));
    said.put(line, columns.clock, style.air);
    said.height += style.air;
    let band = Mark {
        x: 0.0,
        y: 0.0,
        ink: Ink::Box {
            w: ROOM,
            h: said.height,
            shade: 238,
            outline: false,
        },
        part: None,
    };
    said.marks.insert(0, band);
    block.below(said, 0.0, 0.0);
}

/// What is done.
fn done(
    setter: &mut Setter<'_>,
    block: &mut Block,
    body: NodeId,
    columns: &Columns,
    style: &Style,
    row: &SheetRow,
) {
    let part = setter.part(body, Kind::Row);
    let clock = setter.part(part, Kind::RowHeading);
    let cell = setter.part(part, Kind::Cell(1));
    let mut line = Block::default();
    line.put(
        setter.set(&[bold(&*row.clock)], style.text, columns.clock, Some(clock)),
        0.0,
        style.air,
    );
    let mut words = Block::default();
    let text = |setter: &mut Setter<'_>, words: &mut Block, runs: &[Run], size: f64| {
        let part = setter.part(cell, Kind::Paragraph);
        words.below(setter.set(runs, size, columns.done, Some(part)), 0.0, 0.0);
    };
    let mut name = vec![
        bold(format!("{} {}", row.place, row.name)),
        plain(&*row.amount),
        soft(row.setting.join("; ")),
    ];
    let marks = row.marks.iter().map(|mark| plain(format!("! {mark}")));
    if style.lists {
        text(setter, &mut words, &name, style.text);
        for mark in marks {
            text(setter, &mut words, &[mark], style.small);
        }
    } else {
        name.extend(marks);
        text(setter, &mut words, &name, style.text);
    }
    if !row.teaching.is_empty() {
        let taught = plain(in_one(row.teaching.iter().cloned()));
        text(setter, &mut words, &[taught], style.small);
    }
    let items: Vec<Run> = (row.options.iter().map(|t| bold(&**t)))
        .chain(row.layers.iter().map(|t| plain(&**t)))
        .collect();
    if !items.is_empty() {
        let list = setter.part(cell, Kind::List);
        for run in items {
            let (block, _) = item(setter, list, &[run], style.small, columns.done);
            words.below(block, 0.0, 0.0);
        }
    }
    if !row.bodies.is_empty() {
        text(
            setter,
            &mut words,
            &[plain(row.bodies.join("; "))],
            style.small,
        );
    }
    line.put(words, columns.clock, style.air);
    let cell = setter.part(part, Kind::Cell(1));
    let mut springs = Block::default();
    let mut text = |run: Run, size: f64| {
        let part = setter.part(cell, Kind::Paragraph);
        springs.below(
            setter.set(&[run], size, columns.springs, Some(part)),
            0.0,
            0.0,
        );
    };
    text(bold(&*row.springs), style.text);
    for (way, other) in [("Lighter", &row.lighter), ("Heavier", &row.heavier)] {
        if let Some(other) = other {
            text(
                soft(format!("{way}: {} ({})", other.springs, other.effect)),
                style.small,
            );
        }
    }
    line.put(springs, columns.springs_at(), style.air);
    line.height += style.air;
    block.below(line, 0.0, 0.0);
}
