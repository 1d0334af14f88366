//! Precedence-preserving exchange of two neighbouring segments, to a local optimum.
//!
//! A move takes the segments `a..=b` and `b+1..=c` of an order and swaps them. Three arcs go, three come, no segment is turned round: the only
//! 3-exchange that keeps directions, and with segments of one or few nodes the or-opt move (L. M. Gambardella and M. Dorigo, *An ant colony
//! system hybridized with a new local search for the sequential ordering problem*, INFORMS Journal on Computing 12(3):237-255, 2000). Like
//! theirs, the search looks only where something changed (a stack without doubles). Unlike theirs it looks from an arc that goes to cheaper
//! arcs that may come, cheapest first.
//!
//! **Claim.** After [`Tour::settle`] no such move makes the order cheaper.
//!
//! **Why.** Name the three arcs that go in the order in which the new arcs link their ends: going, coming, going, coming, going, coming. If
//! the sum of gains is positive, some rotation of it has only positive partial sums (S. Lin and B. W. Kernighan, *An effective heuristic
//! algorithm for the travelling salesman problem*, Operations Research 21:498-516, 1973). So it is enough to follow, from each arc that may go,
//! arcs that come as long as the gain so far stays positive: with arcs sorted by cost the rest need not be looked at. A swap elsewhere may
//! make a move allowed whose arcs it does not touch; so `settle` puts all nodes on the stack again until nothing is found, where the
//! quicker [`Tour::descend`] is content with an empty stack.
//!
//! **Tested by** `a_local_optimum_has_no_better_neighbour`, `moves_keep_precedences_and_their_gain_is_right`.

use super::instance::{NEVER, Sop};

/// A swap of the segments `a..=b` and `b+1..=c` of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Swap {
    /// First place of the left segment.
    pub a: usize,
    /// Last place of the left segment.
    pub b: usize,
    /// Last place of the right segment.
    pub c: usize,
}

impl Swap {
    /// The swap that takes this one back.
    pub fn back(self) -> Self {
        Self {
            b: self.a + (self.c - self.b) - 1,
            ..self
        }
    }
}

/// For each node the nodes that may come directly after it, cheapest first.
#[derive(Debug, Clone)]
pub struct Nearest(Vec<Vec<(u32, i32)>>);

impl Nearest {
    /// Of an instance.
    pub fn of(sop: &Sop) -> Self {
        let row = |i: usize| {
            let mut row: Vec<(u32, i32)> = (0..sop.n)
                .filter(|&j| sop.cost(i, j) < NEVER)
                .map(|j| (u32::try_from(j).expect("nodes are few"), sop.cost(i, j)))
                .collect();
            row.sort_by_key(|&(j, cost)| (cost, j));
            row
        };
        Self((0..sop.n).map(row).collect())
    }

    /// Nodes after i with their costs, cheapest first.
    pub fn after(&self, i: usize) -> &[(u32, i32)] {
        &self.0[i]
    }
}

/// An order under change.
#[derive(Debug, Clone)]
pub struct Tour<'a> {
    sop: &'a Sop,
    nearest: &'a Nearest,
    at: Vec<usize>,
    place: Vec<usize>,
    cost: i64,
    /// Nodes to look from; `waits` says which are on it.
    stack: Vec<usize>,
    waits: Vec<bool>,
    /// Swaps since the log was last emptied.
    log: Vec<Swap>,
    mask: Vec<u64>,
}

impl<'a> Tour<'a> {
    /// An order that keeps the precedences.
    pub fn new(sop: &'a Sop, nearest: &'a Nearest, order: &[usize]) -> Self {
        debug_assert!(sop.keeps(order), "an order keeps the precedences");
        let mut place = vec![0; sop.n];
        for (p, &node) in order.iter().enumerate() {
            place[node] = p;
        }
        Self {
            sop,
            nearest,
            at: order.to_vec(),
            place,
            cost: sop.cost_of(order),
            stack: (0..sop.n).collect(),
            waits: vec![true; sop.n],
            log: Vec::new(),
            mask: vec![0; sop.words],
        }
    }

    /// The nodes in order.
    pub fn order(&self) -> &[usize] {
        &self.at
    }

    /// What it costs, in units.
    pub fn cost(&self) -> i64 {
        self.cost
    }

    /// How much cheaper the order becomes by a swap; meaningless if the swap does not keep the precedences.
    pub fn gain(&self, s: Swap) -> i64 {
        let arc = |p: usize, q: usize| i64::from(self.sop.cost(self.at[p], self.at[q]));
        arc(s.a - 1, s.a) + arc(s.b, s.b + 1) + arc(s.c, s.c + 1)
            - arc(s.a - 1, s.b + 1)
            - arc(s.c, s.a)
            - arc(s.b, s.c + 1)
    }

    /// Whether nothing in the left segment has to come before anything in the right one.
    pub fn allows(&mut self, s: Swap) -> bool {
        self.mask.fill(0);
        for &node in &self.at[s.b + 1..=s.c] {
            self.mask[node / 64] |= 1 << (node % 64);
        }
        let mask = &self.mask;
        let sop = self.sop;
        self.at[s.a..=s.b]
            .iter()
            .all(|&node| sop.after(node).iter().zip(mask).all(|(&x, &m)| x & m == 0))
    }

    /// Makes a swap that is allowed.
    pub fn swap(&mut self, s: Swap) {
        self.cost -= self.gain(s);
        self.log.push(s);
        self.turn(s);
        let middle = s.back().b;
        for p in [s.a - 1, s.a, middle, middle + 1, s.c, s.c + 1] {
            let node = self.at[p];
            if !self.waits[node] {
                self.waits[node] = true;
                self.stack.push(node);
            }
        }
    }

    fn turn(&mut self, s: Swap) {
        self.at[s.a..=s.c].rotate_left(s.b - s.a + 1);
        for p in s.a..=s.c {
            self.place[self.at[p]] = p;
        }
    }

    /// Forgets the log: what is, stays.
    pub fn keep(&mut self) {
        self.log.clear();
    }

    /// Takes back all swaps of the log.
    pub fn undo(&mut self) {
        while let Some(s) = self.log.pop() {
            self.cost += {
                self.turn(s.back());
                self.gain(s)
            };
        }
    }

    /// Swaps until no swap at all gains.
    pub fn settle(&mut self) {
        loop {
            let before = self.cost;
            for node in 0..self.sop.n {
                if !self.waits[node] {
                    self.waits[node] = true;
                    self.stack.push(node);
                }
            }
            self.descend();
            if self.cost == before {
                return;
            }
        }
    }

    /// Swaps until no swap from a node on the stack gains.
    pub fn descend(&mut self) {
        while let Some(&node) = self.stack.last() {
            match self.better_from(node) {
                Some(s) => self.swap(s),
                None => {
                    self.stack.pop();
                    self.waits[node] = false;
                }
            }
        }
    }

    /// A swap that gains, found from the arc that leaves `from`.
    fn better_from(&mut self, from: usize) -> Option<Swap> {
        let p = self.place[from];
        let sop = self.sop;
        let nearest = self.nearest;
        let next = *self.at.get(p + 1)?;
        let gone = sop.cost(from, next);
        for &(x, come) in nearest.after(from) {
            let first = gone - come;
            if first <= 0 {
                break;
            }
            let q = self.place[x as usize];
            let y = self.at[q - 1];
            let open = first + sop.cost(y, x as usize);
            for &(z, come) in nearest.after(y) {
                let second = open - come;
                if second <= 0 {
                    break;
                }
                let r = self.place[z as usize];
                let Some(s) = swap_of(p, q, r) else { continue };
                let w = self.at[r - 1];
                let whole = second + sop.cost(w, z as usize) - sop.cost(w, next);
                if whole > 0 && self.allows(s) {
                    return Some(s);
                }
            }
        }
        None
    }
}

/// The swap whose arcs go from place p to that of place q, from place q - 1 to that of place r, and from r - 1 to what came after p.
fn swap_of(p: usize, q: usize, r: usize) -> Option<Swap> {
    if q > p + 1 && r > q {
        let (a, b, c) = (p + 1, q - 1, r - 1);
        Some(Swap { a, b, c })
    } else if q > p + 1 && 1 <= r && r <= p {
        let (a, b, c) = (r, p, q - 1);
        Some(Swap { a, b, c })
    } else if 1 <= q && q < r && r <= p {
        let (a, b, c) = (q, r - 1, p);
        Some(Swap { a, b, c })
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::super::chance::Chance;
    use super::super::iterated::greedy;
    use super::super::sample;
    use super::*;

    /// Every swap of an order of n nodes that leaves the ends where they are.
    fn swaps(n: usize) -> impl Iterator<Item = Swap> {
        (1..n - 2).flat_map(move |a| {
            (a..n - 2).flat_map(move |b| (b + 1..n - 1).map(move |c| Swap { a, b, c }))
        })
    }

    #[test]
    fn moves_keep_precedences_and_their_gain_is_right() {
        for seed in 0..60 {
            let sop = sample::instance(&sample::problem(seed, 8));
            let nearest = Nearest::of(&sop);
            let mut tour = Tour::new(&sop, &nearest, &greedy(&sop));
            for s in swaps(sop.n) {
                let before = tour.order().to_vec();
                let mut after = before.clone();
                after[s.a..=s.c].rotate_left(s.b - s.a + 1);
                assert_eq!(tour.allows(s), sop.keeps(&after), "seed {seed}: {s:?}");
                if tour.allows(s) {
                    let gain = tour.gain(s);
                    tour.swap(s);
                    assert_eq!(tour.order(), after);
                    assert_eq!(tour.cost(), sop.cost_of(&after), "seed {seed}: {s:?}");
                    assert_eq!(sop.cost_of(&before) - gain, tour.cost());
                    tour.undo();
                    assert_eq!(tour.order(), before);
                    assert_eq!(tour.cost(), sop.cost_of(&before));
                }
            }
        }
    }

    #[test]
    fn a_local_optimum_has_no_better_neighbour() {
        for seed in 0..200 {
            let sop = sample::instance(&sample::problem(seed, 9));
            let nearest = Nearest::of(&sop);
            let mut tour = Tour::new(&sop, &nearest, &greedy(&sop));
            tour.settle();
            assert!(sop.keeps(tour.order()), "seed {seed}");
            assert_eq!(tour.cost(), sop.cost_of(tour.order()), "seed {seed}");
            for s in swaps(sop.n) {
                let better = tour.allows(s) && tour.gain(s) > 0;
                assert!(
                    !better,
                    "seed {seed}: {s:?} makes {:?} cheaper",
                    tour.order()
                );
            }
        }
    }

    #[test]
    fn undoing_leads_back_over_many_moves() {
        let sop = sample::instance(&sample::problem(11, 12));
        let nearest = Nearest::of(&sop);
        let mut tour = Tour::new(&sop, &nearest, &greedy(&sop));
        tour.keep();
        let before = tour.order().to_vec();
        let mut chance = Chance::new(1);
        let all: Vec<Swap> = swaps(sop.n).collect();
        for _ in 0..200 {
            let s = all[chance.below(all.len())];
            if tour.allows(s) {
                tour.swap(s);
            }
        }
        tour.descend();
        tour.undo();
        assert_eq!(tour.order(), before);
        assert_eq!(tour.cost(), sop.cost_of(&before));
    }
}
