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

/// The first plan of the problem with prices is looked for with so many nodes.
const FIRST_NODES: u64 = 30_000;

/// Plans with prices, on the way to one without.
#[derive(Debug)]
pub struct Mending {
    /// The problem with prices.
    pub priced: Problem,
    best: Option<Plan>,
    /// A seed for each time.
    seed: u64,
}

impl Mending {
    /// For a problem; `None`: it has nothing to let go.
    pub fn new(problem: &Problem, seed: u64) -> Option<Self> {
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
        some.then_some(Self {
            priced,
            best: None,
            seed,
        })
    }

    /// Goes on until a plan breaks nothing or `nodes` are spent: such a plan of `problem`, and the nodes. `limits` are those of one part.
    pub fn go_on(
        &mut self,
        problem: &Problem,
        nodes: u64,
        limits: &Limits,
        search: Search,
    ) -> (Option<Plan>, u64) {
        let mut spent = 0;
        if self.best.is_none() {
            let first = Limits {
                nodes: Some(FIRST_NODES.min(nodes)),
                ..limits.clone()
            };
            let outcome = search(&self.priced, &first, &Aim::below(Of::Fewer, i64::MAX / 4));
            spent += outcome.nodes;
            self.best = outcome.plan;
        }
        self.seed = self.seed.wrapping_add(1);
        let mut walker = Walker::new(&self.priced, self.seed, search);
        while let Some(best) = &self.best {
            let judged = evaluate(problem, &best.order, &best.setups);
            if judged.feasible() {
                let plan = Plan {
                    score: judged.score,
                    ..best.clone()
                };
                return (Some(plan), spent);
            }
            let stopped = limits
                .cancel
                .as_ref()
                .is_some_and(|c| c.load(std::sync::atomic::Ordering::Relaxed));
            if spent >= nodes || stopped {
                break;
            }
            let found = walker.next(best, limits);
            spent += found.nodes;
            if found.plan.is_some() {
                self.best = found.plan;
            }
        }
        (None, spent)
    }
}
