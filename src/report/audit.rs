//! What `check` says about an order as it was written, as a sheet of its own.

use super::fared::{conditions, rules};
use super::opening::{minutes, totals, wishes};
use super::section::{Line, Section, Tone, push};
use super::sheet::{rows, told};
use crate::answer::class::Class;
use crate::answer::planned::AsGiven;
use crate::explain::savings::{broken_musts, links};
use crate::explain::unmet::whatever_the_order;
use crate::explain::waste::there_and_back;
use crate::lesson::breach::name_of;
use crate::lesson::wording::{capital, count, length};
use crate::lesson::{Lesson, lesson};
use crate::model::caution::STANDING;
use crate::score::Evaluation;

/// How many of the dearest transitions are named.
const DEAREST: usize = 3;

/// An audit of one order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Audit {
    /// Title of the class.
    pub title: String,
    /// What follows, section by section.
    pub sections: Vec<Section>,
}

/// The audit of an order as written.
pub fn audit(class: &Class, given: &AsGiven) -> Audit {
    let evaluation = &given.found;
    let compiled = &class.compiled;
    let taught = lesson(&class.brief, compiled, evaluation);
    let mut sections = Vec::new();
    let mut result = vec![Line::plain(totals(&taught))];
    result.extend(minutes(&taught));
    result.push(if evaluation.broken.is_empty() {
        Line::toned(Tone::Good, "Everything that has to hold does.")
    } else {
        Line::toned(
            Tone::Wrong,
            format!(
                "{} broken.",
                count(
                    broken_musts(compiled, evaluation),
                    "rule that has to hold is",
                    "rules that have to hold are"
                )
            ),
        )
    });
    result.push(Line::plain(wishes(compiled, evaluation)));
    if compiled.score_per_second == 100 {
        result.push(Line::plain(format!(
            "Stops, transitions, springs and rules together count as {}; lower is better.",
            length(evaluation.score)
        )));
    }
    if !given.proven {
        result.push(Line::toned(
            Tone::Heed,
            "Better set-ups may exist; all of this is for the best found.",
        ));
    }
    push(&mut sections, "Your order as written", result);
    push(&mut sections, "Rules", rules(&taught.rule_reports));
    push(&mut sections, "Stops", stops(&taught));
    push(&mut sections, "Change-overs to review", marked(&taught));
    push(
        &mut sections,
        "Where set-ups are wasted",
        waste(class, evaluation),
    );
    push(
        &mut sections,
        "Longest transitions",
        dearest(class, evaluation),
    );
    let mut room = conditions(&taught.conditions);
    if !room.is_empty() {
        room.push(Line::toned(Tone::Heed, STANDING));
    }
    push(&mut sections, "In the room", room);
    let lacking = whatever_the_order(compiled).iter();
    push(
        &mut sections,
        "What the list lacks",
        lacking
            .map(|t| Line::toned(Tone::Heed, capital(t)))
            .collect(),
    );
    told(&mut sections, compiled, &class.brief.assumed);
    Audit {
        title: capital(&class.brief.title),
        sections,
    }
}

fn stops(taught: &Lesson) -> Vec<Line> {
    let rows = rows(taught);
    rows.iter()
        .filter(|r| r.before.stop)
        .map(|r| {
            Line::plain(format!(
                "Before {} {} ({}): {}",
                r.place,
                r.name,
                r.before.time,
                r.before.cues.join("; ")
            ))
        })
        .collect()
}

/// What the spotter says of a change-over, where it says something.
fn marked(taught: &Lesson) -> Vec<Line> {
    let before = taught.rows.iter().map(|r| {
        let mark = r.before.spotted.mark()?;
        Some(format!("Before {} {}: {mark}", r.place, r.movement))
    });
    let end = taught.reset.iter().map(|reset| {
        let mark = reset.spotted.mark()?;
        Some(format!("At the end: {mark}"))
    });
    (before.chain(end).flatten())
        .map(|text| Line::toned(Tone::Wrong, text))
        .collect()
}

fn waste(class: &Class, evaluation: &Evaluation) -> Vec<Line> {
    there_and_back(&class.compiled, &evaluation.timeline)
        .into_iter()
        .map(|w| {
            Line::toned(
                Tone::Heed,
                format!(
                    "{}: {} for {} alone, then {} again: {}{}",
                    capital(&w.facet),
                    w.between,
                    w.steps.join(" and "),
                    w.usual,
                    length(w.time),
                    if w.stop { ", two stops" } else { "" }
                ),
            )
        })
        .collect()
}

/// The transitions that take longest.
fn dearest(class: &Class, evaluation: &Evaluation) -> Vec<Line> {
    let compiled = &class.compiled;
    let mut dearest = links(&evaluation.timeline);
    dearest.sort_by_key(|l| (-l.time, l.to));
    let name = |step: Option<usize>, none: &str| {
        step.map_or_else(|| none.to_owned(), |s| name_of(compiled, s))
    };
    dearest
        .into_iter()
        .filter(|l| l.time > 0)
        .take(DEAREST)
        .map(|l| {
            Line::plain(format!(
                "From {} to {}: {}",
                name(l.from, "the start"),
                name(l.to, "the end"),
                length(l.time)
            ))
        })
        .collect()
}
