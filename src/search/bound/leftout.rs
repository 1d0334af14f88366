//! What the facets that a table leaves out still cost at least, each by itself.
//!
//! **Claim.** [`LeftOut::rest`] of a facet, in a state with some value of it, is no more than what its changes (their time at its weight)
//! and its penalties add to the score from there on. It may be added to what a table says that leaves the facet out.
//!
//! **Relaxes** the order of the steps, ways, stops, all demands. **Why.** The steps that must be done and are not, and the end, each
//! insist on one value of a list. From the present value the facet walks over at least one value of every such list, and a walk over a
//! set of values is no shorter than the shortest one (`Walk::Exact`); or, with too many values for that, each of several disjoint
//! lists that the present value is not in is entered at least once (`Walk::Entered`). Each step pays at least the least penalty of its
//! list. A table without the facet counts no change and no penalty of it, and a way or a stop only for other facets.
//!
//! **Tested by** `bounds` (`what_facets_cost_by_themselves_never_lies_above_the_best_end_of_a_partial_plan`, and together with tables in
//! `no_table_lies_above_the_best_end_of_a_partial_plan`), here (`to_come_into_lists_one_by_one_never_costs_more_than_the_shortest_walk`).

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use rustc_hash::FxBuildHasher;

use crate::search::done_set::Bits;
use crate::search::state::Layout;
use crate::search::tables::{FacetSet, Tables};

/// With more values than this the shortest walks are not worked out.
const MOST_VALUES: usize = 12;
/// More different lists of values than this are not looked at.
const MOST_LISTS: usize = 64;

/// Shortest walks over values.
#[derive(Debug)]
enum Walk {
    /// `[set * values + from]`, sets of the values that some list has.
    Exact {
        least: Vec<i64>,
        /// For each set the lists that it has a value of.
        hits: Vec<u64>,
    },
    /// For each list the values in it and the least change from outside into it.
    Entered(Vec<(Vec<usize>, i64)>),
}

/// One facet.
#[derive(Debug)]
struct Path<const N: usize> {
    /// Steps that must be done and care.
    insist: Bits<N>,
    /// For each step its list.
    list: Vec<Option<usize>>,
    /// For each step its least penalty.
    penalty: Vec<i64>,
    /// Lists that are there to the end.
    end: u64,
    values: usize,
    walk: Walk,
}

/// By facet and lists: for each value the least time of a walk from it.
type Walks = HashMap<(usize, u64), Rc<[i64]>, FxBuildHasher>;

/// All facets.
#[derive(Debug)]
pub struct LeftOut<const N: usize> {
    paths: Vec<Path<N>>,
    weight: i64,
    known: RefCell<Walks>,
}

/// What one facet still costs at least in the states of one done set.
#[derive(Debug, Clone)]
pub struct Rest {
    facet: usize,
    /// By the present value, the least time.
    time: Rc<[i64]>,
    penalty: i64,
}

impl<const N: usize> LeftOut<N> {
    /// Works the walks out.
    pub fn new(t: &Tables<'_, N>) -> Self {
        Self {
            paths: (0..t.n_facets).map(|f| Path::new(t, f)).collect(),
            weight: t.problem.time_weight,
            known: RefCell::default(),
        }
    }

    /// For each of `facets` what it still costs with the steps of `done` done.
    pub fn rest(&self, facets: FacetSet, done: &Bits<N>) -> Vec<Rest> {
        let chosen = (0..self.paths.len()).filter(|f| facets >> f & 1 == 1);
        chosen
            .map(|facet| {
                let path = &self.paths[facet];
                let undone = path.insist.minus(done);
                let mut lists = path.end;
                let mut penalty = 0;
                for s in undone.iter() {
                    penalty += path.penalty[s];
                    if let Some(list) = path.list[s] {
                        lists |= 1 << list;
                    }
                }
                let mut known = self.known.borrow_mut();
                let time = known
                    .entry((facet, lists))
                    .or_insert_with(|| path.walks(lists).into());
                Rest {
                    facet,
                    time: Rc::clone(time),
                    penalty,
                }
            })
            .collect()
    }

    /// The least cost of the facets of `rests` from the values of `key`.
    #[inline]
    pub fn cost(&self, rests: &[Rest], layout: &Layout, key: &Bits<N>) -> i64 {
        rests
            .iter()
            .map(|r| r.time[layout.value_in(key, r.facet)] * self.weight + r.penalty)
            .sum()
    }
}

impl<const N: usize> Path<N> {
    fn new(t: &Tables<'_, N>, f: usize) -> Self {
        let change = &t.problem.facets[f].change;
        let insist = t.cares[f].and(&t.must);
        let mut lists: Vec<Vec<usize>> = Vec::new();
        let mut number = |mut values: Vec<usize>| {
            values.sort_unstable();
            values.dedup();
            let known = lists.iter().position(|l| *l == values);
            let at = known.unwrap_or(lists.len());
            if known.is_none() && at < MOST_LISTS {
                lists.push(values);
            }
            (at < MOST_LISTS).then_some(at)
        };
        let (mut list, mut penalty) = (vec![None; t.n], vec![0; t.n]);
        for s in insist.iter() {
            let choices = t.choices(s, f).unwrap_or(&[]);
            list[s] = number(choices.iter().map(|c| c.value).collect());
            penalty[s] = choices.iter().map(|c| c.penalty).min().unwrap_or(0);
        }
        let wanted = t.problem.end.as_ref().and_then(|e| e.setup[f]);
        let end = wanted.and_then(|v| number(vec![v])).map_or(0, |l| 1 << l);
        let mut seen: Vec<usize> = lists.iter().flatten().copied().collect();
        seen.sort_unstable();
        seen.dedup();
        let walk = if seen.len() <= MOST_VALUES {
            exact(change, &seen, &lists)
        } else {
            entered(change, &lists)
        };
        Self {
            insist,
            list,
            penalty,
            end,
            values: change.len(),
            walk,
        }
    }

    /// For each value the least time of a walk from it over all of these lists.
    fn walks(&self, lists: u64) -> Vec<i64> {
        match &self.walk {
            Walk::Exact { least, hits } => {
                let mut best = vec![i64::MAX; self.values];
                for (set, _) in hits.iter().enumerate().filter(|(_, h)| *h & lists == lists) {
                    for (v, best) in best.iter_mut().enumerate() {
                        *best = (*best).min(least[set * self.values + v]);
                    }
                }
                best
            }
            Walk::Entered(entered) => {
                let mut open: Vec<&(Vec<usize>, i64)> = (0..entered.len())
                    .filter(|l| lists >> l & 1 == 1)
                    .map(|l| &entered[l])
                    .collect();
                // Dear ones first, so that of lists that overlap the dearest counts.
                open.sort_by_key(|(list, cost)| (-cost, list.len()));
                let from = |value: usize| {
                    let mut taken: Vec<&Vec<usize>> = Vec::new();
                    let mut sum = 0;
                    for (list, cost) in &open {
                        let apart = taken.iter().all(|t| !t.iter().any(|v| list.contains(v)));
                        if apart && !list.contains(&value) {
                            taken.push(list);
                            sum += cost;
                        }
                    }
                    sum
                };
                (0..self.values).map(from).collect()
            }
        }
    }
}

/// What it takes to come into each list from outside.
fn entered(change: &[Vec<i64>], lists: &[Vec<usize>]) -> Walk {
    let enter = |list: &Vec<usize>| {
        let outside = (0..change.len()).filter(|u| !list.contains(u));
        let costs = outside.flat_map(|u| list.iter().map(move |&v| change[u][v]));
        costs.min().unwrap_or(0)
    };
    Walk::Entered(lists.iter().map(|l| (l.clone(), enter(l))).collect())
}

/// Shortest walks over every set of the values in `seen` (Held and Karp 1962), from every value.
fn exact(change: &[Vec<i64>], seen: &[usize], lists: &[Vec<usize>]) -> Walk {
    let (k, values) = (seen.len(), change.len());
    // `[set * k + r]`: begin at the r-th value seen, which is in the set, and walk over the set.
    let mut inner = vec![i64::MAX / 4; k << k];
    let mut least = vec![0; values << k];
    for set in 1..1usize << k {
        for r in (0..k).filter(|r| set >> r & 1 == 1) {
            let left = set & !(1 << r);
            let next = (0..k).filter(|q| left >> q & 1 == 1);
            let costs = next.map(|q| change[seen[r]][seen[q]] + inner[left * k + q]);
            inner[set * k + r] = costs.min().unwrap_or(0);
        }
        for v in 0..values {
            let first = (0..k).filter(|r| set >> r & 1 == 1);
            let costs = first.map(|r| change[v][seen[r]] + inner[set * k + r]);
            least[set * values + v] = costs.min().unwrap_or(0);
        }
    }
    let hit = |set: usize| {
        let meets = |l: &Vec<usize>| (0..k).any(|r| set >> r & 1 == 1 && l.contains(&seen[r]));
        let hits = lists.iter().enumerate().filter(|(_, l)| meets(l));
        hits.map(|(i, _)| 1u64 << i).sum()
    };
    Walk::Exact {
        least,
        hits: (0..1usize << k).map(hit).collect(),
    }
}

#[cfg(test)]
mod tests {
    use rand::{RngExt as _, SeedableRng as _};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    #[test]
    fn a_walk_visits_one_value_of_every_list() {
        let change = vec![
            vec![0, 5, 9, 14],
            vec![5, 0, 4, 9],
            vec![9, 4, 0, 5],
            vec![14, 9, 5, 0],
        ];
        // Lists {1}, {2, 3}: from 0 over 1 to 2.
        let lists = vec![vec![1], vec![2, 3]];
        let path = path(4, exact(&change, &[1, 2, 3], &lists));
        assert_eq!(path.walks(0b11), [9, 4, 4, 9]);
        assert_eq!(path.walks(0b10), [9, 4, 0, 0]);
        assert_eq!(path.walks(0), [0, 0, 0, 0]);
    }

    #[test]
    fn to_come_into_lists_one_by_one_never_costs_more_than_the_shortest_walk() {
        let mut die = ChaCha8Rng::seed_from_u64(0);
        let mut told = 0;
        for _ in 0..2000 {
            let n = die.random_range(2..=6);
            // Values on a line, so that no way is longer than one by way of a third.
            let at: Vec<i64> = (0..n).map(|_| die.random_range(0..10)).collect();
            let row = |u: &i64| at.iter().map(|v| (u - v).abs()).collect();
            let change: Vec<Vec<i64>> = at.iter().map(row).collect();
            let mut list = || -> Vec<usize> { (0..n).filter(|_| die.random_bool(0.4)).collect() };
            let lists: Vec<Vec<usize>> = (0..4).map(|_| list()).filter(|l| !l.is_empty()).collect();
            let all = (1 << lists.len()) - 1;
            let seen: Vec<usize> = (0..n).collect();
            let shortest = path(n, exact(&change, &seen, &lists)).walks(all);
            let one_by_one = path(n, entered(&change, &lists)).walks(all);
            for (least, shortest) in one_by_one.iter().zip(&shortest) {
                assert!(
                    least <= shortest,
                    "{least} > {shortest}: {lists:?} {change:?}"
                );
                told += least;
            }
        }
        assert!(told > 1000, "it says hardly anything: {told}");
    }

    fn path(values: usize, walk: Walk) -> Path<1> {
        Path {
            insist: Bits::default(),
            list: Vec::new(),
            penalty: Vec::new(),
            end: 0,
            values,
            walk,
        }
    }
}
