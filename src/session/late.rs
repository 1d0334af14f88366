//! A class that has begun, with less time left than it takes.

use super::Session;
use crate::answer::rest::{Remaining, RestOfClass};
use crate::orders::late::{Begun, late, not_begun};
use crate::search::budget::Limits;
use crate::search::outcome::Progress;

impl Session {
    /// The rest of the class from the movement at place `from` (from 1) of its plan on, in `left` hundredths of a second: as it is where it
    /// fits, else what could be cut. The plan takes half of the limits at most.
    pub fn late(
        &self,
        from: usize,
        left: i64,
        limits: &Limits,
        progress: &mut dyn FnMut(&Progress),
    ) -> Remaining {
        let answer = self.plan(&limits.share_of_time(2), progress);
        let Some(best) = &answer.best else {
            return Remaining::NoPlan(Box::new(answer));
        };
        let steps = best.timeline.order.len();
        if from > steps {
            return Remaining::Steps(steps);
        }
        let now = (from.checked_sub(2)).map_or(0, |k| best.timeline.end[k]);
        let minutes = self.class.brief.minutes;
        let behind = minutes.map_or(0, |minutes| hundredths(minutes) - left - now);
        let done = &best.timeline.order[..from - 1];
        let begun = Begun {
            problem: self.class.compiled.problem.clone(),
            movements: not_begun(&self.class.compiled, done),
            done: from - 1,
            plan_is_proven: answer.outcome.proven(),
            left,
            behind,
            plan: best.clone(),
        };
        match late(&begun, limits, progress) {
            Ok(late) => Remaining::Found(Box::new(RestOfClass { begun, late })),
            Err(outcome) => Remaining::Nothing(*outcome),
        }
    }
}

/// Minutes in hundredths of a second.
pub fn hundredths(minutes: f64) -> i64 {
    (minutes * 6_000.0).round() as i64
}
