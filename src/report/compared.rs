//! What changed from one machine to another, on the sheet.

use super::section::{Line, Section, Tone};
use crate::answer::machines::Own;
use crate::answer::planned::Answer;
use crate::explain::machines::Comparison;
use crate::explain::verdict::{Verdict, sentence, verdict};
use crate::lesson::wording::length;

/// A class beside the same class on its own machine.
pub fn beside_its_own(own: &Own) -> Section {
    let lines = match own {
        Own::Compared(there, made) => {
            let sure = verdict(&there.compiled, &there.outcome);
            let mut lines = comparison(made);
            if sure != Verdict::Best {
                lines.push(Line::toned(Tone::Heed, on_its_own(there, &sure)));
            }
            lines
        }
        Own::Nothing(there) => {
            let sure = verdict(&there.compiled, &there.outcome);
            let said = on_its_own(there, &sure);
            vec![Line::plain(format!(
                "{said} So there is nothing to compare."
            ))]
        }
        Own::NoClass(mistakes) => {
            let wrong = mistakes.iter().filter(|d| d.is_mistake());
            let wrong: Vec<String> = wrong.map(|d| d.message.clone()).collect();
            vec![Line::plain(format!(
                "The class cannot be planned on its own machine: {}.",
                wrong.join("; ")
            ))]
        }
        Own::NotBegun(name) => vec![Line::plain(format!(
            "Interrupted before the class was planned on {name}, so there is nothing to compare."
        ))],
        Own::NotAsked => {
            vec![Line::plain(
                "Without an order here there is nothing to compare.",
            )]
        }
    };
    Section {
        heading: "What changed with the machine".into(),
        lines,
    }
}

/// How sure the order on the class's own machine is.
fn on_its_own(there: &Answer, sure: &Verdict) -> String {
    format!("On {}: {}", there.compiled.apparatus.name, sentence(sure))
}

/// What changed from one machine to another.
fn comparison(c: &Comparison) -> Vec<Line> {
    let pair = |what: &str, from: String, to: String| {
        Line::plain(format!(
            "{what}: {from} on {}, {to} on {}",
            c.first, c.second
        ))
    };
    let mut lines = vec![
        pair("Stops", c.stops.0.to_string(), c.stops.1.to_string()),
        pair(
            "Transitions",
            length(c.changeover.0),
            length(c.changeover.1),
        ),
        pair("Whole class", length(c.finish.0), length(c.finish.1)),
    ];
    for shift in &c.shifts {
        let text = match (shift.from, shift.to) {
            (Some(a), Some(b)) if a == b => {
                format!(
                    "{}: {} instead of {}",
                    shift.step, shift.springs_to, shift.springs_from
                )
            }
            (Some(a), Some(b)) => format!(
                "{}: place {b} instead of {a}, {} instead of {}",
                shift.step, shift.springs_to, shift.springs_from
            ),
            (None, _) => format!("{}: only on {}", shift.step, c.second),
            (_, None) => format!("{}: only on {}", shift.step, c.first),
        };
        lines.push(Line::plain(text));
    }
    lines
}
