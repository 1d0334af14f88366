//! What a relaxed walk remembers: for each node a few nodes, of which it knows whether they are behind it.
//!
//! A *walk* goes from the source to the sink in n - 1 arcs. Unlike an order it may come to a node twice or before a node that has to precede it,
//! unless it remembers: in node i it knows of the nodes in `kept[i]` those that it has met since it last passed a node that does not
//! keep them (the ng-route relaxation: R. Baldacci, A. Mingozzi, R. Roberti, *New route relaxation and pricing strategies for the vehicle routing
//! problem*, Operations Research 59:1269-1283, 2011). What has to come before a node that is behind, is behind as well.
//!
//! **Claim.** Every order is a walk that keeps to all that it remembers.
//!
//! **Why.** What is remembered as behind is behind: nodes met, and nodes that precede one of them in every order. So an order never goes to a
//! node that is remembered, nor to one that has to precede a remembered one, and its place is never below the number of nodes known to be behind.
//!
//! **Tested by** `no_walk_costs_more_than_an_order`.

use super::instance::{NEVER, Sop};

/// No state.
pub const NONE: u16 = u16::MAX;
/// The most nodes that a node keeps.
pub const MOST_KEPT: usize = 12;

/// An arc that a walk may take.
#[derive(Debug, Clone, Copy)]
pub struct Arc {
    /// Where from.
    pub from: usize,
    /// Where to.
    pub to: usize,
    /// Cost in units.
    pub cost: i32,
    /// Where its row of [`Memory::leads`] begins.
    row: usize,
}

/// The memories of walks over the arcs that are left.
#[derive(Debug, Clone)]
pub struct Memory {
    /// Nodes.
    pub n: usize,
    /// The nodes that each node keeps.
    kept: Vec<Vec<usize>>,
    /// Arcs, those of one node in a row; `first_arc[i]..first_arc[i + 1]` are those of i.
    pub arcs: Vec<Arc>,
    /// Where the arcs of each node begin.
    pub first_arc: Vec<usize>,
    /// States of each node; `state_of[i][m]` is the number of the state in which the nodes of bits m are behind.
    state_of: Vec<Vec<u16>>,
    /// How many states each node has.
    pub states: Vec<usize>,
    /// For each state of each node the least place that it can stand at.
    pub least_place: Vec<Vec<u16>>,
    /// For each arc and each state of its tail the state of its head; one more than the last if it may not be taken.
    leads: Vec<u16>,
}

impl Memory {
    /// A memory that keeps nothing, over all arcs that cost at most `dearest`.
    pub fn new(sop: &Sop, dearest: i64) -> Self {
        let mut arcs = Vec::new();
        for from in 0..sop.n {
            let may = |&to: &usize| {
                sop.cost(from, to) < NEVER && i64::from(sop.cost(from, to)) <= dearest
            };
            for to in (0..sop.n).filter(may) {
                arcs.push(Arc {
                    from,
                    to,
                    cost: sop.cost(from, to),
                    row: 0,
                });
            }
        }
        let mut memory = Self {
            n: sop.n,
            kept: vec![Vec::new(); sop.n],
            arcs,
            first_arc: Vec::new(),
            state_of: Vec::new(),
            states: Vec::new(),
            least_place: Vec::new(),
            leads: Vec::new(),
        };
        memory.refresh(sop);
        memory
    }

    /// The states of the head of an arc, one for each state of its tail; `states[head]`, which is none, where it may not be taken.
    #[inline]
    pub fn leads(&self, arc: &Arc) -> &[u16] {
        &self.leads[arc.row..arc.row + self.states[arc.from]]
    }

    /// The state of node i for a set of done nodes, as bits.
    #[inline]
    pub fn state(&self, i: usize, done: &[u64]) -> u16 {
        let mut mask = 0usize;
        for (k, &node) in self.kept[i].iter().enumerate() {
            let behind = done[node / 64] >> (node % 64) & 1;
            mask |= usize::from(behind == 1) << k;
        }
        self.state_of[i][mask]
    }

    /// Lets node i keep `node` too; whether it could. [`Memory::refresh`] must follow.
    pub fn keep(&mut self, i: usize, node: usize, most: usize) -> bool {
        if self.kept[i].contains(&node) {
            return true;
        }
        let room = self.kept[i].len() < most.min(MOST_KEPT);
        if room {
            self.kept[i].push(node);
        }
        room
    }

    /// Whether node i keeps `node`.
    pub fn keeps(&self, i: usize, node: usize) -> bool {
        self.kept[i].contains(&node)
    }

    /// How many nodes node i keeps.
    pub fn n_kept(&self, i: usize) -> usize {
        self.kept[i].len()
    }

    /// Leaves only the arcs for which `stays` says so; [`Memory::refresh`] must follow.
    pub fn retain(&mut self, stays: &[bool]) {
        let mut flags = stays.iter();
        self.arcs
            .retain(|_| *flags.next().expect("one flag an arc"));
    }

    /// Works the states and what arcs lead to out again.
    pub fn refresh(&mut self, sop: &Sop) {
        let n = self.n;
        self.first_arc = (0..=n)
            .map(|i| self.arcs.partition_point(|a| a.from < i))
            .collect();
        let mut behind: Vec<Vec<Vec<u64>>> = Vec::with_capacity(n);
        self.state_of.clear();
        self.least_place.clear();
        for i in 0..n {
            let (numbers, known) = states_of(sop, i, &self.kept[i]);
            self.state_of.push(numbers);
            self.least_place.push(
                known
                    .iter()
                    .map(|set| {
                        let many: u32 = set.iter().map(|w| w.count_ones()).sum();
                        u16::try_from(many - 1).expect("nodes are few")
                    })
                    .collect(),
            );
            behind.push(known);
        }
        self.states = behind.iter().map(Vec::len).collect();
        self.leads.clear();
        for a in 0..self.arcs.len() {
            self.arcs[a].row = self.leads.len();
            let arc = self.arcs[a];
            let after = sop.after(arc.to);
            let shut = u16::try_from(self.states[arc.to]).expect("a node keeps few nodes");
            for known in &behind[arc.from] {
                let met = known[arc.to / 64] >> (arc.to % 64) & 1 == 1;
                let late = known.iter().zip(after).any(|(&k, &x)| k & x != 0);
                let state = if met || late {
                    shut
                } else {
                    self.state(arc.to, known)
                };
                self.leads.push(state);
            }
        }
    }
}

/// The states of a node that keeps `kept`: for each set of kept nodes, as bits, its number, or [`NONE`] if it is not closed under precedence; for
/// each state all nodes known to be behind, the node itself included.
fn states_of(sop: &Sop, i: usize, kept: &[usize]) -> (Vec<u16>, Vec<Vec<u64>>) {
    let mut numbers = vec![NONE; 1 << kept.len()];
    let mut known = Vec::new();
    for (mask, number) in numbers.iter_mut().enumerate() {
        let mut set = sop.before(i).to_vec();
        set[i / 64] |= 1 << (i % 64);
        for (k, &node) in kept.iter().enumerate() {
            if mask >> k & 1 == 1 {
                set[node / 64] |= 1 << (node % 64);
                for (word, &before) in set.iter_mut().zip(sop.before(node)) {
                    *word |= before;
                }
            }
        }
        let closed = (kept.iter().enumerate())
            .all(|(k, &x)| set[x / 64] >> (x % 64) & 1 == mask as u64 >> k & 1);
        if closed {
            *number = u16::try_from(known.len()).expect("a node keeps few nodes");
            known.push(set);
        }
    }
    (numbers, known)
}
