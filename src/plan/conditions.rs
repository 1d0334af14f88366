//! Conditions in the room and the steps that they touch, with an option and the wording.

use crate::brief::Brief;
use crate::compile::Compiled;
use crate::model::caution::{CONDITIONS, Caution, KnownCondition};
use crate::problem::timeline::Timeline;

/// A movement that a condition touches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Touched {
    /// Places in the order, from 1.
    pub places: Vec<usize>,
    /// The movement by name.
    pub movement: String,
    /// What about it calls for care.
    pub cautions: Vec<Caution>,
    /// Easier options by name that the condition does not touch; may be empty.
    pub options: Vec<String>,
}

/// A condition in the room and what it touches in this class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InTheRoom {
    /// The condition as she named it.
    pub condition: String,
    /// Whether it is one that the vocabulary knows; her own words touch nothing by themselves.
    pub known: bool,
    /// What to say, one sentence for each kind of care that comes up.
    pub wordings: Vec<&'static str>,
    /// The movements that it touches.
    pub touched: Vec<Touched>,
    /// Whether something on the list was left out for it.
    pub leaves_out: bool,
}

/// The condition of the vocabulary with this name.
fn known(name: &str) -> Option<&'static KnownCondition> {
    CONDITIONS
        .iter()
        .find(|c| c.name == name || c.other_names.contains(&name))
}

/// Each condition in the room with the movements of this order that it touches.
pub fn in_the_room(brief: &Brief, compiled: &Compiled, timeline: &Timeline) -> Vec<InTheRoom> {
    brief
        .conditions
        .iter()
        .map(|condition| {
            let found = known(&condition.name);
            let touches = found.map_or(&[][..], |k| k.touches);
            let touched = touched_by(touches, brief, compiled, timeline);
            let mut hit: Vec<Caution> = touched.iter().flat_map(|t| t.cautions.clone()).collect();
            hit.sort_unstable();
            hit.dedup();
            InTheRoom {
                condition: condition.name.clone(),
                known: found.is_some(),
                wordings: hit.into_iter().map(Caution::wording).collect(),
                touched,
                leaves_out: condition.leave_out && !compiled.class.left_out.is_empty(),
            }
        })
        .collect()
}

fn touched_by(
    touches: &[Caution],
    brief: &Brief,
    compiled: &Compiled,
    timeline: &Timeline,
) -> Vec<Touched> {
    let mut found: Vec<(usize, Touched)> = Vec::new();
    for (i, &step) in timeline.order.iter().enumerate() {
        let at = compiled.class.steps[step].movement;
        let movement = &compiled.class.movements[at];
        let cautions: Vec<Caution> = movement
            .cautions
            .iter()
            .copied()
            .filter(|c| touches.contains(c))
            .collect();
        if cautions.is_empty() {
            continue;
        }
        if let Some((_, touched)) = found.iter_mut().find(|(m, _)| *m == at) {
            touched.places.push(i + 1);
            continue;
        }
        let options = movement
            .easier
            .iter()
            .filter_map(|id| brief.catalogue.get(id))
            .filter(|m| !m.cautions.iter().any(|c| touches.contains(c)))
            .map(|m| m.name.clone())
            .collect();
        found.push((
            at,
            Touched {
                places: vec![i + 1],
                movement: movement.name.clone(),
                cautions,
                options,
            },
        ));
    }
    found.into_iter().map(|(_, t)| t).collect()
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
