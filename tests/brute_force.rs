//! The search against the truth of small problems, found by trying everything.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod oracle;

use std::collections::BTreeMap;

use oracle::random::{Size, problem};
use segue::exchange::problem_file;
use segue::search::budget::Limits;
use segue::search::solve;

/// How many problems, beginning with seed 0.
const MANY: u64 = 400;
const SIZE: Size = Size {
    timed: 5,
    untimed: 6,
    facets: 3,
};

#[test]
fn the_search_finds_and_proves_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut possible, mut impossible) = (0, 0);
    for seed in 0..MANY {
        let problem = problem(seed, &SIZE);
        let truth = oracle::best(&problem).map(|best| best.0);
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        let found = outcome.plan.as_ref().map(|plan| plan.score);
        if !outcome.proven() || found != truth {
            wrong.push(format!(
                "seed {seed}: trying everything gives {truth:?}, the search {outcome:?}\n{}",
                problem_file::write(&problem)
            ));
        }
        match truth {
            Some(_) => possible += 1,
            None => impossible += 1,
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(
        possible > MANY / 2 && impossible > MANY / 20,
        "the problems are too much alike: {possible} with a plan, {impossible} without"
    );
}

#[test]
fn the_random_problems_hold_every_kind_of_demand_hard_and_soft() {
    let mut kinds: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for seed in 0..MANY {
        for demand in problem(seed, &SIZE).demands {
            let hard = demand.weight.is_none();
            *kinds.entry((demand.kind.name(), hard)).or_default() += 1;
        }
    }
    assert_eq!(kinds.len(), 13 * 2, "{kinds:?}");
    assert!(kinds.values().all(|&many| many >= 10), "{kinds:?}");
}
