//! The solver. Knows the waist alone; the same answer for the same seed and node budget.

pub mod budget;
pub mod outcome;

use crate::problem::Problem;
use budget::Limits;
use outcome::{Outcome, Progress};

/// Finds the best order and set-ups, and proves it or says how far off it may be. The result was scored again by `score`.
///
/// `progress` is called with each better plan or bound.
pub fn solve(
    _problem: &Problem,
    _limits: &Limits,
    _progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    Outcome::default()
}

/// The best set-ups for a fixed order (the order "as given"): exact over set-ups, soft demands counted, demands that must hold
/// counted as broken rather than forbidden (so that an answer always comes). Returns the set-ups, one entry for each step of `order`.
pub fn best_setups(_problem: &Problem, order: &[usize]) -> Vec<Vec<usize>> {
    vec![Vec::new(); order.len()]
}
