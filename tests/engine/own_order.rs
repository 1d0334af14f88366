//! Her own order: the fewest moves and the curve of what it costs to keep it, each beside the result of trying everything.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::{BTreeMap, BTreeSet};

use crate::oracle;
use crate::oracle::random::{Size, problem};
use segue::orders::difference::Measure;
use segue::orders::moves::{fewest_moves, pieces};
use segue::orders::nearest::{nearest, nearest_from};
use segue::problem::Problem;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::{Demand, Kind};
use segue::problem::without::without;
use segue::score::evaluate;
use segue::search::budget::Limits;
use segue::search::{best_setups, solve};

const SMALL: Size = Size {
    timed: 4,
    untimed: 5,
    facets: 2,
};

/// Six steps, so that three moves are not enough for every order.
const SIX: Size = Size {
    timed: 5,
    untimed: 6,
    facets: 2,
};

/// A random problem without rests, as the moves look at it.
fn bare(seed: u64) -> Problem {
    let problem = problem(seed, &SIX);
    let rests: Vec<bool> = problem.steps.iter().map(|s| s.optional.is_some()).collect();
    without(&problem, &rests).0
}

/// The best score of an order, if it keeps what must hold, by trying all set-ups.
fn score_of(problem: &Problem, order: &[usize]) -> Option<i64> {
    let mut fixed = problem.clone();
    fixed.demands.extend(order.windows(2).map(|two| Demand {
        kind: Kind::Precede(Precede {
            a: two[0],
            b: two[1],
        }),
        weight: None,
    }));
    oracle::best(&fixed).map(|best| best.0)
}

/// Every order that comes of taking the pieces out and putting each somewhere, in one piece.
fn reached(own: &[usize], pieces: &[&Vec<usize>]) -> BTreeSet<Vec<usize>> {
    let rest: Vec<Vec<usize>> = (own.iter())
        .filter(|s| !pieces.iter().any(|p| p.contains(s)))
        .map(|&s| vec![s])
        .collect();
    let mut all = BTreeSet::from([rest]);
    for piece in pieces {
        all = (all.iter())
            .flat_map(|order| {
                (0..=order.len()).map(|at| {
                    let mut more = order.clone();
                    more.insert(at, (*piece).clone());
                    more
                })
            })
            .collect();
    }
    all.into_iter().map(|order| order.concat()).collect()
}

/// All choices of `many` pieces that have no step in common.
fn choices(pieces: &[Vec<usize>], many: usize) -> Vec<Vec<&Vec<usize>>> {
    if many == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (k, piece) in pieces.iter().enumerate() {
        for mut more in choices(&pieces[k + 1..], many - 1) {
            if more.iter().all(|m| m.iter().all(|s| !piece.contains(s))) {
                more.push(piece);
                all.push(more);
            }
        }
    }
    all
}

#[test]
fn the_fewest_moves_agree_with_trying_all() {
    let (mut looked_at, mut bettered, mut in_pieces) = (0, [0; 3], 0);
    for seed in 0..200 {
        let problem = bare(seed);
        let own: Vec<usize> = (0..problem.steps.len()).collect();
        let mut known: BTreeMap<Vec<usize>, Option<i64>> = BTreeMap::new();
        let mut score = |order: &Vec<usize>| {
            *known
                .entry(order.clone())
                .or_insert_with(|| score_of(&problem, order))
        };
        let Some(before) = score(&own) else { continue };
        let (setups, proven) = best_setups(&problem, &own, &Limits::default()).unwrap();
        assert!(proven, "{seed}");
        let evaluation = evaluate(&problem, &own, &setups);
        assert_eq!(evaluation.score, before, "{seed}");
        let found = fewest_moves(&problem, &own, &evaluation, &Limits::default(), &mut |_| {});
        assert!(found.settled, "{seed}");
        let all = pieces(&problem, &own);
        in_pieces += all.len() - own.len();
        let mut best = before;
        let mut expected = Vec::new();
        for many in 1..=3 {
            let orders: BTreeSet<Vec<usize>> = (choices(&all, many).iter())
                .flat_map(|chosen| reached(&own, chosen))
                .collect();
            let here = orders.iter().filter_map(&mut score).min();
            if let Some(here) = here.filter(|h| *h < best) {
                best = here;
                expected.push((many, here));
                bettered[many - 1] += 1;
            }
        }
        let told: Vec<(usize, i64)> = (found.best.iter())
            .map(|m| (m.pieces.len(), m.found.score))
            .collect();
        assert_eq!(told, expected, "{seed}");
        for moves in &found.best {
            let pieces: Vec<&Vec<usize>> = moves.pieces.iter().collect();
            let order = &moves.found.timeline.order;
            assert!(
                moves.found.feasible() && reached(&own, &pieces).contains(order),
                "{seed}"
            );
        }
        looked_at += 1;
    }
    assert!(looked_at > 40 && in_pieces > 5, "{looked_at}, {in_pieces}");
    assert!(bettered[0] > 12 && bettered[1] > 3, "{bettered:?}");
}

#[test]
fn moves_mend_what_must_hold_before_anything_else() {
    let mut mended = 0;
    for seed in 0..200 {
        let problem = bare(seed);
        let own: Vec<usize> = (0..problem.steps.len()).collect();
        let Some((setups, _)) = best_setups(&problem, &own, &Limits::default()) else {
            continue;
        };
        let before = evaluate(&problem, &own, &setups);
        if before.broken.is_empty() || !before.errors.is_empty() {
            continue;
        }
        let found = fewest_moves(&problem, &own, &before, &Limits::default(), &mut |_| {});
        let violations =
            |e: &segue::score::Evaluation| -> i64 { e.broken.iter().map(|&k| e.counts[k]).sum() };
        let mut least = violations(&before);
        for moves in &found.best {
            assert!(moves.found.errors.is_empty(), "{seed}");
            assert!(violations(&moves.found) <= least, "{seed}");
            least = violations(&moves.found);
        }
        mended += u32::from(least == 0);
    }
    assert!(mended > 5, "{mended}");
}

#[test]
fn the_curve_agrees_with_trying_all() {
    let (mut points, mut impossible) = (0, 0);
    for seed in 0..150 {
        let problem = problem(seed, &SMALL);
        let own: Vec<usize> = (0..problem.steps.len())
            .filter(|&s| problem.steps[s].optional.is_none())
            .collect();
        let measure = Measure::new(&problem, (0..problem.steps.len()).collect());
        let pairs = measure.free_pairs(&own);
        // For each number of pairs, the best order that keeps as many, rests put in wherever they may.
        let truth = |least: usize| {
            let mut keeping = problem.clone();
            keeping.demands.push(Demand {
                kind: Kind::Neighbours(segue::problem::demand::neighbours::Neighbours {
                    pairs: pairs.clone(),
                    least: Some(least as i64),
                    most: None,
                }),
                weight: None,
            });
            oracle::best(&keeping).map(|best| best.0)
        };
        let Ok(curve) = nearest(&problem, &own, &Limits::default(), &mut |_| {}) else {
            assert_eq!(truth(0), None, "{seed}");
            continue;
        };
        assert_eq!(curve.pairs, pairs.len(), "{seed}");
        assert_eq!(curve.open_from, None, "{seed}");
        for least in 0..=pairs.len() {
            let told = (curve.points.iter())
                .find(|p| p.kept >= least)
                .map(|p| p.found.score);
            if !pairs.is_empty() {
                assert_eq!(told, truth(least), "{seed}: at least {least}");
            }
        }
        assert!(curve.points.iter().all(|p| p.proven && p.found.feasible()));
        points += curve.points.len();
        impossible += u32::from(curve.impossible_from.is_some());
    }
    assert!(points > 100 && impossible > 10, "{points}, {impossible}");
}

/// Somebody has asked to stop before it begins: what is known is the plan.
#[test]
fn interrupted_at_once_the_curve_is_the_plan_and_calls_the_rest_open() {
    let mut open = 0;
    for seed in 0..100 {
        let problem = problem(seed, &SMALL);
        let own: Vec<usize> = (0..problem.steps.len())
            .filter(|&s| problem.steps[s].optional.is_none())
            .collect();
        let found = solve(&problem, &Limits::default(), &mut |_| {});
        let Some(plan) = &found.plan else { continue };
        let limits = Limits::default();
        limits.stop.ask();
        let curve = nearest_from(&problem, &own, (plan, true), &limits, &mut |_| {});
        let scores: Vec<i64> = curve.points.iter().map(|p| p.found.score).collect();
        assert_eq!(scores, [plan.score], "{seed}");
        assert_eq!(curve.impossible_from, None, "{seed}");
        let kept = curve.points[0].kept;
        assert_eq!(
            curve.open_from,
            (kept < curve.pairs).then_some(kept + 1),
            "{seed}"
        );
        open += u32::from(curve.open_from.is_some());
    }
    assert!(open > 20, "{open}");
}
