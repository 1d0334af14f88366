//! What the picture of a class says: row by row what is done, what changes before it and how hard it is, with one lane for each part of the set-up
//! that changes at all.

use super::sheet::{SheetRow, rows};
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::explain::tight::held;
use crate::lesson::setup_words;
use crate::lesson::wording::{capital, clock, count, length};
use crate::lesson::{Row, lesson};
use crate::score::Evaluation;

/// A class as a strip along the clock.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    /// Title of the class.
    pub title: String,
    /// The machine, and the date.
    pub about: String,
    /// Steps, stops and length in one sentence.
    pub says: String,
    /// Names of the lanes: what of the set-up changes in this class.
    pub lanes: Vec<String>,
    /// Its steps.
    pub stretches: Vec<Stretch>,
    /// When it ends; empty where it goes on elsewhere.
    pub end: String,
    /// Wishes that are not met, a sentence each.
    pub unmet: Vec<String>,
    /// Rules by which neighbours cannot change places, each with the places.
    pub tight: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stretch {
    /// When it starts.
    pub clock: String,
    /// Its place and name.
    pub name: String,
    /// How often or how long.
    pub amount: String,
    /// Whether the class halts before it.
    pub stop: bool,
    /// How long the transition before it takes; may be empty.
    pub time: String,
    /// What is set before it.
    pub changes: Vec<String>,
    /// For each lane what it is set to.
    pub set_to: Vec<String>,
    /// How hard it is, in METs.
    pub effort: f64,
    /// Whether a rule keeps it from changing places with the one before.
    pub held: bool,
}

/// Places (from 0) that a rule holds after the one before, title by title in the order of the class.
fn tight(compiled: &Compiled, best: &Evaluation) -> Vec<(&'static str, Vec<usize>)> {
    let mut found: Vec<(&'static str, Vec<usize>)> = Vec::new();
    for held in held(&compiled.problem, best) {
        for k in held.demands {
            let rule = compiled.ledger.entries[k].rule;
            if !rule.holds_places {
                continue;
            }
            match found.iter_mut().find(|(title, _)| *title == rule.title) {
                Some((_, places)) if places.contains(&held.place) => {}
                Some((_, places)) => places.push(held.place),
                None => found.push((rule.title, vec![held.place])),
            }
        }
    }
    found
}

/// The timeline of an order of a class.
pub fn timeline(brief: &Brief, compiled: &Compiled, best: &Evaluation) -> Timeline {
    let taught = lesson(brief, compiled, best);
    let setups = &best.timeline.setups;
    let first = &compiled.problem.start_setup;
    let changing: Vec<usize> = (0..first.len())
        .filter(|&f| setups.iter().any(|setup| setup[f] != first[f]))
        .collect();
    let value = |facet: usize, setup: &[usize]| match facet.checked_sub(1) {
        None => setup_words::springs(compiled, setup),
        Some(f) => compiled.apparatus.facets[f].labels[setup[facet]].clone(),
    };
    let tight = tight(compiled, best);
    let stretch = |((row, drawn), setup): ((&Row, SheetRow), &Vec<usize>)| {
        let step = &compiled.class.steps[row.step];
        Stretch {
            clock: clock(row.start),
            name: format!("{} {}", drawn.place, drawn.name),
            amount: drawn.amount,
            stop: row.before.stop,
            time: if row.before.time > 0 {
                length(row.before.time)
            } else {
                String::new()
            },
            changes: (row.before.changes.iter())
                .map(|c| value(c.facet, setup))
                .collect(),
            set_to: changing.iter().map(|&f| value(f, setup)).collect(),
            effort: compiled.class.movements[step.movement].effort,
            held: tight
                .iter()
                .any(|(_, places)| places.contains(&(row.place - 1))),
        }
    };
    let mut about = vec![compiled.apparatus.name.clone()];
    about.extend(brief.date.map(|d| d.to_string()));
    let n = i64::try_from(taught.rows.len()).expect("a class has few steps");
    let unmet = taught.rule_reports.iter().flat_map(|f| &f.breaches);
    Timeline {
        title: if brief.title.is_empty() {
            "A class".into()
        } else {
            brief.title.clone()
        },
        about: about.join(", "),
        says: format!(
            "{} in {}, {} for the whole class.",
            count(n, "movement", "movements"),
            length(taught.finish),
            count(taught.stops, "stop", "stops"),
        ),
        lanes: (changing.iter())
            .map(|&f| match f.checked_sub(1) {
                None => "springs".into(),
                Some(f) => compiled.apparatus.facets[f].name.clone(),
            })
            .collect(),
        stretches: (taught.rows.iter().zip(rows(&taught)).zip(setups))
            .map(stretch)
            .collect(),
        end: clock(taught.finish),
        unmet: unmet.map(|b| b.sentence.clone()).collect(),
        tight: (tight.iter())
            .map(|(title, places)| {
                let pairs = places.iter().map(|p| format!("{} and {}", p, p + 1));
                let pairs: Vec<String> = pairs.collect();
                format!("{}: {}", capital(title), pairs.join("; "))
            })
            .collect(),
    }
}
