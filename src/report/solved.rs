//! The short summary of a problem file that was solved: no names of the trade are known here but those in the file.

use super::section::{Line, Tone};
use crate::explain::verdict::why;
use crate::plan::wording::{count, length};
use crate::problem::Problem;
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// A problem and how its search ended, in a few lines.
pub fn summary(problem: &Problem, outcome: &Outcome, found: Option<&Evaluation>) -> Vec<Line> {
    let Some(found) = found else {
        return vec![Line::toned(
            Tone::Wrong,
            if outcome.proven() {
                "There is no order that keeps everything that must hold.".to_owned()
            } else {
                format!(
                    "No order was found; stopped before it was settled, {}.",
                    why(outcome.ended)
                )
            },
        )];
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
    vec![
        Line::plain(format!("Score {}.", found.score)),
        sure,
        Line::plain(format!(
            "{} of transitions, {}, {} in all.",
            length(found.changeover),
            count(found.stops, "stop", "stops"),
            length(found.timeline.finish)
        )),
        Line::plain(format!("Order: {}", names.join(", "))),
    ]
}
