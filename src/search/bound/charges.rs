//! Sure charges: what a demand on the clock certainly costs when a step is placed, though only bounds on the times are known.
//!
//! **Claim.** In every plan that costs less than `below` and places the step in a state as described by [`Clocked`], the demands on the
//! clock cost at least the sum of the sure charges of its steps.
//!
//! **Why.** A step's start and the end of the class lie in the intervals of [`Clocked`]: from below, durations and least change-overs; from
//! above, what the change-overs may take if the plan is to cost less than `below` (time times its weight, plus what is paid for other
//! things before, plus a lower bound on what comes after, is no more than the whole). A charge is the least that the demand counts over these
//! intervals, for that step alone; a `longest` demand, which counts stretches and not steps, is charged for one step only.
//!
//! **Tested by** `claims` (tables and beams below any figure) and `trackers` (`what_is_paid_and_sure_to_come_is_never_more_than_the_whole`).

use super::to_go::ToGo;
use crate::search::tables::Tables;
use crate::search::track::clock::ClockTracker;
use crate::search::track::event::Span;

/// A step that is placed, and what is known around it.
#[derive(Debug, Clone, Copy)]
pub struct Placed {
    /// The step.
    pub step: usize,
    /// It starts so late at least.
    pub soonest: i64,
    /// Durations of all steps before it.
    pub worked: i64,
    /// No class takes longer than this from the end of the step before it to its own end.
    pub longest: i64,
    /// What is paid at least for other things than change-over time, up to and with the step.
    pub other: i64,
}

/// Bounds on the times of a step that is placed.
#[derive(Debug, Clone, Copy)]
pub struct Clocked {
    /// Its start.
    pub start: Span,
    /// The end of the class.
    pub finish: Span,
}

impl Clocked {
    /// The bounds for a step; `rest`: what is to come after it, at least.
    pub fn of<const N: usize>(t: &Tables<'_, N>, placed: &Placed, rest: &ToGo, below: i64) -> Self {
        let duration = t.problem.steps[placed.step].duration;
        let first = placed.soonest;
        // All change-overs up to here, and all of the class, at most; early changes against the canonical ones pay earlier than the shadow
        // by no more than `ahead`.
        let at_most = |paid: i64| match t.problem.time_weight {
            0 => i64::MAX / 4,
            weight => (below - 1 - paid).max(0) / weight + t.ahead,
        };
        let last = (placed.worked + at_most(placed.other + rest.cost))
            .min(t.longest_class - placed.longest + t.longest_entry[placed.step]);
        let all = (t.all_durations + at_most(placed.other + rest.other)).min(t.longest_class);
        Self {
            start: Span {
                from: first,
                to: last.max(first),
            },
            finish: Span {
                from: first + duration + rest.time,
                to: all.max(first + duration + rest.time),
            },
        }
    }
}

/// The demands on the clock by the steps that they surely charge.
#[derive(Debug)]
pub struct Charges<'a, const N: usize> {
    trackers: Vec<Vec<&'a ClockTracker<N>>>,
}

impl<'a, const N: usize> Charges<'a, N> {
    /// Sorts the trackers by steps.
    pub fn new(t: &Tables<'_, N>, clock: &'a [ClockTracker<N>]) -> Self {
        let of = |s: usize| clock.iter().filter(|c| c.may_charge(s)).collect();
        Self {
            trackers: (0..t.n).map(of).collect(),
        }
    }

    /// Whether placing the step may be charged at all.
    #[inline]
    pub fn concerns(&self, step: usize) -> bool {
        !self.trackers[step].is_empty()
    }

    /// The sure charge of placing the step; `None`: a demand that must hold cannot.
    pub fn least(&self, step: usize, clocked: &Clocked) -> Option<i64> {
        self.trackers[step]
            .iter()
            .map(|c| c.sure(step, &clocked.start, &clocked.finish))
            .sum()
    }
}
