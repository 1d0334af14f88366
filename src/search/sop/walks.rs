//! The cheapest walks: the lower bound, for the whole and from every state and place on.
//!
//! A walk pays its arcs and, for each node that it comes to, that node's toll; the tolls of all nodes, once each, are taken off again.
//!
//! **Claim.** What [`Walks::price`] gives is at most the cost of every order that costs no more than the limit of the last strike;
//! [`Walks::togo`], less the tolls of the nodes not yet done, is at most what such an order still pays.
//!
//! **Why.** An order is a walk that keeps to what it remembers (`memory`) and comes to each node once, so that its tolls cancel whatever they
//! are (Lagrangian relaxation: N. Christofides, A. Mingozzi, P. Toth, *State-space relaxation procedures for the computation of bounds to routing
//! problems*, Networks 11:145-164, 1981). The cheapest walk is found exactly, by dynamic programming over places and states. An arc at a place is
//! struck out only when every walk through it costs as much as the limit.
//!
//! **Relaxes** that each node is visited exactly once (tolls push towards it) and precedence between nodes that are not remembered.
//!
//! **Tested by** `no_walk_costs_more_than_an_order`, `what_a_walk_still_pays_is_below_what_an_order_still_pays`.

use super::instance::{NEVER, Sop};
use super::memory::{Memory, NONE};

// What walks cost: at most 2^26 for an order, and tolls of at most 2^26 in all, on the way or taken off; so a walk that matters pays less than 2^28
// from anywhere, and sums with the cost of an arc stay below 2^30.
/// More than any walk that matters.
pub const FAR: i32 = 1 << 29;
/// Walks dearer than this are as good as none.
const FAR_ENOUGH: i32 = 1 << 28;

/// What costs are multiplied by, and tolls.
#[derive(Debug, Clone)]
pub struct Tolls {
    /// Tolls are in parts of a unit: so many make one.
    pub scale: i32,
    /// One for each node, 0 for source and sink.
    pub toll: Vec<i32>,
}

impl Tolls {
    /// The sum of all tolls.
    pub fn sum(&self) -> i64 {
        self.toll.iter().map(|&t| i64::from(t)).sum()
    }
}

/// Arcs by place, places of nodes, and the cheapest walks from everywhere to the sink.
#[derive(Debug, Clone)]
pub struct Walks {
    n: usize,
    /// The arcs that may leave each node at each place, by their numbers; those of a node at a place in a row.
    open: Vec<u32>,
    /// Where the row of a node at a place begins: `place * n + node`.
    row: Vec<u32>,
    /// Places at which each node may stand.
    first: Vec<usize>,
    last: Vec<usize>,
    /// Where the states of a node at a place begin in `togo`: `place * n + node`.
    offset: Vec<usize>,
    /// Cheapest walk from a state to the sink, tolls of what comes included, in parts of a unit; after the last state of a node, [`FAR`].
    togo: Vec<i32>,
}

impl Walks {
    /// How many arcs are open at first, all places together.
    pub fn open_of(sop: &Sop) -> usize {
        let count = |row: &[u64]| -> usize { row.iter().map(|w| w.count_ones() as usize).sum() };
        let windows: Vec<(usize, usize)> = (0..sop.n)
            .map(|i| (count(sop.before(i)), sop.n - 1 - count(sop.after(i))))
            .collect();
        let mut open = 0;
        for (i, &(first, last)) in windows.iter().enumerate() {
            for (j, &(from, to)) in windows.iter().enumerate() {
                if sop.cost(i, j) < NEVER {
                    open += (last + 2).min(to + 1).saturating_sub((first + 1).max(from));
                }
            }
        }
        open
    }

    /// All arcs open at all places that precedences leave.
    pub fn new(sop: &Sop, memory: &Memory) -> Self {
        let count = |row: &[u64]| -> usize { row.iter().map(|w| w.count_ones() as usize).sum() };
        let n = sop.n;
        let mut walks = Self {
            n,
            open: Vec::new(),
            row: Vec::new(),
            first: (0..n).map(|i| count(sop.before(i))).collect(),
            last: (0..n).map(|i| n - 1 - count(sop.after(i))).collect(),
            offset: Vec::new(),
            togo: Vec::new(),
        };
        for place in 0..n {
            for node in 0..n {
                walks.row.push(number(walks.open.len()));
                if !walks.stands(node, place) {
                    continue;
                }
                for a in memory.first_arc[node]..memory.first_arc[node + 1] {
                    if walks.stands(memory.arcs[a].to, place + 1) {
                        walks.open.push(number(a));
                    }
                }
            }
        }
        walks.row.push(number(walks.open.len()));
        walks.lay_out(memory);
        walks
    }

    /// Whether a node may stand at a place.
    #[inline]
    pub fn stands(&self, node: usize, place: usize) -> bool {
        self.first[node] <= place && place <= self.last[node]
    }

    /// The arcs that may leave a node at a place, by their numbers.
    #[inline]
    pub fn open(&self, place: usize, node: usize) -> &[u32] {
        let at = place * self.n + node;
        &self.open[self.row[at] as usize..self.row[at + 1] as usize]
    }

    /// Cells of the table.
    pub fn cells(&self) -> usize {
        self.togo.len()
    }

    /// Open arcs from states, all places together: the work of one pricing.
    pub fn work(&self, memory: &Memory) -> usize {
        (0..self.n * self.n)
            .map(|at| (self.row[at + 1] - self.row[at]) as usize * memory.states[at % self.n])
            .sum()
    }

    /// Cells that the table of a memory would have.
    pub fn cells_of(&self, memory: &Memory) -> usize {
        (0..self.n)
            .map(|i| (self.last[i] + 1).saturating_sub(self.first[i]) * (memory.states[i] + 1))
            .sum()
    }

    /// What a walk still pays at least, from a state of a node at a place on; [`FAR`] if there is none.
    #[inline]
    pub fn togo(&self, place: usize, node: usize, state: u16) -> i32 {
        if state == NONE || !self.stands(node, place) {
            return FAR;
        }
        self.togo[self.offset[place * self.n + node] + usize::from(state)]
    }

    /// Makes room for the states of a memory; values are lost.
    pub fn lay_out(&mut self, memory: &Memory) {
        self.offset = vec![0; self.n * self.n];
        let mut next = 0;
        for place in 0..self.n {
            for node in 0..self.n {
                self.offset[place * self.n + node] = next;
                if self.stands(node, place) {
                    next += memory.states[node] + 1;
                }
            }
        }
        self.togo.clear();
        self.togo.resize(next, FAR);
    }

    /// Finds the cheapest walks; the cost of the cheapest from source to sink, less all tolls, in parts of a unit.
    pub fn price(&mut self, memory: &Memory, tolls: &Tolls) -> i64 {
        let n = self.n;
        self.togo.fill(FAR);
        let end = self.offset[(n - 1) * n + n - 1];
        self.togo[end] = 0;
        for place in (0..n - 1).rev() {
            let split = self.offset[(place + 1) * n];
            let (here, there) = self.togo.split_at_mut(split);
            for node in 0..n {
                if !(self.first[node] <= place && place <= self.last[node]) {
                    continue;
                }
                let from = self.offset[place * n + node];
                let row = &mut here[from..from + memory.states[node]];
                let at = place * n + node;
                for &a in &self.open[self.row[at] as usize..self.row[at + 1] as usize] {
                    let arc = &memory.arcs[a as usize];
                    let cost = arc.cost * tolls.scale + tolls.toll[arc.to];
                    let to = self.offset[(place + 1) * n + arc.to] - split;
                    // The cell after the last state is FAR: no branch for arcs that may not be taken.
                    let ahead = &there[to..=to + memory.states[arc.to]];
                    for (cell, &state) in row.iter_mut().zip(memory.leads(arc)) {
                        *cell = (*cell).min(ahead[usize::from(state)] + cost);
                    }
                }
                for (cell, &least) in row.iter_mut().zip(&memory.least_place[node]) {
                    if usize::from(least) > place || *cell > FAR_ENOUGH {
                        *cell = FAR;
                    }
                }
            }
        }
        i64::from(self.togo[0]) - tolls.sum()
    }

    /// A cheapest walk: its nodes. Empty if there is none.
    pub fn cheapest(&self, memory: &Memory, tolls: &Tolls) -> Vec<usize> {
        let mut walk = vec![0];
        let (mut node, mut state) = (0, 0u16);
        if self.togo(0, 0, 0) >= FAR {
            return Vec::new();
        }
        for place in 0..self.n - 1 {
            let best = (self.open(place, node).iter())
                .filter_map(|&a| {
                    let arc = &memory.arcs[a as usize];
                    let next = memory.leads(arc)[usize::from(state)];
                    let ahead = self.togo(place + 1, arc.to, next);
                    let cost = arc.cost * tolls.scale + tolls.toll[arc.to];
                    (ahead < FAR).then_some((ahead + cost, arc.to, next))
                })
                .min();
            let Some((_, to, next)) = best else {
                return Vec::new();
            };
            walk.push(to);
            (node, state) = (to, next);
        }
        walk
    }

    /// Strikes out the arcs at places through which no walk costs at most `limit` (tolls off, in parts of a unit), then arcs and places that
    /// nothing leads through. [`Walks::price`] must have run with the same memory and tolls. Whether anything was struck out.
    pub fn strike(&mut self, sop: &Sop, memory: &mut Memory, tolls: &Tolls, limit: i64) -> bool {
        let n = self.n;
        let limit = limit + tolls.sum();
        let mut base: Vec<usize> = vec![0];
        for &many in &memory.states {
            base.push(base.last().expect("it is not empty") + many);
        }
        let mut kept: Vec<u32> = Vec::with_capacity(self.open.len());
        let mut row: Vec<u32> = Vec::with_capacity(self.row.len());
        let mut now = vec![FAR; base[n]];
        now[0] = 0;
        for place in 0..n {
            let mut next = vec![FAR; base[n]];
            for node in 0..n {
                row.push(number(kept.len()));
                for &a in self.open(place, node) {
                    let arc = &memory.arcs[a as usize];
                    let cost = arc.cost * tolls.scale + tolls.toll[arc.to];
                    let mut leads = false;
                    let so_far = &now[base[node]..base[node + 1]];
                    for (&so_far, &state) in so_far.iter().zip(memory.leads(arc)) {
                        if so_far >= FAR {
                            continue;
                        }
                        let ahead = self.togo(place + 1, arc.to, state);
                        let whole = i64::from(so_far) + i64::from(cost) + i64::from(ahead);
                        if ahead < FAR && whole <= limit {
                            leads = true;
                            let cell = &mut next[base[arc.to] + usize::from(state)];
                            *cell = (*cell).min(so_far + cost);
                        }
                    }
                    if leads {
                        kept.push(a);
                    }
                }
            }
            now = next;
        }
        row.push(number(kept.len()));
        let struck = kept.len() < self.open.len();
        if struck {
            self.open = kept;
            self.row = row;
            self.tighten(sop, memory);
        }
        struck
    }

    /// Leaves out arcs that are open nowhere and narrows the places of nodes to those where an arc is open.
    fn tighten(&mut self, sop: &Sop, memory: &mut Memory) {
        let n = self.n;
        let mut used = vec![false; memory.arcs.len()];
        let mut places: Vec<Option<(usize, usize)>> = vec![None; n];
        for place in 0..n - 1 {
            for node in 0..n {
                for &a in self.open(place, node) {
                    used[a as usize] = true;
                    for (node, at) in [(node, place), (memory.arcs[a as usize].to, place + 1)] {
                        let known = places[node].get_or_insert((at, at));
                        *known = (known.0.min(at), known.1.max(at));
                    }
                }
            }
        }
        let mut left = 0;
        let numbers: Vec<u32> = (used.iter())
            .map(|&used| {
                left += u32::from(used);
                left.saturating_sub(1)
            })
            .collect();
        for a in &mut self.open {
            *a = numbers[*a as usize];
        }
        memory.retain(&used);
        memory.refresh(sop);
        for (node, known) in places.iter().enumerate() {
            // A node that no walk comes to any more: there is nothing below the limit.
            (self.first[node], self.last[node]) = known.unwrap_or((n, 0));
        }
        (self.first[0], self.last[0]) = (0, 0);
        (self.first[n - 1], self.last[n - 1]) = (n - 1, n - 1);
        self.lay_out(memory);
    }
}

fn number(index: usize) -> u32 {
    u32::try_from(index).expect("arcs at places are fewer than 2^32")
}
