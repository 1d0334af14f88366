//! Clock trackers: the closed set of them, and how two of their states compare.
//!
//! A state is a few words ([`Words`]): what they mean is the tracker's own affair. Times in them are absolute, but what lies ahead
//! depends on the time that has passed since, so two states are compared relative to their own clocks.

use super::event::{Ahead, Side, Span, Timed, Words};
use super::fatigue::FatigueTracker;
use super::longest::LongestTracker;
use super::peak::PeakTracker;
use super::recovery::RecoveryTracker;
use super::window::{FitsTracker, WindowTracker};
use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::search::done_set::Bits;

/// The clock trackers.
#[derive(Debug)]
pub enum ClockTracker<const N: usize> {
    /// See its file.
    Window(WindowTracker),
    /// See its file.
    Fits(FitsTracker),
    /// See its file.
    Recovery(RecoveryTracker<N>),
    /// See its file.
    Longest(LongestTracker<N>),
    /// See its file.
    Fatigue(FatigueTracker<N>),
    /// See its file.
    Peak(PeakTracker),
}

impl<const N: usize> ClockTracker<N> {
    /// One for each demand on times, in the order of the demands.
    pub fn all(problem: &Problem) -> Vec<Self> {
        problem
            .demands
            .iter()
            .filter_map(|demand| match &demand.kind {
                Kind::Window(d) => Some(Self::Window(WindowTracker::new(d, demand.weight))),
                Kind::Fits(d) => Some(Self::Fits(FitsTracker::new(d, demand.weight))),
                Kind::Recovery(d) => Some(Self::Recovery(RecoveryTracker::new(
                    d,
                    demand.weight,
                    problem,
                ))),
                Kind::Longest(d) => Some(Self::Longest(LongestTracker::new(
                    d,
                    demand.weight,
                    problem,
                ))),
                Kind::Fatigue(d) => Some(Self::Fatigue(FatigueTracker::new(
                    d,
                    demand.weight,
                    problem,
                ))),
                Kind::Peak(d) => Some(Self::Peak(PeakTracker::new(d, demand.weight, problem))),
                Kind::Precede(_)
                | Kind::Contiguous(_)
                | Kind::Place(_)
                | Kind::Follow(_)
                | Kind::AtMost(_)
                | Kind::Same(_)
                | Kind::Neighbours(_) => None,
            })
            .collect()
    }

    /// The state before the first step.
    pub fn begin(&self) -> Words {
        match self {
            Self::Window(_) | Self::Fits(_) => Words::default(),
            Self::Recovery(t) => t.begin(),
            Self::Longest(t) => t.begin(),
            Self::Fatigue(t) => t.begin(),
            Self::Peak(t) => t.begin(),
        }
    }

    /// The state after one more step, and what that costs; `None` if a demand that must hold is broken for good.
    #[inline]
    pub fn advance(&self, words: &Words, t: &Timed) -> Option<(Words, i64)> {
        match self {
            Self::Window(w) => w.advance(t).map(|cost| (*words, cost)),
            Self::Fits(_) => Some((*words, 0)),
            Self::Recovery(r) => r.advance(words, t),
            Self::Longest(l) => l.advance(words, t),
            Self::Fatigue(f) => f.advance(words, t),
            Self::Peak(p) => Some((p.advance(words, t), 0)),
        }
    }

    /// What is due when the class ends at `finish`; `None` if a demand that must hold is broken.
    pub fn settle(&self, words: &Words, finish: i64) -> Option<i64> {
        match self {
            Self::Fits(f) => f.settle(finish),
            Self::Peak(p) => p.settle(words, finish),
            Self::Window(_) | Self::Recovery(_) | Self::Longest(_) | Self::Fatigue(_) => Some(0),
        }
    }

    /// Whether a later start of the step, all else alike, could serve this demand, in a state at time `now`. `false` is a promise:
    /// starting the step earlier is then no worse for it, and neither is whatever follows, starting when it would.
    pub fn may_gain_by_delay(&self, words: &Words, now: i64, step: usize) -> bool {
        match self {
            Self::Window(w) => w.may_gain_by_delay(now, step),
            Self::Fits(_) => false,
            Self::Recovery(r) => r.may_gain_by_delay(words, now, step),
            Self::Longest(l) => l.may_gain_by_delay(words, now, step),
            Self::Fatigue(f) => f.may_gain_by_delay(words, step),
            Self::Peak(p) => p.step() == step,
        }
    }

    /// **Claim.** Whatever follows, state `a` pays at most this much more for this demand than state `b` does from here on; `None`: no
    /// such bound (or a demand that must hold might be kept by `b` alone).
    pub fn harm(&self, a: &Side<'_>, b: &Side<'_>, ahead: &Ahead<'_, N>) -> Option<i64> {
        match self {
            Self::Window(w) => w.harm(a.now, b.now, ahead),
            Self::Fits(f) => f.harm(a.now, b.now, ahead.longest),
            Self::Recovery(r) => r.harm(a, b, ahead),
            Self::Longest(l) => l.harm(a, b, ahead),
            Self::Fatigue(f) => f.harm(a, b, ahead),
            Self::Peak(p) => p.harm(a, b, ahead),
        }
    }

    /// Whether placing the step may cost something for sure ([`Self::sure`]).
    pub fn may_charge(&self, step: usize) -> bool {
        match self {
            Self::Window(w) => w.step() == step,
            Self::Peak(p) => p.step() == step,
            Self::Longest(l) => l.sure_step() == Some(step),
            Self::Fatigue(f) => f.alone_too_much(step),
            Self::Fits(_) | Self::Recovery(_) => false,
        }
    }

    /// What the demand certainly costs when the step starts within `start` and the class ends within `finish`; `None`: it must hold and
    /// cannot.
    pub fn sure(&self, step: usize, start: &Span, finish: &Span) -> Option<i64> {
        match self {
            Self::Window(w) => w.sure(step, start),
            Self::Peak(p) => p.sure(step, start, finish),
            Self::Longest(l) => l.sure(step),
            Self::Fatigue(f) => f.sure(step),
            Self::Fits(_) | Self::Recovery(_) => Some(0),
        }
    }

    /// What a state still owes for steps that it has done, at least, if the class ends within `finish`.
    pub fn owed(&self, words: &Words, finish: &Span) -> i64 {
        match self {
            Self::Peak(p) => p.owed(words, finish),
            Self::Window(_)
            | Self::Fits(_)
            | Self::Recovery(_)
            | Self::Longest(_)
            | Self::Fatigue(_) => 0,
        }
    }

    /// What a state has paid already, at most, of the sure charge of a step that it has not done.
    pub fn paid_ahead(&self, words: &Words, now: i64, done: &Bits<N>) -> i64 {
        match self {
            Self::Longest(l) => l.paid_ahead(words, now, done),
            Self::Window(_)
            | Self::Fits(_)
            | Self::Recovery(_)
            | Self::Fatigue(_)
            | Self::Peak(_) => 0,
        }
    }

    /// Whether it keeps a state of its own.
    pub fn has_state(&self) -> bool {
        match self {
            Self::Window(_) | Self::Fits(_) => false,
            Self::Recovery(_) | Self::Longest(_) | Self::Fatigue(_) | Self::Peak(_) => true,
        }
    }

    /// Whether placing the step means anything to it.
    pub fn concerns(&self, step: usize) -> bool {
        match self {
            Self::Window(w) => w.step() == step,
            Self::Fits(_) => false,
            Self::Recovery(r) => r.concerns(step),
            Self::Longest(l) => l.concerns(step),
            Self::Fatigue(f) => f.concerns(step),
            Self::Peak(p) => p.step() == step,
        }
    }
}
