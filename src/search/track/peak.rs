//! `peak` on a growing order: settled at the end, when the length of the class is known. Words: the start of the step (-1: not done).

use super::event::{Ahead, Side, Span, Timed, Words};
use crate::problem::Problem;
use crate::problem::demand::peak::Peak;

/// See the module.
#[derive(Debug)]
pub struct PeakTracker {
    step: usize,
    duration: i64,
    from: i64,
    to: i64,
    weight: Option<i64>,
}

impl PeakTracker {
    /// The tracker of a demand.
    pub fn new(d: &Peak, weight: Option<i64>, problem: &Problem) -> Self {
        Self {
            step: d.step,
            duration: problem.steps[d.step].duration,
            from: d.from,
            to: d.to,
            weight,
        }
    }

    /// The step.
    pub fn step(&self) -> usize {
        self.step
    }

    /// Not done.
    pub fn begin(&self) -> Words {
        [-1, 0]
    }

    /// See [`super::clock::ClockTracker::advance`].
    pub fn advance(&self, words: &Words, t: &Timed) -> Words {
        if t.step == self.step {
            [t.start, 0]
        } else {
            *words
        }
    }

    /// See [`super::clock::ClockTracker::settle`].
    pub fn settle(&self, words: &Words, finish: i64) -> Option<i64> {
        if words[0] < 0 {
            return Some(0);
        }
        let (start, end) = (words[0], words[0] + self.duration);
        let (low, high) = (self.from * finish / 1000, self.to * finish / 1000);
        let outside = end - start - (end.min(high) - start.max(low)).max(0);
        self.cost(outside)
    }

    /// The least that the step lies outside, in hundredths, for any start and any end of the class within the spans.
    fn least_outside(&self, start: &Span, finish: &Span) -> i64 {
        let early = self.from * finish.from / 1000 - start.to;
        let late = start.from + self.duration - self.to * finish.to / 1000;
        early.max(late).clamp(0, self.duration)
    }

    fn cost(&self, outside: i64) -> Option<i64> {
        match self.weight {
            None => (outside == 0).then_some(0),
            Some(w) => Some(w * outside / 100),
        }
    }

    /// See [`super::clock::ClockTracker::sure`].
    pub fn sure(&self, step: usize, start: &Span, finish: &Span) -> Option<i64> {
        if step == self.step { self.cost(self.least_outside(start, finish)) } else { Some(0) }
    }

    /// See [`super::clock::ClockTracker::owed`].
    pub fn owed(&self, words: &Words, finish: &Span) -> i64 {
        if words[0] < 0 {
            return 0;
        }
        let start = Span { from: words[0], to: words[0] };
        self.cost(self.least_outside(&start, finish)).unwrap_or(i64::MAX / 8)
    }

    /// What lies ahead shifts the end of the class in both states alike, and so the window by no more than the clocks differ. The step, done or
    /// not, is shifted against either end of the window by no more than its own shift less that of the end; each hundredth of that may be
    /// one more outside, and one more for the rounding of each end. A step that is done and surely inside costs nothing.
    pub fn harm<const N: usize>(&self, a: &Side<'_>, b: &Side<'_>, ahead: &Ahead<'_, N>) -> Option<i64> {
        if a.now == b.now && a.words == b.words {
            return Some(0);
        }
        let finish = Span { from: a.now + ahead.least, to: a.now + ahead.longest };
        let inside = a.words[0] >= self.from * finish.to / 1000
            && a.words[0] >= 0
            && a.words[0] + self.duration <= self.to * finish.from / 1000;
        if inside {
            return Some(0);
        }
        let w = self.weight?;
        let shift = a.now - b.now;
        let step = if a.words[0] >= 0 { a.words[0] - b.words[0] } else { shift };
        // In thousandths, rounded up.
        let before = (self.from * shift - 1000 * step).max(0).div_euclid(1000) + 2;
        let behind = (1000 * step - self.to * shift).max(0).div_euclid(1000) + 2;
        let outside = (before + behind).min(self.duration);
        Some(w * outside / 100 + 1)
    }
}
