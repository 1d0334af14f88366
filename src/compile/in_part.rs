//! What can be said of a class of which the machine cannot serve all, so that it is told in one go with that.

use super::circles::circles;
use super::equal_sides::unequal;
use super::room::Room;
use super::served::ends_of;
use super::steps::{SpringChoices, blocks_of, keys_of, springs_of, steps_of, subject_of};
use crate::brief::Brief;
use crate::diagnostic::Diagnostic;
use crate::model::apparatus::Apparatus;
use crate::model::class::Class;

/// What is wrong with the orders and the sides of a class of which this machine cannot serve all: of the sides what can be known
/// without what it cannot serve.
pub fn order_and_sides(
    brief: &Brief,
    apparatus: &Apparatus,
    class: &Class,
    room: Room,
) -> Vec<Diagnostic> {
    let keys = keys_of(apparatus);
    let blocks = blocks_of(brief);
    let subject = subject_of(brief, class, &blocks, &keys, room);
    let posting = brief.rules.post(&subject);
    let mut found = circles(&subject, &posting, &brief.span);

    let mut served = class.clone();
    served.steps.retain(|s| {
        let movement = &class.movements[s.movement];
        apparatus.cannot_serve(movement).is_empty()
            && ends_of(movement, s.side, apparatus).is_some()
    });
    let (allowed, values) = springs_of(
        brief,
        apparatus,
        &served,
        std::slice::from_ref(&apparatus.springs.start),
    );
    let springs = SpringChoices {
        allowed: &allowed,
        values: &values,
    };
    let subject = subject_of(brief, &served, &blocks, &keys, room);
    let steps = steps_of(brief, apparatus, &subject, springs, 1);
    let asked = &brief.rules.sides_equal.asked;
    found.extend(unequal(&subject, &steps, asked, &brief.span).mistakes);
    found
}
