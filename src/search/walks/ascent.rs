//! Tolls that make the bound higher, and memories that forbid what the cheapest walks still do wrong.
//!
//! The bound is concave in the tolls; how often the cheapest walk comes to each step, less one, is a direction in which it may rise (mixed with the
//! direction before it: P. M. Camerini, L. Fratta, F. Maffioli, *On improving relaxation methods by modified gradient techniques*, Mathematical
//! Programming Study 3:26-34, 1975). The length of a step aims at a level above the best bound, which comes nearer where it is not reached (U.
//! Brännlund, *On relaxation methods for nonsmooth convex optimization*, KTH Stockholm, 1993; after B. T. Polyak, *Minimization of unsmooth functionals*, USSR
//! Computational Mathematics and Mathematical Physics 9(3):14-29, 1969). Then memories grow where walks came to a step twice or too late (R. Roberti and A. Mingozzi,
//! *Dynamic ng-path relaxation for the delivery man problem*, Transportation Science 48:413-424, 2014). Any tolls and any memories give a bound, so
//! nothing here can make it wrong.
//!
//! **Tested by** `walks` (`no_walk_costs_more_than_the_best_plan`).

use super::grid::{Grid, MOST_COST};
use super::memory::Memory;
use super::price::Walks;
use crate::problem::figures::GREATEST;
use crate::search::rungs::hierarchy;
use crate::search::tables::Tables;
use crate::search::wrongs::wrongs;

/// A grid has at most so many set-ups.
const MOST_SETUPS: usize = 2000;
/// Steps that lead no higher before the level comes nearer, and how much nearer.
const PATIENCE: usize = 10;
const NEARER: f64 = 0.66;
/// How far above the bound the first level is, of the gap to the best plan.
const LEVEL: f64 = 0.2;
/// A climb ends with a level nearer than this, of the gap.
const NEAREST: f64 = 0.05;
/// How much of the way to the level a step goes.
const GAIT: f64 = 0.6;
/// How much the last walk counts in the direction.
const SHARE: f64 = 0.7;
/// Walks of a climb that are looked at for what they do wrong.
const LAST_WALKS: usize = 8;
/// So many additions count as one state.
const ADDITIONS: usize = 1000;
/// Where the unit is not one, the best plan known costs this part of what can be told of.
const ROOM: i64 = 32;
/// Without a plan, the unit becomes so many times larger at a time, and no larger than this.
const COARSER: i64 = 16;
const MOST_UNIT: i64 = GREATEST / MOST_COST;
/// A climb that gains less than this part of the gap, memories being full, was the last.
const LEAST_GAIN: f64 = 0.002;

/// Tolls, memories and walks, and the best bound that they gave.
#[derive(Debug)]
pub struct Ascent<'t, const N: usize> {
    tables: &'t Tables<'t, N>,
    /// Steps that pay for one left out as well.
    twice: Vec<bool>,
    /// What costs are counted in.
    unit: i64,
    grid: Grid,
    memory: Memory<N>,
    walks: Walks,
    /// The best tolls, by step, in units.
    tolls: Vec<f32>,
    /// The best bound since the unit is this one, in units.
    in_units: i64,
    /// The best bound of all.
    bound: i64,
    /// Climbs so far.
    climbs: usize,
    /// Bytes that it may use.
    bytes: usize,
    /// Whether memories may grow no more.
    full: bool,
}

/// What has come of a climb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// The next one may lead higher.
    Higher,
    /// It was stopped.
    Stopped,
    /// This is as high as it gets.
    Over,
}

impl<'t, const N: usize> Ascent<'t, N> {
    /// Without tolls. `None` where there is no such bound, or it would take more than so many bytes.
    pub fn new(t: &'t Tables<'t, N>, bytes: usize) -> Option<Self> {
        let steps = &t.problem.steps;
        let goes = |s: usize| steps[s].start == steps[s].end;
        if t.must.is_empty() || !(0..t.n).all(|s| t.must.has(s) || goes(s)) {
            return None;
        }
        let second = seconds(t);
        let twice: Vec<bool> = (0..t.n).map(|s| second.contains(&Some(s))).collect();
        let walked = t.must.iter().filter(|&s| second[s].is_none()).collect();
        let grid = Grid::new(t, &hierarchy(t), MOST_SETUPS, &twice, 1);
        let memory = Memory::new(t, walked);
        let walks = Walks::new(t, &memory, &grid);
        let ascent = Self {
            tables: t,
            twice,
            unit: 1,
            tolls: vec![0.0; t.n],
            in_units: 0,
            bound: 0,
            climbs: 0,
            bytes,
            full: false,
            grid,
            memory,
            walks,
        };
        (ascent.walks.bytes(&ascent.memory, &ascent.grid) <= bytes).then_some(ascent)
    }

    /// No plan costs less.
    pub fn bound(&self) -> i64 {
        self.bound
    }

    /// Counts in a unit in which the best plan known lies below [`MOST_COST`], or, where none is known, in a larger one where bounds come near it.
    /// A unit that has become far too large is given up for a smaller one.
    fn fit(&mut self, best: Option<i64>) {
        let unit = match best {
            Some(best) if best < MOST_COST => 1,
            // Tolls need room: each may be as much as many steps cost on the average.
            Some(best) => best / (MOST_COST / ROOM) + 1,
            None if self.in_units > MOST_COST / 2 && self.unit < MOST_UNIT => self.unit * COARSER,
            None => self.unit,
        };
        if unit <= self.unit && unit > self.unit / COARSER {
            return;
        }
        let order = hierarchy(self.tables);
        self.grid = Grid::new(self.tables, &order, MOST_SETUPS, &self.twice, unit);
        let shorter = self.unit as f64 / unit as f64;
        let most = most_toll(self.memory.steps.len());
        for toll in &mut self.tolls {
            *toll = (f64::from(*toll) * shorter).round().clamp(-most, most) as f32;
        }
        (self.unit, self.in_units) = (unit, 0);
    }

    /// States that one pricing counts for.
    fn work(&self) -> u64 {
        (self.walks.work(&self.memory, &self.grid) / ADDITIONS) as u64 + 1
    }

    /// Prices walks with some tolls; whether there are walks, and what the cheapest costs.
    fn price(&mut self, tolls: &[f32]) -> Option<i64> {
        let price = self.walks.price(&self.memory, &self.grid, tolls);
        // Of plans that cost more than this nothing is said.
        self.in_units = self.in_units.max(price.unwrap_or(MOST_COST).min(MOST_COST));
        self.bound = self.bound.max(self.in_units.saturating_mul(self.unit));
        price
    }

    /// The bound of the tolls so far. `go_on` is asked before each pricing, with the states that it counts for. `best`: what the best plan known costs.
    pub fn settle(&mut self, best: Option<i64>, go_on: &mut dyn FnMut(u64) -> bool) {
        self.fit(best);
        if go_on(self.work()) {
            let tolls = std::mem::take(&mut self.tolls);
            self.price(&tolls);
            self.tolls = tolls;
        }
    }

    /// Climbs until steps lead no higher, then lets memories grow. `best`: what the best plan known costs.
    pub fn climb(&mut self, best: Option<i64>, go_on: &mut dyn FnMut(u64) -> bool) -> Then {
        self.fit(best);
        let coarser = best.is_none() && self.unit < MOST_UNIT;
        // Without a plan the level is a fifth above the first bound.
        let best = best.map_or(self.in_units * 6 / 5 + 1, |best| {
            best / self.unit + i64::from(best % self.unit != 0)
        });
        let best = best.min(MOST_COST);
        let before = self.in_units;
        let steps = self.memory.steps.clone();
        let n = steps.len() as f64;
        let most_toll = most_toll(steps.len());
        let mut tolls = self.tolls.clone();
        let mut mean: Option<Vec<f64>> = None;
        let mut seen: Vec<Vec<usize>> = Vec::new();
        let mut here = i64::MIN / 4;
        let (mut idle, mut mark, mut level) = (0, here, 0.0);
        while self.in_units < best {
            if !go_on(self.work()) {
                return Then::Stopped;
            }
            let Some(price) = self.price(&tolls) else {
                // No walk at all, or none that can be told of in this unit.
                return if coarser { Then::Higher } else { Then::Over };
            };
            let walk = self.walks.cheapest(&self.memory, &self.grid, &tolls);
            if mean.is_none() {
                level = (best - price) as f64 * LEVEL;
            }
            idle += 1;
            if price > here {
                if (price - mark) as f64 > level / 2.0 {
                    (mark, idle) = (price, 0);
                }
                here = price;
                self.tolls.clone_from(&tolls);
            }
            let mut came = vec![0.0; tolls.len()];
            for &s in &walk {
                came[s] += 1.0;
            }
            // A cheapest walk that is an order: no tolls lead higher.
            if steps.iter().all(|&s| came[s] == 1.0) {
                seen.push(walk);
                break;
            }
            if let Some(mean) = &mean {
                for (c, m) in came.iter_mut().zip(mean) {
                    *c = SHARE * *c + (1.0 - SHARE) * m;
                }
            }
            seen.push(walk);
            if idle > PATIENCE {
                (idle, mark) = (0, here);
                level *= NEARER;
                tolls.clone_from(&self.tolls);
                if level < (best - here) as f64 * NEAREST {
                    break;
                }
            }
            let norm: f64 = steps.iter().map(|&s| (came[s] - 1.0).powi(2)).sum();
            if norm < 1e-9 * n {
                break;
            }
            let length = GAIT * ((here - price) as f64 + level) / norm;
            for &s in &steps {
                let moved = f64::from(tolls[s]) + length * (came[s] - 1.0);
                // Rounding is harmless: any tolls give a bound.
                tolls[s] = moved.round().clamp(-most_toll, most_toll) as f32;
            }
            mean = Some(came);
        }
        self.climbs += 1;
        let gained = (self.in_units - before) as f64;
        let grew = self.in_units < best && !self.full && self.learn(&seen);
        if grew || (self.in_units < best && gained > (best - before) as f64 * LEAST_GAIN) {
            Then::Higher
        } else {
            Then::Over
        }
    }

    /// Lets steps remember what the last walks did wrong, as long as that fits. Whether any memory grew.
    fn learn(&mut self, seen: &[Vec<usize>]) -> bool {
        let most = 1 + self.climbs;
        let saved = self.memory.clone();
        let mut grew = false;
        for walk in seen.iter().rev().take(LAST_WALKS) {
            for wrong in wrongs(walk, |a, b| self.memory.is_before(a, b)) {
                let between = walk[wrong.from + 1..wrong.to].iter().copied();
                let lacking: Vec<usize> = between
                    .filter(|&x| !self.memory.keeps(x, wrong.node))
                    .collect();
                if lacking.iter().all(|&x| self.memory.n_kept(x) < most) {
                    for x in lacking {
                        grew |= self.memory.keep(x, wrong.node, most);
                    }
                }
            }
        }
        if grew {
            self.memory.refresh();
            if self.walks.bytes(&self.memory, &self.grid) > self.bytes {
                self.full = true;
                self.memory = saved;
                return false;
            }
            self.walks.lay_out(&self.memory, &self.grid);
        }
        grew
    }
}

/// No toll of so many steps is above this or below its negative, in units.
fn most_toll(steps: usize) -> f64 {
    (MOST_COST / i64::try_from(steps).expect("steps are few")) as f64
}

/// For each step the one before it of which it is the like: alike in all that they ask for, and one directly after the other.
fn seconds<const N: usize>(t: &Tables<'_, N>) -> Vec<Option<usize>> {
    let mut second: Vec<Option<usize>> = vec![None; t.n];
    let mut taken = vec![false; t.n];
    for (members, sure) in &t.blocks {
        let both: Vec<usize> = members.iter().collect();
        let &[a, b] = &both[..] else { continue };
        let (x, y) = (&t.problem.steps[a], &t.problem.steps[b]);
        let alike =
            x.setup == y.setup && x.start == x.end && y.start == y.end && x.start == y.start;
        if alike && members == sure && !taken[a] && !taken[b] {
            (taken[a], taken[b]) = (true, true);
            second[b] = Some(a);
        }
    }
    second
}
