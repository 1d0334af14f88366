//! The short summary of a problem file that was solved: no names of the trade are known here but those in the file.

use super::asked::asked;
use super::section::{Line, Tone};
use crate::explain::conflict::Conflict;
use crate::explain::verdict::{fewest, why};
use crate::lesson::wording::{count, length};
use crate::problem::Problem;
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// A problem and how its search ended, in a few lines.
pub fn summary(
    problem: &Problem,
    outcome: &Outcome,
    found: Option<&Evaluation>,
    conflict: Option<&Conflict>,
) -> Vec<Line> {
    let Some(found) = found else {
        let mut lines = vec![Line::toned(
            Tone::Wrong,
            if outcome.proven() {
                "There is no order that keeps everything that has to hold.".to_owned()
            } else {
                format!(
                    "No order was found; stopped before it was settled, {}.",
                    why(outcome.ended)
                )
            },
        )];
        lines.extend(conflict.map(|conflict| cannot(problem, conflict)));
        return lines;
    };
    let names: Vec<&str> = found
        .timeline
        .order
        .iter()
        .map(|&s| problem.steps[s].id.as_str())
        .collect();
    let sure = if outcome.proven() {
        Line::toned(Tone::Good, "Nothing better exists.")
    } else {
        let by = outcome.bound.map_or_else(
            || "another order may be better".to_owned(),
            |b| format!("another order scores at least {b}"),
        );
        Line::toned(
            Tone::Heed,
            format!(
                "Stopped before it was settled, {}: {by}.",
                why(outcome.ended)
            ),
        )
    };
    let mut lines = vec![Line::plain(format!("Score {}.", found.score)), sure];
    if !outcome.proven() {
        lines.extend(fewest(problem).map(Line::plain));
    }
    lines.extend([
        Line::plain(format!(
            "{} of transitions, {}, {} in all.",
            length(found.changeover),
            count(found.stops, "stop", "stops"),
            length(found.timeline.finish)
        )),
        Line::plain(format!("Order: {}", names.join(", "))),
    ]);
    lines
}

/// What cannot hold together.
fn cannot(problem: &Problem, conflict: &Conflict) -> Line {
    let text = match (conflict.demands.len(), conflict.minimal) {
        (0, _) => "None exists even without any demand.",
        (1, true) => "This one alone cannot hold, and without it there is an order:",
        (_, true) => "These cannot hold together; without any one of them, the others can:",
        (_, false) => "These cannot hold together; whether all of them matter is not settled:",
    };
    Line {
        under: (conflict.demands.iter())
            .map(|&k| asked(problem, k))
            .collect(),
        ..Line::toned(Tone::Wrong, text)
    }
}
