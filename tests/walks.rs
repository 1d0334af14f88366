//! The bound of the cheapest walks against the best plans of small problems.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod oracle;

use oracle::random::{Size, problem};
use segue::problem::Problem;
use segue::problem::demand::Kind;
use segue::search::tables::Tables;
use segue::search::walks::ascent::Ascent;
use segue::search::walks::grid::MOST_COST;

/// Words of a state, more than enough for small problems.
const N: usize = 4;
const SIZE: Size = Size {
    timed: 5,
    untimed: 6,
    facets: 3,
};

/// The bound after each of so many climbs, from the first one without tolls on; `None` where there is no such bound.
fn bounds(problem: &Problem, best: Option<i64>, climbs: usize) -> Option<Vec<i64>> {
    let tables = Tables::<N>::new(problem);
    let mut ascent = Ascent::new(&tables, 1 << 28)?;
    ascent.settle(best, &mut |_| true);
    let mut bounds = vec![ascent.bound()];
    for _ in 0..climbs {
        ascent.climb(best, &mut |_| true);
        bounds.push(ascent.bound());
    }
    Some(bounds)
}

/// The same problem with nothing to keep but precedences, and blocks that do not overlap.
fn bare(mut problem: Problem) -> Problem {
    for step in &mut problem.steps {
        step.optional = None;
    }
    let mut taken = vec![false; problem.steps.len()];
    problem.demands.retain(|demand| match &demand.kind {
        Kind::Precede(_) => demand.weight.is_none(),
        Kind::Contiguous(d) => {
            let alone = d.steps.iter().all(|&s| !taken[s]);
            let kept = demand.weight.is_none() && d.within == 0 && alone;
            d.steps.iter().for_each(|&s| taken[s] |= kept);
            kept
        }
        _ => false,
    });
    problem
}

/// Source: every plan of each problem (`oracle`).
#[test]
fn no_walk_costs_more_than_the_best_plan() {
    let (mut tried, mut tight) = (0, 0);
    for seed in 0..500 {
        let problem = problem(seed, &SIZE);
        let Some(best) = oracle::best(&problem) else {
            continue;
        };
        for known in [None, Some(best.0), Some(best.0 + 500)] {
            let Some(bounds) = bounds(&problem, known, 4) else {
                continue;
            };
            let highest = *bounds.last().unwrap();
            assert!(bounds.is_sorted(), "seed {seed}: {bounds:?}");
            assert!(
                highest <= best.0,
                "seed {seed}: {bounds:?} above {}",
                best.0
            );
            tried += 1;
            tight += usize::from(highest == best.0);
        }
    }
    assert!(tried > 700, "the bound is rarely there: {tried}");
    assert!(
        4 * tight > tried,
        "the bound is rarely tight: {tight} of {tried}"
    );
}

/// Source: as above. A cheapest walk that comes to each step once is an order, so the bound must meet the best; and where there is no order, there is no walk.
#[test]
fn walks_that_remember_everything_are_orders() {
    let mut impossible = 0;
    for seed in 0..400 {
        let problem = bare(problem(seed, &SIZE));
        let best = oracle::best(&problem).map(|best| best.0);
        impossible += usize::from(best.is_none());
        // As high as it can get: what is known is above the best plan.
        let known = best.map(|best| best + 1000);
        let bounds = bounds(&problem, known, 40).unwrap();
        let highest = *bounds.last().unwrap();
        match best {
            Some(best) => assert_eq!(highest, best, "seed {seed}: {bounds:?}"),
            None => assert!(highest >= MOST_COST, "seed {seed}: {bounds:?}"),
        }
    }
    assert!(
        impossible > 5,
        "hardly any problem is impossible: {impossible}"
    );
}
