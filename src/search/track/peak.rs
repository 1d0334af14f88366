//! `peak` on a growing order: settled at the end, when the length of the class is known. Words: the start of the step (-1: not done).

use super::event::{Side, Timed, Words};
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
        match self.weight {
            None => (outside == 0).then_some(0),
            Some(w) => Some(w * outside / 100),
        }
    }

    /// Alike only where the clocks and the starts are; else at worst the whole step lies outside.
    pub fn harm(&self, a: &Side<'_>, b: &Side<'_>) -> Option<i64> {
        if a.now == b.now && a.words == b.words {
            return Some(0);
        }
        self.weight.map(|w| w * self.duration / 100)
    }
}
