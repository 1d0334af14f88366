//! The bound of the cheapest walks against the best plans of small problems.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle;
use crate::oracle::named::neighbours_that_pay_differently;
use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::{asked, seeds};
use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::check::check;
use segue::problem::demand::contiguous::Contiguous;
use segue::problem::demand::{Demand, Kind};
use segue::problem::figures::{GREATEST, greatest_score};
use segue::search::rungs::hierarchy;
use segue::search::tables::Tables;
use segue::search::walks::ascent::Ascent;
use segue::search::walks::grid::{Grid, MOST_COST};
use segue::search::walks::memory::Memory;
use segue::search::walks::price::Walks;

/// Words of a state, more than enough for small problems.
const N: usize = 4;
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

/// A problem of either size, and the score of its best plan.
fn solved(seed: u64, change: impl Fn(Problem) -> Problem) -> (Problem, Option<i64>) {
    let size = &SIZES[usize::try_from(seed % 2).unwrap()];
    let made = change(problem(seed, size));
    let best = oracle::best(&made).map(|best| best.0);
    (made, best)
}

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

/// The same problem with nothing to keep but precedences and blocks, which may lie within or across one another.
fn bare(mut problem: Problem) -> Problem {
    for step in &mut problem.steps {
        step.optional = None;
    }
    problem.demands.retain(|demand| match &demand.kind {
        Kind::Precede(_) => demand.weight.is_none(),
        Kind::Contiguous(d) => demand.weight.is_none() && d.within == 0,
        _ => false,
    });
    problem
}

/// A bare problem with a block within a block besides.
fn nested(seed: u64) -> Problem {
    let mut made = bare(problem(seed, &SIZES[1]));
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x6e65_7374_6564);
    let mut steps: Vec<usize> = (0..made.steps.len()).collect();
    steps.shuffle(&mut die);
    for many in [2, 4] {
        made.demands.push(Demand {
            kind: Kind::Contiguous(Contiguous {
                steps: steps.iter().copied().take(many).collect(),
                ordered: false,
                within: 0,
            }),
            weight: None,
        });
    }
    made
}

/// Source: as above. A walk in the inner block has to know of the outer one.
#[test]
fn no_walk_costs_more_than_the_best_plan_where_a_block_lies_within_a_block() {
    for seed in 0..400 {
        let problem = nested(seed);
        let Some(best) = oracle::best(&problem) else {
            continue;
        };
        let Some(bounds) = bounds(&problem, Some(best.0 + 100), 6) else {
            continue;
        };
        assert!(
            *bounds.last().unwrap() <= best.0,
            "seed {seed}: {bounds:?} above {}",
            best.0
        );
    }
}

/// The same problem with everything so many times as dear, and `more` on top that every plan pays; `None` where no step takes it up, or the
/// figures grow too large.
fn dearer(problem: &Problem, times: i64, more: i64) -> Option<Problem> {
    let mut made = problem.clone();
    let mul = |x: &mut i64| {
        *x = x.checked_mul(times)?;
        Some(())
    };
    mul(&mut made.time_weight)?;
    mul(&mut made.stop_weight)?;
    for step in &mut made.steps {
        step.optional.iter_mut().try_for_each(mul)?;
        let choices = step.setup.iter_mut().flatten().flatten();
        choices.map(|c| &mut c.penalty).try_for_each(mul)?;
    }
    let mut weights = made.demands.iter_mut().filter_map(|d| d.weight.as_mut());
    weights.try_for_each(mul)?;
    let mut must = made.steps.iter_mut().filter(|s| s.optional.is_none());
    let pays = must.find_map(|s| s.setup.iter_mut().flatten().next())?;
    for choice in pays {
        choice.penalty = choice.penalty.checked_add(more)?;
    }
    check(&made).is_empty().then_some(made)
}

/// Source: every plan of each problem (`oracle`).
#[test]
fn no_walk_costs_more_than_the_best_plan() {
    let (mut tried, mut tight) = (0, 0);
    for seed in seeds(400) {
        let (problem, Some(best)) = solved(seed, |made| made) else {
            continue;
        };
        for known in [None, Some(best), Some(best + 500)] {
            let Some(bounds) = bounds(&problem, known, 3) else {
                continue;
            };
            let highest = *bounds.last().unwrap();
            assert!(bounds.is_sorted(), "seed {seed}: {bounds:?}");
            assert!(highest <= best, "seed {seed}: {bounds:?} above {best}");
            tried += 1;
            tight += usize::from(highest == best);
        }
    }
    assert!(tried > 500, "the bound is rarely there: {tried}");
    assert!(
        4 * tight > tried,
        "the bound is rarely tight: {tight} of {tried}"
    );
}

/// Source: as above. A cheapest walk that comes to each step once is an order, so the bound must meet the best; and where there is no order, there is no walk.
#[test]
fn walks_that_remember_everything_are_orders() {
    let mut impossible = 0;
    for seed in seeds(300) {
        let (problem, best) = solved(seed, bare);
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
        impossible > 1 || asked(),
        "hardly any problem is impossible: {impossible}"
    );
}

/// What the best plan is to cost: around the powers of two at which single precision and the unit of walks have their limits, and far above.
fn figures() -> Vec<i64> {
    let powers = [20, 21, 22, 23, 24, 25, 31, 40];
    let around = |power: i32| [-1, 0, 1].map(|by| (1 << power) + by);
    powers.into_iter().flat_map(around).collect()
}

/// Everything many times as dear, up to the greatest figures that there may be. The truth of the dearer problem follows from that of the small one, which is
/// found by trying everything; tolls grow as far as they may, since what is known is far above.
#[test]
fn no_walk_costs_more_than_the_best_plan_however_large_the_figures() {
    let mut tried = 0;
    for seed in seeds(60) {
        let (problem, Some(best)) = solved(seed, |made| made) else {
            continue;
        };
        let most = i128::from(GREATEST) / greatest_score(&problem).max(1);
        let most = i64::try_from(most).unwrap_or(1);
        let targets = figures().into_iter().map(|figure| {
            let times = (figure / best.max(1)).max(1);
            (times, (figure - times * best).max(0))
        });
        for (times, more) in targets.chain([(most, 0), (most / 3, most / 7)]) {
            let Some(dear) = dearer(&problem, times, more) else {
                continue;
            };
            let truth = times * best + more;
            let far = truth.saturating_mul(50).min(GREATEST);
            for (known, climbs) in [
                (None, 4),
                (Some(truth), 3),
                (Some(truth + 1), 3),
                (Some(MOST_COST - 1), 6),
                (Some(far), 6),
            ] {
                // Nobody knows of a plan that is better than the best.
                if known.is_some_and(|known| known < truth) {
                    continue;
                }
                let Some(bounds) = bounds(&dear, known, climbs) else {
                    continue;
                };
                let highest = *bounds.last().unwrap();
                assert!(
                    highest <= truth,
                    "seed {seed}, {times} times and {more}, known {known:?}: {bounds:?} above {truth}"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "the bound is rarely there: {tried}");
}

/// What is lost by counting in a larger unit: of the gap between the bound and the best plan, where both are so many times as large.
#[test]
fn the_bound_of_walks_is_nearly_as_good_where_figures_are_large() {
    let (mut plain, mut large, mut tried) = (0.0, 0.0, 0);
    for seed in seeds(80) {
        let (problem, Some(best)) = solved(seed, |made| made) else {
            continue;
        };
        let told = |problem: &Problem, truth: i64| {
            let told = bounds(problem, Some(truth), 4)?;
            Some(*told.last().unwrap() as f64 / truth as f64)
        };
        if best < 100 {
            continue;
        }
        for figure in [MOST_COST - 1, 3 * MOST_COST, 1 << 40] {
            let times = figure / best;
            let dear = dearer(&problem, times, 0);
            let both =
                dear.and_then(|dear| Some((told(&problem, best)?, told(&dear, times * best)?)));
            if let Some((one, other)) = both {
                plain += one;
                large += other;
                tried += 1;
            }
        }
    }
    assert!(tried > 50, "the bound is rarely there: {tried}");
    let [plain, large] = [plain, large].map(|sum| sum / f64::from(tried));
    assert!(
        large > plain - 0.02,
        "on the average the bound is {plain} of the best plan, and {large} where figures are large"
    );
}

/// Grids so small that facets are left out, with the penalties that these cost at least.
#[test]
fn no_walk_costs_more_than_the_best_plan_where_facets_are_left_out_of_the_grid() {
    let mut told = 0;
    for seed in seeds(400) {
        let (problem, Some(best)) = solved(seed, |made| made) else {
            continue;
        };
        let t = Tables::<N>::new(&problem);
        // Steps that may be left out are no part of walks.
        let steps: Vec<usize> = t.must.iter().collect();
        if steps.is_empty() || steps.len() < t.n {
            continue;
        }
        for most in [1, 2, 4] {
            let grid = Grid::new(&t, &hierarchy(&t), most, &vec![false; t.n], 1);
            let memory = Memory::new(&t, steps.clone());
            let mut walks = Walks::new(&t, &memory, &grid);
            let price = walks.price(&memory, &grid, &vec![0.0; t.n]);
            let price = price.expect("a plan is a walk");
            assert!(price <= best, "seed {seed}, {most}: {price} above {best}");
            told += usize::from(price > 0);
        }
    }
    assert!(told > 100, "the bound says hardly anything: {told}");
}

/// See [`neighbours_that_pay_differently`].
#[test]
fn a_step_walks_for_another_only_if_both_pay_the_same() {
    let problem = neighbours_that_pay_differently();
    assert_eq!(oracle::best(&problem).map(|best| best.0), Some(600));
    let bounds = bounds(&problem, Some(700), 3).unwrap();
    assert!(*bounds.last().unwrap() <= 600, "{bounds:?}");
}
