//! `fatigue` on a growing order. Words: the bits of the fatigued share after the last load, when that load ended, and the bits of the share
//! at the state's clock.

use super::event::{Ahead, Side, Timed, Words, charge};
use crate::problem::Problem;
use crate::problem::demand::fatigue::Fatigue;
use crate::search::done_set::Bits;

/// A share may exceed the ceiling by this much: problem-file.md.
const TOLERANCE: f64 = 1e-9;
/// Two shares closer than this part of the greatest term in the closed forms are not told apart where one must be no worse than the
/// other: far above their rounding and, for terms of the order of 1, far below [`TOLERANCE`].
const ROUNDING: f64 = 1e-13;

/// See the module.
#[derive(Debug)]
pub struct FatigueTracker<const N: usize> {
    loads: Vec<Option<f64>>,
    members: Bits<N>,
    build: f64,
    recover: f64,
    rest: f64,
    start: f64,
    ceiling: f64,
    weight: Option<i64>,
    alone: Vec<bool>,
    /// [`ROUNDING`] of the greatest term.
    rounding: f64,
}

impl<const N: usize> FatigueTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Fatigue, weight: Option<i64>, problem: &Problem) -> Self {
        let mut loads = vec![None; problem.steps.len()];
        for &(s, q) in &d.loads {
            loads[s] = Some(q);
        }
        let mut tracker = Self {
            loads,
            members: Bits::of(&d.loads.iter().map(|&(s, _)| s).collect::<Vec<_>>()),
            build: d.build,
            recover: d.recover,
            rest: d.rest,
            start: d.start,
            ceiling: d.ceiling,
            weight,
            alone: Vec::new(),
            rounding: 0.0,
        };
        let level = if d.recover > 0.0 {
            d.build / d.recover
        } else {
            let seconds = |s: usize| problem.steps[s].duration as f64 / 100.0;
            d.loads.iter().map(|&(s, q)| d.build * q * seconds(s)).sum()
        };
        tracker.rounding = ROUNDING * (1.0 + level);
        // A share of 0 before is the least there can be, and the closed forms are monotone in it. A margin far above rounding keeps this sure.
        tracker.alone = (problem.steps.iter().enumerate())
            .map(|(s, step)| {
                let end = step.duration;
                let fresh = tracker.share_after(0.0, s, end);
                fresh.is_some_and(|share| {
                    share > tracker.ceiling + 2.0 * TOLERANCE + tracker.rounding
                })
            })
            .collect();
        tracker
    }

    /// The share after a step that loads the region, from a share before it.
    fn share_after(&self, share: f64, step: usize, duration: i64) -> Option<f64> {
        let load = self.loads[step]?;
        let seconds = duration as f64 / 100.0;
        Some(if self.recover > 0.0 {
            let level = self.build * load / self.recover;
            level + (share - level) * (-self.recover * seconds).exp()
        } else {
            share + self.build * load * seconds
        })
    }

    /// Whether the step loads the region.
    pub fn concerns(&self, step: usize) -> bool {
        self.members.has(step)
    }

    /// Writes the share at time `now` into the third word, for comparisons.
    pub fn refresh(&self, words: &mut Words, now: i64) {
        words[2] = self.share_at(words, now).to_bits().cast_signed();
    }

    /// Whether the step alone, after any rest, exceeds the ceiling.
    pub fn alone_too_much(&self, step: usize) -> bool {
        self.alone[step]
    }

    /// See [`super::clock::ClockTracker::sure`].
    pub fn sure(&self, step: usize) -> Option<i64> {
        charge(self.weight, i64::from(self.alone[step]))
    }

    /// The share at time 0.
    pub fn begin(&self) -> Words {
        [
            self.start.to_bits().cast_signed(),
            0,
            self.start.to_bits().cast_signed(),
        ]
    }

    fn share_at(&self, words: &Words, now: i64) -> f64 {
        // Term by term as the definition has it, so that both round alike.
        let seconds = (now - words[1]) as f64 / 100.0;
        f64::from_bits(words[0].cast_unsigned()) * (-self.rest * self.recover * seconds).exp()
    }

    /// See [`super::clock::ClockTracker::advance`].
    pub fn advance(&self, words: &Words, t: &Timed) -> Option<(Words, i64)> {
        let Some(share) = self.share_after(self.share_at(words, t.start), t.step, t.end - t.start)
        else {
            return Some((*words, 0));
        };
        let cost = charge(self.weight, i64::from(share > self.ceiling + TOLERANCE))?;
        Some((
            [
                share.to_bits().cast_signed(),
                t.end,
                share.to_bits().cast_signed(),
            ],
            cost,
        ))
    }

    /// Rest before a load lowers a share that is not 0.
    pub fn may_gain_by_delay(&self, words: &Words, step: usize) -> bool {
        self.members.has(step) && words[0] != 0
    }

    /// A share that is no higher now is no higher ever: the closed forms are monotone in it. A higher one may cost a violation at each
    /// load to come.
    pub fn harm(&self, a: &Side<'_>, b: &Side<'_>, ahead: &Ahead<'_, N>) -> Option<i64> {
        let left = self.members.minus(ahead.done).len();
        let share = |s: &Side<'_>| f64::from_bits(s.words[2].cast_unsigned());
        let rested = |s: &Side<'_>| s.now - s.words[1];
        let alike = a.words[0] == b.words[0] && rested(a) == rested(b);
        let lower = a.words[0] == 0 || share(a) + self.rounding <= share(b);
        if left == 0 || alike || lower {
            return Some(0);
        }
        self.weight
            .map(|w| w * i64::try_from(left).expect("steps are few"))
    }
}
