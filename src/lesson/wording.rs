//! Small pieces of wording that every part of a plan shares: sides, springs, repetitions, times.

use crate::model::act::Act;
use crate::model::apparatus::Apparatus;
use crate::model::class::{ClassStep, Dose};
use crate::model::movement::{Movement, RepUnit};
use crate::model::springs::{SpringClass, SpringSet};
use crate::problem::step::Side;

/// A side in words; empty for both at once.
pub fn side(side: Side) -> &'static str {
    match side {
        Side::Both => "",
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// The springs by the studio's labels: "2 sun + 1 leaf", or "no springs".
pub fn springs(set: &SpringSet, classes: &[SpringClass]) -> String {
    let parts: Vec<String> = set
        .0
        .iter()
        .zip(classes)
        .filter(|&(&n, _)| n > 0)
        .map(|(n, class)| format!("{n} {}", class.label))
        .collect();
    if parts.is_empty() {
        "no springs".into()
    } else {
        parts.join(" + ")
    }
}

/// What goes on (`on`) or comes off from one set of springs to another, by label; empty if nothing does.
pub fn spring_difference(
    from: &SpringSet,
    to: &SpringSet,
    classes: &[SpringClass],
    on: bool,
) -> String {
    let parts: Vec<String> = from
        .0
        .iter()
        .zip(&to.0)
        .zip(classes)
        .filter_map(|((&a, &b), class)| {
            let n = if on {
                b.saturating_sub(a)
            } else {
                a.saturating_sub(b)
            };
            (n > 0).then(|| format!("{n} {}", class.label))
        })
        .collect();
    parts.join(" and ")
}

/// What is said of an act.
pub fn act(machine: &Apparatus, act: &Act) -> String {
    match act {
        Act::Close => "carriage closed".into(),
        Act::Go(index) => machine.postures.moves[*index].cue.clone(),
        Act::Springs { from, to } => {
            let classes = &machine.springs.classes;
            let on = spring_difference(from, to, classes, true);
            let off = spring_difference(from, to, classes, false);
            match (on.is_empty(), off.is_empty()) {
                (false, false) => format!("{on} on, then {off} off"),
                (false, true) => format!("{on} on"),
                (true, _) => format!("{off} off"),
            }
        }
        Act::Set { facet, to, .. } => machine.facets[*facet].cues[*to].clone(),
        Act::PutOn { facet, value } => machine.facets[*facet].cues[*value].clone(),
        Act::TakeOff { facet, value } => {
            let spec = &machine.facets[*facet];
            let own = spec.off_cues[*value].as_ref();
            own.unwrap_or(&spec.cues[0]).clone()
        }
        Act::Turn { facet, to, .. } => {
            let spec = &machine.facets[*facet];
            let turn = spec.turn_cues[*to].as_ref();
            turn.unwrap_or(&spec.cues[*to]).clone()
        }
    }
}

/// The name of a step: movement, side, round from the second on.
pub fn step(movement: &Movement, step: &ClassStep) -> String {
    let mut text = movement.name.clone();
    if step.side != Side::Both {
        text.push_str(", ");
        text.push_str(side(step.side));
    }
    if step.round > 1 {
        text.push_str(&format!(" (round {})", step.round));
    }
    text
}

/// How often a layer is done: "x 8", "x 6 each way", "5 breaths", "hold 20 s".
pub fn dose(movement: &Movement, dose: &Dose) -> String {
    let layer = &movement.layers[dose.layer];
    let repetitions = &layer.repetitions;
    let mut text = match repetitions.unit {
        RepUnit::Repetition => format!("x {}", dose.count),
        RepUnit::Breath if dose.count == 1 => "1 breath".into(),
        RepUnit::Breath => format!("{} breaths", dose.count),
        RepUnit::Second => format!("hold {} s", dose.count),
    };
    if repetitions.each_way {
        text.push_str(" each way");
    }
    if movement.by_turns(layer) {
        text.push_str(" by turns");
    }
    text
}

/// A time of the class as minutes and seconds, from hundredths: `7:05`. Rounded to the nearest second.
pub fn clock(hundredths: i64) -> String {
    let seconds = (hundredths + 50).div_euclid(100);
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// A length of time from hundredths: "45 s", "2 min", "2 min 05 s".
pub fn length(hundredths: i64) -> String {
    let seconds = (hundredths + 50).div_euclid(100);
    if seconds < 60 {
        format!("{seconds} s")
    } else if seconds % 60 == 0 {
        format!("{} min", seconds / 60)
    } else {
        format!("{} min {:02} s", seconds / 60, seconds % 60)
    }
}

/// A number with its noun in the right form: "1 stop", "3 stops".
pub fn count(n: i64, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The same with its first letter a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn classes() -> Vec<SpringClass> {
        ["sun", "leaf"]
            .iter()
            .map(|label| SpringClass {
                name: (*label).into(),
                label: (*label).into(),
                count: 2,
                load: 1.0,
            })
            .collect()
    }

    #[test]
    fn springs_are_named_by_the_studio_s_labels() {
        assert_eq!(
            springs(&SpringSet(vec![2, 1]), &classes()),
            "2 sun + 1 leaf"
        );
        assert_eq!(springs(&SpringSet(vec![0, 0]), &classes()), "no springs");
    }

    #[test]
    fn what_goes_on_and_what_comes_off_are_told_apart() {
        let (from, to) = (SpringSet(vec![2, 0]), SpringSet(vec![1, 1]));
        assert_eq!(spring_difference(&from, &to, &classes(), true), "1 leaf");
        assert_eq!(spring_difference(&from, &to, &classes(), false), "1 sun");
    }

    #[test]
    fn a_time_is_rounded_to_the_nearest_second_before_it_is_split() {
        assert_eq!(clock(5_999), "1:00");
        assert_eq!(length(5_949), "59 s");
        assert_eq!(length(12_500), "2 min 05 s");
    }
}
