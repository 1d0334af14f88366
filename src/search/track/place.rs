//! `place` on a growing order.
//!
//! Where every step must be done the last place is known, and a place from the end is one from the start. Where steps may be left
//! out it is not: then the state is 1 + the number of steps since this one, capped where more no longer matters, and the demand is
//! settled at the end. 0: not placed, or nothing left to settle.

use super::event::{Advance, charge};
use crate::problem::Problem;
use crate::problem::demand::place::Place;

/// See the module.
#[derive(Debug)]
pub struct PlaceTracker {
    step: usize,
    must: bool,
    /// Allowed places from the start.
    first: i64,
    last: i64,
    /// Allowed numbers of steps after this one, where that has to be counted.
    after: Option<(i64, i64)>,
    weight: Option<i64>,
}

impl PlaceTracker {
    /// The tracker of a demand.
    pub fn new(d: &Place, weight: Option<i64>, problem: &Problem) -> Self {
        let n = i64::try_from(problem.steps.len()).expect("steps are few");
        let fixed = problem.steps.iter().all(|s| s.optional.is_none());
        let (mut first, mut last) = (1, n);
        let (mut least, mut most) = (0, n);
        if d.min > 0 {
            first = d.min;
        } else {
            most = -d.min - 1;
        }
        if d.max > 0 {
            last = d.max;
        } else {
            least = -d.max - 1;
        }
        let mut after = (d.min < 0 || d.max < 0).then_some((least, most.min(n)));
        if fixed && after.is_some() {
            first = first.max(n - most);
            last = last.min(n - least);
            after = None;
        }
        Self {
            step: d.step,
            must: problem.steps[d.step].optional.is_none(),
            first,
            last,
            after,
            weight,
        }
    }

    fn cap(&self) -> u64 {
        self.after.map_or(0, |(least, most)| {
            u64::try_from(least.max(most + 1)).unwrap_or(0) + 1
        })
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        self.cap()
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance<const N: usize>(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        if a.step == self.step {
            return if self.first <= a.place && a.place <= self.last {
                Some((u64::from(self.after.is_some()), 0))
            } else {
                Some((0, charge(self.weight, 1)?))
            };
        }
        if self.weight.is_none() && self.must && !a.done.has(self.step) && a.place >= self.last {
            return None;
        }
        if state == 0 {
            return Some((0, 0));
        }
        let next = (state + 1).min(self.cap());
        if let (None, Some((_, most))) = (self.weight, self.after)
            && next > u64::try_from(most).unwrap_or(0) + 1
        {
            return None;
        }
        Some((next, 0))
    }

    /// See [`super::order::OrderTracker::settle`].
    pub fn settle(&self, state: u64) -> Option<i64> {
        match self.after {
            Some((least, most)) if state > 0 => {
                let since = i64::try_from(state).expect("a state is small") - 1;
                charge(self.weight, i64::from(since < least || since > most))
            }
            _ => Some(0),
        }
    }
}
