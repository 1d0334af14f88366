//! Large neighbourhoods: a good plan is freed in part and the part is searched again, exactly, by the same search (Shaw 1998).
//!
//! The steps that are not free keep their order among themselves, said by `precede` demands that must hold; set-ups are free everywhere.
//! Whatever the part's search finds is a plan of the whole problem with the same score.

use rand::RngExt as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};

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

/// Draws about `count` steps to free: a stretch of the order, or a stretch and some from anywhere. Blocks that must be in one piece, and
/// steps that the plan leaves out, are free as a whole.
pub fn draw(problem: &Problem, order: &[usize], count: usize, rng: &mut ChaCha8Rng) -> Vec<bool> {
    let n = problem.steps.len();
    let mut free = vec![true; n];
    for &s in order {
        free[s] = false;
    }
    let blocks: Vec<&Vec<usize>> = (problem.demands.iter())
        .filter_map(|d| match &d.kind {
            Kind::Contiguous(c) if d.weight.is_none() && c.within == 0 => Some(&c.steps),
            _ => None,
        })
        .collect();
    let mut release = |s: usize, left: &mut usize| {
        let mut with = vec![s];
        with.extend(
            blocks
                .iter()
                .filter(|b| b.contains(&s))
                .flat_map(|b| b.iter()),
        );
        for s in with {
            if !free[s] {
                free[s] = true;
                *left = left.saturating_sub(1);
            }
        }
    };
    if order.is_empty() {
        return free;
    }
    let mut left = count.min(order.len());
    let stretch = if rng.random_bool(0.5) { left } else { left / 2 };
    let from = rng.random_range(0..order.len());
    let keep = left - stretch;
    for &s in order.iter().cycle().skip(from).take(order.len()) {
        if left <= keep {
            break;
        }
        release(s, &mut left);
    }
    let mut others = order.to_vec();
    others.shuffle(rng);
    for s in others {
        if left == 0 {
            break;
        }
        release(s, &mut left);
    }
    free
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
            let free = draw(&problem, &order, 4, &mut rng);
            assert!(free[0] == free[1] && free[1] == free[2]);
            let count = free.iter().filter(|f| **f).count();
            assert!((4..=6).contains(&count), "{count}");
            let restricted = restricted(&problem, &order, &free);
            let fixed = order.iter().filter(|&&s| !free[s]).count();
            assert_eq!(restricted.demands.len(), 1 + fixed - 1);
        }
    }
}
