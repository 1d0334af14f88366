//! `recovery` on a growing order. Words: end of the last member, its group (`NONE` for none).

use super::event::{Ahead, Side, Timed, Words, charge};
use crate::problem::Problem;
use crate::problem::demand::recovery::Recovery;
use crate::search::done_set::Bits;

/// No member yet, or a member without a group.
const NONE: i64 = i64::MIN / 4;

/// See the module.
#[derive(Debug)]
pub struct RecoveryTracker<const N: usize> {
    members: Bits<N>,
    groups: Vec<i64>,
    seconds: i64,
    weight: Option<i64>,
}

impl<const N: usize> RecoveryTracker<N> {
    /// The tracker of a demand.
    pub fn new(d: &Recovery, weight: Option<i64>, problem: &Problem) -> Self {
        let groups = problem
            .steps
            .iter()
            .map(|s| s.group.unwrap_or(NONE))
            .collect();
        Self {
            members: Bits::of(&d.steps),
            groups,
            seconds: d.seconds,
            weight,
        }
    }

    /// Whether the step is a member.
    pub fn concerns(&self, step: usize) -> bool {
        self.members.has(step)
    }

    /// No member yet.
    pub fn begin(&self) -> Words {
        [NONE, NONE, 0]
    }

    fn exempt(&self, words: &Words, step: usize) -> bool {
        words[1] != NONE && words[1] == self.groups[step]
    }

    /// See [`super::clock::ClockTracker::advance`].
    pub fn advance(&self, words: &Words, t: &Timed) -> Option<(Words, i64)> {
        if !self.members.has(t.step) {
            return Some((*words, 0));
        }
        let short =
            words[0] != NONE && !self.exempt(words, t.step) && t.start - words[0] < self.seconds;
        Some((
            [t.end, self.groups[t.step], 0],
            charge(self.weight, i64::from(short))?,
        ))
    }

    /// Only where a member might come too soon after another.
    pub fn may_gain_by_delay(&self, words: &Words, now: i64, step: usize) -> bool {
        self.members.has(step)
            && words[0] != NONE
            && !self.exempt(words, step)
            && now - words[0] < self.seconds
    }

    /// Only the next member is compared with the last one; from there on both states are alike. A longer rest is no worse, and neither
    /// is one that is long enough already; a shorter one may cost one violation, unless the next member is exempt in both.
    pub fn harm(&self, a: &Side<'_>, b: &Side<'_>, ahead: &Ahead<'_, N>) -> Option<i64> {
        let rested = |s: &Side<'_>| s.words[0] == NONE || s.now - s.words[0] >= self.seconds;
        let same_group = a.words[1] == b.words[1] || b.words[1] == NONE;
        let longer = b.words[0] != NONE && a.now - a.words[0] >= b.now - b.words[0];
        if rested(a) || (longer && same_group) || ahead.done.covers(&self.members) {
            return Some(0);
        }
        self.weight
    }
}
