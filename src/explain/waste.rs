//! Where set-ups are wasted: a facet that is changed and soon changed back.

use crate::compile::Compiled;
use crate::lesson::breach::name_of;
use crate::lesson::wording;
use crate::problem::timeline::Timeline;

/// How many steps a value may last to count as changed and soon changed back.
const SOON: usize = 2;

/// A facet changed and soon changed back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ThereAndBack {
    /// The facet on paper.
    pub facet: String,
    /// The value before and after, in words.
    pub usual: String,
    /// The value between, in words.
    pub between: String,
    /// Names of the steps between.
    pub steps: Vec<String>,
    /// Hundredths that the two changes take, the way to reach the facet not counted.
    pub time: i64,
    /// Whether the two changes halt the class.
    pub stop: bool,
}

/// Every facet changed and changed back within two steps, dearest first.
pub fn there_and_back(compiled: &Compiled, timeline: &Timeline) -> Vec<ThereAndBack> {
    let problem = &compiled.problem;
    let mut found = Vec::new();
    for (f, facet) in problem.facets.iter().enumerate() {
        let value = |i: usize| match i {
            0 => problem.start_setup[f],
            i => timeline.setups[i - 1][f],
        };
        for i in 1..=timeline.order.len() {
            if value(i) == value(i - 1) {
                continue;
            }
            let back = (i + 1..=timeline.order.len().min(i + SOON)).find(|&j| value(j) != value(i));
            let Some(j) = back.filter(|&j| value(j) == value(i - 1)) else {
                continue;
            };
            found.push(ThereAndBack {
                facet: facet_name(compiled, f),
                usual: value_name(compiled, f, value(i - 1)),
                between: value_name(compiled, f, value(i)),
                steps: (i..j)
                    .map(|k| name_of(compiled, timeline.order[k - 1]))
                    .collect(),
                time: facet.change[value(i - 1)][value(i)] + facet.change[value(i)][value(j)],
                stop: facet.stop,
            });
        }
    }
    found.sort_by_key(|w| (!w.stop, -w.time));
    found
}

/// A facet on paper.
pub fn facet_name(compiled: &Compiled, f: usize) -> String {
    f.checked_sub(1).map_or_else(
        || "springs".to_owned(),
        |k| compiled.apparatus.facets[k].name.clone(),
    )
}

/// A value of a facet on paper.
pub fn value_name(compiled: &Compiled, f: usize, value: usize) -> String {
    f.checked_sub(1).map_or_else(
        || {
            wording::springs(
                &compiled.spring_values[value],
                &compiled.apparatus.springs.classes,
            )
        },
        |k| compiled.apparatus.facets[k].labels[value].clone(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample::compiled;
    use crate::score::evaluate;

    #[test]
    fn a_spring_changed_for_one_step_and_back_is_named_with_the_step() {
        let made = compiled();
        let (heavy, light) = (made.spring_value("heavy"), made.spring_value("light"));
        // The machine starts on the heavy spring; only the middle step wants the light one.
        let setups = vec![vec![heavy, 0], vec![light, 0], vec![heavy, 0]];
        let timeline = evaluate(&made.compiled.problem, &[0, 1, 2], &setups).timeline;
        let found = there_and_back(&made.compiled, &timeline);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].steps, ["light press"]);
        assert_eq!(found[0].usual, "1 heavy");
        assert_eq!(found[0].time, 1_600);
    }
}
