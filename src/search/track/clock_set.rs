//! All clock trackers of a problem together: which of them a step concerns, and when one state may forget another for their sake.

use super::clock::ClockTracker;
use super::event::{Ahead, Side, Span, Timed, Words};
use super::peak::Outside;
use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::search::done_set::Bits;

/// The clock trackers: first those with a state of their own, then those that look at the clock alone.
#[derive(Debug)]
pub struct ClockSet<const N: usize> {
    trackers: Vec<ClockTracker<N>>,
    stateful: usize,
    by_step: Vec<Vec<usize>>,
    fatigues: Vec<usize>,
    /// Groups of peaks with the same part of the class, of different steps.
    peak_groups: usize,
    /// Once this late, no window opens any more; an end no later than this breaks none.
    windows: Span,
}

impl<const N: usize> ClockSet<N> {
    /// The trackers of a problem.
    pub fn new(problem: &Problem) -> Self {
        let mut trackers = ClockTracker::all(problem);
        // Those that most often tell two states apart come first.
        trackers.sort_by_key(|t| match t {
            ClockTracker::Fatigue(_) => 0,
            ClockTracker::Recovery(_) => 1,
            ClockTracker::Longest(_) => 2,
            ClockTracker::Peak(_) => 3,
            ClockTracker::Fits(_) => 4,
            ClockTracker::Window(_) => 5,
        });
        let stateful = trackers.iter().take_while(|t| t.has_state()).count();
        let by_step = (0..problem.steps.len())
            .map(|s| {
                (0..trackers.len())
                    .filter(|&k| trackers[k].concerns(s))
                    .collect()
            })
            .collect();
        let fatigues = (0..stateful)
            .filter(|&k| matches!(trackers[k], ClockTracker::Fatigue(_)))
            .collect();
        let mut parts: Vec<((i64, i64), Vec<usize>)> = Vec::new();
        for tracker in &mut trackers {
            if let ClockTracker::Peak(peak) = tracker {
                let (part, step) = (peak.part(), peak.step());
                // Two peaks of one step have the same span: they must not share a group.
                let open = |(p, steps): &(_, Vec<usize>)| *p == part && !steps.contains(&step);
                let group = parts.iter().position(open).unwrap_or_else(|| {
                    parts.push((part, Vec::new()));
                    parts.len() - 1
                });
                parts[group].1.push(step);
                peak.join(group);
            }
        }
        let windows = problem.demands.iter().filter_map(|d| match &d.kind {
            Kind::Window(w) => Some((w.from, w.to)),
            _ => None,
        });
        let windows = windows.fold(
            Span {
                from: i64::MIN,
                to: i64::MAX,
            },
            |all, (from, to)| Span {
                from: all.from.max(from),
                to: all.to.min(to),
            },
        );
        Self {
            trackers,
            stateful,
            by_step,
            fatigues,
            peak_groups: parts.len(),
            windows,
        }
    }

    /// The trackers.
    pub fn trackers(&self) -> &[ClockTracker<N>] {
        &self.trackers
    }

    /// How many words a state takes.
    pub fn words(&self) -> usize {
        self.stateful
    }

    /// The state before the first step.
    pub fn begin(&self) -> Vec<Words> {
        self.trackers[..self.stateful]
            .iter()
            .map(ClockTracker::begin)
            .collect()
    }

    /// Appends the state after one more step to `out`, and returns what that costs; `None` (and nothing appended) if a demand that must hold is
    /// broken for good.
    pub fn advance(&self, words: &[Words], t: &Timed, out: &mut Vec<Words>) -> Option<i64> {
        let base = out.len();
        out.extend_from_slice(words);
        let mut cost = 0;
        for &k in &self.by_step[t.step] {
            let old = words.get(k).copied().unwrap_or_default();
            let Some((new, charged)) = self.trackers[k].advance(&old, t) else {
                out.truncate(base);
                return None;
            };
            if k < self.stateful {
                out[base + k] = new;
            }
            cost += charged;
        }
        for &k in &self.fatigues {
            if let ClockTracker::Fatigue(f) = &self.trackers[k] {
                f.refresh(&mut out[base + k], t.end);
            }
        }
        Some(cost)
    }

    /// What is due when the class ends at `finish`; `None` if a demand that must hold is broken.
    pub fn settle(&self, words: &[Words], finish: i64) -> Option<i64> {
        let blank = Words::default();
        (self.trackers.iter().enumerate())
            .map(|(k, t)| t.settle(words.get(k).unwrap_or(&blank), finish))
            .sum()
    }

    /// Whether a later start of the step could serve a demand.
    pub fn may_gain_by_delay(&self, words: &[Words], now: i64, step: usize) -> bool {
        let blank = Words::default();
        self.by_step[step]
            .iter()
            .any(|&k| self.trackers[k].may_gain_by_delay(words.get(k).unwrap_or(&blank), now, step))
    }

    /// The sum of [`ClockTracker::paid_ahead`].
    pub fn paid_ahead(&self, words: &[Words], now: i64, done: &Bits<N>) -> i64 {
        let trackers = self.trackers.iter().zip(words);
        trackers.map(|(t, w)| t.paid_ahead(w, now, done)).sum()
    }

    /// The sum of [`ClockTracker::owed`].
    pub fn owed(&self, words: &[Words], finish: &Span) -> i64 {
        let trackers = self.trackers.iter().zip(words);
        trackers.map(|(t, w)| t.owed(w, finish)).sum()
    }

    /// **Claim.** If this does not exceed `room`, state `a` pays at most that much more from here on for the demands on the clock than state
    /// `b` does; `None`: more, or without bound. Peaks of different steps that are not done yet are counted together by the part of the class that
    /// they share: their spans do not overlap, so what a shift of the clock moves over an end of the part it moves once, not once for each.
    pub fn harm(
        &self,
        a: &Clocked<'_>,
        b: &Clocked<'_>,
        ahead: &Ahead<'_, N>,
        room: i64,
    ) -> Option<i64> {
        let mut harm = 0;
        let mut groups = [Outside::default(); GROUPS];
        for (k, tracker) in self.trackers[..self.stateful].iter().enumerate() {
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
            if let ClockTracker::Peak(peak) = tracker
                && x.words[0] < 0
                && y.words[0] < 0
                && peak.group() < GROUPS
            {
                peak.harm_undone(&x, &y, ahead, &mut groups[peak.group()])?;
                continue;
            }
            harm += tracker.harm(&x, &y, ahead)?;
            if harm > room {
                return None;
            }
        }
        harm += groups[..self.peak_groups.min(GROUPS)]
            .iter()
            .map(Outside::cost)
            .sum::<i64>();
        let settled = if a.now <= b.now {
            a.now >= self.windows.from
        } else {
            a.now + ahead.longest <= self.windows.to
        };
        for tracker in &self.trackers[self.stateful..] {
            if settled && matches!(tracker, ClockTracker::Window(_)) {
                break;
            }
            let blank = Words::default();
            let (x, y) = (
                Side {
                    now: a.now,
                    words: &blank,
                },
                Side {
                    now: b.now,
                    words: &blank,
                },
            );
            harm += tracker.harm(&x, &y, ahead)?;
        }
        (harm <= room).then_some(harm)
    }
}

/// More different parts than this are counted peak by peak.
const GROUPS: usize = 4;

/// A state that is compared: its clock and the words of all trackers.
pub struct Clocked<'a> {
    /// Its clock.
    pub now: i64,
    /// The words.
    pub words: &'a [Words],
}
