//! When one partial plan may forget another.
//!
//! **Claim.** Let a and b be partial plans with the same key. If what a has paid, plus the most that each demand on the clock may cost it
//! more than b from here on ([`ClockSet::harm`]), is no more than what b has paid, then a can be completed at least as well as b.
//!
//! **Why.** The same steps with the same set-ups may follow both (see `state`). Without the clock they cost both the same. With it, each
//! demand costs a at most its harm more, and one that must hold and is kept by b is kept by a, or its harm has no bound.
//!
//! What is said of the time to come must hold for every completion of b that is of interest: where it is read from a table that knows
//! only plans below a figure, a completion that makes b such a plan may make a none, so it is b's entry that tells.
//!
//! Cheaper alone does not dominate: its recoveries may be due later, its fatigue higher. Neither does earlier alone: nobody waits, so
//! the earlier plan may miss a window that opens later. Each demand says itself in which direction no harm is done.
//!
//! **Tested by** `trackers` (`no_future_harms_a_plan_more_than_is_said`: random futures of random pasts), `bounds`
//! (`a_partial_plan_that_is_dominated_never_ends_better`: all pairs of partial plans) and `claims` (the optimum of problems where seconds decide;
//! `the_least_time_to_come_is_that_of_the_plan_that_is_forgotten`).

use super::track::clock_set::{ClockSet, Clocked};
use super::track::event::Ahead;

/// Whether a partial plan that has paid `cost` and is in the state `a` dominates `b`, which has paid `other`; both with what `ahead` says
/// still to come.
pub fn dominates<const N: usize>(
    clock: &ClockSet<N>,
    (cost, a): (i64, &Clocked<'_>),
    (other, b): (i64, &Clocked<'_>),
    ahead: &Ahead<'_, N>,
) -> bool {
    cost <= other && clock.harm(a, b, ahead, other - cost).is_some()
}
