//! `longest` on a growing order. Words: start of the open stretch (`NONE`: none, or complemented once it is paid for), end of its
//! last member, durations of all members done with a rest after each.
//!
//! **Tested by** `claims` (problems where a stretch just stays within the limit), `counterexamples` (a stretch shortened by a delay).

use super::event::{Ahead, Side, Timed, Words, charge};
use crate::problem::Problem;
use crate::problem::demand::longest::Longest;
use crate::search::done_set::Bits;

const NONE: i64 = i64::MIN / 4;

/// See the module.
#[derive(Debug)]
pub struct LongestTracker<const N: usize> {
    members: Bits<N>,
    limit: i64,
    rest: i64,
    weight: Option<i64>,
    durations: Vec<i64>,
    /// Durations of all members with a rest after each.
    all: i64,
    /// A step that must be done and is too long by itself: some stretch exceeds for sure.
    sure: Option<usize>,
}

impl<const N: usize> LongestTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Longest, weight: Option<i64>, problem: &Problem) -> Self {
        let too_long =
            |s: usize| problem.steps[s].optional.is_none() && problem.steps[s].duration > d.limit;
        Self {
            members: Bits::of(&d.steps),
            limit: d.limit,
            rest: d.rest,
            weight,
            durations: problem.steps.iter().map(|s| s.duration).collect(),
            all: (d.steps.iter())
                .map(|&s| problem.steps[s].duration + d.rest)
                .sum(),
            sure: d.steps.iter().copied().find(|&s| too_long(s)),
        }
    }

    /// The step that is charged for sure, if there is one.
    pub fn sure_step(&self) -> Option<usize> {
        self.sure
    }

    /// See [`super::clock::ClockTracker::sure`].
    pub fn sure(&self, step: usize) -> Option<i64> {
        charge(self.weight, i64::from(self.sure == Some(step)))
    }

    /// The open stretch may have been paid for, and the step that is charged for sure may still join it: then that is paid.
    pub fn paid_ahead(&self, words: &Words, now: i64, done: &Bits<N>) -> i64 {
        let paid = self.open(words, now) && words[0] < 0;
        match (self.sure, self.weight) {
            (Some(s), Some(w)) if paid && !done.has(s) => w,
            _ => 0,
        }
    }

    /// Whether the step is a member.
    pub fn concerns(&self, step: usize) -> bool {
        self.members.has(step)
    }

    /// No stretch yet.
    pub fn begin(&self) -> Words {
        [NONE, NONE, 0]
    }

    /// See [`super::clock::ClockTracker::advance`]. Starts are not negative, so a negative number other than `NONE` is a start whose
    /// stretch is paid for.
    pub fn advance(&self, words: &Words, t: &Timed) -> Option<(Words, i64)> {
        if !self.members.has(t.step) {
            return Some((*words, 0));
        }
        let passed = words[2] + self.durations[t.step] + self.rest;
        let start = if words[1] != NONE && t.start - words[1] < self.rest {
            words[0]
        } else {
            t.start
        };
        if start < 0 {
            return Some(([start, t.end, passed], 0));
        }
        let cost = charge(self.weight, i64::from(t.end - start > self.limit))?;
        let exceeds = t.end - start > self.limit;
        Some(([if exceeds { !start } else { start }, t.end, passed], cost))
    }

    fn open(&self, words: &Words, now: i64) -> bool {
        words[1] != NONE && now - words[1] < self.rest
    }

    /// A delay may make a break long enough before the step, and it shortens a stretch that begins with the step: the same change, made after
    /// it, would lie inside. Neither can be where no stretch is open and all members to come, with the longest breaks that are none,
    /// stay within the limit.
    pub fn may_gain_by_delay(&self, words: &Words, now: i64, step: usize) -> bool {
        if !self.members.has(step) {
            return false;
        }
        let to_come = self.all - words[2];
        let others = to_come > self.durations[step] + self.rest;
        let may_exceed = others && to_come - self.rest > self.limit;
        self.open(words, now) || may_exceed
    }

    /// Where it must hold: a state without an open stretch is no worse than any; of two with one, it is enough to have begun no earlier
    /// and to have rested no less (a break that comes sooner only shortens stretches). Where it counts: the stretches differ until
    /// the next break of both, and so by one violation at most.
    pub fn harm(&self, a: &Side<'_>, b: &Side<'_>, ahead: &Ahead<'_, N>) -> Option<i64> {
        if ahead.done.covers(&self.members) {
            return Some(0);
        }
        let (open_a, open_b) = (self.open(a.words, a.now), self.open(b.words, b.now));
        if !open_a && !open_b {
            return Some(0);
        }
        let age = |s: &Side<'_>| (s.now - s.words[0], s.now - s.words[1]);
        if open_a && open_b && (a.words[0] < 0) == (b.words[0] < 0) && age(a) == age(b) {
            return Some(0);
        }
        // Counted, a pays nothing more for its open stretch if that is paid for, or stays within the limit even if all members to come join
        // it, each after the longest break that is none. A stretch that a begins where b goes on with one is part of b's, so b pays if a does,
        // unless b has paid for it already.
        let to_come = self.members.minus(ahead.done);
        let join: i64 = to_come.iter().map(|s| self.durations[s] + self.rest).sum();
        let calm = !open_a || a.words[0] < 0 || age(a).0 + join <= self.limit;
        if self.weight.is_some() && calm && !(open_b && b.words[0] < 0) {
            return Some(0);
        }
        match self.weight {
            Some(w) => Some(w),
            None if !open_a => Some(0),
            None if open_b && age(a).0 <= age(b).0 && age(a).1 >= age(b).1 => Some(0),
            None => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::step::{Side, Step};

    fn steps_of(durations: &[i64]) -> Problem {
        let step = |&duration: &i64| Step {
            id: String::new(),
            side: Side::Both,
            duration,
            setup: Vec::new(),
            start: 0,
            end: 0,
            stage: None,
            group: None,
            optional: None,
        };
        Problem {
            steps: durations.iter().map(step).collect(),
            ..Problem::default()
        }
    }

    #[test]
    fn a_stretch_is_paid_for_once_and_a_break_opens_another() {
        let d = Longest {
            steps: vec![0, 1, 2, 3],
            limit: 100,
            rest: 20,
        };
        let t = LongestTracker::<1>::new(&d, Some(7), &steps_of(&[60, 40, 15, 110]));
        let (w, c) = t
            .advance(
                &t.begin(),
                &Timed {
                    step: 0,
                    start: 0,
                    end: 60,
                },
            )
            .unwrap();
        assert_eq!(c, 0);
        let (w, c) = t
            .advance(
                &w,
                &Timed {
                    step: 1,
                    start: 70,
                    end: 110,
                },
            )
            .unwrap();
        assert_eq!(c, 7);
        let (w, c) = t
            .advance(
                &w,
                &Timed {
                    step: 2,
                    start: 115,
                    end: 130,
                },
            )
            .unwrap();
        assert_eq!(c, 0);
        let (_, c) = t
            .advance(
                &w,
                &Timed {
                    step: 3,
                    start: 150,
                    end: 260,
                },
            )
            .unwrap();
        assert_eq!(c, 7);
    }
}
