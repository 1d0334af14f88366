//! `same` on a growing order. State: 1 + the value of the last member, 0 before the first and after the last.

use super::event::{Advance, charge};
use crate::problem::Problem;
use crate::problem::demand::same::Same;
use crate::search::done_set::Bits;

/// See the module.
#[derive(Debug)]
pub struct SameTracker<const N: usize> {
    members: Bits<N>,
    facet: usize,
    values: u64,
    weight: Option<i64>,
}

impl<const N: usize> SameTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Same, weight: Option<i64>, problem: &Problem) -> Self {
        Self {
            members: Bits::of(&d.steps),
            facet: d.facet,
            values: problem.facets[d.facet].values.len() as u64,
            weight,
        }
    }

    /// The facet that it reads.
    pub fn facet(&self) -> usize {
        self.facet
    }

    /// Whether the step is a member.
    pub fn concerns(&self, step: usize) -> bool {
        self.members.has(step)
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        self.values
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        if !self.members.has(a.step) {
            return Some((state, 0));
        }
        let value = u64::from(a.setup[self.facet]) + 1;
        let cost = charge(self.weight, i64::from(state != 0 && state != value))?;
        let mut done = *a.done;
        done.insert(a.step);
        let more = !self.members.minus(&done).is_empty();
        Some((if more { value } else { 0 }, cost))
    }
}
