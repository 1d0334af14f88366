//! `contiguous` on a growing order.
//!
//! State: 0 before the first member and once no more can matter; else 1 + the number of steps of others since the first member,
//! capped at `within + 1`; the greatest number means that the (soft) demand is broken and paid.

use super::event::{Advance, MANY, charge};
use crate::problem::demand::contiguous::Contiguous;
use crate::search::done_set::Bits;

/// See the module.
#[derive(Debug)]
pub struct ContiguousTracker<const N: usize> {
    members: Bits<N>,
    /// For an ordered block: for each member the members listed after it.
    later: Vec<(usize, Bits<N>)>,
    within: i64,
    weight: Option<i64>,
}

impl<const N: usize> ContiguousTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Contiguous, weight: Option<i64>) -> Self {
        let later = if d.ordered {
            d.steps
                .iter()
                .enumerate()
                .map(|(i, &s)| (s, Bits::of(&d.steps[i + 1..])))
                .collect()
        } else {
            Vec::new()
        };
        // More others than there are steps cannot stand between.
        Self {
            members: Bits::of(&d.steps),
            later,
            within: d.within.min(MANY),
            weight,
        }
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        u64::try_from(self.within).unwrap_or(0) + 3
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        let broken = self.greatest();
        if state == broken {
            return Some((broken, 0));
        }
        let cap = u64::try_from(self.within).unwrap_or(0) + 2;
        let open = self.members.minus(a.done);
        if !self.members.has(a.step) {
            if state == 0 || open.is_empty() {
                return Some((0, 0));
            }
            let next = (state + 1).min(cap);
            if next == cap && self.weight.is_none() && open.meets(a.must) {
                return None;
            }
            return Some((next, 0));
        }
        let out_of_turn = self
            .later
            .iter()
            .any(|(s, later)| *s == a.step && later.meets(a.done));
        let left = open.minus(&Bits::of(&[a.step]));
        let cost = charge(self.weight, i64::from(state == cap || out_of_turn))?;
        let next = if left.is_empty() {
            0
        } else if cost > 0 {
            broken
        } else {
            state.max(1)
        };
        Some((next, cost))
    }
}
