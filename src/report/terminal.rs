//! A sheet drawn for a terminal of some width. Colour only repeats what the words say.
//!
//! The look: one column for the clock, one for what is done, the springs at the right edge where there is room. What happens between two
//! rows is set off by a bar in the clock's column, so that the eye can run down either the work or the transitions.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthStr;

use super::audit::Audit;
use super::section::{Line, Section, Tone};
use super::sheet::{Sheet, SheetRow, Transition};
use super::tried::{Cell, Picture};

/// How a sheet is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns to use, at least 30.
    pub columns: usize,
    /// Whether to say how each movement is done.
    pub teaching: bool,
}

/// Columns of the clock and the gap behind it.
const CLOCK: usize = 8;
/// The narrowest width that is drawn for.
const NARROWEST: usize = 30;

fn bold() -> Style {
    Style::new().bold()
}

fn style(tone: Tone) -> Style {
    match tone {
        Tone::Plain => Style::new(),
        Tone::Good => AnsiColor::Green.on_default(),
        Tone::Heed => AnsiColor::Yellow.on_default(),
        Tone::Wrong => AnsiColor::Red.on_default().bold(),
    }
}

/// A run sheet as text with ANSI styles; the writer strips them where colour is not wanted.
pub fn sheet(sheet: &Sheet, look: Look) -> String {
    let width = look.columns.max(NARROWEST);
    let mut out = String::new();
    wrapped(&mut out, &sheet.title, bold(), Margins::none(), width);
    wrapped(
        &mut out,
        &sheet.subtitle,
        Style::new(),
        Margins::none(),
        width,
    );
    if !sheet.opening.is_empty() {
        out.push('\n');
    }
    for line in &sheet.opening {
        drawn_line(&mut out, line, 0, width);
    }
    for section in &sheet.before {
        drawn_section(&mut out, section, width);
    }
    if !sheet.rows.is_empty() {
        out.push('\n');
        wrapped(&mut out, "The class", bold(), Margins::none(), width);
        for row in &sheet.rows {
            transition(&mut out, &row.before, width);
            drawn_row(&mut out, row, look, width);
        }
        if let Some(reset) = &sheet.reset {
            transition(&mut out, reset, width);
        }
        labelled(&mut out, &sheet.end, "End", bold(), width);
    }
    for section in &sheet.after {
        drawn_section(&mut out, section, width);
    }
    out
}

/// An audit as text with ANSI styles.
pub fn audit(audit: &Audit, columns: usize) -> String {
    let width = columns.max(NARROWEST);
    let mut out = String::new();
    wrapped(&mut out, &audit.title, bold(), Margins::none(), width);
    for section in &audit.sections {
        drawn_section(&mut out, section, width);
    }
    out
}

/// Sections one below the other.
pub fn sections(sections: &[Section], columns: usize) -> String {
    let mut out = String::new();
    for section in sections {
        drawn_section(&mut out, section, columns.max(NARROWEST));
    }
    out
}

/// Columns between two orders side by side.
const GUTTER: usize = 2;
/// Orders are drawn side by side only where each has so many columns.
const HALF: usize = 28;

/// Two orders side by side, or one below the other where it is narrow.
pub fn picture(picture: &Picture, columns: usize) -> String {
    let width = columns.max(NARROWEST);
    let half = (width - GUTTER) / 2;
    let mut out = String::from("\n");
    if half < HALF {
        for (heading, cells) in [("Before", &picture.before), ("After", &picture.after)] {
            wrapped(&mut out, heading, bold(), Margins::none(), width);
            for cell in cells {
                out.push_str(cell_text(cell, width).trim_end());
                out.push('\n');
            }
        }
        return out;
    }
    let padded = |text: &str| format!("{text}{}", " ".repeat(half + GUTTER - text.width()));
    styled(&mut out, &padded("Before"), bold());
    styled(&mut out, "After", bold());
    out.push('\n');
    for at in 0..picture.before.len().max(picture.after.len()) {
        let text = |cells: &[Cell]| {
            cells
                .get(at)
                .map_or_else(String::new, |c| cell_text(c, half))
        };
        let line = padded(&text(&picture.before)) + &text(&picture.after);
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// A line of an order: what it goes on with after a stop, or a step, with a mark where the other order has it not.
fn cell_text(cell: &Cell, room: usize) -> String {
    let text = match cell {
        Cell::Stop(what) => format!("== {what}"),
        Cell::Step { place, name, other } => {
            format!("{} {place:>2} {name}", if *other { ' ' } else { '*' })
        }
    };
    if text.width() <= room {
        return text;
    }
    let mut cut = String::new();
    for letter in text.chars() {
        if format!("{cut}{letter}").width() + 3 > room {
            break;
        }
        cut.push(letter);
    }
    cut + "..."
}

fn drawn_section(out: &mut String, section: &Section, width: usize) {
    out.push('\n');
    wrapped(out, &section.heading, bold(), Margins::none(), width);
    for line in &section.lines {
        drawn_line(out, line, 2, width);
    }
}

fn drawn_line(out: &mut String, line: &Line, indent: usize, width: usize) {
    let margins = Margins {
        first: indent,
        rest: indent + if indent > 0 { 2 } else { 0 },
    };
    if line.laid_out && indent + line.text.width() <= width {
        out.push_str(&" ".repeat(indent));
        styled(out, line.text.trim_end(), style(line.tone));
        out.push('\n');
    } else {
        wrapped(out, &line.text, style(line.tone), margins, width);
    }
    for under in &line.under {
        let margins = Margins {
            first: indent + 4,
            rest: indent + 6,
        };
        wrapped(out, under, Style::new(), margins, width);
    }
}

/// What stands between two rows: a bar, how long, whether the class halts, the cues.
fn transition(out: &mut String, transition: &Transition, width: usize) {
    if transition.cues.is_empty() && transition.time.is_empty() {
        return;
    }
    let mut head = Vec::new();
    if transition.stop {
        head.push("ALL STOP".to_owned());
    }
    if !transition.time.is_empty() {
        head.push(transition.time.clone());
    }
    let mut text = head.join(", ");
    if !transition.cues.is_empty() {
        if !text.is_empty() {
            text.push_str(": ");
        }
        text.push_str(&transition.cues.join("; "));
    }
    let tone = if transition.stop {
        Tone::Heed
    } else {
        Tone::Plain
    };
    let bar = format!("{:>width$} ", "|", width = CLOCK - 1);
    for line in wrap(&text, width - CLOCK) {
        styled(out, &bar, Style::new());
        styled(out, &line, style(tone));
        out.push('\n');
    }
}

fn drawn_row(out: &mut String, row: &SheetRow, look: Look, width: usize) {
    let name = format!("{} {}", row.place, row.name);
    let room = width - CLOCK;
    let used = name.width() + 2 + row.amount.width() + 2 + row.springs.width();
    if used <= room {
        styled(out, &format!("{:>6}  ", row.clock), bold());
        styled(out, &name, bold());
        let gap = room - used;
        let _ = writeln!(out, "  {}{}  {}", row.amount, " ".repeat(gap), row.springs);
    } else {
        labelled(out, &row.clock, &name, bold(), width);
        let second = format!("{}; springs: {}", row.amount, row.springs);
        wrapped(out, &second, Style::new(), Margins::both(CLOCK + 2), width);
    }
    let setting = row.setting.join("; ");
    wrapped(out, &setting, Style::new(), Margins::both(CLOCK + 2), width);
    for mark in &row.marks {
        let text = format!("! {mark}");
        let margins = Margins {
            first: CLOCK + 2,
            rest: CLOCK + 4,
        };
        wrapped(out, &text, style(Tone::Heed), margins, width);
    }
    if look.teaching {
        for text in &row.teaching {
            let margins = Margins {
                first: CLOCK + 2,
                rest: CLOCK + 4,
            };
            wrapped(out, &format!("- {text}"), Style::new(), margins, width);
        }
    }
}

/// The clock in its column and a text beside it.
fn labelled(out: &mut String, clock: &str, text: &str, paint: Style, width: usize) {
    for (i, line) in wrap(text, width - CLOCK).into_iter().enumerate() {
        let column = if i == 0 { clock } else { "" };
        styled(out, &format!("{column:>6}  "), paint);
        styled(out, &line, paint);
        out.push('\n');
    }
}

/// Spaces before the first line of a text and before the others.
#[derive(Debug, Clone, Copy)]
struct Margins {
    first: usize,
    rest: usize,
}

impl Margins {
    fn none() -> Self {
        Self::both(0)
    }

    fn both(n: usize) -> Self {
        Self { first: n, rest: n }
    }
}

fn wrapped(out: &mut String, text: &str, paint: Style, margins: Margins, width: usize) {
    let room = width.saturating_sub(margins.first.max(margins.rest)).max(8);
    for (i, line) in wrap(text, room).into_iter().enumerate() {
        let indent = if i == 0 { margins.first } else { margins.rest };
        out.push_str(&" ".repeat(indent));
        styled(out, &line, paint);
        out.push('\n');
    }
}

fn styled(out: &mut String, text: &str, paint: Style) {
    let _ = write!(out, "{}{text}{}", paint.render(), paint.render_reset());
}

/// Lines of at most `room` columns, broken at spaces; a word that is wider by itself is broken where it must be.
fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word.to_owned();
        if !line.is_empty() && line.width() + 1 + word.width() <= room {
            line.push(' ');
            line.push_str(&word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        while word.width() > room {
            let mut head = String::new();
            while let Some(letter) = word.chars().next() {
                if !head.is_empty() && format!("{head}{letter}").width() > room {
                    break;
                }
                head.push(letter);
                word.remove(0);
            }
            lines.push(head);
        }
        line = word;
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let text = "carriage closed; 1 sun on, then 1 leaf off; kneel facing the bar, \u{65e5}\u{672c}\u{8a9e}";
        for room in 8..40 {
            let lines = wrap(text, room);
            assert!(lines.iter().all(|l| l.width() <= room), "{room}: {lines:?}");
            assert_eq!(
                lines.concat().replace(' ', ""),
                text.replace(' ', ""),
                "{room}"
            );
        }
    }

    #[test]
    fn a_row_keeps_its_springs_at_the_right_edge_or_under_its_name() {
        let row = SheetRow {
            before: Transition {
                stop: true,
                time: "14 s".into(),
                cues: vec!["sit up".into()],
                machine: Vec::new(),
            },
            clock: "12:05".into(),
            place: 7,
            name: "Heavy press, left".into(),
            amount: "10".into(),
            springs: "2 sun + 1 leaf".into(),
            setting: vec!["supine".into()],
            marks: vec!["care: knee pain".into()],
            ..SheetRow::default()
        };
        for columns in [30, 40, 80, 120] {
            let look = Look {
                columns,
                teaching: false,
            };
            let mut out = String::new();
            transition(&mut out, &row.before, columns);
            drawn_row(&mut out, &row, look, columns);
            let plain = anstream::adapter::strip_str(&out).to_string();
            assert!(plain.lines().all(|l| l.width() <= columns), "{plain}");
            assert!(plain.contains("ALL STOP"), "{plain}");
            let springs = plain
                .lines()
                .find(|l| l.contains("2 sun"))
                .expect("springs");
            assert_eq!(springs.starts_with(" 12:05"), columns >= 80, "{plain}");
        }
    }
}
