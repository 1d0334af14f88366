//! `window` and `fits` on a growing order: both look at the clock itself and keep no state.

use super::event::{Ahead, Span, Timed, charge};
use crate::problem::demand::fits::Fits;
use crate::problem::demand::window::Window;

/// `window`.
#[derive(Debug)]
pub struct WindowTracker {
    step: usize,
    from: i64,
    to: i64,
    weight: Option<i64>,
}

impl WindowTracker {
    /// The tracker of a demand.
    pub fn new(d: &Window, weight: Option<i64>) -> Self {
        Self {
            step: d.step,
            from: d.from,
            to: d.to,
            weight,
        }
    }

    /// The step.
    pub fn step(&self) -> usize {
        self.step
    }

    /// See [`super::clock::ClockTracker::sure`].
    pub fn sure(&self, step: usize, start: &Span) -> Option<i64> {
        charge(
            self.weight,
            i64::from(step == self.step && (start.to < self.from || start.from > self.to)),
        )
    }

    /// Cost of the step, if it is the one.
    pub fn advance(&self, t: &Timed) -> Option<i64> {
        charge(
            self.weight,
            i64::from(t.step == self.step && !(self.from <= t.start && t.start <= self.to)),
        )
    }

    /// Before the window opens a delay may serve.
    pub fn may_gain_by_delay(&self, now: i64, step: usize) -> bool {
        step == self.step && now < self.from
    }

    /// Earlier is no worse once the window is open: the start then lies in it or not by its end alone. Later is no worse where even
    /// the longest class starts the step before the window closes.
    pub fn harm<const N: usize>(&self, a: i64, b: i64, ahead: &Ahead<'_, N>) -> Option<i64> {
        if a == b || ahead.done.has(self.step) {
            return Some(0);
        }
        let fine = if a < b {
            a >= self.from
        } else {
            a + ahead.longest <= self.to
        };
        if fine { Some(0) } else { self.weight }
    }
}

/// `fits`.
#[derive(Debug)]
pub struct FitsTracker {
    total: i64,
    weight: Option<i64>,
}

impl FitsTracker {
    /// The tracker of a demand.
    pub fn new(d: &Fits, weight: Option<i64>) -> Self {
        Self {
            total: d.total,
            weight,
        }
    }

    /// Latest end, where it must hold.
    pub fn must_end_by(&self) -> Option<i64> {
        self.weight.is_none().then_some(self.total)
    }

    /// Cost of an end.
    pub fn settle(&self, finish: i64) -> Option<i64> {
        charge(self.weight, i64::from(finish > self.total))
    }

    /// Earlier is no worse; later neither, where even the longest class fits.
    pub fn harm(&self, a: i64, b: i64, longest: i64) -> Option<i64> {
        if a <= b || a + longest <= self.total {
            Some(0)
        } else {
            self.weight
        }
    }
}
