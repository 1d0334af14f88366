//! The run sheet as Markdown (CommonMark): reads well as it is, and better where it is drawn.

use std::fmt::Write as _;

use crate::report::section::{Line, Section, Tone};
use crate::report::sheet::{HALT, OtherSprings, SPRINGS_KEY, Sheet, SheetRow, Transition};
use crate::report::words::harmless;

/// A sheet as Markdown.
pub fn text(sheet: &Sheet) -> String {
    let sheet = &harmless(sheet);
    let mut out = String::new();
    let _ = writeln!(out, "# {}\n", plain(&sheet.title));
    let _ = writeln!(out, "{}", plain(&sheet.subtitle));
    if !sheet.opening.is_empty() {
        out.push('\n');
    }
    for line in &sheet.opening {
        item(&mut out, line);
    }
    for section in &sheet.before {
        drawn(&mut out, section);
    }
    if !sheet.rows.is_empty() {
        out.push_str("\n## The class\n");
        for row in &sheet.rows {
            transition(&mut out, &row.before, "");
            drawn_row(&mut out, row);
        }
        if let Some(reset) = &sheet.reset {
            transition(&mut out, reset, "Reset: ");
        }
        let _ = writeln!(out, "\n**{}** End", sheet.end);
    }
    if !sheet.springs.is_empty() {
        let _ = writeln!(out, "\n## {SPRINGS_KEY}\n");
    }
    for class in &sheet.springs {
        let _ = writeln!(
            out,
            "- **{}**: {}",
            plain(&class.label),
            plain(&class.about())
        );
    }
    for section in &sheet.after {
        drawn(&mut out, section);
    }
    out
}

fn drawn(out: &mut String, section: &Section) {
    let _ = writeln!(out, "\n## {}\n", plain(&section.heading));
    for line in &section.lines {
        item(out, line);
    }
}

fn item(out: &mut String, line: &Line) {
    let mark = match line.tone {
        Tone::Plain | Tone::Good => "",
        Tone::Heed | Tone::Wrong => "**!** ",
    };
    let _ = writeln!(out, "- {mark}{}", plain(&line.text));
    for under in &line.under {
        let _ = writeln!(out, "  - {}", plain(under));
    }
}

fn transition(out: &mut String, transition: &Transition, lead: &str) {
    let mut head = Vec::new();
    if transition.stop {
        head.push(format!("**{HALT}**"));
    }
    if !transition.time.is_empty() {
        head.push(transition.time.clone());
    }
    if !transition.cues.is_empty() {
        head.push(plain(&transition.cues.join("; ")));
    }
    if !head.is_empty() {
        let _ = writeln!(out, "\n> {lead}{}", head.join(" - "));
    }
}

fn drawn_row(out: &mut String, row: &SheetRow) {
    let _ = writeln!(
        out,
        "\n**{}** **{} {}** {}, springs: **{}**  ",
        row.clock,
        row.place,
        plain(&row.name),
        plain(&row.amount),
        plain(&row.springs)
    );
    let _ = writeln!(out, "{}", plain(&row.setting.join("; ")));
    let mut under: Vec<String> = row.marks.iter().map(|m| format!("! {m}")).collect();
    let other = |way: &str, o: &Option<OtherSprings>| {
        (o.as_ref()).map(|o| format!("{way}: {} ({})", o.springs, o.effect))
    };
    under.extend(other("Lighter", &row.lighter));
    under.extend(other("Heavier", &row.heavier));
    for texts in [&row.options, &row.layers, &row.teaching, &row.bodies] {
        under.extend(texts.iter().cloned());
    }
    if !under.is_empty() {
        out.push('\n');
    }
    for text in under {
        let _ = writeln!(out, "- {}", plain(&text));
    }
}

/// The characters that CommonMark could take for marks inside a line (section 2.4 of its specification, backslash escapes).
const MARKS: [char; 11] = ['\\', '`', '*', '_', '[', ']', '<', '>', '&', '#', '~'];

/// A text with nothing in it that could be taken for marks.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        if MARKS.contains(&letter) {
            out.push('\\');
        }
        out.push(letter);
    }
    // A text that begins like an item of a list would become one.
    if out.starts_with(['-', '+']) {
        out.insert(0, '\\');
    }
    out
}
