//! Conditions in the room and the steps that they touch, with what to say and what to offer.

use super::offer::{Offer, offers};
use crate::brief::{Brief, Condition};
use crate::compile::Compiled;
use crate::model::caution::Caution;
use crate::problem::timeline::Timeline;

/// A movement that a condition touches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Touched {
    /// Places in the order, from 1, at which the same is offered.
    pub places: Vec<usize>,
    /// The movement by name.
    pub movement: String,
    /// What about it calls for care.
    pub cautions: Vec<Caution>,
    /// What to offer there instead; where there is nothing, to sit.
    pub options: Vec<Offer>,
}

/// A condition in the room and what it touches in this class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InTheRoom {
    /// The condition by its name, or in the teacher's own words.
    pub condition: String,
    /// The phrase in which the teacher said it, if not its name.
    pub said: Option<String>,
    /// Whether it is one that the vocabulary knows; the teacher's own words touch nothing by themselves.
    pub known: bool,
    /// What to ask or to know whatever the class; may be empty.
    pub ask: &'static str,
    /// What to say, one sentence for each kind of care that comes up.
    pub wordings: Vec<&'static str>,
    /// The movements that it touches.
    pub touched: Vec<Touched>,
    /// Whether something on the list was left out for it.
    pub leaves_out: bool,
}

/// Each condition in the room with the movements of this order that it touches.
pub fn in_the_room(brief: &Brief, compiled: &Compiled, timeline: &Timeline) -> Vec<InTheRoom> {
    brief
        .conditions
        .iter()
        .map(|condition| {
            let known = condition.known();
            let touched = touched_by(condition, brief, compiled, timeline);
            let mut hit: Vec<Caution> = touched.iter().flat_map(|t| t.cautions.clone()).collect();
            hit.sort_unstable();
            hit.dedup();
            let listed = brief.entries.iter();
            let mut listed = listed.filter_map(|e| brief.catalogue.get(&e.movement));
            InTheRoom {
                condition: condition.name.clone(),
                said: condition.said.clone(),
                known: known.is_some(),
                ask: known.map_or("", |k| k.ask),
                wordings: known.map_or_else(Vec::new, |k| {
                    hit.into_iter().map(|caution| k.say(caution)).collect()
                }),
                touched,
                leaves_out: condition.takes_out() && listed.any(|m| !condition.meets(m).is_empty()),
            }
        })
        .collect()
}

fn touched_by(
    condition: &Condition,
    brief: &Brief,
    compiled: &Compiled,
    timeline: &Timeline,
) -> Vec<Touched> {
    let Some(known) = condition.known() else {
        return Vec::new();
    };
    let spared: Vec<Caution> = known.cautions().collect();
    let mut found: Vec<Touched> = Vec::new();
    for (i, &step) in timeline.order.iter().enumerate() {
        let movement = &compiled.class.movements[compiled.class.steps[step].movement];
        let cautions = condition.meets(movement);
        if cautions.is_empty() {
            continue;
        }
        let options = offers(brief, compiled, timeline, i, &spared);
        let same = |t: &&mut Touched| t.movement == movement.name && t.options == options;
        match found.iter_mut().find(same) {
            Some(touched) => touched.places.push(i + 1),
            None => found.push(Touched {
                places: vec![i + 1],
                movement: movement.name.clone(),
                cautions,
                options,
            }),
        }
    }
    found
}

/// Steps at the same place, for one line: "3 and 4".
pub fn places(places: &[usize]) -> String {
    let words: Vec<String> = places.iter().map(ToString::to_string).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
