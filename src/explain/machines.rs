//! The same class on two machines: what changed.

use crate::compile::Compiled;
use crate::lesson::breach::name_of;
use crate::lesson::setup_words;
use crate::score::Evaluation;

/// A step that stands elsewhere on the second machine, or in another set-up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shift {
    /// Its name.
    pub step: String,
    /// Place on the first machine, from 1; `None` if it is not there.
    pub from: Option<usize>,
    /// Place on the second machine.
    pub to: Option<usize>,
    /// Springs on the first machine.
    pub springs_from: String,
    /// Springs on the second machine.
    pub springs_to: String,
}

/// What changed from one machine to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Comparison {
    /// Name of the first machine.
    pub first: String,
    /// Name of the second machine.
    pub second: String,
    /// Stops on the first and on the second.
    pub stops: (i64, i64),
    /// Change-over time on the first and on the second, hundredths.
    pub changeover: (i64, i64),
    /// Whole class on the first and on the second, hundredths.
    pub finish: (i64, i64),
    /// Steps that stand elsewhere or on other springs, in the order of the second machine.
    pub shifts: Vec<Shift>,
}

/// What changed for a class from one machine to another. Steps are matched by name.
pub fn compare(first: (&Compiled, &Evaluation), second: (&Compiled, &Evaluation)) -> Comparison {
    let listed = |(compiled, evaluation): (&Compiled, &Evaluation)| -> Vec<(String, String)> {
        let timeline = &evaluation.timeline;
        (0..timeline.order.len())
            .map(|i| {
                (
                    name_of(compiled, timeline.order[i]),
                    setup_words::springs(compiled, &timeline.setups[i]),
                )
            })
            .collect()
    };
    let (before, after) = (listed(first), listed(second));
    let mut shifts = Vec::new();
    for (to, (step, springs_to)) in after.iter().enumerate() {
        let from = before.iter().position(|(name, _)| name == step);
        let springs_from = from.map_or("", |i| before[i].1.as_str());
        if from != Some(to) || springs_from != springs_to {
            shifts.push(Shift {
                step: step.clone(),
                from: from.map(|i| i + 1),
                to: Some(to + 1),
                springs_from: springs_from.to_owned(),
                springs_to: springs_to.clone(),
            });
        }
    }
    for (from, (step, springs_from)) in before.iter().enumerate() {
        if !after.iter().any(|(name, _)| name == step) {
            shifts.push(Shift {
                step: step.clone(),
                from: Some(from + 1),
                to: None,
                springs_from: springs_from.clone(),
                springs_to: String::new(),
            });
        }
    }
    Comparison {
        first: first.0.apparatus.name.clone(),
        second: second.0.apparatus.name.clone(),
        stops: (first.1.stops, second.1.stops),
        changeover: (first.1.changeover, second.1.changeover),
        finish: (first.1.timeline.finish, second.1.timeline.finish),
        shifts,
    }
}
