//! What the conditions in the room take off the list, and what could stand there instead.
//!
//! A replacement is looked up ([`stand_ins`]), fits the machine, meets nobody in the room and is not on the list yet. Where none is near,
//! another of the same phase will do, the gentlest first, so that a class remains a class; a movement that stands on the list already comes
//! last of all.

use std::borrow::Cow;

use crate::brief::{Brief, Condition, Treatment};
use crate::model::apparatus::Apparatus;
use crate::model::caution::Caution;
use crate::model::movement::{Movement, Sides};
use crate::model::stand_in::stand_ins;

/// A brief with its replacements in, and what to say of them.
#[derive(Debug, Clone)]
pub struct WithReplacements<'a> {
    /// The brief; what is only left out, or has no replacement, is still on its list.
    pub brief: Cow<'a, Brief>,
    /// One sentence for each movement that was replaced.
    pub said: Vec<String>,
}

/// The brief with substitutes for the movements that a condition replaces.
pub fn with_replacements<'a>(brief: &'a Brief, apparatus: &Apparatus) -> WithReplacements<'a> {
    let mut new = Cow::Borrowed(brief);
    let mut said = Vec::new();
    let mut swaps: Vec<(String, String)> = Vec::new();
    for (e, entry) in brief.entries.iter().enumerate() {
        let Some(movement) = brief.catalogue.get(&entry.movement) else {
            continue;
        };
        let Some((condition, caution)) = taken_out(brief, movement) else {
            continue;
        };
        if !replaces(brief, movement) {
            continue;
        }
        let into = match swaps.iter().find(|(out, _)| *out == entry.movement) {
            Some((_, into)) => into.clone(),
            None => {
                let found = instead(brief, apparatus, movement, &swaps);
                let Some(into) = found else { continue };
                said.push(format!(
                    "{}; {} replaces it",
                    sentence(movement, condition, caution),
                    into.name
                ));
                swaps.push((entry.movement.clone(), into.id.clone()));
                into.id.clone()
            }
        };
        // Springs, repetitions and the like of the line were meant for the other.
        let entry = &mut new.to_mut().entries[e];
        entry.movement = into;
        (entry.repetitions, entry.springs, entry.teach) = (None, None, None);
        entry.facets = Vec::new();
    }
    for (out, into) in &swaps {
        // What is asked of one that stands there for itself stays as it is.
        if brief.entries.iter().all(|e| e.movement != *into) {
            new.to_mut().rules.speak_of(out, into);
        }
    }
    WithReplacements { brief: new, said }
}

/// The first condition in the room that takes a movement out, with the caution that it meets.
pub fn taken_out<'a>(brief: &'a Brief, movement: &Movement) -> Option<(&'a Condition, Caution)> {
    brief
        .conditions
        .iter()
        .filter(|c| c.takes_out())
        .find_map(|c| c.meets(movement).first().map(|&caution| (c, caution)))
}

/// Why a movement is taken out: "Swan is left out for spinal stenosis in the room (back bend)".
pub fn sentence(movement: &Movement, condition: &Condition, caution: Caution) -> String {
    format!(
        "{} is left out for {} in the room ({})",
        movement.name,
        condition.name,
        caution.word()
    )
}

/// Whether a condition that meets a movement replaces it.
fn replaces(brief: &Brief, movement: &Movement) -> bool {
    brief
        .conditions
        .iter()
        .any(|c| c.treatment == Treatment::Replaced && !c.meets(movement).is_empty())
}

/// What could replace a movement of the list on this machine; `swaps`: what has been put in already. What is done on each side
/// gives way to what is done on each side, so that a class keeps its steps.
pub fn instead<'a>(
    brief: &'a Brief,
    apparatus: &Apparatus,
    movement: &Movement,
    swaps: &[(String, String)],
) -> Option<&'a Movement> {
    let listed = |m: &Movement| {
        brief.entries.iter().any(|e| e.movement == m.id) || swaps.iter().any(|(_, id)| *id == m.id)
    };
    let one_sided = |m: &Movement| m.sides == Sides::Each;
    let alike = |m: &Movement| one_sided(m) == one_sided(movement);
    let fits = |m: &&Movement| apparatus.cannot_serve(m).is_empty() && !brief.is_met(m);
    let postures = &apparatus.postures;
    let near = stand_ins(&brief.catalogue, movement, &brief.cautions(), postures);
    let mut others: Vec<&Movement> = (brief.catalogue.iter())
        .filter(|m| m.id != movement.id && (movement.rest || !m.rest))
        .filter(|m| m.level <= movement.level)
        .filter(|m| m.phases.iter().any(|p| movement.phases.contains(p)))
        .collect();
    others.sort_by_key(|m| {
        let other_kind = (m.rest != movement.rest, m.family != movement.family);
        (other_kind, m.level, m.id.as_str())
    });
    let mut all: Vec<&Movement> = near.into_iter().chain(others).filter(fits).collect();
    all.sort_by_key(|m| (listed(m), !alike(m)));
    all.first().copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::sample::{brief, machine};
    use crate::model::movement::LoadSide;
    use crate::rules::sample::{Sample, nowhere, with_load};

    fn marked(id: &str) -> Movement {
        Movement {
            cautions: vec![Caution::WristLoad],
            ..with_load(id, "abdominals", 0.6, LoadSide::Both)
        }
    }

    /// A list of two movements with weight on the hands, a catalogue with more.
    fn class(treatment: Treatment, more: &[Movement]) -> Brief {
        let sample = Sample::new().both(marked("plank")).both(marked("pike"));
        let mut brief = brief(&sample);
        brief
            .catalogue
            .movements
            .extend(more.iter().cloned().map(Into::into));
        brief.conditions.push(Condition {
            name: "wrist pain".into(),
            said: None,
            treatment,
            span: nowhere(),
        });
        brief
    }

    fn listed(brief: &Brief) -> Vec<&str> {
        brief.entries.iter().map(|e| e.movement.as_str()).collect()
    }

    #[test]
    fn what_is_replaced_leaves_a_class_as_long_as_it_was() {
        let more = [
            with_load("curl", "abdominals", 0.6, LoadSide::Both),
            with_load("legs", "quadriceps", 0.6, LoadSide::Both),
        ];
        let mut brief = class(Treatment::Replaced, &more);
        brief.entries[0].repetitions = Some(3);
        let found = with_replacements(&brief, &machine());
        // The nearer first; the other because it is of the same phase and new.
        assert_eq!(listed(&found.brief), ["curl", "legs"]);
        assert_eq!(found.brief.entries[0].repetitions, None);
        assert_eq!(
            found.said[0],
            "plank is left out for wrist pain in the room (wrist load); curl replaces it"
        );
    }

    #[test]
    fn what_is_done_on_each_side_gives_way_to_what_is_done_on_each_side() {
        let one_sided = |m: Movement| Movement {
            sides: Sides::Each,
            ..m
        };
        let more = [
            with_load("curl", "abdominals", 0.6, LoadSide::Both),
            one_sided(with_load("legs", "quadriceps", 0.6, LoadSide::Both)),
        ];
        let brief = class(Treatment::Replaced, &more);
        let plank = one_sided(marked("plank"));
        let found = instead(&brief, &machine(), &plank, &[]);
        assert_eq!(found.map(|m| m.id.as_str()), Some("legs"));
    }

    #[test]
    fn what_is_only_left_out_is_not_replaced() {
        let more = [with_load("curl", "abdominals", 0.6, LoadSide::Both)];
        let brief = class(Treatment::LeftOut, &more);
        let found = with_replacements(&brief, &machine());
        assert_eq!(listed(&found.brief), ["plank", "pike"]);
        assert!(found.said.is_empty());
    }

    #[test]
    fn nothing_is_put_in_that_somebody_else_in_the_room_is_to_be_spared() {
        let mut kneeling = with_load("kneeling curl", "abdominals", 0.6, LoadSide::Both);
        kneeling.cautions = vec![Caution::KneeLoad];
        let mut brief = class(Treatment::Replaced, &[kneeling]);
        brief.conditions.push(Condition {
            name: "knee pain".into(),
            said: None,
            treatment: Treatment::Shown,
            span: nowhere(),
        });
        let found = with_replacements(&brief, &machine());
        assert_eq!(listed(&found.brief), ["plank", "pike"]);
    }
}
