//! Orders within a ceiling that have few pairs in common with given ones, for lists too long to look through.
//!
//! From an order at hand, parts are freed and searched again exactly, as in [`crate::search::neighbourhood`], with a price on each pair in
//! common with the given orders (soft `neighbours` demands). Every order on the way that scores within the ceiling is kept. What is found is
//! real; that nothing else exists is not claimed here.

use std::collections::BTreeMap;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::difference::Measure;
use crate::problem::Problem;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::{Demand, Kind};
use crate::score::evaluate;
use crate::search::budget::Meter;
use crate::search::neighbourhood::{Neighbourhoods, restricted};
use crate::search::outcome::Plan;
use crate::search::solve_below;

/// A part is searched with so many nodes at most.
const PART_NODES: u64 = 20_000;
/// Steps that are free in the first part of a walk.
const FIRST_PART: usize = 8;
/// Parts in vain before a walk ends.
const IDLE_PARTS: usize = 10;
/// A pair in common costs at least this part of what an order may score above the best, and at most all of it.
const CHEAPEST_PAIR: i64 = 6;
/// Prices of pairs come in so many sizes.
const SIZES: usize = 3;

/// Orders that are within the ceiling, each class once, with its lowest score.
#[derive(Debug, Default)]
pub struct Pool {
    /// The orders.
    pub plans: Vec<Plan>,
    by_spelling: BTreeMap<Vec<usize>, usize>,
}

impl Pool {
    /// Adds an order, or betters it.
    pub fn add(&mut self, measure: &Measure, plan: Plan) {
        let spelled = measure.spelled(&plan.order);
        match self.by_spelling.get(&spelled) {
            Some(&k) => {
                if plan.score < self.plans[k].score {
                    self.plans[k] = plan;
                }
            }
            None => {
                self.by_spelling.insert(spelled, self.plans.len());
                self.plans.push(plan);
            }
        }
    }
}

/// Walks from order to order.
pub struct Walker<'a> {
    problem: &'a Problem,
    measure: &'a Measure,
    ceiling: i64,
    /// What an order may score above the best.
    room: i64,
    neighbourhoods: Neighbourhoods,
    rng: ChaCha8Rng,
    free: usize,
}

impl<'a> Walker<'a> {
    /// A walker that depends on the seed. `best` is the best score.
    pub fn new(
        problem: &'a Problem,
        measure: &'a Measure,
        best: i64,
        ceiling: i64,
        seed: u64,
    ) -> Self {
        Self {
            problem,
            measure,
            ceiling,
            room: (ceiling - best).max(1),
            neighbourhoods: Neighbourhoods::new(problem),
            rng: ChaCha8Rng::seed_from_u64(seed),
            free: FIRST_PART.min(problem.steps.len()),
        }
    }

    /// Goes away from the orders of `from`, starting at `start`; so many parts at most.
    pub fn walk(
        &mut self,
        pool: &mut Pool,
        start: &Plan,
        from: &[Vec<usize>],
        parts: usize,
        meter: &mut Meter<'_>,
    ) {
        let mut at = start.clone();
        let mut price = self
            .rng
            .random_range(self.room / CHEAPEST_PAIR..=self.room)
            .max(1);
        let mut idle = 0;
        for _ in 0..parts {
            if meter.stopped().is_some() || idle >= IDLE_PARTS {
                break;
            }
            let priced = self.priced(&at, from, price);
            let here = evaluate(&priced, &at.order, &at.setups).score;
            let free = self
                .neighbourhoods
                .draw(&at.order, self.free, &mut self.rng);
            let limits = meter.part(PART_NODES, meter.memory() / 8);
            let ended = solve_below(&restricted(&priced, &at.order, &free), &limits, here);
            meter.count(ended.nodes);
            // As large as can be searched to the end.
            self.free = if ended.proven() {
                (self.free + 1).min(self.problem.steps.len())
            } else {
                (self.free - 1).max(2)
            };
            let Some(found) = ended.plan else {
                idle += 1;
                continue;
            };
            idle = 0;
            let judged = evaluate(self.problem, &found.order, &found.setups);
            at = Plan {
                score: judged.score,
                ..found
            };
            if judged.feasible() && at.score <= self.ceiling {
                pool.add(self.measure, at.clone());
            } else {
                price = (price * 3 / 4).max(1);
            }
        }
    }

    /// The problem with a price on pairs in common, higher where more are in common.
    fn priced(&self, at: &Plan, from: &[Vec<usize>], price: i64) -> Problem {
        let common: Vec<usize> = from
            .iter()
            .map(|o| self.measure.common(&at.order, o))
            .collect();
        let most = common.iter().copied().max().unwrap_or(0).max(1);
        let mut sizes: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (order, common) in from.iter().zip(&common) {
            let size = 1 + (SIZES - 1) * common / most;
            for pair in self.measure.alike(order, false) {
                let known = sizes.entry(pair).or_default();
                *known = (*known + size).min(SIZES);
            }
        }
        let mut demands = self.problem.demands.clone();
        for size in 1..=SIZES {
            let of = sizes.iter().filter(|(_, s)| **s == size);
            let pairs: Vec<(usize, usize)> = of.map(|(pair, _)| *pair).collect();
            if !pairs.is_empty() {
                demands.push(Demand {
                    kind: Kind::Neighbours(Neighbours {
                        pairs,
                        least: None,
                        most: Some(0),
                    }),
                    weight: Some(price * i64::try_from(size).expect("there are few sizes") / 2 + 1),
                });
            }
        }
        Problem {
            demands,
            ..self.problem.clone()
        }
    }
}
