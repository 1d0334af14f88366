//! What changed from one machine to another, on the sheet.

use super::section::{Line, Section};
use crate::explain::machines::Comparison;
use crate::lesson::wording::length;

/// What changed from one machine to another, as a section.
pub fn comparison(c: &Comparison) -> Section {
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
    Section {
        heading: "What changed with the machine".into(),
        lines,
    }
}
