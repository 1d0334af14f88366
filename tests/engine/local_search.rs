//! The guesses of the search in a hurry, on its own and against the referee: orders keep what they are said to keep, set-ups are allowed and scored right,
//! and what is called a plan is one. The optimum of small problems is found by trying everything.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle;
use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::seeds;
use crate::oracle::tight::tight;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::timeline::Timeline;
use segue::score::{cost_of, evaluate};
use segue::search::budget::{Limits, Meter};
use segue::search::local::Annealing;
use segue::search::local::fitting::Fitting;
use segue::search::local::orders::{Orders, kept};
use segue::search::neighbourhood::{Neighbourhoods, restricted};
use segue::search::solve_below;
use segue::search::tables::Tables;

/// Words of a state, more than enough for small problems.
const N: usize = 4;
const SIZE: Size = Size {
    timed: 5,
    untimed: 6,
    facets: 4,
};
const LARGE: Size = Size {
    timed: 14,
    untimed: 18,
    facets: 5,
};

/// Random problems, among them such where seconds decide.
fn problems(usual: u64, size: &Size) -> Vec<Problem> {
    let made = |seed: u64| match seed % 3 {
        0 => tight(seed, size),
        _ => problem(seed, size),
    };
    seeds(usual).map(made).collect()
}

/// Walks from order to order, and calls `f` with each.
fn walk(tables: &Tables<'_, N>, seed: u64, f: &mut impl FnMut(&[usize], &mut ChaCha8Rng)) {
    let mut die = ChaCha8Rng::seed_from_u64(seed);
    let orders = Orders::new(tables);
    let mut order = orders.first(tables, &mut die);
    f(&order, &mut die);
    for at in 0..200 {
        let mut next = order.clone();
        let focus = (at % 4 == 0 && !order.is_empty()).then_some(at % order.len().max(1));
        if orders.change(tables, &mut next, focus, &mut die) {
            f(&next, &mut die);
            order = next;
        }
    }
}

#[test]
fn an_order_that_keeps_what_must_hold_goes_on_keeping_it() {
    let (mut seen, mut held) = (0, 0);
    for (seed, p) in problems(150, &LARGE).iter().enumerate() {
        let tables = Tables::<N>::new(p);
        let mut begun = None;
        walk(&tables, seed as u64, &mut |order, _| {
            let setups: Vec<Vec<usize>> = order.iter().map(|_| p.start_setup.clone()).collect();
            let judged = evaluate(p, order, &setups);
            let form = judged.errors.iter().filter(|e| e.contains("order"));
            assert_eq!(form.count(), 0, "{:?}", judged.errors);
            let stages = judged.errors.iter().filter(|e| e.contains("stage"));
            let broken = judged.broken.iter().filter(|&&k| kept(&p.demands[k]));
            let broken = stages.count() + broken.count();
            let begun = *begun.get_or_insert(broken);
            if begun == 0 {
                assert_eq!(broken, 0, "seed {seed}: {order:?}");
                held += 1;
            }
            seen += 1;
        });
    }
    assert!(held > seen / 2 && held > 1000, "{held} of {seen}");
}

#[test]
fn set_ups_are_allowed_and_scored_as_the_referee_scores_them() {
    let mut seen = 0;
    for (seed, p) in problems(150, &LARGE).iter().enumerate() {
        let tables = Tables::<N>::new(p);
        let mut fitting = Fitting::new(&tables);
        let mut timeline = Timeline::default();
        let mut undo = Vec::new();
        walk(&tables, seed as u64, &mut |order, die| {
            if fitting.shares() {
                fitting.change(order, die, &mut undo);
            }
            let score = fitting.fit(order, &mut timeline);
            let judged = evaluate(p, order, &timeline.setups);
            let form = judged.errors.iter().filter(|e| !e.contains("stage"));
            assert_eq!(form.collect::<Vec<_>>(), Vec::<&String>::new(), "{order:?}");
            assert_eq!(judged.timeline, timeline, "seed {seed}");
            let wishes = (judged.counts.iter().enumerate()).map(|(k, &c)| cost_of(p, k, c));
            assert_eq!(
                score + wishes.sum::<i64>(),
                judged.score,
                "seed {seed}: {order:?}"
            );
            seen += 1;
        });
    }
    assert!(seen > 1000, "{seen}");
}

#[test]
fn what_is_undone_is_as_it_was() {
    for (seed, p) in problems(60, &LARGE).iter().enumerate() {
        let tables = Tables::<N>::new(p);
        let mut fitting = Fitting::new(&tables);
        let (mut before, mut after) = (Timeline::default(), Timeline::default());
        walk(&tables, seed as u64, &mut |order, die| {
            let score = fitting.fit(order, &mut before);
            let mut undo = Vec::new();
            if fitting.shares() {
                fitting.change(order, die, &mut undo);
                fitting.undo(&undo);
            }
            assert_eq!(score, fitting.fit(order, &mut after));
            assert_eq!(before, after);
        });
    }
}

#[test]
fn a_plan_in_a_hurry_is_a_plan_and_often_the_best() {
    let (mut found, mut best) = (0, 0);
    for (seed, p) in problems(120, &SIZE).iter().enumerate() {
        let tables = Tables::<N>::new(p);
        let limits = Limits::default();
        let mut meter = Meter::new(&limits);
        let mut annealing = Annealing::new(&tables, seed as u64);
        let mut plan = None;
        for _ in 0..6 {
            let below = plan
                .as_ref()
                .map_or(i64::MAX / 4, |p: &segue::search::outcome::Plan| p.score);
            let better = annealing.run(plan.as_ref(), below, 1_000_000, &mut meter);
            assert!(better.as_ref().is_none_or(|b| b.score < below));
            plan = better.or(plan);
        }
        let truth = oracle::best(p);
        if let Some(plan) = plan {
            let judged = evaluate(p, &plan.order, &plan.setups);
            assert!(judged.feasible(), "seed {seed}");
            assert_eq!(judged.score, plan.score);
            let truth = truth.unwrap().0;
            assert!(truth <= plan.score, "seed {seed}");
            found += 1;
            best += u32::from(truth == plan.score);
        }
    }
    // A measure of how good it is, far below what was seen: 0 would mean that it does not work.
    assert!(found > 40 && best * 2 > found, "{best} best of {found}");
}

/// A plan with some of its steps freed: the plan is one of the part as well, and whatever the part has is a plan of the whole, of the same score.
#[test]
fn a_plan_of_a_part_is_a_plan_of_the_whole() {
    let (mut tried, mut better) = (0, 0);
    for (seed, p) in problems(250, &SIZE).iter().enumerate() {
        let mut die = ChaCha8Rng::seed_from_u64(seed as u64);
        let tables = Tables::<N>::new(p);
        let (limits, begun) = (Limits::default(), i64::MAX / 4);
        let mut meter = Meter::new(&limits);
        let mut annealing = Annealing::new(&tables, seed as u64);
        // Too few tries for the best plan, often.
        let plan = annealing.run(None, begun, 20, &mut meter);
        let Some(plan) = plan.filter(|plan| !plan.order.is_empty()) else {
            continue;
        };
        for _ in 0..4 {
            let count = die.random_range(0..=plan.order.len());
            let free = Neighbourhoods::new(p).draw(&plan.order, count, &mut die);
            let part = restricted(p, &plan.order, &free);
            let outcome = solve_below(&part, &limits, begun);
            let found = outcome.plan.expect("the plan itself is one");
            let judged = evaluate(p, &found.order, &found.setups);
            assert!(judged.feasible(), "seed {seed}: {judged:?}");
            assert_eq!(judged.score, found.score, "seed {seed}");
            assert!(found.score <= plan.score, "seed {seed}");
            let fixed = |order: &[usize]| -> Vec<usize> {
                order.iter().copied().filter(|&s| !free[s]).collect()
            };
            let (before, after) = (fixed(&plan.order), fixed(&found.order));
            let mut left = before.iter();
            assert!(after.iter().all(|s| left.any(|b| b == s)), "seed {seed}");
            tried += 1;
            better += usize::from(found.score < plan.score);
        }
    }
    assert!(better > 20 && tried > 5 * better / 4, "{better} of {tried}");
}
