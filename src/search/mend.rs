//! A first plan where demands that must hold leave little: they are first let go at a price, and parts of the plan that comes of it are
//! searched again until none is broken.
//!
//! Orders, stages and blocks go on holding; all other demands that must hold count as ones that should, each at a price above all that a plan
//! can cost otherwise. A plan of that problem that breaks none of them is a plan of the problem itself, with the same score.

use super::aim::{Aim, Of, Search};
use super::budget::Limits;
use super::outcome::Plan;
use super::parts::Walker;
use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::problem::figures::price_of_breaking;
use crate::score::evaluate;

/// Plans with prices, on the way to one without.
#[derive(Debug)]
pub struct Mending {
    /// The problem with prices.
    pub priced: Problem,
    best: Option<Plan>,
    walker: Walker,
}

impl Mending {
    /// For a problem; `None`: it has nothing to let go.
    pub fn new(problem: &Problem, seed: u64, search: Search) -> Option<Self> {
        let holds = |kind: &Kind| {
            matches!(kind, Kind::Precede(_)) || matches!(kind, Kind::Contiguous(d) if d.within == 0)
        };
        let mut priced = problem.clone();
        let price = price_of_breaking(problem);
        let mut some = false;
        for demand in &mut priced.demands {
            if demand.weight.is_none() && !holds(&demand.kind) {
                some = true;
                // The weight of a peak is for a second, what is counted are hundredths.
                let hundredths = if demand.kind.is_peak() { 100 } else { 1 };
                demand.weight = Some(price * hundredths);
            }
        }
        let walker = Walker::new(&priced, seed, search);
        some.then_some(Self {
            priced,
            best: None,
            walker,
        })
    }

    /// Searches one more part: a plan of `problem` if one breaks nothing now, and the nodes that it took. `limits` are those of one part.
    pub fn next(
        &mut self,
        problem: &Problem,
        limits: &Limits,
        search: Search,
    ) -> (Option<Plan>, u64) {
        let nodes = match &self.best {
            None => {
                let outcome = search(&self.priced, limits, &Aim::below(Of::Fewer, i64::MAX / 4));
                self.best = outcome.plan;
                outcome.nodes
            }
            Some(best) => {
                let found = self.walker.next(&self.priced, best, limits);
                self.best = found.plan.or(self.best.take());
                found.nodes
            }
        };
        let Some(best) = &self.best else {
            return (None, nodes);
        };
        let judged = evaluate(problem, &best.order, &best.setups);
        let whole = judged.feasible().then(|| Plan {
            score: judged.score,
            ..best.clone()
        });
        (whole, nodes)
    }
}
