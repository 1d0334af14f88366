//! The search against the truth of small problems, found by trying everything.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;

use crate::oracle;
use crate::oracle::random::{Size, problem};
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::search::budget::Limits;
use segue::search::solve;

/// How many problems of each size, beginning with seed 0.
const MANY: u64 = 1000;
/// The more steps, the fewer facets: trying everything grows with both.
const SIZES: [Size; 2] = [
    Size {
        timed: 4,
        untimed: 5,
        facets: 3,
    },
    Size {
        timed: 5,
        untimed: 6,
        facets: 2,
    },
];

/// The problems, with a name for each.
fn problems() -> impl Iterator<Item = (String, Problem)> {
    (SIZES.iter().enumerate()).flat_map(|(s, size)| {
        (0..MANY).map(move |seed| (format!("size {s}, seed {seed}"), problem(seed, size)))
    })
}

#[test]
fn the_search_finds_and_proves_what_trying_everything_finds() {
    let mut wrong = Vec::new();
    let (mut possible, mut impossible) = (0, 0);
    for (name, problem) in problems() {
        let truth = oracle::best(&problem).map(|best| best.0);
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        let found = outcome.plan.as_ref().map(|plan| plan.score);
        if !outcome.proven() || found != truth {
            wrong.push(format!(
                "{name}: trying everything gives {truth:?}, the search {outcome:?}\n{}",
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
    for (_, problem) in problems() {
        for demand in problem.demands {
            let hard = demand.weight.is_none();
            *kinds.entry((demand.kind.name(), hard)).or_default() += 1;
        }
    }
    assert_eq!(kinds.len(), 13 * 2, "{kinds:?}");
    assert!(kinds.values().all(|&many| many >= 10), "{kinds:?}");
}
