//! When one partial plan may forget another.
//!
//! **Claim.** Let a and b be partial plans with the same key. If what a has paid, plus the most that each demand on the clock may cost it
//! more than b from here on ([`ClockTracker::harm`]), is no more than what b has paid, then a can be completed at least as well as b.
//!
//! **Why.** The same steps with the same set-ups may follow both (see `state`). Without the clock they cost both the same. With it, each
//! demand costs a at most its harm more, and one that must hold and is kept by b is kept by a, or its harm has no bound.
//!
//! Cheaper alone does not dominate: its recoveries may be due later, its fatigue higher. Neither does earlier alone: nobody waits, so
//! the earlier plan may miss a window that opens later. Each demand says itself in which direction no harm is done.
//!
//! **Tested by** `brute_force` (random problems of every demand kind on the clock).

use super::track::clock::ClockTracker;
use super::track::event::{Ahead, Side, Words};
use crate::search::done_set::Bits;

/// What dominance looks at, besides the key.
pub struct Partial<'a> {
    /// Paid so far.
    pub cost: i64,
    /// The clock.
    pub now: i64,
    /// The words of the clock trackers.
    pub words: &'a [Words],
}

/// Whether `a` dominates `b`, both with the done set `done`; `longest`: no class takes longer from here on.
pub fn dominates<const N: usize>(
    trackers: &[ClockTracker<N>],
    a: &Partial<'_>,
    b: &Partial<'_>,
    done: &Bits<N>,
    longest: i64,
) -> bool {
    let mut paid = a.cost;
    if paid > b.cost {
        return false;
    }
    let ahead = Ahead { done, longest };
    for (k, tracker) in trackers.iter().enumerate() {
        let (x, y) = (
            Side {
                now: a.now,
                words: &a.words[k],
            },
            Side {
                now: b.now,
                words: &b.words[k],
            },
        );
        match tracker.harm(&x, &y, &ahead) {
            None => return false,
            Some(harm) => paid += harm,
        }
        if paid > b.cost {
            return false;
        }
    }
    true
}
