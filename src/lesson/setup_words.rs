//! The set-up of a step in words, and unusual springs.

use super::wording;
use crate::compile::Compiled;
use crate::model::movement::{MoreSprings, SpringNeed};

/// Springs of a step that are not the ones preferred.
#[derive(Debug, Clone, PartialEq)]
pub struct Borrowed {
    /// The springs preferred, by label.
    pub preferred: String,
    /// Load units more (or fewer, below 0) than preferred.
    pub more: f64,
    /// What that does to the movement, in words.
    pub effect: String,
}

/// Springs beside those of a step, for somebody who wants less or more of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Beside {
    /// By label.
    pub springs: String,
    /// What they do to the movement, against those of the step.
    pub effect: &'static str,
}

/// Two loads nearer than this are the same: sums of a few decimal fractions.
const SAME_LOAD: f64 = 1e-9;

/// The next lighter springs that a step allows on this machine; `None` if there are none or if it does not care.
pub fn lighter(compiled: &Compiled, step: usize, value: usize) -> Option<Beside> {
    beside(compiled, step, value, -1.0)
}

/// The next heavier springs that a step allows on this machine; `None` if there are none or if it does not care.
pub fn heavier(compiled: &Compiled, step: usize, value: usize) -> Option<Beside> {
    beside(compiled, step, value, 1.0)
}

/// The nearest load on one side (`way` 1 or -1); of those alike the one with the fewest springs to change.
fn beside(compiled: &Compiled, step: usize, value: usize, way: f64) -> Option<Beside> {
    let classes = &compiled.apparatus.springs.classes;
    let now = &compiled.spring_values[value];
    let farther = |v: usize| way * (compiled.spring_values[v].load(classes) - now.load(classes));
    let changed = |v: usize| compiled.spring_values[v].symmetric_difference(now);
    let choices = compiled.problem.steps[step].setup[0].as_ref()?;
    let found = (choices.iter().map(|c| c.value))
        .filter(|&v| farther(v) > SAME_LOAD)
        .min_by(|&a, &b| {
            let apart = farther(a) - farther(b);
            if apart.abs() > SAME_LOAD {
                apart.total_cmp(&0.0)
            } else {
                changed(a).cmp(&changed(b)).then(a.cmp(&b))
            }
        })?;
    let movement = &compiled.class.movements[compiled.class.steps[step].movement];
    Some(Beside {
        springs: wording::springs(&compiled.spring_values[found], classes),
        effect: against(movement.more_springs, way > 0.0),
    })
}

/// What springs more, or fewer, do to a movement against those that it is done on.
fn against(more_springs: MoreSprings, more: bool) -> &'static str {
    match (more_springs, more) {
        (MoreSprings::Harder, true) => "harder",
        (MoreSprings::Harder, false) => "easier",
        (MoreSprings::Steadier, true) => "steadier, with more help",
        (MoreSprings::Steadier, false) => "less steady, with less help",
        (MoreSprings::Both, true) => "harder for the limbs, steadier for the trunk",
        (MoreSprings::Both, false) => "easier for the limbs, less steady for the trunk",
        (MoreSprings::Neither, _) => "no difference to the movement",
    }
}

/// The springs of a set-up by label.
pub fn springs(compiled: &Compiled, setup: &[usize]) -> String {
    wording::springs(
        &compiled.spring_values[setup[0]],
        &compiled.apparatus.springs.classes,
    )
}

/// The other facets of a set-up as a step needs to know them: what it asks for and is there, in the order of the machine.
pub fn asked(compiled: &Compiled, step: usize, setup: &[usize]) -> Vec<String> {
    let needs = &compiled.problem.steps[step].setup;
    (1..setup.len())
        .filter(|&f| needs[f].is_some())
        .filter(|&f| setup[f] != 0 || !compiled.apparatus.facets[f - 1].holds_things())
        .map(|f| compiled.apparatus.facets[f - 1].labels[setup[f]].clone())
        .collect()
}

/// All of a set-up: springs first, then each other facet.
pub fn whole(compiled: &Compiled, setup: &[usize]) -> Vec<String> {
    let mut parts = vec![springs(compiled, setup)];
    parts.extend(
        (1..setup.len()).map(|f| compiled.apparatus.facets[f - 1].labels[setup[f]].clone()),
    );
    parts
}

/// What the springs of a step do to it if they are not the preferred ones; `None` if they are, if the machine has none nearer, or if it
/// does not care.
pub fn borrowed(compiled: &Compiled, step: usize, value: usize) -> Option<Borrowed> {
    let choices = compiled.problem.steps[step].setup[0].as_ref()?;
    let taken = choices.iter().find(|c| c.value == value)?;
    if taken.penalty == 0 {
        return None;
    }
    let best = choices.iter().min_by_key(|c| (c.penalty, c.value))?;
    // The nearest that this machine has is what is usual on it, even where it is not quite the load preferred.
    if taken.penalty == best.penalty {
        return None;
    }
    let classes = &compiled.apparatus.springs.classes;
    let load = |v: usize| compiled.spring_values[v].load(classes);
    let movement = &compiled.class.movements[compiled.class.steps[step].movement];
    // A load in the range is measured from the preferred load itself, which the machine may not be able to give.
    let preferred = match &movement.springs {
        SpringNeed::Range { prefer, .. } => *prefer,
        SpringNeed::Any { .. } | SpringNeed::Locked | SpringNeed::Sets(_) => load(best.value),
    };
    let more = load(value) - preferred;
    let effect = if movement.more_springs_note.is_empty() || more < 0.0 {
        effect(movement.more_springs, more).to_owned()
    } else {
        movement.more_springs_note.clone()
    };
    Some(Borrowed {
        preferred: wording::springs(&compiled.spring_values[best.value], classes),
        more,
        effect,
    })
}

/// What `more` load units (fewer, below 0) do to a movement.
fn effect(more_springs: MoreSprings, more: f64) -> &'static str {
    match (more_springs, more >= 0.0) {
        (MoreSprings::Harder, true) => "harder than usual",
        (MoreSprings::Harder, false) => "lighter than usual",
        (MoreSprings::Steadier, true) => "steadier, with more help from the springs",
        (MoreSprings::Steadier, false) => "less steady, with less help from the springs",
        (MoreSprings::Both, true) => "harder for the limbs, steadier for the trunk",
        (MoreSprings::Both, false) => "lighter for the limbs, less steady for the trunk",
        (MoreSprings::Neither, _) => "it makes no difference to the movement",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample::compiled;
    use crate::problem::step::Choice;

    #[test]
    fn the_nearest_springs_that_the_machine_has_are_not_called_unusual() {
        let mut class = compiled();
        let (heavy, light) = (class.spring_value("heavy"), class.spring_value("light"));
        let choice = |value, penalty| Choice { value, penalty };
        // No set gives the load preferred: the nearest is a little off it, and so is charged.
        class.compiled.problem.steps[0].setup[0] =
            Some(vec![choice(light, 900), choice(heavy, 100)]);
        assert_eq!(borrowed(&class.compiled, 0, heavy), None);
        let other = borrowed(&class.compiled, 0, light).expect("other springs than usual");
        assert_eq!(other.preferred, "1 heavy");
        assert!(other.more < 0.0);
    }

    #[test]
    fn lighter_and_heavier_are_only_what_the_movement_allows() {
        let mut class = compiled();
        let (heavy, light) = (class.spring_value("heavy"), class.spring_value("light"));
        let choice = |value, penalty| Choice { value, penalty };
        class.compiled.problem.steps[0].setup[0] =
            Some(vec![choice(light, 900), choice(heavy, 100)]);
        let up = heavier(&class.compiled, 0, light).expect("heavier springs are allowed");
        assert_eq!(up.springs, "1 heavy");
        let down = lighter(&class.compiled, 0, heavy).expect("lighter springs are allowed");
        assert_eq!(down.springs, "1 light");
        assert_eq!(lighter(&class.compiled, 0, light), None);
        assert_eq!(heavier(&class.compiled, 0, heavy), None);
        class.compiled.problem.steps[0].setup[0] = Some(vec![choice(light, 0)]);
        assert_eq!(heavier(&class.compiled, 0, light), None);
        class.compiled.problem.steps[0].setup[0] = None;
        assert_eq!(heavier(&class.compiled, 0, light), None);
    }
}
