//! The order as written: how little of it need change, and how far it can be kept.

use super::Session;
use super::plan::as_written;
use crate::answer::kept::{Kept, OwnOrder, Pairs};
use crate::answer::planned::Answer;
use crate::orders::moves::fewest_moves;
use crate::orders::nearest::{keeping, nearest_from};
use crate::problem::without::without;
use crate::score::evaluate;
use crate::search::budget::Limits;
use crate::search::outcome::Progress;
use crate::search::solve;

impl Session {
    /// The fewest moves that save most of the order as written, and how far it can be kept. The plan takes half of the limits at most, the
    /// curve half of what it leaves.
    pub fn keep(&self, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Kept {
        let problem = &self.class.compiled.problem;
        let answer = self.plan(&limits.share_of_time(2), progress);
        let (Some(best), Some(own)) = (answer.outcome.plan.clone(), answer.as_given.clone()) else {
            return Kept::Nothing(Box::new(answer));
        };
        let order = own.found.timeline.order.clone();
        let known = (&best, answer.outcome.proven());
        let curve = nearest_from(problem, &order, known, &limits.share_of_time(2), progress);
        // Without the rests, which no move puts in; they stand last, so that the numbers stay.
        let rests: Vec<bool> = problem.steps.iter().map(|s| s.optional.is_some()).collect();
        let (bare, _) = without(problem, &rests);
        let before = evaluate(&bare, &order, &own.found.timeline.setups);
        let mut moves = fewest_moves(&bare, &order, &before, limits, &mut |_| {
            progress(&Progress {
                phase: "moves in your order",
                ..Progress::default()
            });
        });
        for best in &mut moves.best {
            let timeline = &best.found.timeline;
            best.found = evaluate(problem, &timeline.order, &timeline.setups);
        }
        Kept::Looked(Box::new(OwnOrder {
            answer,
            own,
            moves,
            curve,
            interrupted: limits.cancelled(),
        }))
    }

    /// The best order that keeps at least `least` pairs of neighbours of the order as written.
    pub fn keep_pairs(
        &self,
        least: usize,
        limits: &Limits,
        progress: &mut dyn FnMut(&Progress),
    ) -> Pairs {
        let problem = &self.class.compiled.problem;
        let order = as_written(problem);
        let pairs = order.len().saturating_sub(1);
        if least > pairs {
            return Pairs::Has(pairs);
        }
        let own = self.as_given(limits);
        let outcome = solve(&keeping(problem, &order, least), limits, progress);
        if outcome.plan.is_none() && outcome.disagreement.is_none() {
            return Pairs::Nothing(outcome);
        }
        Pairs::Planned(Box::new(Answer {
            keeps: Some(least),
            ..self.concluded(own, outcome, limits)
        }))
    }
}
