//! Iterated local search: a few random swaps close together, down to the next local optimum, kept if not much is lost.
//!
//! The kick is the segment insertion of the exchange itself, at random and only where precedences allow it: the double bridge of the
//! symmetric travelling salesman problem has no other form where directions are kept (O. Martin, S. W. Otto, E. W. Felten, *Large-step Markov
//! chains for the traveling salesman problem*, Complex Systems 5:299-326, 1991). What an order may lose against the best falls to nothing over
//! a round and then rises again (G. Dueck, *New optimization heuristics: the great deluge algorithm and the record-to-record travel*, Journal
//! of Computational Physics 104:86-92, 1993).

use super::chance::Chance;
use super::exchange::{Nearest, Swap, Tour};
use super::instance::Sop;

/// Tries for a swap that precedences allow, per kick.
const TRIES: usize = 30;
/// What an order may lose against the best at the beginning of a round, in mean arcs.
const BAND: i64 = 9;
/// Swaps of a kick at most.
const MOST_SWAPS: usize = 3;
/// The longest segment of a kick.
const LONGEST: usize = 30;

/// A search from order to order; the best so far is kept.
#[derive(Debug, Clone)]
pub struct Iterated<'a> {
    sop: &'a Sop,
    nearest: &'a Nearest,
    tour: Tour<'a>,
    best: Vec<usize>,
    best_cost: i64,
    chance: Chance,
    /// Kicks since the round began, and kicks of a round.
    kicks: u64,
    round: u64,
}

impl<'a> Iterated<'a> {
    /// Begins at an order that keeps the precedences.
    pub fn new(sop: &'a Sop, nearest: &'a Nearest, order: &[usize], seed: u64) -> Self {
        let mut tour = Tour::new(sop, nearest, order);
        tour.settle();
        tour.keep();
        Self {
            sop,
            nearest,
            best: tour.order().to_vec(),
            best_cost: tour.cost(),
            tour,
            chance: Chance::new(seed),
            kicks: 0,
            round: 2_000,
        }
    }

    /// The best order so far with its cost.
    pub fn best(&self) -> (&[usize], i64) {
        (&self.best, self.best_cost)
    }

    /// Takes over an order found elsewhere, if it is better.
    pub fn learn(&mut self, order: &[usize], cost: i64) {
        if cost < self.best_cost {
            self.best = order.to_vec();
            self.best_cost = cost;
            self.restart();
        }
    }

    fn restart(&mut self) {
        self.tour = Tour::new(self.sop, self.nearest, &self.best);
        self.tour.settle();
        self.tour.keep();
        self.note();
    }

    /// One kick and the way down; whether it led to a new best.
    pub fn step(&mut self) -> bool {
        if self.sop.n < 4 {
            return false;
        }
        self.kicks += 1;
        if self.kicks > self.round {
            self.kicks = 0;
            self.round = (self.round * 5 / 4).min(1_000_000);
            if self.chance.below(3) > 0 {
                self.restart();
            }
        }
        let before = self.tour.cost();
        self.kick();
        self.tour.descend();
        // The band falls from whole to nothing over a round.
        let arcs = i64::try_from(self.sop.n).expect("nodes are few");
        let left = i64::try_from(self.round - self.kicks).expect("rounds are short");
        let whole = i64::try_from(self.round).expect("rounds are short");
        let band = (self.best_cost * BAND / arcs + 1) * left / whole;
        let after = self.tour.cost();
        if after <= before || after <= self.best_cost + band {
            self.tour.keep();
        } else {
            self.tour.undo();
        }
        self.note()
    }

    fn note(&mut self) -> bool {
        let better = self.tour.cost() < self.best_cost;
        if better {
            self.best_cost = self.tour.cost();
            self.best.copy_from_slice(self.tour.order());
        }
        better
    }

    fn kick(&mut self) {
        let inner = self.sop.n - 2;
        let centre = self.chance.below(inner);
        let mut left = 1 + self.chance.below(MOST_SWAPS);
        for _ in 0..TRIES {
            let longest = LONGEST.min(inner - 1).max(1);
            let near = centre + self.chance.below(2 * longest + 1);
            let a = 1 + near.saturating_sub(longest).min(inner - 2);
            let b = a + self.chance.below(longest).min(inner - 1 - a);
            let c = b + 1 + self.chance.below(longest).min(inner - 1 - b);
            let s = Swap { a, b, c };
            if self.tour.allows(s) {
                self.tour.swap(s);
                left -= 1;
                if left == 0 {
                    return;
                }
            }
        }
    }
}

/// An order that keeps the precedences: always the cheapest arc that may come next, from the source on.
pub fn greedy(sop: &Sop) -> Vec<usize> {
    let mut waits: Vec<u32> = (0..sop.n)
        .map(|i| sop.before(i).iter().map(|w| w.count_ones()).sum())
        .collect();
    let mut used = vec![false; sop.n];
    let mut order = vec![0];
    used[0] = true;
    while order.len() < sop.n {
        let here = *order.last().expect("it begins with the source");
        for (j, wait) in waits.iter_mut().enumerate() {
            *wait -= u32::from(sop.is_before(here, j));
        }
        let next = (0..sop.n)
            .filter(|&j| !used[j] && waits[j] == 0)
            .min_by_key(|&j| sop.cost(here, j))
            .expect("precedences have no circle");
        used[next] = true;
        order.push(next);
    }
    order
}
