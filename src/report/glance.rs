//! A run sheet reduced to what the teacher who made it wants to see at a glance while teaching: what to set and when, and nothing
//! already known.

use super::section::{Section, Tone};
use super::sheet::{PUT_BACK, Sheet, SheetRow, Transition, UNUSUAL};

/// The sheet at a glance: no findings before the class, no cues of body and movement, no layers one by one, no key of the springs and no other ones; of the rules only what
/// has to be looked at.
pub fn glance(sheet: &Sheet) -> Sheet {
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
    row.layers.clear();
    row.options.clear();
    row.teaching.clear();
    row.marks.retain(|mark| !mark.starts_with(UNUSUAL));
    row.bodies.clear();
    row.lighter = None;
    row.heavier = None;
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
