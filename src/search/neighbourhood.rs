//! Large neighbourhoods: a good plan is freed in part and the part is searched again, exactly, by the same search (Shaw 1998).
//!
//! The steps that are not free keep their order among themselves, said by `precede` demands that must hold; set-ups are free everywhere.
//! Whatever the part's search finds is a plan of the whole problem with the same score.
//!
//! **Tested by** `local_search` (`a_plan_of_a_part_is_a_plan_of_the_whole`).

use rand::RngExt as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::facet::Facet;

/// The problem in which all steps of `order` but the free ones keep their order among themselves.
pub fn restricted(problem: &Problem, order: &[usize], free: &[bool]) -> Problem {
    let mut demands = problem.demands.clone();
    let fixed: Vec<usize> = order.iter().copied().filter(|&s| !free[s]).collect();
    let must = |s: usize| problem.steps[s].optional.is_none();
    for (i, &a) in fixed.iter().enumerate() {
        // An optional step may be left out, and a chain over it would break.
        let rest = &fixed[i + 1..];
        let until = rest
            .iter()
            .position(|&b| must(b))
            .map_or(rest.len(), |k| k + 1);
        demands.extend(rest[..until].iter().map(|&b| Demand {
            kind: Kind::Precede(Precede { a, b }),
            weight: None,
        }));
    }
    Problem {
        demands,
        ..problem.clone()
    }
}

/// Which steps to free.
#[derive(Debug)]
pub struct Neighbourhoods {
    /// For each step the steps that are freed with it: all of the blocks that must be in one piece around it.
    with: Vec<Vec<usize>>,
    /// `[a * n + b]`: what a change-over from step a directly to step b, or back, takes at least (hundredths).
    apart: Vec<i64>,
}

/// How steps are chosen together.
#[derive(Debug, Clone, Copy)]
enum Together {
    /// A stretch of the order, or half of it a stretch and the rest from anywhere.
    Stretch,
    /// Three stretches.
    Stretches,
    /// Steps that are alike in what they ask for, wherever they stand.
    Alike,
}

const WAYS: [Together; 3] = [Together::Stretch, Together::Stretches, Together::Alike];
/// Stretches that are freed together.
const STRETCHES: usize = 3;
/// For a facet that one of two steps does not care about: they may be alike in it or not (hundredths).
const UNTOLD: i64 = 100;

impl Neighbourhoods {
    /// Those of a problem.
    pub fn new(problem: &Problem) -> Self {
        let n = problem.steps.len();
        let blocks: Vec<&Vec<usize>> = (problem.demands.iter())
            .filter_map(|d| match &d.kind {
                Kind::Contiguous(c) if d.weight.is_none() && c.within == 0 => Some(&c.steps),
                _ => None,
            })
            .collect();
        let with = |s: usize| {
            let around = blocks.iter().filter(|b| b.contains(&s));
            let mut with: Vec<usize> = around.flat_map(|b| b.iter().copied()).collect();
            with.push(s);
            with.sort_unstable();
            with.dedup();
            with
        };
        let pairs = (0..n).flat_map(|a| (0..n).map(move |b| (a, b)));
        let apart = |(a, b)| least_change(problem, a, b).min(least_change(problem, b, a));
        Self {
            with: (0..n).map(with).collect(),
            apart: pairs.map(apart).collect(),
        }
    }

    /// What a change-over from step a directly to step b, or back, takes at least, as far as both say what they ask for (hundredths).
    pub fn apart(&self, a: usize, b: usize) -> i64 {
        self.apart[a * self.with.len() + b]
    }

    /// Draws about `count` steps of `order` to free. Blocks that must be in one piece, and steps that the plan leaves out, are free as a
    /// whole.
    pub fn draw(&self, order: &[usize], count: usize, rng: &mut ChaCha8Rng) -> Vec<bool> {
        let n = self.with.len();
        let mut free = vec![true; n];
        for &s in order {
            free[s] = false;
        }
        if order.is_empty() {
            return free;
        }
        let count = count.min(order.len());
        let from = |rng: &mut ChaCha8Rng| {
            let from = rng.random_range(0..order.len());
            order.iter().cycle().skip(from).take(order.len()).copied()
        };
        match WAYS[rng.random_range(0..WAYS.len())] {
            Together::Stretch => {
                let all = rng.random_bool(0.5);
                self.release(&mut free, if all { count } else { count / 2 }, from(rng));
                let mut others = order.to_vec();
                others.shuffle(rng);
                self.release(&mut free, if all { 0 } else { count.div_ceil(2) }, others);
            }
            Together::Stretches => {
                let mut left = count;
                for stretch in (1..=STRETCHES).rev() {
                    let part = left.div_ceil(stretch);
                    left -= self.release(&mut free, part, from(rng)).min(left);
                }
            }
            Together::Alike => {
                let centre = order[rng.random_range(0..order.len())];
                // Blurred, so that it is not always the same ones.
                let mut blurred = |s: usize| self.apart[centre * n + s] * rng.random_range(50..150);
                let mut near: Vec<(i64, usize)> = order.iter().map(|&s| (blurred(s), s)).collect();
                near.sort_unstable();
                self.release(&mut free, count, near.into_iter().map(|(_, s)| s));
            }
        }
        free
    }

    /// Frees steps in the order given, until so many more are free, or a few more for the sake of a block. How many.
    fn release(
        &self,
        free: &mut [bool],
        count: usize,
        steps: impl IntoIterator<Item = usize>,
    ) -> usize {
        let mut more = 0;
        for s in steps {
            if more >= count {
                break;
            }
            more += self.free_with(free, s);
        }
        more
    }

    /// Frees a step and its blocks. How many more are free.
    pub fn free_with(&self, free: &mut [bool], step: usize) -> usize {
        let mut more = 0;
        for &s in &self.with[step] {
            more += usize::from(!free[s]);
            free[s] = true;
        }
        more
    }
}

/// What a change-over from step `a` to step `b` takes at least, as far as both say what they ask for (hundredths).
fn least_change(problem: &Problem, a: usize, b: usize) -> i64 {
    let (x, y) = (&problem.steps[a], &problem.steps[b]);
    let facet = |(f, facet): (usize, &Facet)| match (&x.setup[f], &y.setup[f]) {
        (Some(from), Some(to)) => {
            let pairs = from.iter().flat_map(|u| to.iter().map(move |v| (u, v)));
            let costs = pairs.map(|(u, v)| facet.change[u.value][v.value] + u.penalty + v.penalty);
            costs.min().unwrap_or(0)
        }
        _ => UNTOLD,
    };
    let way = problem
        .postures
        .path
        .get(x.end)
        .and_then(|row| row.get(y.start));
    let facets = problem
        .facets
        .iter()
        .enumerate()
        .filter(|(f, _)| x.setup.len() > *f);
    way.copied().unwrap_or(0) + facets.map(facet).sum::<i64>()
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng as _;

    use super::*;
    use crate::problem::demand::contiguous::Contiguous;
    use crate::problem::step::{Side, Step};

    fn problem_of(n: usize) -> Problem {
        let step = |i: usize| Step {
            id: format!("s{i}"),
            side: Side::Both,
            duration: 0,
            setup: Vec::new(),
            start: 0,
            end: 0,
            stage: None,
            group: None,
            optional: None,
        };
        Problem {
            steps: (0..n).map(step).collect(),
            demands: vec![Demand {
                kind: Kind::Contiguous(Contiguous {
                    steps: vec![0, 1, 2],
                    ordered: true,
                    within: 0,
                }),
                weight: None,
            }],
            ..Problem::default()
        }
    }

    #[test]
    fn a_block_is_free_as_a_whole_and_the_rest_keeps_its_order() {
        let problem = problem_of(9);
        let order = [3, 4, 0, 1, 2, 5, 6, 7, 8];
        for seed in 0..200 {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let free = Neighbourhoods::new(&problem).draw(&order, 4, &mut rng);
            assert!(free[0] == free[1] && free[1] == free[2]);
            let count = free.iter().filter(|f| **f).count();
            assert!((4..=6).contains(&count), "{count}");
            let restricted = restricted(&problem, &order, &free);
            let fixed = order.iter().filter(|&&s| !free[s]).count();
            assert_eq!(restricted.demands.len(), 1 + fixed - 1);
        }
    }
}
