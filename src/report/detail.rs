//! A run sheet reduced to what somebody wants to see of it, so that no renderer leaves anything out by itself.

use super::section::{Section, Tone};
use super::sheet::{PUT_BACK, Sheet, SheetRow, Transition, UNUSUAL};

/// How much of a run sheet is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// All that somebody needs who has never seen the class.
    Full,
    /// What a teacher reads on a screen: order, set-ups, change-overs, marks and findings.
    Screen,
    /// The same, and how each movement is done.
    Cues,
    /// What the teacher who made the class wants to see at a glance while teaching: what to set and when.
    Glance,
}

/// The sheet in this detail.
pub fn at(sheet: &Sheet, detail: Detail) -> Sheet {
    match detail {
        Detail::Full => sheet.clone(),
        Detail::Screen => on_screen(sheet, |row| row.teaching.clear()),
        Detail::Cues => on_screen(sheet, |_| {}),
        Detail::Glance => glance(sheet),
    }
}

/// Without what is offered for single people: layers one by one, options, other springs and their key.
fn on_screen(sheet: &Sheet, mut also: impl FnMut(&mut SheetRow)) -> Sheet {
    let mut short = sheet.clone();
    short.springs.clear();
    for row in &mut short.rows {
        for_one(row);
        also(row);
    }
    short
}

/// Takes out of a row what is offered for single people.
fn for_one(row: &mut SheetRow) {
    row.layers.clear();
    row.options.clear();
    row.bodies.clear();
    row.lighter = None;
    row.heavier = None;
}

/// The sheet at a glance: no findings before the class, no cues of body and movement, no layers one by one, no key of the springs and no other ones; of the rules only what
/// has to be looked at.
fn glance(sheet: &Sheet) -> Sheet {
    let mut short = sheet.clone();
    if !short.end.is_empty() {
        short.subtitle.push_str(&format!("; ends at {}", short.end));
    }
    if !short.rows.is_empty() {
        short.opening.clear();
    }
    short.springs.clear();
    short.rows.iter_mut().for_each(row);
    if let Some(reset) = &mut short.reset {
        transition(reset);
    }
    short.after = sheet.after.iter().filter_map(after).collect();
    short
}

fn row(row: &mut SheetRow) {
    transition(&mut row.before);
    for_one(row);
    row.teaching.clear();
    row.marks.retain(|mark| !mark.starts_with(UNUSUAL));
}

/// Only what is done to the machine is said; where nothing is, seconds tell nothing.
fn transition(transition: &mut Transition) {
    transition.cues = transition.machine.clone();
    if transition.cues.is_empty() && !transition.stop {
        transition.time.clear();
    }
}

fn after(section: &Section) -> Option<Section> {
    if section.heading == PUT_BACK {
        return Some(section.clone());
    }
    let looked_at = |tone: Tone| matches!(tone, Tone::Heed | Tone::Wrong);
    let mut short = section.clone();
    short.lines.retain(|line| looked_at(line.tone));
    for line in &mut short.lines {
        line.under.clear();
    }
    (!short.lines.is_empty()).then_some(short)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::section::Line;

    #[test]
    fn what_has_to_be_set_stays_and_what_she_knows_goes() {
        let said = Transition {
            time: "4 s".into(),
            cues: vec!["Lie down".into(), "springs: two heavy".into()],
            machine: vec!["springs: two heavy".into()],
            ..Transition::default()
        };
        let moved = Transition {
            cues: vec!["Sit up".into()],
            machine: Vec::new(),
            ..said.clone()
        };
        let row = |before: Transition| SheetRow {
            before,
            teaching: vec!["Breathe".into()],
            springs: "2 heavy".into(),
            ..SheetRow::default()
        };
        let section = |heading: &str| Section {
            heading: heading.into(),
            lines: vec![
                Line::plain("kept"),
                Line::toned(Tone::Heed, "to be looked at"),
            ],
        };
        let sheet = Sheet {
            opening: vec![Line::plain("26 steps")],
            rows: vec![row(said), row(moved)],
            after: vec![section(PUT_BACK), section("Rules")],
            ..Sheet::default()
        };
        let short = glance(&sheet);
        assert!(short.opening.is_empty());
        assert_eq!(short.rows[0].before.cues, ["springs: two heavy"]);
        assert_eq!(short.rows[0].before.time, "4 s");
        assert_eq!(short.rows[1].before.time, "");
        assert!(short.rows.iter().all(|r| r.teaching.is_empty()));
        assert_eq!(short.rows[0].springs, "2 heavy");
        assert_eq!(short.after[0], sheet.after[0]);
        assert_eq!(
            short.after[1].lines,
            [Line::toned(Tone::Heed, "to be looked at")]
        );
    }

    #[test]
    fn without_an_order_what_is_found_stays() {
        let sheet = Sheet {
            opening: vec![Line::toned(Tone::Wrong, "There is no order.")],
            ..Sheet::default()
        };
        assert_eq!(glance(&sheet).opening, sheet.opening);
    }
}
