//! The steps of a class in the terms of the problem, with the springs that they allow, and the class as the rules see it.

use super::costs;
use super::room::Room;
use super::served::ends_of;
use super::setups::{self, Allowed, Penalties};
use crate::brief::Brief;
use crate::model::apparatus::Apparatus;
use crate::model::class::Class;
use crate::model::movement::SpringNeed;
use crate::model::springs::SpringSet;
use crate::problem::step::{Side, Step};
use crate::rules::posting::hundredths;
use crate::rules::recovery::groups;
use crate::rules::subject::{BlockFacts, Subject};

/// For each step the springs that it allows, and the values of the springs facet. `fixed`: sets that must be among them.
pub fn springs_of(
    brief: &Brief,
    apparatus: &Apparatus,
    class: &Class,
    fixed: &[SpringSet],
) -> (Vec<Allowed>, Vec<SpringSet>) {
    let penalties = penalties_of(brief);
    let allowed: Vec<Allowed> = class
        .steps
        .iter()
        .map(|s| {
            let asked = s.entry.is_some_and(|e| brief.entries[e].springs.is_some());
            setups::springs(&class.movements[s.movement], asked, apparatus, penalties)
        })
        .collect();
    let any_unfree = class.steps.iter().any(|s| {
        matches!(
            class.movements[s.movement].springs,
            SpringNeed::Any { free: false }
        )
    });
    let values = setups::spring_values(&allowed, fixed, any_unfree, apparatus)
        .expect("each movement has been checked to have springs that serve it");
    (allowed, values)
}

/// Keys of the facets of the problem, in its order.
pub fn keys_of(apparatus: &Apparatus) -> Vec<String> {
    let others = apparatus.facets.iter().map(|f| f.key.clone());
    std::iter::once(costs::SPRINGS.to_owned())
        .chain(others)
        .collect()
}

/// The class as the rules see it.
pub fn subject_of<'a>(
    brief: &Brief,
    class: &'a Class,
    blocks: &'a [BlockFacts],
    facets: &'a [String],
    room: Room,
) -> Subject<'a> {
    Subject {
        class,
        blocks,
        facets,
        wrist_care: room.wrist_care,
        free: None,
        minutes: brief.minutes,
        first_side: brief.first_side,
    }
}

/// What the rules need to know of the blocks.
pub fn blocks_of(brief: &Brief) -> Vec<BlockFacts> {
    brief
        .blocks
        .iter()
        .map(|b| BlockFacts {
            name: b.name.clone(),
            ordered: b.ordered,
            series: b.series,
            rounds: b.rounds,
        })
        .collect()
}

/// Where the two sides of a movement could differ: always in the springs unless one choice is all there is, in another facet only
/// where the movement cares and has a choice. What it does not care about needs not be equal.
pub fn free(steps: &[Step]) -> Vec<Vec<bool>> {
    steps
        .iter()
        .map(|s| {
            s.setup
                .iter()
                .enumerate()
                .map(|(facet, choices)| match choices {
                    None => facet == 0,
                    Some(choices) => choices.len() > 1,
                })
                .collect()
        })
        .collect()
}

/// What each step allows of the springs, and the values of that facet.
#[derive(Debug, Clone, Copy)]
pub struct SpringChoices<'a> {
    /// For each step the sets that it allows.
    pub allowed: &'a [Allowed],
    /// The values of the facet.
    pub values: &'a [SpringSet],
}

/// The steps of the problem. Penalties are multiplied by `scale`.
pub fn steps_of(
    brief: &Brief,
    apparatus: &Apparatus,
    subject: &Subject,
    springs: SpringChoices,
    scale: i64,
) -> Vec<Step> {
    let groups = groups(subject);
    let mut steps = Vec::new();
    for (i, s) in subject.class.steps.iter().enumerate() {
        let movement = &subject.class.movements[s.movement];
        let mut setup = vec![setups::spring_choices(
            &movement.springs,
            &springs.allowed[i],
            springs.values,
            apparatus,
            scale,
        )];
        setup.extend(
            setups::facet_choices(movement, apparatus, penalties_of(brief), scale)
                .expect("each movement has been checked to have facets that serve it"),
        );
        let (start, end) = ends_of(movement, s.side, apparatus)
            .expect("each movement has been checked to have its positions here");
        steps.push(Step {
            id: step_id(subject.class, i),
            side: s.side,
            duration: hundredths(s.seconds()),
            setup,
            start,
            end,
            stage: None,
            group: groups[i],
            optional: match s.entry {
                Some(_) => None,
                None => Some(hundredths(brief.rules.breathers.penalty) * scale),
            },
        });
    }
    steps
}

/// A name of its own for each step: the movement's id, its side and its round; a number where that is not enough.
fn step_id(class: &Class, step: usize) -> String {
    let plain = |i: usize| {
        let s = &class.steps[i];
        let side = match s.side {
            Side::Both => "",
            Side::Left => " left",
            Side::Right => " right",
        };
        let round = if s.round > 1 {
            format!(" {}", s.round)
        } else {
            String::new()
        };
        format!("{}{side}{round}", class.movements[s.movement].id)
    };
    let name = plain(step);
    match (0..step).filter(|&i| plain(i) == name).count() {
        0 => name,
        again => format!("{name} #{}", again + 1),
    }
}

fn penalties_of(brief: &Brief) -> Penalties {
    Penalties {
        off_load: brief.off_load_seconds,
        off_value: brief.off_value_seconds,
    }
}
