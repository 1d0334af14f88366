//! Plans in a hurry: simulated annealing over whole orders (Kirkpatrick, Gelatt and Vecchi 1983), for lists so long that tables are long in coming.
//!
//! An order is changed by swapping two pieces of it (what must come before what, and what must stay in one piece, stays so), its set-ups are chosen
//! anew, and it is scored; demands that must hold count as ones that should, at a price that rises as long as they stay broken.
//!
//! **Claim.** What comes out is a plan and has the score that it is given. **Why.** The referee says so; nothing is proven otherwise, and no bound comes from
//! here. That the guesses on the way are right as well (an order keeps what every order is said to keep, a score is the referee's but for the prices) is
//! **tested by** `local_search`.

pub mod excess;
pub mod fitting;
pub mod orders;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::budget::{Limits, Meter};
use super::outcome::Plan;
use super::tables::Tables;
use crate::problem::Problem;
use crate::problem::timeline::Timeline;
use crate::score::{cost_of, evaluate};
use excess::{UNIT, excess, movable};
use fitting::Fitting;
use orders::Orders;

/// Orders that are tried, for each step, before the temperature has come down.
const FIRST_TRIES: usize = 250;
/// They double from run to run, up to this.
const MOST_TRIES: usize = 32_000;
/// Of so many changes of the first order the median harm sets the temperature.
const SAMPLE: usize = 40;
/// The last temperature is this part of the first.
const COOLED: f64 = 0.01;
/// A broken demand counts for so many times the median harm, at first.
const PRICE: f64 = 3.0;
/// And for so many times more after each run that has left it broken.
const GROWTH: i64 = 2;
/// But for no more than this.
const DEAREST: i64 = 1 << 44;
/// After so many runs without any plan the walk begins anew.
const MOST_VAIN: usize = 6;
/// An order of so many steps counts as one node.
const STEPS_A_NODE: usize = 8;

/// An annealing under way.
pub struct Annealing<'a, const N: usize> {
    tables: &'a Tables<'a, N>,
    orders: Orders<N>,
    fitting: Fitting<'a, N>,
    rng: ChaCha8Rng,
    /// The demands that an order may break.
    open: Vec<usize>,
    /// What a violation of each demand that must hold costs.
    price: Vec<i64>,
    /// Where the run before ended.
    here: Option<Vec<usize>>,
    /// Tries of the next run, for each step.
    tries: usize,
    /// Runs one after the other that came to no plan.
    vain: usize,
    /// Values that the last change gave to `same` demands, as they were before.
    undo: Vec<(usize, Option<usize>)>,
    /// For each demand the steps that it may help to move where it is broken.
    movable: Vec<Vec<usize>>,
    /// Demands that the order tried last breaks, and those that the present one does.
    broken: Vec<usize>,
    broken_here: Vec<usize>,
    timeline: Timeline,
}

/// What an order comes to.
#[derive(Debug, Clone, Copy)]
struct Cost {
    /// Its score.
    score: i64,
    /// The same with the prices of what must hold and is broken.
    priced: i64,
}

/// Runs until the limits are reached: the best plan.
pub fn best_of_runs<const N: usize>(problem: &Problem, limits: &Limits) -> Option<Plan> {
    let tables = Tables::<N>::new(problem);
    let mut meter = Meter::new(limits);
    let mut annealing = Annealing::new(&tables, limits.seed);
    let mut best: Option<Plan> = None;
    while meter.stopped().is_none() {
        let left = limits
            .nodes
            .unwrap_or(u64::MAX)
            .saturating_sub(meter.nodes());
        let before = meter.nodes();
        let below = best.as_ref().map_or(i64::MAX / 4, |plan| plan.score);
        best = annealing
            .run(best.as_ref(), below, left, &mut meter)
            .or(best);
        if meter.nodes() == before {
            break;
        }
    }
    best
}

impl<'a, const N: usize> Annealing<'a, N> {
    /// Ready for a first run.
    pub fn new(tables: &'a Tables<'a, N>, seed: u64) -> Self {
        let problem = tables.problem;
        let orders = Orders::new(tables);
        let open = (0..problem.demands.len()).filter(|&k| !orders::kept(&problem.demands[k]));
        Self {
            open: open.collect(),
            fitting: Fitting::new(tables),
            orders,
            rng: ChaCha8Rng::seed_from_u64(seed),
            price: vec![0; problem.demands.len()],
            here: None,
            tries: FIRST_TRIES,
            vain: 0,
            undo: Vec::new(),
            movable: problem.demands.iter().map(|d| movable(&d.kind)).collect(),
            broken: Vec::new(),
            broken_here: Vec::new(),
            timeline: Timeline::default(),
            tables,
        }
    }

    /// One run: from hot to cold, from the order of `best` or from where the run before ended. The best plan on the way that scores below
    /// `below`; where there is no `best`, the first one. Takes about `budget` nodes at most, none if they are too few to try anything.
    pub fn run(
        &mut self,
        best: Option<&Plan>,
        below: i64,
        budget: u64,
        meter: &mut Meter<'_>,
    ) -> Option<Plan> {
        let n = self.tables.n;
        let mut order = match (best, self.here.take()) {
            (Some(plan), _) => plan.order.clone(),
            (None, Some(order)) => order,
            (None, None) => self.orders.first(self.tables, &mut self.rng),
        };
        let cost_of_a_try = n as u64 / STEPS_A_NODE as u64 + 1;
        let mut candidate = order.clone();
        let median = self.sample(&order, &mut candidate);
        for &k in &self.open {
            let price = &mut self.price[k];
            *price = (*price).max((median * PRICE) as i64);
        }
        let mut cost = self.cost(&order);
        std::mem::swap(&mut self.broken, &mut self.broken_here);
        let mut found: Option<Plan> = None;
        let mut below = below;
        let first = if best.is_some() { median / 2.0 } else { median };
        let tries = (self.tries * n).min((budget / cost_of_a_try) as usize);
        for i in 0..tries {
            if !meter.spend(cost_of_a_try) {
                break;
            }
            let heat = first * COOLED.powf(i as f64 / tries as f64);
            if !self.change(&order, &mut candidate) {
                continue;
            }
            let next = self.cost(&candidate);
            let harm = (next.priced - cost.priced) as f64;
            let luck: f64 = self.rng.random();
            if harm <= 0.0 || luck.ln() * heat <= -harm {
                std::mem::swap(&mut order, &mut candidate);
                cost = next;
                std::mem::swap(&mut self.broken, &mut self.broken_here);
                if self.broken_here.is_empty() && cost.score < below {
                    let plan = self.judged(&order);
                    if let Some(plan) = plan.filter(|p| p.score < below) {
                        below = plan.score;
                        found = Some(plan);
                        // The first one is worth telling at once.
                        if best.is_none() {
                            break;
                        }
                    }
                }
            } else {
                self.fitting.undo(&self.undo);
            }
        }
        // What is still broken costs more next time.
        for &k in &self.broken_here {
            self.price[k] = self.price[k].saturating_mul(GROWTH).min(DEAREST);
        }
        self.here = Some(order);
        self.vain = if best.is_some() || found.is_some() {
            0
        } else {
            self.vain + 1
        };
        if self.vain >= MOST_VAIN {
            self.vain = 0;
            self.here = None;
            self.price.fill(0);
            self.tries = FIRST_TRIES.max(self.tries / 4);
        }
        if tries == self.tries * n {
            self.tries = (self.tries * 2).min(MOST_TRIES);
        }
        found
    }

    /// The median harm of a change of this order.
    fn sample(&mut self, order: &[usize], candidate: &mut Vec<usize>) -> f64 {
        let cost = self.cost(order).score;
        let mut harms = Vec::new();
        for _ in 0..SAMPLE {
            if self.change(order, candidate) {
                let harm = (self.cost(candidate).score - cost).abs();
                if harm > 0 {
                    harms.push(harm);
                }
                self.fitting.undo(&self.undo);
            }
        }
        harms.sort_unstable();
        harms.get(harms.len() / 2).map_or(1.0, |&h| h as f64)
    }

    /// Changes `order` into `candidate`, or values that are shared. Whether what was drawn can be done.
    fn change(&mut self, order: &[usize], candidate: &mut Vec<usize>) -> bool {
        candidate.clear();
        candidate.extend_from_slice(order);
        self.undo.clear();
        if self.fitting.shares() && self.rng.random_range(0..20) == 0 {
            self.fitting.change(order, &mut self.rng, &mut self.undo);
            return true;
        }
        let mut focus = None;
        if !self.broken_here.is_empty() && self.rng.random_bool(0.5) {
            let demand = self.broken_here[self.rng.random_range(0..self.broken_here.len())];
            let steps = &self.movable[demand];
            if !steps.is_empty() {
                let step = steps[self.rng.random_range(0..steps.len())];
                focus = order.iter().position(|&s| s == step);
            }
        }
        self.orders
            .change(self.tables, candidate, focus, &mut self.rng)
    }

    /// Scores an order with the set-ups that fit it.
    fn cost(&mut self, order: &[usize]) -> Cost {
        let problem = self.tables.problem;
        let fitted = self.fitting.fit(order, &mut self.timeline);
        let mut prices = 0;
        self.broken.clear();
        let mut cost = Cost {
            score: fitted,
            priced: 0,
        };
        for &k in &self.open {
            let demand = &problem.demands[k];
            let count = demand.kind.violations(&problem.steps, &self.timeline);
            if count == 0 {
                continue;
            }
            cost.score += cost_of(problem, k, count);
            if demand.weight.is_none() {
                let times = excess(&demand.kind, count, &problem.steps, &self.timeline);
                prices = (self.price[k].saturating_mul(times) / UNIT).saturating_add(prices);
                self.broken.push(k);
            }
        }
        cost.priced = cost.score.saturating_add(prices);
        cost
    }

    /// The plan of an order, if the referee calls it one.
    fn judged(&mut self, order: &[usize]) -> Option<Plan> {
        self.fitting.fit(order, &mut self.timeline);
        let setups = self.timeline.setups.clone();
        let judged = evaluate(self.tables.problem, order, &setups);
        judged.feasible().then(|| Plan {
            order: order.to_vec(),
            setups,
            score: judged.score,
        })
    }
}
