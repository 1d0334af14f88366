//! Whether both sides can be equal: the same repetitions, and a set-up that both allow.

use crate::diagnostic::{Code, Diagnostic};
use crate::problem::step::Step;
use crate::rules::need::{Asked, Need};
use crate::rules::sides::alike;
use crate::rules::subject::Subject;
use crate::source::Span;

/// What makes sides unequal: mistakes where they must be equal, else sentences.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Unequal {
    /// Where sides must be equal.
    pub mistakes: Vec<Diagnostic>,
    /// Where they should be.
    pub unmet: Vec<String>,
}

/// Compares the two sides of each movement and the two runs of each series.
pub fn unequal(subject: &Subject, steps: &[Step], asked: &Asked, brief: &Span) -> Unequal {
    let mut found = Unequal::default();
    if asked.is_off() {
        return found;
    }
    let mut report = |a: usize, b: Option<usize>, message: String, mend: &str| {
        if asked.need != Need::Must {
            found.unmet.push(format!("{message}: {mend}"));
            return;
        }
        let place = |i: usize| {
            let span = &subject.class.steps[i].span;
            span.clone().unwrap_or_else(|| brief.clone())
        };
        let mut mistake =
            Diagnostic::mistake(Code::UnequalSides, place(a), message, "one side", mend);
        if let Some(b) = b {
            mistake = mistake.and(place(b), "the other side");
        }
        found.mistakes.push(mistake);
    };
    for (a, b) in alike(subject) {
        let name = &subject.movement(a).name;
        let count = |i: usize| -> Vec<(usize, u32)> {
            subject.class.steps[i]
                .doses
                .iter()
                .map(|d| (d.layer, d.count))
                .collect()
        };
        if count(a) != count(b) {
            report(
                a,
                Some(b),
                format!("the two sides of {name} have different repetitions"),
                "give both sides the same number",
            );
        }
        for (facet, key) in subject.facets.iter().enumerate() {
            let (Some(one), Some(other)) = (&steps[a].setup[facet], &steps[b].setup[facet]) else {
                continue;
            };
            if !one.iter().any(|c| other.iter().any(|d| d.value == c.value)) {
                report(
                    a,
                    Some(b),
                    format!("the two sides of {name} allow no common value of the {key}"),
                    "give both sides the same set-up",
                );
            }
        }
    }
    for series in subject.series() {
        if series.first.len() != series.second.len() {
            let at = series.first.first().or(series.second.first());
            if let Some(&a) = at {
                report(
                    a,
                    None,
                    format!(
                        "the two runs of the series {} do not have the same movements",
                        subject.blocks[series.block].name
                    ),
                    "leave the side of its movements open, so that each is done in both runs",
                );
            }
        }
    }
    found
}
