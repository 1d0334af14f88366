//! Orders within a ceiling that have few pairs in common with given ones, for lists too long to look through.
//!
//! A leap is a search in a hurry for a good order at a price for each pair in common with the given orders (soft `neighbours` demands), in which each
//! step takes only the set-ups that known orders use for it or that suit it best. The order that it
//! finds then gets its cheapest set-ups, with all of them allowed. What is found is real; that nothing else exists is not claimed here.

use std::collections::BTreeMap;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::difference::Measure;
use crate::problem::Problem;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::score::evaluate;
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::Plan;
use crate::search::{in_a_hurry, solve_below};

/// Nodes of one leap, and of the search for the set-ups of what it finds.
const LEAP_NODES: u64 = 60_000;
const SETUP_NODES: u64 = 100_000;
/// A pair in common costs this part of what an order may score above the best, to begin with.
const FIRST_PRICE: i64 = 6;
/// Number of sizes in which prices of pairs come.
const SIZES: usize = 3;
/// One pair in this many is dear by chance.
const BY_CHANCE: usize = 4;

/// Orders that are within the ceiling, each class once, with its lowest score.
#[derive(Debug, Default)]
pub struct Pool {
    /// The orders.
    pub plans: Vec<Plan>,
    by_spelling: BTreeMap<Vec<usize>, usize>,
}

impl Pool {
    /// Adds an order, or betters it. Whether it is a new class.
    pub fn add(&mut self, measure: &Measure, plan: Plan) -> bool {
        let spelled = measure.spelled(&plan.order);
        match self.by_spelling.get(&spelled) {
            Some(&k) => {
                if plan.score < self.plans[k].score {
                    self.plans[k] = plan;
                }
                false
            }
            None => {
                self.by_spelling.insert(spelled, self.plans.len());
                self.plans.push(plan);
                true
            }
        }
    }

    /// Puts the orders in another order.
    pub fn shuffle(&mut self, measure: &Measure, mix: impl FnOnce(&mut [Plan])) {
        mix(&mut self.plans);
        self.by_spelling = (self.plans.iter().enumerate())
            .map(|(k, plan)| (measure.spelled(&plan.order), k))
            .collect();
    }
}

/// Leaps from known orders to others.
pub struct Leaper<'a> {
    problem: &'a Problem,
    measure: &'a Measure,
    ceiling: i64,
    price: i64,
    dearest: i64,
    rng: ChaCha8Rng,
}

impl<'a> Leaper<'a> {
    /// One that depends on the seed. `best` is the best score.
    pub fn new(
        problem: &'a Problem,
        measure: &'a Measure,
        best: i64,
        ceiling: i64,
        seed: u64,
    ) -> Self {
        let room = (ceiling - best).max(1);
        Self {
            problem,
            measure,
            ceiling,
            price: (room / FIRST_PRICE).max(1),
            dearest: room,
            rng: ChaCha8Rng::seed_from_u64(seed),
        }
    }

    /// Leaps away from the orders of `from` and adds where it comes out to the pool, if that is within the ceiling. Whether it is a new class.
    pub fn leap(&mut self, pool: &mut Pool, from: &[Vec<usize>], meter: &mut Meter<'_>) -> bool {
        let priced = self.priced(pool, from);
        let limits = Limits {
            seed: self.rng.random(),
            ..meter.part(LEAP_NODES, meter.memory())
        };
        let found = in_a_hurry(&priced, &limits);
        meter.count(LEAP_NODES);
        let Some(plan) = found else {
            self.price = (self.price * 3 / 5).max(1);
            return false;
        };
        let plan = self.with_best_setups(plan, meter);
        let within = plan.score <= self.ceiling;
        let new = within && pool.add(self.measure, plan);
        self.price = if new {
            (self.price * 5 / 4).min(self.dearest)
        } else if within {
            (self.price * 2).min(self.dearest)
        } else {
            (self.price * 3 / 5).max(1)
        };
        new
    }

    /// The order of a plan with the best of all its set-ups, rests put in anew.
    fn with_best_setups(&self, plan: Plan, meter: &mut Meter<'_>) -> Plan {
        let judged = evaluate(self.problem, &plan.order, &plan.setups);
        let here = Plan {
            score: judged.score,
            ..plan
        };
        let kept: Vec<usize> = (here.order.iter().copied())
            .filter(|&s| self.problem.steps[s].optional.is_none())
            .collect();
        let mut fixed = self.problem.clone();
        fixed.demands.extend(kept.windows(2).map(|two| Demand {
            kind: Kind::Precede(Precede {
                a: two[0],
                b: two[1],
            }),
            weight: None,
        }));
        let limits = meter.part(SETUP_NODES, meter.memory() / 8);
        let better = solve_below(&fixed, &limits, here.score);
        meter.count(better.nodes);
        better.plan.unwrap_or(here)
    }

    /// The problem with a price on pairs in common, higher where more orders have them, and with few set-ups.
    fn priced(&mut self, pool: &Pool, from: &[Vec<usize>]) -> Problem {
        let mut sizes: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for order in from {
            for pair in self.measure.alike(order, false) {
                let known = sizes.entry(pair).or_default();
                *known = (*known + 1).min(SIZES);
            }
        }
        let mut problem = Problem {
            steps: self.few_setups(pool),
            ..self.problem.clone()
        };
        for size in 1..=SIZES {
            let pairs: Vec<(usize, usize)> = (sizes.iter())
                .filter(|(_, s)| **s == size)
                .map(|(pair, _)| *pair)
                .collect();
            let size = i64::try_from(size).expect("there are few sizes");
            dear(&mut problem, pairs, self.price * (1 + size) / 2);
        }
        // Some pairs by chance, so that another seed goes elsewhere.
        let n = self.problem.steps.len();
        let pairs = (0..n * n).map(|k| (k / n, k % n));
        let chance: Vec<(usize, usize)> = pairs
            .filter(|(a, b)| a != b)
            .filter(|_| self.rng.random_range(0..BY_CHANCE) == 0)
            .collect();
        dear(&mut problem, chance, self.price / 3);
        problem
    }

    /// The steps, each with the values that an order of the pool has for it or that cost least.
    fn few_setups(&self, pool: &Pool) -> Vec<crate::problem::step::Step> {
        let mut steps = self.problem.steps.clone();
        for (s, step) in steps.iter_mut().enumerate() {
            for (f, choices) in step.setup.iter_mut().enumerate() {
                let Some(choices) = choices else { continue };
                let least = choices.iter().map(|c| c.penalty).min();
                let used = |value: usize| {
                    pool.plans.iter().any(|plan| {
                        let place = plan.order.iter().position(|&o| o == s);
                        place.is_some_and(|p| plan.setups[p][f] == value)
                    })
                };
                choices.retain(|c| Some(c.penalty) == least || used(c.value));
            }
        }
        steps
    }
}

/// A price on each of these pairs that stands.
fn dear(problem: &mut Problem, pairs: Vec<(usize, usize)>, price: i64) {
    if !pairs.is_empty() && price > 0 {
        problem.demands.push(Demand {
            kind: Kind::Neighbours(Neighbours {
                pairs,
                least: None,
                most: Some(0),
            }),
            weight: Some(price),
        });
    }
}
