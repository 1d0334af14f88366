//! What cannot hold together: on random problems without an order, the conflict is impossible and each set one smaller is possible.
//!
//! Judged by `tests/engine/oracle`, which tries every order and every set-up and shares no code with the search.

use segue::explain::allowance::Allowance;
use segue::explain::conflict::conflict_of_problem;
use segue::problem::Problem;
use segue::search::budget::Limits;
use segue::search::solve;

use crate::oracle;
use crate::oracle::random::{Size, problem};

const SIZE: Size = Size {
    timed: 4,
    untimed: 5,
    facets: 2,
};
const SEEDS: u64 = 4_000;

/// Whether an order keeps these demands, by trying everything.
fn possible(problem: &Problem, demands: &[usize]) -> bool {
    let smaller = Problem {
        demands: demands
            .iter()
            .map(|&k| problem.demands[k].clone())
            .collect(),
        ..problem.clone()
    };
    oracle::best(&smaller).is_some()
}

#[test]
fn a_conflict_cannot_hold_and_whatever_is_left_out_of_it_the_rest_can() {
    let (mut conflicts, mut several) = (0, 0);
    for seed in 0..SEEDS {
        let problem = problem(seed, &SIZE);
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        if outcome.plan.is_some() || !outcome.proven() {
            continue;
        }
        let limits = Limits::default();
        let found = conflict_of_problem(&problem, &mut Allowance::after(&limits, &outcome));
        assert!(found.minimal, "seed {seed}: not settled without any limit");
        let hard = |k: &usize| problem.demands[*k].weight.is_none();
        assert!(found.demands.iter().all(hard), "seed {seed}: {found:?}");
        assert!(
            !possible(&problem, &found.demands),
            "seed {seed}: {found:?} can hold together"
        );
        for k in &found.demands {
            let rest: Vec<usize> = (found.demands.iter().copied()).filter(|d| d != k).collect();
            assert!(
                possible(&problem, &rest),
                "seed {seed}: {found:?} holds together no better without {k}"
            );
        }
        conflicts += 1;
        several += usize::from(found.demands.len() > 1);
    }
    assert!(conflicts > 100 && several > 30, "{conflicts} {several}");
}
