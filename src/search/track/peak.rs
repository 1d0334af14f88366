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
    group: usize,
}

/// What a shift of the clock moves out of a part of the class at most, for all peaks of the part that are not done.
#[derive(Debug, Clone, Copy, Default)]
pub struct Outside {
    moved: i64,
    weight: i64,
    durations: i64,
    count: i64,
}

impl Outside {
    /// What that costs at most: the greatest weight for all of it, and one for the rounding of each peak.
    pub fn cost(&self) -> i64 {
        if self.moved == 0 {
            0
        } else {
            self.weight * self.moved.min(self.durations) / 100 + self.count
        }
    }
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
            group: 0,
        }
    }

    /// The step.
    pub fn step(&self) -> usize {
        self.step
    }

    /// Not done.
    pub fn begin(&self) -> Words {
        [-1, 0, 0]
    }

    /// See [`super::clock::ClockTracker::advance`].
    pub fn advance(&self, words: &Words, t: &Timed) -> Words {
        if t.step == self.step {
            [t.start, 0, 0]
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
        if step == self.step {
            self.cost(self.least_outside(start, finish))
        } else {
            Some(0)
        }
    }

    /// See [`super::clock::ClockTracker::owed`].
    pub fn owed(&self, words: &Words, finish: &Span) -> i64 {
        if words[0] < 0 {
            return 0;
        }
        let start = Span {
            from: words[0],
            to: words[0],
        };
        self.cost(self.least_outside(&start, finish))
            .unwrap_or(i64::MAX / 8)
    }

    /// The part of the class, per mille.
    pub fn part(&self) -> (i64, i64) {
        (self.from, self.to)
    }

    /// Puts it into a group of peaks with the same part.
    pub fn join(&mut self, group: usize) {
        self.group = group;
    }

    /// Its group.
    pub fn group(&self) -> usize {
        self.group
    }

    /// How far a shift of the clock by `shift` and of the step by `step` moves the step out of the part, at most, in hundredths: over its
    /// beginning and over its end. The part's ends are rounded down in both states: two numbers rounded down lie no further apart than
    /// their difference rounded up.
    fn moved(&self, shift: i64, step: i64, past_beginning: bool) -> i64 {
        let over = |thousandths: i64| (thousandths.max(0) + 999) / 1000;
        let before = if past_beginning {
            0
        } else {
            over(self.from * shift - 1000 * step)
        };
        before + over(1000 * step - self.to * shift)
    }

    /// A peak that is done in neither state: adds to what its group moves. What lies ahead shifts the end of the class in both states
    /// alike, and the step and its part by no more than the clocks differ. `None`: it must lie inside, and the clocks differ.
    pub fn harm_undone<const N: usize>(
        &self,
        a: &Side<'_>,
        b: &Side<'_>,
        ahead: &Ahead<'_, N>,
        group: &mut Outside,
    ) -> Option<()> {
        if a.now == b.now {
            return Some(());
        }
        let weight = self.weight?;
        let shift = a.now - b.now;
        let past = a.now >= self.from * (a.now + ahead.longest) / 1000;
        group.moved = self.moved(shift, shift, past);
        group.weight = group.weight.max(weight);
        group.durations += self.duration;
        group.count += 1;
        Some(())
    }

    /// A peak that is done: its own shift against that of the part, and what it can lie outside at all, bound what it may cost more.
    pub fn harm<const N: usize>(
        &self,
        a: &Side<'_>,
        b: &Side<'_>,
        ahead: &Ahead<'_, N>,
    ) -> Option<i64> {
        if a.now == b.now && a.words == b.words {
            return Some(0);
        }
        let finish = |s: &Side<'_>| Span {
            from: s.now + ahead.least,
            to: s.now + ahead.longest,
        };
        if a.words[0] >= 0 && b.words[0] >= 0 {
            let (start_a, start_b) = (a.words[0], b.words[0]);
            let part = finish(a);
            let before = (self.from * part.to / 1000 - start_a).max(0);
            let behind = (start_a + self.duration - self.to * part.from / 1000).max(0);
            let most = (before + behind).min(self.duration);
            let least = self.least_outside(
                &Span {
                    from: start_b,
                    to: start_b,
                },
                &finish(b),
            );
            let moved = self
                .moved(a.now - b.now, start_a - start_b, false)
                .min(most - least);
            if moved <= 0 {
                return Some(0);
            }
            return self.weight.map(|w| w * moved / 100 + 1);
        }
        let shift = a.now - b.now;
        self.weight
            .map(|w| w * self.moved(shift, shift, false).min(self.duration) / 100 + 1)
    }
}
