//! The search that ends in the proof: partial orders, layer by layer, one for each set of done nodes and last node.
//!
//! **Claim.** Of two partial orders of the same nodes that end in the same node, the dearer may be forgotten.
//!
//! **Why.** Whatever may follow one may follow the other, at the same cost (M. Held and R. M. Karp, *A dynamic programming approach to sequencing
//! problems*, SIAM Journal 10:196-210, 1962; with the walks as bound: A. Mingozzi, L. Bianco, S. Ricciardelli, *Dynamic programming strategies for
//! the traveling salesman problem with time window and precedence constraints*, Operations Research 45:365-377, 1997).
//!
//! **Claim.** Where no layer was cut, no order is cheaper than what the search returns, or than the limit. Where one was cut, none is cheaper
//! than the least that a partial order cut off may lead to.
//!
//! **Why.** Each order cheaper than the limit has all its beginnings among the partial orders, or cheaper ones of the same state, unless one of them was
//! cut off; each is dropped only if what it has paid and what the walks say that it still pays exceed the limit.
//!
//! **Tested by** `tests/engine/sop.rs`, `a_search_that_was_cut_claims_no_proof`.

use super::instance::Sop;
use super::memory::{Memory, NONE};
use super::walks::{FAR, Tolls, Walks};

/// What bounds the search.
#[derive(Debug, Clone, Copy)]
pub struct Guide<'a> {
    /// The instance.
    pub sop: &'a Sop,
    /// What walks remember.
    pub memory: &'a Memory,
    /// Walks that were priced with the memory and the tolls.
    pub walks: &'a Walks,
    /// The tolls.
    pub tolls: &'a Tolls,
    /// Only orders of at most this cost are looked for.
    pub limit: i64,
}

/// How a search ended.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Found {
    /// The cheapest order met, at most the limit, with its cost.
    pub order: Option<(Vec<usize>, i64)>,
    /// Nothing was cut: the order is the best, or none is at most the limit.
    pub complete: bool,
    /// No order costs less than this or the limit or the order found: from the partial orders cut off, in units.
    pub cut: Option<i64>,
    /// The caller's `go_on` said no.
    pub stopped: bool,
    /// Partial orders kept in the widest layer.
    pub widest: usize,
}

/// A partial order: its end and what it has paid.
#[derive(Debug, Clone, Copy)]
struct Node {
    cost: i32,
    /// What an order of this beginning costs at least, in parts of a unit.
    least: i32,
    /// Index in the layer before.
    parent: u32,
    last: u16,
}

/// Partial orders of one length.
struct Layer<const N: usize> {
    sets: Vec<[u64; N]>,
    nodes: Vec<Node>,
}

/// Finds the slot of a state: open addressing over the indices of a layer.
struct Index {
    slots: Vec<u32>,
    mask: usize,
}

const FREE: u32 = u32::MAX;

impl Index {
    fn new() -> Self {
        Self {
            slots: vec![FREE; 1 << 10],
            mask: (1 << 10) - 1,
        }
    }

    fn clear(&mut self) {
        self.slots.fill(FREE);
    }

    fn hash<const N: usize>(set: &[u64; N], last: u16) -> usize {
        let mut hash = u64::from(last).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        for &word in set {
            hash = (hash.rotate_left(23) ^ word).wrapping_mul(0xD6E8_FEB8_6659_FD93);
        }
        (hash ^ (hash >> 32)) as usize
    }

    /// The slot of a state: its index there, or [`FREE`].
    #[inline]
    fn slot<const N: usize>(&self, layer: &Layer<N>, set: &[u64; N], last: u16) -> usize {
        let mut slot = Self::hash(set, last) & self.mask;
        loop {
            let at = self.slots[slot];
            if at == FREE {
                return slot;
            }
            let at = at as usize;
            if layer.nodes[at].last == last && layer.sets[at] == *set {
                return slot;
            }
            slot = (slot + 1) & self.mask;
        }
    }

    fn grow<const N: usize>(&mut self, layer: &Layer<N>) {
        if layer.nodes.len() * 2 <= self.slots.len() {
            return;
        }
        self.slots = vec![FREE; self.slots.len() * 4];
        self.mask = self.slots.len() - 1;
        self.rebuild(layer);
    }

    fn rebuild<const N: usize>(&mut self, layer: &Layer<N>) {
        self.clear();
        for (at, set) in layer.sets.iter().enumerate() {
            let slot = self.slot(layer, set, layer.nodes[at].last);
            self.slots[slot] = u32::try_from(at).expect("a layer has fewer than 2^32 states");
        }
    }
}

/// Words of 64 bits that a set of done nodes takes in the search: as many as it needs, or the next of the widths there are.
pub fn words_of(sop: &Sop) -> usize {
    let widths = [1, 2, 3, 6, 12, 32];
    let enough = widths.into_iter().find(|&w| w >= sop.words);
    enough.unwrap_or(sop.words)
}

impl Guide<'_> {
    /// Searches with layers of at most `width` partial orders. `go_on` is asked before each expansion.
    pub fn search(&self, width: usize, go_on: &mut dyn FnMut() -> bool) -> Found {
        match words_of(self.sop) {
            1 => self.run::<1>(width, go_on),
            2 => self.run::<2>(width, go_on),
            3 => self.run::<3>(width, go_on),
            6 => self.run::<6>(width, go_on),
            12 => self.run::<12>(width, go_on),
            32 => self.run::<32>(width, go_on),
            // No instance of so many nodes has room for its walks.
            _ => Found::default(),
        }
    }

    fn run<const N: usize>(&self, width: usize, go_on: &mut dyn FnMut() -> bool) -> Found {
        let sop = self.sop;
        let mut before = vec![[0u64; N]; sop.n];
        for (i, row) in before.iter_mut().enumerate() {
            row[..sop.words].copy_from_slice(sop.before(i));
        }
        let mut found = Found {
            complete: true,
            ..Found::default()
        };
        let scale = i64::from(self.tolls.scale);
        let most = i32::try_from(self.limit * scale).unwrap_or(FAR);
        let mut source = [0u64; N];
        source[0] = 1;
        let start = Node {
            cost: 0,
            least: i32::MIN,
            parent: FREE,
            last: 0,
        };
        let mut layer = Layer {
            sets: vec![source],
            nodes: vec![start],
        };
        let mut index = Index::new();
        let mut trail: Vec<Vec<(u32, u16)>> = Vec::with_capacity(sop.n);
        let all = self.tolls.sum();
        for place in 0..sop.n - 1 {
            let mut next = Layer::<N> {
                sets: Vec::with_capacity(layer.sets.len()),
                nodes: Vec::with_capacity(layer.sets.len()),
            };
            index.clear();
            let (mut room, mut least_cut) = (i32::MAX, i32::MAX);
            for at in 0..layer.nodes.len() {
                if !go_on() {
                    found.stopped = true;
                    found.complete = false;
                    return found;
                }
                self.expand(
                    &layer,
                    at,
                    (place, most.min(room), all),
                    &before,
                    &mut next,
                    &mut index,
                );
                // A layer that outgrows its width is cut on the way, and takes in only what promises more from then on.
                if next.nodes.len() >= width.saturating_mul(4) {
                    room = trim(&mut next, width).map_or(room, |cut| cut - 1);
                    index.rebuild(&next);
                    least_cut = least_cut.min(room + 1);
                }
            }
            trail.push(layer.nodes.iter().map(|n| (n.parent, n.last)).collect());
            found.widest = found.widest.max(next.nodes.len());
            if let Some(cut) = trim(&mut next, width) {
                least_cut = least_cut.min(cut);
            }
            if least_cut < i32::MAX {
                let cut = i64::from(least_cut);
                let units = cut.div_euclid(scale) + i64::from(cut.rem_euclid(scale) > 0);
                found.complete = false;
                found.cut = Some(found.cut.map_or(units, |c| c.min(units)));
            }
            layer = next;
            if layer.nodes.is_empty() {
                return found;
            }
        }
        let best = (0..layer.nodes.len()).min_by_key(|&at| layer.nodes[at].cost);
        if let Some(at) = best {
            let cost = i64::from(layer.nodes[at].cost);
            let mut order = vec![sop.n - 1];
            let mut at = layer.nodes[at].parent;
            for links in trail.iter().rev() {
                let (parent, last) = links[at as usize];
                order.push(usize::from(last));
                at = parent;
            }
            order.reverse();
            found.order = Some((order, cost));
        }
        found
    }

    #[inline]
    fn expand<const N: usize>(
        &self,
        layer: &Layer<N>,
        at: usize,
        (place, most, all): (usize, i32, i64),
        before: &[[u64; N]],
        next: &mut Layer<N>,
        index: &mut Index,
    ) {
        let node = layer.nodes[at];
        let set = layer.sets[at];
        let last = usize::from(node.last);
        let memory = self.memory;
        let state = memory.state(last, &set);
        if state == NONE {
            return;
        }
        // What the nodes done count, the last included.
        let tolls = &self.tolls.toll;
        let mut paid = -all;
        for (word, &bits) in set.iter().enumerate() {
            let mut bits = bits;
            while bits != 0 {
                let i = word * 64 + bits.trailing_zeros() as usize;
                paid += i64::from(tolls[i]);
                bits &= bits - 1;
            }
        }
        for &a in self.walks.open(place, last) {
            let arc = &memory.arcs[a as usize];
            let to = arc.to;
            if set[to / 64] >> (to % 64) & 1 == 1 {
                continue;
            }
            if (0..N).any(|w| before[to][w] & !set[w] != 0) {
                continue;
            }
            let mut done = set;
            done[to / 64] |= 1 << (to % 64);
            let ahead = self.walks.togo(place + 1, to, memory.state(to, &done));
            if ahead >= FAR {
                continue;
            }
            let cost = node.cost + arc.cost;
            let least = i64::from(cost) * i64::from(self.tolls.scale)
                + paid
                + i64::from(tolls[to])
                + i64::from(ahead);
            if least > i64::from(most) {
                continue;
            }
            let least = (i32::try_from(least).expect("it was compared above")).max(node.least);
            let child = Node {
                cost,
                least,
                parent: u32::try_from(at).expect("a layer has fewer than 2^32 states"),
                last: u16::try_from(to).expect("nodes are few"),
            };
            let slot = index.slot(next, &done, child.last);
            let known = index.slots[slot];
            if known == FREE {
                index.slots[slot] =
                    u32::try_from(next.nodes.len()).expect("a layer has fewer than 2^32 states");
                next.sets.push(done);
                next.nodes.push(child);
                index.grow(next);
            } else {
                let other = &mut next.nodes[known as usize];
                if child.cost < other.cost {
                    *other = child;
                }
            }
        }
    }
}

/// Keeps the `width` partial orders that promise most; the least that one of the others may lead to.
fn trim<const N: usize>(layer: &mut Layer<N>, width: usize) -> Option<i32> {
    if layer.nodes.len() <= width {
        return None;
    }
    let mut order: Vec<u32> =
        (0..u32::try_from(layer.nodes.len()).expect("a layer is small")).collect();
    order.select_nth_unstable_by_key(width, |&at| {
        let node = &layer.nodes[at as usize];
        (node.least, node.cost, at)
    });
    let cut = layer.nodes[order[width] as usize].least;
    order.truncate(width);
    order.sort_unstable();
    layer.sets = order.iter().map(|&at| layer.sets[at as usize]).collect();
    layer.nodes = order.iter().map(|&at| layer.nodes[at as usize]).collect();
    Some(cut)
}

#[cfg(test)]
mod tests {
    use super::super::ascent::Ascent;
    use super::super::assignment::Prices;
    use super::super::sample;
    use super::*;

    fn guide<'a>(sop: &'a Sop, ascent: &'a Ascent, limit: i64) -> Guide<'a> {
        Guide {
            sop,
            memory: &ascent.memory,
            walks: &ascent.walks,
            tolls: &ascent.tolls,
            limit,
        }
    }

    #[test]
    fn a_search_that_cut_nothing_finds_the_best_order_or_none_below_the_limit() {
        for seed in 0..150 {
            let sop = sample::instance(&sample::problem(seed, 6));
            let least = sample::orders(&sop).iter().map(|&(_, cost)| cost).min();
            let least = least.expect("there is an order");
            for limit in [least - 1, least, least + 5] {
                let ascent = Ascent::new(&sop, &Prices::of(&sop), limit + 1);
                let found = guide(&sop, &ascent, limit).search(usize::MAX / 8, &mut || true);
                assert!(found.complete, "seed {seed}");
                let cost = found.order.as_ref().map(|&(_, cost)| cost);
                assert_eq!(cost, (limit >= least).then_some(least), "seed {seed}");
                if let Some((order, cost)) = found.order {
                    assert!(sop.keeps(&order));
                    assert_eq!(sop.cost_of(&order), cost);
                }
            }
        }
    }

    #[test]
    fn a_search_that_was_cut_claims_no_proof() {
        let mut cut = 0;
        for seed in 0..150 {
            let sop = sample::instance(&sample::problem(seed, 7));
            let least = sample::orders(&sop).iter().map(|&(_, cost)| cost).min();
            let least = least.expect("there is an order");
            let ascent = Ascent::new(&sop, &Prices::of(&sop), least + 20);
            for width in [1, 2, 5] {
                let found = guide(&sop, &ascent, least + 19).search(width, &mut || true);
                let cost = found.order.map(|(_, cost)| cost);
                if found.complete {
                    assert_eq!(cost, Some(least), "seed {seed}, width {width}");
                } else {
                    cut += 1;
                    let bound = found.cut.expect("what was cut off has a bound");
                    assert!(bound.min(cost.unwrap_or(bound)) <= least, "seed {seed}");
                }
            }
            let mut left = 3;
            let stopped = guide(&sop, &ascent, least + 19).search(1000, &mut || {
                left -= 1;
                left > 0
            });
            assert!(stopped.stopped && !stopped.complete, "seed {seed}");
        }
        assert!(cut > 100, "hardly any search was cut: {cut}");
    }
}
