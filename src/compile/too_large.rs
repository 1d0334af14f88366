//! Whether a class has more steps than are planned, counted before any of them is made.

use crate::brief::{Brief, Entry};
use crate::diagnostic::Diagnostic;
use crate::model::movement::Sides;
use crate::problem::step::Side;
use crate::sizes::STEPS;

/// The refusal of a class of too many steps, at the line with which they are. What a condition leaves out is counted too; it is most likely few.
pub fn too_many_steps(brief: &Brief) -> Option<Diagnostic> {
    let mut steps = 0_usize;
    let mut beyond = None;
    for entry in &brief.entries {
        steps = steps.saturating_add(steps_of(brief, entry));
        if STEPS.is_less_than(steps) {
            beyond.get_or_insert(entry);
        }
    }
    let mut place = beyond.map(|entry| &entry.span);
    let rests = &brief.rules.breathers;
    steps = steps.saturating_add(rests.copies as usize * rests.movements.len());
    if STEPS.is_less_than(steps) {
        place = place.or(rests.span.as_ref());
    }
    place.map(|span| STEPS.refused("the class", steps, span.clone()))
}

/// How many steps a line comes to.
fn steps_of(brief: &Brief, entry: &Entry) -> usize {
    let block = entry.block.and_then(|b| brief.blocks.get(b));
    let movement = brief.catalogue.get(&entry.movement);
    let each = movement.is_some_and(|m| m.sides == Sides::Each);
    let one_side = each && matches!(entry.side, Some(Side::Left | Side::Right));
    let in_series = block.is_some_and(|b| b.series);
    // In a series what has no sides is done with each.
    let sides = if (each || in_series) && !one_side {
        2
    } else {
        1
    };
    let rounds = block.map_or(1, |b| b.rounds as usize);
    sides * rounds * entry.rounds as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Block;
    use crate::compile::expand::expand;
    use crate::compile::sample::{brief, machine};
    use crate::model::movement::Movement;
    use crate::rules::sample::{Sample, movement, nowhere};

    /// A class of one movement in a block.
    fn class(each: bool, series: bool, (of_block, own): (u32, u32)) -> Brief {
        let done = Movement {
            sides: if each { Sides::Each } else { Sides::Both },
            ..movement("a")
        };
        let mut brief = brief(&Sample::new().both(done));
        brief.rules.breathers.copies = 0;
        brief.blocks.push(Block {
            name: "b".into(),
            ordered: series,
            series,
            rounds: of_block,
            span: nowhere(),
        });
        brief.entries[0].block = Some(0);
        brief.entries[0].rounds = own;
        brief
    }

    #[test]
    fn the_steps_that_are_counted_are_those_that_are_made() {
        for each in [true, false] {
            for series in [true, false] {
                for rounds in [(1, 1), (1, 3), (2, 3)] {
                    let mut class = class(each, series, rounds);
                    for side in [None, Some(Side::Left)] {
                        class.entries[0].side = side.filter(|_| each);
                        let made = expand(&class, &machine()).steps.len();
                        assert_eq!(
                            steps_of(&class, &class.entries[0]),
                            made,
                            "{each} {series} {rounds:?} {side:?}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn as_many_steps_as_are_allowed_are_planned_and_no_more() {
        let mut brief = class(false, false, (20, 20));
        assert_eq!(too_many_steps(&brief), None);
        brief.entries[0].rounds = 21;
        let told = too_many_steps(&brief).expect("420 are too many");
        assert!(told.message.contains("420 steps"), "{}", told.message);
    }
}
