//! Tolls that make the bound higher, and memories that forbid what the cheapest walks still do wrong.
//!
//! The bound is concave in the tolls; how often the walks come to each node on average, less one, is a direction in which it may rise (the average
//! of the cheapest walks so far, the last ones counting most: F. Barahona and R. Anbil, *The volume algorithm: producing primal solutions with a
//! subgradient method*, Mathematical Programming 87:385-399, 2000). The length of a step aims at a level above the best bound, which comes nearer
//! where it is not reached (U. Brännlund, *On relaxation methods for nonsmooth convex optimization*, KTH Stockholm, 1993; after B. T. Polyak,
//! *Minimization of unsmooth functionals*, USSR Computational Mathematics and Mathematical Physics 9(3):14-29, 1969). Then memories grow where the
//! cheapest walks come to a node twice or too late (R. Roberti and A. Mingozzi, *Dynamic ng-path relaxation for the delivery man problem*,
//! Transportation Science 48:413-424, 2014). Any tolls and any memories give a bound, so that nothing here can make it wrong.
//!
//! **Tested by** `no_walk_costs_more_than_an_order`.

use super::assignment::Prices;
use super::instance::Sop;
use super::memory::Memory;
use super::walks::{Tolls, Walks};
use crate::search::wrongs::wrongs;

/// The largest sum of tolls of a walk, so that costs of walks fit 32 bits with room to spare.
const MOST_TOLLS: i32 = 1 << 26;
/// Orders dearer than this leave no room for tolls.
const MOST_COST: i64 = 1 << 26;
/// What the cheapest order costs at most in parts of a unit, where a unit has several.
const MOST_PARTS: i64 = 1 << 21;
/// Steps that lead no higher before the level comes nearer, and how much nearer.
const PATIENCE: usize = 30;
const NEARER: f64 = 0.66;
/// How far above the bound the first level is, of the gap to the best order.
const LEVEL: f64 = 0.2;
/// A climb ends with a level nearer than this, of the gap.
const NEAREST: f64 = 0.05;
/// How much of the way to the level a step goes.
const GAIT: f64 = 0.05;
/// How much the last walk counts in the mean of the walks.
const SHARE: f64 = 0.05;
/// Walks of a climb that are looked at for what they do wrong.
const LAST_WALKS: usize = 8;

/// Tolls, memories and walks, and the best bound that they gave.
#[derive(Debug, Clone)]
pub struct Ascent {
    /// What walks remember.
    pub memory: Memory,
    /// The best tolls.
    pub tolls: Tolls,
    /// Walks priced with the best tolls after [`Ascent::settle`].
    pub walks: Walks,
    /// No order that is cheaper than the limit costs less than this, in parts of a unit.
    parts: i64,
    /// Walks of the last climb, for what they do wrong.
    wrongs: Vec<Vec<usize>>,
    /// How often the walks so far came to each node, the last ones counting most.
    came: Vec<f64>,
}

impl Ascent {
    /// Whether the walks of an instance are within reach: costs that fit, and a table with fewer open arcs than `cells`.
    pub fn takes(sop: &Sop, best: i64, cells: usize) -> bool {
        best <= MOST_COST && Walks::open_of(sop) <= cells
    }

    /// Begins with the prices of the assignment problem; only orders that cost less than `best` (an order's cost) matter.
    pub fn new(sop: &Sop, prices: &Prices, best: i64) -> Self {
        let mut scale = 1;
        while scale < 4096 && best.max(1) * i64::from(scale) * 2 <= MOST_PARTS {
            scale *= 2;
        }
        let most = i64::from(most_toll(sop.n));
        let toll = (0..sop.n).map(|i| {
            let price = -(prices.leave[i] + prices.enter[i]).saturating_mul(i64::from(scale));
            let inner = i > 0 && i < sop.n - 1;
            i32::try_from(price.clamp(-most, most)).expect("it is clamped") * i32::from(inner)
        });
        let tolls = Tolls {
            scale,
            toll: toll.collect(),
        };
        let memory = Memory::new(sop, best - 1);
        let walks = Walks::new(sop, &memory);
        let mut ascent = Self {
            memory,
            tolls,
            walks,
            parts: i64::MIN,
            wrongs: Vec::new(),
            came: vec![1.0; sop.n],
        };
        ascent.settle();
        ascent
    }

    /// No order costs less than this, in units, unless it costs as much as the best one at the last strike.
    pub fn bound(&self) -> i64 {
        let scale = i64::from(self.tolls.scale);
        self.parts.div_euclid(scale) + i64::from(self.parts.rem_euclid(scale) > 0)
    }

    /// Prices the walks with the best tolls.
    pub fn settle(&mut self) {
        let parts = self.walks.price(&self.memory, &self.tolls);
        self.parts = self.parts.max(parts);
    }

    /// Steps until they lead no higher, at most `steps`; stops where the bound reaches `best`. `go_on` is asked before each.
    pub fn climb(&mut self, best: i64, steps: usize, go_on: &mut dyn FnMut() -> bool) {
        let scale = i64::from(self.tolls.scale);
        let mut tolls = self.tolls.clone();
        let mut here = i64::MIN / 2;
        let (mut idle, mut mark) = (0, here);
        let mut level = (best * scale - self.parts) as f64 * LEVEL;
        self.wrongs.clear();
        for _ in 0..steps {
            if self.bound() >= best || !go_on() {
                break;
            }
            let parts = self.walks.price(&self.memory, &tolls);
            let walk = self.walks.cheapest(&self.memory, &tolls);
            if walk.is_empty() {
                // No walk is left: nothing is cheaper than the limit.
                self.parts = best * scale;
                break;
            }
            idle += 1;
            if parts > here {
                if (parts - mark) as f64 > level / 2.0 {
                    mark = parts;
                    idle = 0;
                }
                here = parts;
                self.parts = self.parts.max(parts);
                self.tolls.toll.copy_from_slice(&tolls.toll);
            }
            for came in &mut self.came {
                *came *= 1.0 - SHARE;
            }
            for &node in &walk {
                self.came[node] += SHARE;
            }
            self.wrongs.push(walk);
            if idle > PATIENCE {
                idle = 0;
                mark = here;
                level *= NEARER;
                tolls.toll.copy_from_slice(&self.tolls.toll);
                if level < (best * scale - here) as f64 * NEAREST {
                    break;
                }
            }
            if !self.step(&mut tolls, GAIT * ((here - parts) as f64 + level)) {
                break;
            }
        }
    }

    /// Moves tolls in the direction in which the bound rises; `false` if there is none.
    fn step(&self, tolls: &mut Tolls, length: f64) -> bool {
        let n = self.memory.n;
        let most = most_toll(n);
        let excess = |node: usize| self.came[node] - 1.0;
        let norm: f64 = (1..n - 1).map(|i| excess(i) * excess(i)).sum();
        if norm < 1e-9 {
            return false;
        }
        for i in 1..n - 1 {
            let moved = f64::from(tolls.toll[i]) + length / norm * excess(i);
            // Rounding is harmless: any tolls give a bound.
            tolls.toll[i] = (moved.round() as i32).clamp(-most, most);
        }
        true
    }

    /// Strikes out what cannot be part of an order cheaper than `best`; whether anything was.
    pub fn strike(&mut self, sop: &Sop, best: i64) -> bool {
        self.settle();
        let limit = (best - 1) * i64::from(self.tolls.scale);
        let struck = self.walks.strike(sop, &mut self.memory, &self.tolls, limit);
        if struck {
            self.settle();
        }
        struck
    }

    /// Lets nodes remember what the cheapest walks of the last climb did wrong, at most `most_kept` nodes each, as long as the table stays below
    /// `cells` cells. Whether any memory grew.
    pub fn learn(&mut self, sop: &Sop, most_kept: usize, cells: usize) -> bool {
        let mut grew = false;
        let walks = std::mem::take(&mut self.wrongs);
        // The last walks are those near the best tolls.
        for walk in walks.iter().rev().take(LAST_WALKS) {
            let mut more = false;
            for wrong in wrongs(walk, |a, b| sop.is_before(a, b)) {
                if self.walks.cells_of(&self.memory) > cells {
                    break;
                }
                let lacking: Vec<usize> = (wrong.from + 1..wrong.to)
                    .map(|p| walk[p])
                    .filter(|&x| !sop.is_before(wrong.node, x) && !self.memory.keeps(x, wrong.node))
                    .collect();
                let room = lacking.iter().all(|&x| self.memory.n_kept(x) < most_kept);
                if room {
                    for x in lacking {
                        more |= self.memory.keep(x, wrong.node, most_kept);
                    }
                }
            }
            if more {
                grew = true;
                self.memory.refresh(sop);
            }
        }
        if grew {
            self.walks.lay_out(&self.memory);
            self.settle();
        }
        grew
    }
}

/// The largest toll of a node.
fn most_toll(n: usize) -> i32 {
    MOST_TOLLS / i32::try_from(n).expect("nodes are few")
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    /// Climbs and learns for some rounds below `best`, striking out on the way.
    fn climbed(sop: &Sop, best: i64, rounds: usize) -> Ascent {
        let mut ascent = Ascent::new(sop, &Prices::of(sop), best);
        for round in 0..rounds {
            ascent.climb(best, 60, &mut || true);
            if ascent.bound() >= best {
                break;
            }
            ascent.strike(sop, best);
            ascent.learn(sop, 1 + round, 100_000);
        }
        ascent
    }

    #[test]
    fn no_walk_costs_more_than_an_order() {
        let mut tight = 0;
        for seed in 0..200 {
            let sop = sample::instance(&sample::problem(seed, 6));
            let least = sample::orders(&sop).iter().map(|&(_, cost)| cost).min();
            let least = least.expect("there is an order");
            for above in [1, 3, 50] {
                let ascent = climbed(&sop, least + above, 4);
                assert!(ascent.bound() <= least, "seed {seed}, {above}");
                tight += usize::from(ascent.bound() == least);
            }
        }
        assert!(tight > 300, "the bound is rarely tight: {tight} of 600");
    }

    #[test]
    fn what_a_walk_still_pays_is_below_what_an_order_still_pays() {
        for seed in 0..60 {
            let sop = sample::instance(&sample::problem(seed, 6));
            let orders = sample::orders(&sop);
            let least = orders.iter().map(|&(_, cost)| cost).min();
            let best = least.expect("there is an order") + 4;
            let mut ascent = climbed(&sop, best, 3);
            ascent.settle();
            for (order, cost) in orders.iter().filter(|&&(_, cost)| cost < best) {
                let mut done = vec![0u64; sop.words];
                let (mut paid, mut tolls) = (0, 0);
                for (place, &node) in order.iter().enumerate() {
                    done[node / 64] |= 1 << (node % 64);
                    tolls += i64::from(ascent.tolls.toll[node]);
                    if place > 0 {
                        paid += i64::from(sop.cost(order[place - 1], node));
                    }
                    let state = ascent.memory.state(node, &done);
                    let still = i64::from(ascent.walks.togo(place, node, state))
                        - (ascent.tolls.sum() - tolls);
                    let rest = (cost - paid) * i64::from(ascent.tolls.scale);
                    assert!(still <= rest, "seed {seed}: {order:?} at {place}");
                }
            }
        }
    }

    #[test]
    fn below_the_best_no_walk_may_be_left_and_then_the_bound_says_so() {
        for seed in 0..60 {
            let sop = sample::instance(&sample::problem(seed, 5));
            let least = sample::orders(&sop).iter().map(|&(_, cost)| cost).min();
            let least = least.expect("there is an order");
            // Memories that hold everything make walks orders: the bound must meet the best.
            let ascent = climbed(&sop, least, 30);
            assert!(ascent.bound() >= least, "seed {seed}: {}", ascent.bound());
        }
    }
}
