//! Sequential ordering problems, alone or in disguise: an order of steps with precedences, paid from each to the next.
//!
//! [`instance`] finds out whether a problem is one. [`iterated`] finds good orders, by [`exchange`]. [`ascent`] raises a lower bound: the cheapest
//! [`walks`] that keep to what they remember ([`memory`]). [`layers`] proves, with the walks as its guide. [`campaign`] says what runs when.

pub mod ascent;
pub mod assignment;
pub mod campaign;
pub mod chance;
pub mod exchange;
pub mod instance;
pub mod iterated;
pub mod layers;
pub mod memory;
#[cfg(test)]
pub mod sample;
pub mod walks;

use super::budget::Limits;
use super::outcome::{Ended, Outcome, Progress};
use crate::problem::Problem;
use instance::{Disguise, Sop};

/// Solves a sequential ordering problem; `None` if the problem is (also) something else. The problem must be well formed.
pub fn solve(
    problem: &Problem,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Option<Outcome> {
    match Sop::of(problem) {
        Disguise::None => None,
        Disguise::Impossible => Some(Outcome {
            ended: Ended::Proof,
            ..Outcome::default()
        }),
        Disguise::Sop(sop) => Some(campaign::run(&sop, &problem.start_setup, limits, progress)),
    }
}
