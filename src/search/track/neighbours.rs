//! `neighbours` on a growing order. State: how many listed pairs stand so far, capped where more no longer matters.

use super::event::{Advance, charge};
use crate::problem::demand::neighbours::Neighbours;
use crate::search::tables::Tables;

/// See the module.
#[derive(Debug)]
pub struct NeighboursTracker {
    /// `[class * n + step]`: whether the step makes a pair directly after a step of the class.
    pair: Vec<bool>,
    n: usize,
    least: u64,
    most: Option<u64>,
    weight: Option<i64>,
}

impl NeighboursTracker {
    /// The tracker of a demand.
    pub fn new<const N: usize>(
        d: &Neighbours,
        weight: Option<i64>,
        tables: &Tables<'_, N>,
    ) -> Self {
        let mut pair = vec![false; tables.class_step.len() * tables.n];
        for &(a, b) in &d.pairs {
            pair[tables.class_of[a] * tables.n + b] = true;
        }
        // There are fewer pairs in an order than steps; asking for more is the same as asking for all and one.
        let number = |x: i64| u64::try_from(x).unwrap_or(0);
        Self {
            pair,
            n: tables.n,
            least: d.least.map_or(0, number),
            most: d.most.map(number),
            weight,
        }
    }

    fn cap(&self) -> u64 {
        // Where none may stand, each one that does is too many: nothing need be remembered.
        let most = self.most.filter(|&most| most > 0);
        self.least
            .max(most.map_or(0, |m| m + 1))
            .min(self.n as u64 + 1)
    }

    /// The greatest state.
    pub fn greatest(&self) -> u64 {
        self.cap()
    }

    /// See [`super::order::OrderTracker::advance`].
    pub fn advance<const N: usize>(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        if !self.pair[a.last_class * self.n + a.step] {
            return Some((state, 0));
        }
        let over = self.most.is_some_and(|m| state >= m);
        Some((
            (state + 1).min(self.cap()),
            charge(self.weight, i64::from(over))?,
        ))
    }

    /// See [`super::order::OrderTracker::settle`].
    pub fn settle(&self, state: u64) -> Option<i64> {
        charge(
            self.weight,
            i64::try_from(self.least.saturating_sub(state)).unwrap_or(i64::MAX),
        )
    }
}
