//! `at_most` on a growing order. State: the number of changes, capped at one more than allowed.

use super::event::{Advance, MANY, Settle, charge};
use crate::problem::demand::at_most::AtMost;

/// See the module.
#[derive(Debug)]
pub struct AtMostTracker {
    facet: usize,
    changes: u64,
    weight: Option<i64>,
}

impl AtMostTracker {
    /// The tracker of a demand.
    pub fn new(d: &AtMost, weight: Option<i64>) -> Self {
        // A facet changes at most once before each step and once at the end.
        Self {
            facet: d.facet,
            changes: u64::try_from(d.changes.clamp(0, MANY)).expect("it is not negative"),
            weight,
        }
    }

    /// The facet that it reads.
    pub fn facet(&self) -> usize {
        self.facet
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        self.changes + 1
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance<const N: usize>(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        self.count(state, a.changed)
    }

    fn count(&self, state: u64, changed: u32) -> Option<(u64, i64)> {
        if changed >> self.facet & 1 == 0 || state > self.changes {
            return Some((state, 0));
        }
        Some((
            state + 1,
            charge(self.weight, i64::from(state == self.changes))?,
        ))
    }

    /// See [`super::order::OrderTracker::settle`].
    pub fn settle(&self, state: u64, s: &Settle) -> Option<i64> {
        self.count(state, s.changed).map(|(_, cost)| cost)
    }
}
