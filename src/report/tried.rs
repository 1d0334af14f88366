//! What a change to a class does: figures, rules, and the two orders side by side.

use super::beside::Gain;
use super::section::{Line, Section, Tone, push};
use crate::answer::planned::Answer;
use crate::answer::tried::Tried;
use crate::answer::tried::Wanted;
use crate::compile::Compiled;
use crate::explain::difference::{Difference, difference};
use crate::explain::verdict::{Verdict, sentence, verdict};
use crate::explain::waste::value_name;
use crate::lesson::breach::name_of;
use crate::lesson::rule_report::rule_reports;
use crate::lesson::wording::{capital, count, length};
use crate::score::Evaluation;

/// One line of an order in the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// The class stops and goes on with this.
    Stop(String),
    /// A step; `other`: the other order has it too.
    Step {
        /// Place, from 1.
        place: usize,
        /// Name.
        name: String,
        /// Whether the other order has it too.
        other: bool,
    },
}

/// Two orders side by side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The order before.
    pub before: Vec<Cell>,
    /// The order after.
    pub after: Vec<Cell>,
}

/// What is tried, in words.
pub fn wanted(w: &Wanted) -> Vec<String> {
    let mut said: Vec<String> = w.without.iter().map(|n| format!("without {n}")).collect();
    said.extend(w.with.iter().map(|n| format!("with {n}")));
    said.extend(w.minutes.map(|m| format!("in {m} minutes")));
    said.extend(w.springs.iter().map(|(n, s)| format!("{n} on {s}")));
    said.extend(w.before.iter().map(|(a, b)| format!("{a} before {b}")));
    said
}

/// What changes, section by section.
pub fn sections(tried: &Tried) -> Vec<Section> {
    let mut sections = Vec::new();
    let mut lines = Vec::new();
    let said = |answer: &Answer| sentence(&verdict(&answer.compiled, &answer.outcome));
    match (&tried.before.best, &tried.after.best) {
        (Some(before), Some(after)) => {
            if !(tried.before.outcome.proven() && tried.after.outcome.proven()) {
                lines.push(Line::toned(
                    Tone::Heed,
                    "Between the best orders that were found so far: the difference may be another once both are settled.",
                ));
            }
            lines.push(figures(before, after));
            let d = difference(
                (&tried.after.compiled, after),
                (&tried.before.compiled, before),
            );
            lines.push(in_short(&d));
            lines.extend(open("Before", &tried.before));
            lines.extend(open("After", &tried.after));
            push(&mut sections, "What changes", lines);
            push(&mut sections, "Rules", rules(tried, before, after));
        }
        (before, after) => {
            if before.is_none() {
                lines.push(Line::toned(
                    Tone::Wrong,
                    format!("Before: {}", said(&tried.before)),
                ));
            }
            if after.is_none() {
                lines.push(Line::toned(
                    Tone::Wrong,
                    format!("After: {}", said(&tried.after)),
                ));
            }
            lines.extend(open("Before", &tried.before));
            lines.extend(open("After", &tried.after));
            push(&mut sections, "What changes", lines);
        }
    }
    sections
}

/// Of an order that is not known to be the best, how far off it may be.
fn open(which: &str, answer: &Answer) -> Option<Line> {
    match verdict(&answer.compiled, &answer.outcome) {
        it @ Verdict::AtMost { .. } => Some(Line::toned(
            Tone::Heed,
            format!("{which}: {}", sentence(&it)),
        )),
        Verdict::Best
        | Verdict::Impossible
        | Verdict::Unsettled { .. }
        | Verdict::Disagreement(_)
        | Verdict::TooLarge(_) => None,
    }
}

fn figures(before: &Evaluation, after: &Evaluation) -> Line {
    let pair = |what: &str, a: String, b: String| format!("{what}: {a} before, {b} after");
    Line {
        under: vec![
            pair(
                "transitions",
                length(before.changeover),
                length(after.changeover),
            ),
            pair(
                "whole class",
                length(before.timeline.finish),
                length(after.timeline.finish),
            ),
        ],
        ..Line::plain(format!(
            "{} before, {} after.",
            count(before.stops, "stop", "stops"),
            count(after.stops, "stop", "stops")
        ))
    }
}

fn in_short(d: &Difference) -> Line {
    let gain = Gain::from(d);
    let text = gain.first_better();
    if text.is_empty() {
        return Line::plain("In stops, transitions and rules nothing changes.");
    }
    let tone = if gain.worse().is_empty() {
        Tone::Good
    } else {
        Tone::Heed
    };
    Line::toned(tone, format!("{}.", capital(&text)))
}

/// Sentences of what is broken in one order and not in the other.
fn rules(tried: &Tried, before: &Evaluation, after: &Evaluation) -> Vec<Line> {
    let broken = |answer: &Answer, e: &Evaluation| -> Vec<String> {
        (rule_reports(&answer.compiled, e).iter())
            .flat_map(|f| &f.breaches)
            .map(|b| b.sentence.clone())
            .collect()
    };
    let (old, new) = (broken(&tried.before, before), broken(&tried.after, after));
    let only = |these: &[String], those: &[String]| -> Vec<String> {
        these
            .iter()
            .filter(|s| !those.contains(s))
            .cloned()
            .collect()
    };
    let mut lines: Vec<Line> = only(&new, &old)
        .into_iter()
        .map(|s| Line::toned(Tone::Heed, format!("No longer met: {s}")))
        .collect();
    lines.extend(
        (only(&old, &new).into_iter())
            .map(|s| Line::toned(Tone::Good, format!("Met now, or not asked for: {s}"))),
    );
    if lines.is_empty() {
        lines.push(Line::plain("The same rules are kept as before."));
    }
    lines
}

/// The two orders side by side; `None` if one of them does not exist.
pub fn picture(tried: &Tried) -> Option<Picture> {
    let (before, after) = (tried.before.best.as_ref()?, tried.after.best.as_ref()?);
    let (old, new) = (&tried.before.compiled, &tried.after.compiled);
    Some(Picture {
        before: cells(old, before, &names(new, after)),
        after: cells(new, after, &names(old, before)),
    })
}

fn names(compiled: &Compiled, e: &Evaluation) -> Vec<String> {
    e.timeline
        .order
        .iter()
        .map(|&s| name_of(compiled, s))
        .collect()
}

fn cells(compiled: &Compiled, e: &Evaluation, others: &[String]) -> Vec<Cell> {
    let problem = &compiled.problem;
    let mut setup = problem.start_setup.clone();
    let mut cells = vec![Cell::Stop(value_name(compiled, 0, setup[0]))];
    for (i, &step) in e.timeline.order.iter().enumerate() {
        let next = &e.timeline.setups[i];
        let halting: Vec<String> = (0..next.len())
            .filter(|&f| next[f] != setup[f] && problem.facets[f].stop)
            .map(|f| value_name(compiled, f, next[f]))
            .collect();
        if i == 0 && next[0] != setup[0] {
            cells.clear();
        }
        if !halting.is_empty() {
            cells.push(Cell::Stop(halting.join("; ")));
        }
        let name = name_of(compiled, step);
        cells.push(Cell::Step {
            place: i + 1,
            other: others.contains(&name),
            name,
        });
        setup.clone_from(next);
    }
    cells
}
