//! The rest of a class: the beginning stands, what is owed is paid, what is named as a cut fits.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle;
use crate::oracle::random::{Size, problem};
use segue::orders::late::{Begun, Late, Rest, late, rest};
use segue::problem::Problem;
use segue::problem::demand::Kind;
use segue::problem::without::without;
use segue::score::{Evaluation, evaluate};
use segue::search::budget::Limits;
use segue::search::solve;

const SMALL: Size = Size {
    timed: 5,
    untimed: 5,
    facets: 2,
};

fn best(problem: &Problem) -> Option<Evaluation> {
    let plan = solve(problem, &Limits::default(), &mut |_| {}).plan?;
    Some(evaluate(problem, &plan.order, &plan.setups))
}

/// A random class that has begun with `done` steps done, and what is planned for the rest in `share` hundredths of the time it takes.
fn begun(problem: &Problem, plan: &Evaluation, done: usize, share: i64) -> Begun {
    let timeline = &plan.timeline;
    let now = done.checked_sub(1).map_or(0, |k| timeline.end[k]);
    Begun {
        problem: problem.clone(),
        plan: plan.clone(),
        done,
        plan_is_proven: true,
        left: (timeline.finish - now) * share / 100,
        behind: 0,
        movements: (0..problem.steps.len())
            .filter(|&s| problem.steps[s].optional.is_none())
            .filter(|s| !timeline.order[..done].contains(s))
            .map(|s| vec![s])
            .collect(),
    }
}

fn each(share: i64, mut look: impl FnMut(u64, &Begun, &Late)) {
    for seed in 0..200 {
        let problem = problem(seed, &SMALL);
        let Some(plan) = best(&problem) else { continue };
        let done = 2.min(plan.timeline.order.len());
        let begun = begun(&problem, &plan, done, share);
        if let Ok(found) = late(&begun, &Limits::default(), &mut |_| {}) {
            look(seed, &begun, &found);
        }
    }
}

/// The beginning of a rest is that of the plan: the same steps, set-ups and times.
fn begins_as_it_did(begun: &Begun, rest: &Rest) {
    let (was, is) = (&begun.plan.timeline, &rest.found.timeline);
    let order: Vec<usize> = is.order.iter().map(|&s| rest.steps[s]).collect();
    assert_eq!(order[..begun.done], was.order[..begun.done]);
    assert_eq!(is.setups[..begun.done], was.setups[..begun.done]);
    assert_eq!(is.end[..begun.done], was.end[..begun.done]);
}

#[test]
fn what_is_done_stands_and_with_time_enough_the_rest_is_the_plan() {
    let mut many = 0;
    each(100, |seed, begun, found| {
        begins_as_it_did(begun, &found.whole);
        assert!(found.fits() && found.cuts.is_empty(), "{seed}");
        let timed = |k: &Kind| matches!(k, Kind::Fits(_));
        if !begun.problem.demands.iter().any(|d| timed(&d.kind)) {
            // The best class with the beginning of the best class is the best class.
            let order = &found.whole.found.timeline.order;
            let again = evaluate(&begun.problem, order, &found.whole.found.timeline.setups);
            assert_eq!(again.score, begun.plan.score, "{seed}");
        }
        many += 1;
    });
    assert!(many > 50, "{many}");
}

#[test]
fn a_cut_fits_keeps_what_must_hold_and_adds_no_stop() {
    let (mut cuts, mut none) = (0, 0);
    each(60, |seed, begun, found| {
        if found.fits() {
            return;
        }
        none += u32::from(found.cuts.is_empty());
        for rest in &found.cuts {
            cuts += 1;
            begins_as_it_did(begun, rest);
            assert!(rest.found.feasible(), "{seed}: {:?}", rest.found.broken);
            assert!(rest.found.timeline.finish <= found.until, "{seed}");
            assert!(rest.found.stops <= found.whole.found.stops, "{seed}");
            let saved = found.whole.found.timeline.finish - rest.found.timeline.finish;
            assert_eq!(rest.saves, saved, "{seed}");
            // What is asked of the steps that are left is asked as before.
            let mut gone = vec![false; begun.problem.steps.len()];
            for &k in &rest.cut {
                begun.movements[k].iter().for_each(|&s| gone[s] = true);
            }
            let (left, _) = without(&begun.problem, &gone);
            let timeline = &rest.found.timeline;
            let mut again = evaluate(&left, &timeline.order, &timeline.setups);
            again
                .broken
                .retain(|&k| !matches!(left.demands[k].kind, Kind::Fits(_)));
            // What was made ready for a movement that is cut was made ready all the same.
            let begun =
                |e: &String| (1..=begun.done).any(|p| e.starts_with(&format!("place {p}: facet")));
            again.errors.retain(|e| !begun(e));
            assert!(again.errors.is_empty() && again.broken.is_empty(), "{seed}");
        }
    });
    assert!(cuts > 50 && none > 0, "{cuts} cuts, {none} without");
}

/// Beside the truth by trying everything: fewer cuts never do, and every cut of as many that does is named.
#[test]
fn the_cuts_named_are_all_of_the_fewest_that_do() {
    let mut looked_at = 0;
    each(70, |seed, begun, found| {
        if found.fits() || seed > 60 {
            return;
        }
        let n = begun.movements.len();
        let mut expected: Vec<Vec<usize>> = Vec::new();
        for many in 1..=3_u32 {
            for set in (0..1_u32 << n).filter(|set| set.count_ones() == many) {
                let cut: Vec<usize> = (0..n).filter(|k| set >> k & 1 == 1).collect();
                if does(begun, found, &cut) {
                    expected.push(cut);
                }
            }
            if !expected.is_empty() {
                break;
            }
        }
        let mut told: Vec<Vec<usize>> = found.cuts.iter().map(|r| r.cut.clone()).collect();
        told.sort();
        expected.sort();
        assert!(found.settled, "{seed}");
        assert_eq!(told, expected, "{seed}");
        looked_at += 1;
    });
    assert!(looked_at > 10, "{looked_at}");
}

/// Somebody has asked to stop before it begins, so that no search finds anything.
#[test]
fn interrupted_at_once_the_rest_is_that_of_the_plan_and_is_called_open() {
    let mut looked_at = 0;
    for seed in 0..100 {
        let problem = problem(seed, &SMALL);
        let Some(plan) = best(&problem) else { continue };
        let begun = begun(&problem, &plan, 2.min(plan.timeline.order.len()), 80);
        let limits = Limits::default();
        limits.stop.ask();
        match late(&begun, &limits, &mut |_| {}) {
            Ok(found) => {
                assert!(found.interrupted, "{seed}");
                assert_eq!(
                    found.whole.found.timeline.order, plan.timeline.order,
                    "{seed}"
                );
                if found.whole.proven {
                    // So little is left that nothing had to be searched.
                    let truth = best(&rest(&begun, &[], None).problem).unwrap();
                    assert_eq!(found.whole.found.score, truth.score, "{seed}");
                } else {
                    looked_at += 1;
                }
            }
            Err(outcome) => assert!(!outcome.proven(), "{seed}"),
        }
    }
    assert!(looked_at > 50, "{looked_at}");
}

/// Whether the best rest without some movements fits and adds no stop, by trying all orders that begin as the plan.
fn does(begun: &Begun, found: &Late, cut: &[usize]) -> bool {
    let rest = rest(begun, cut, Some(found.until)).problem;
    match oracle::best(&rest) {
        Some((_, order, setups)) => {
            evaluate(&rest, &order, &setups).stops <= found.whole.found.stops
        }
        None => false,
    }
}
