//! What one person does while the others do what stands on a row: something that the machine stands right for at that moment.
//!
//! The box, the bar and whatever else is set stand as they are. Her springs may be others only where everybody halts before the row and again
//! after it, so that they are changed and changed back without holding anybody up.

use super::wording;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::compile::setups::{self, Penalties};
use crate::model::caution::Caution;
use crate::model::movement::{Movement, SpringNeed};
use crate::model::springs::SpringSet;
use crate::model::stand_in::stand_ins;
use crate::problem::timeline::Timeline;

/// How many are offered at most.
const OFFERED: usize = 2;

/// What is said where nothing that is known will do.
pub const SIT: &str = "sit, carriage in";

/// Something to do instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// The movement by name.
    pub movement: String,
    /// The springs for it by label, where they are not those of everybody.
    pub springs: Option<String>,
}

impl Offer {
    /// As it is said: "Scooter", "Scooter on 1 red, changed at the stop before and back at the next".
    pub fn text(&self) -> String {
        match &self.springs {
            None => self.movement.clone(),
            Some(springs) => format!(
                "{} on {springs}, changed at the stop before and back at the next",
                self.movement
            ),
        }
    }
}

/// Offers as they are said, or that nothing will do.
pub fn said(offers: &[Offer]) -> String {
    if offers.is_empty() {
        return SIT.to_owned();
    }
    let texts: Vec<String> = offers.iter().map(Offer::text).collect();
    format!("offer {}", texts.join(" or "))
}

/// What to offer at a place of the order to somebody who is to be spared these cautions; nearest first, at most two.
pub fn offers(
    brief: &Brief,
    compiled: &Compiled,
    timeline: &Timeline,
    place: usize,
    spared: &[Caution],
) -> Vec<Offer> {
    let step = timeline.order[place];
    let movement = &compiled.class.movements[compiled.class.steps[step].movement];
    let moment = Moment {
        brief,
        compiled,
        setup: &timeline.setups[place],
        halts: timeline.stops[place]
            && timeline
                .stops
                .get(place + 1)
                .copied()
                .unwrap_or(timeline.final_stop || compiled.problem.end.is_none()),
    };
    let postures = &compiled.apparatus.postures;
    let found = stand_ins(&brief.catalogue, movement, spared, postures);
    let (mut as_it_stands, mut changed) = (Vec::new(), Vec::new());
    for m in found {
        match moment.springs(m) {
            None => {}
            Some(None) => as_it_stands.push(Offer {
                movement: m.name.clone(),
                springs: None,
            }),
            Some(Some(set)) => changed.push(Offer {
                movement: m.name.clone(),
                springs: Some(wording::springs(&set, &compiled.apparatus.springs.classes)),
            }),
        }
    }
    as_it_stands.append(&mut changed);
    as_it_stands.truncate(OFFERED);
    as_it_stands
}

/// How the machines stand while a row is done.
struct Moment<'a> {
    brief: &'a Brief,
    compiled: &'a Compiled,
    setup: &'a [usize],
    /// Whether everybody halts before it and after it.
    halts: bool,
}

impl Moment<'_> {
    /// The springs on which a movement can be done now: `None` if it cannot, `Some(None)` as they are.
    fn springs(&self, m: &Movement) -> Option<Option<SpringSet>> {
        let machine = &self.compiled.apparatus;
        let stands_right = machine.values_for(m).is_ok_and(|allowed| {
            let mut now = allowed.iter().zip(&self.setup[1..]);
            now.all(|(values, v)| values.as_ref().is_none_or(|values| values.contains(v)))
        });
        if !stands_right || !machine.cannot_serve(m).is_empty() {
            return None;
        }
        let now = &self.compiled.spring_values[self.setup[0]];
        let penalties = Penalties {
            off_load: self.brief.off_load_seconds,
            off_value: self.brief.off_value_seconds,
        };
        let Some(allowed) = setups::springs(m, false, machine, penalties) else {
            let free = matches!(m.springs, SpringNeed::Any { free: true });
            let safe = now.load(&machine.springs.classes) >= machine.springs.least_safe;
            return (free || safe).then_some(None);
        };
        if allowed.iter().any(|(set, _)| set == now) {
            return Some(None);
        }
        let best = allowed.into_iter().min_by_key(|(_, penalty)| *penalty)?;
        self.halts.then_some(Some(best.0))
    }
}
