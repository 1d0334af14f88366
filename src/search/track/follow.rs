//! `follow` on a growing order.
//!
//! State: 0 nothing is owed; 1..=within: the remedy must be among so many next steps; within + 1: in a run of triggers.

use super::event::{Advance, MANY, charge};
use crate::problem::demand::follow::Follow;
use crate::search::done_set::Bits;

/// See the module.
#[derive(Debug)]
pub struct FollowTracker<const N: usize> {
    trigger: Bits<N>,
    remedy: Bits<N>,
    within: u64,
    weight: Option<i64>,
}

impl<const N: usize> FollowTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Follow, weight: Option<i64>) -> Self {
        // More steps than there are cannot follow.
        let within = u64::try_from(d.within.clamp(0, MANY)).expect("it is not negative");
        Self {
            trigger: Bits::of(&d.trigger),
            remedy: Bits::of(&d.remedy),
            within,
            weight,
        }
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        self.within + 1
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        let in_run = self.within + 1;
        let trigger = self.trigger.has(a.step);
        if state == in_run && trigger {
            return Some((in_run, 0));
        }
        let opened = if trigger { in_run } else { 0 };
        if state == 0 {
            return Some((opened, 0));
        }
        // `left` steps, this one included, may hold the remedy.
        let left = if state == in_run { self.within } else { state };
        if left > 0 && self.remedy.has(a.step) {
            return Some((opened, 0));
        }
        if trigger || left <= 1 {
            return Some((opened, charge(self.weight, 1)?));
        }
        Some((left - 1, 0))
    }

    /// See [`super::order::OrderTracker::settle`].
    pub fn settle(&self, state: u64) -> Option<i64> {
        charge(self.weight, i64::from(state > 0))
    }
}
