//! What rules cost, and other places: on random problems against trying everything, each figure from two solves that know nothing of
//! each other.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use segue::explain::allowance::Allowance;
use segue::explain::elsewhere::{Other, Unit, other};
use segue::explain::price::{costs, without};
use segue::explain::transition::{Avoided, apart, transitions};
use segue::problem::Problem;
use segue::problem::demand::place::Place;
use segue::problem::demand::{Demand, Kind};
use segue::score::{Evaluation, evaluate};
use segue::search::budget::Limits;
use segue::search::outcome::Outcome;
use segue::search::solve;

use crate::oracle;
use crate::oracle::random::{Size, problem};

const SIZE: Size = Size {
    timed: 4,
    untimed: 4,
    facets: 2,
};
const SEEDS: u64 = 800;

/// Problems that have an order of at least two steps, with their plan.
fn solved() -> impl Iterator<Item = (u64, Problem, Outcome, Evaluation)> {
    (0..SEEDS).filter_map(|seed| {
        let problem = problem(seed, &SIZE);
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        let plan = outcome.plan.clone().filter(|p| p.order.len() > 1)?;
        let best = evaluate(&problem, &plan.order, &plan.setups);
        Some((seed, problem, outcome, best))
    })
}

fn score(problem: &Problem) -> Option<i64> {
    oracle::best(problem).map(|best| best.0)
}

#[test]
fn a_rule_costs_the_difference_of_two_optima() {
    let mut dear = 0;
    for (seed, problem, outcome, best) in solved() {
        // Demands two by two, so that rules of several demands are tried too.
        let all: Vec<usize> = (0..problem.demands.len()).collect();
        let groups: Vec<Vec<usize>> = all.chunks(2).map(<[usize]>::to_vec).collect();
        let mut allowance = Allowance::new(&Limits::default()).on_threads(2);
        let found = costs(&problem, &groups, &outcome, &best, &mut allowance);
        let with = score(&problem).unwrap();
        for (group, cost) in groups.iter().zip(&found) {
            let truth = with - score(&without(&problem, group)).unwrap();
            assert_eq!(cost.at_least, truth, "seed {seed}, demands {group:?}");
            assert_eq!(cost.at_most, Some(truth), "seed {seed}, demands {group:?}");
            dear += usize::from(truth > 0);
        }
    }
    assert!(dear > 50, "{dear}");
}

#[test]
fn a_search_cut_short_gives_prices_that_are_still_true() {
    let mut open = 0;
    for (seed, problem, outcome, best) in solved().take(200) {
        let groups: Vec<Vec<usize>> = (0..problem.demands.len()).map(|k| vec![k]).collect();
        let limits = Limits {
            nodes: Some(40),
            ..Limits::default()
        };
        let found = costs(
            &problem,
            &groups,
            &outcome,
            &best,
            &mut Allowance::new(&limits),
        );
        for (group, cost) in groups.iter().zip(&found) {
            let truth = best.score - score(&without(&problem, group)).unwrap();
            let most = cost.at_most.unwrap_or(i64::MAX);
            assert!(
                cost.at_least <= truth && truth <= most,
                "seed {seed}, demand {group:?}: {truth} is not in {} to {most}",
                cost.at_least
            );
            open += usize::from(cost.at_most != Some(cost.at_least));
        }
    }
    assert!(open > 0, "every search was done in time");
}

#[test]
fn an_order_without_a_stop_costs_what_trying_everything_finds() {
    let mut stops = 0;
    for (seed, problem, outcome, best) in solved() {
        let mut allowance = Allowance::new(&Limits::default());
        for t in transitions(&problem, &outcome, &best, &mut allowance) {
            let Some(to) = t.link.to.filter(|_| t.link.stop) else {
                continue;
            };
            let mut other = problem.clone();
            other.demands.push(apart(t.link.from, to));
            let truth = score(&other).map(|s| s - best.score);
            match t.avoided {
                Avoided::Never => assert_eq!(truth, None, "seed {seed}, before {to}"),
                Avoided::Costs { at_least, at_most } => {
                    assert_eq!(truth, Some(at_least), "seed {seed}, before {to}");
                    assert_eq!(truth, at_most, "seed {seed}, before {to}");
                }
                Avoided::NotSought => panic!("seed {seed}: a stop before {to} was passed over"),
            }
            stops += 1;
        }
    }
    assert!(stops > 50, "{stops}");
}

/// The best score of the steps in exactly this order, all of them done, by trying everything.
fn in_this_order(problem: &Problem, order: &[usize]) -> Option<i64> {
    let mut fixed = problem.clone();
    for (at, &step) in order.iter().enumerate() {
        fixed.steps[step].optional = None;
        let place = i64::try_from(at + 1).unwrap();
        fixed.demands.push(Demand {
            kind: Kind::Place(Place {
                step,
                min: place,
                max: place,
            }),
            weight: None,
        });
    }
    let beyond = i64::try_from(problem.steps.len() + 1).unwrap();
    for step in (0..problem.steps.len()).filter(|s| !order.contains(s)) {
        fixed.demands.push(Demand {
            kind: Kind::Place(Place {
                step,
                min: beyond,
                max: beyond,
            }),
            weight: None,
        });
    }
    let rests: i64 = order
        .iter()
        .filter_map(|&s| problem.steps[s].optional)
        .sum();
    score(&fixed).map(|s| s + rests)
}

#[test]
fn the_cheapest_other_place_is_the_cheapest_of_all_places() {
    let (mut places, mut breaks) = (0, 0);
    for (seed, problem, _, best) in solved() {
        let order = &best.timeline.order;
        for (at, &step) in order.iter().enumerate() {
            let rest: Vec<usize> = order.iter().copied().filter(|&s| s != step).collect();
            let truth = (0..order.len())
                .filter(|&to| to != at)
                .filter_map(|to| {
                    let mut moved = rest.clone();
                    moved.insert(to, step);
                    in_this_order(&problem, &moved)
                })
                .min();
            let unit = Unit {
                steps: vec![step],
                block: None,
            };
            let mut allowance = Allowance::new(&Limits::default());
            match other(&problem, order, &unit, &mut allowance, 1) {
                Other::Place { evaluation, .. } => {
                    assert_eq!(Some(evaluation.score), truth, "seed {seed}, step {step}");
                    places += 1;
                }
                Other::Breaks(demands) => {
                    assert_eq!(truth, None, "seed {seed}, step {step}");
                    assert!(!demands.is_empty(), "seed {seed}, step {step}");
                    breaks += 1;
                }
                Other::Nowhere => assert_eq!(truth, None, "seed {seed}, step {step}"),
                Other::Open => panic!("seed {seed}, step {step}: open without any limit"),
            }
        }
    }
    assert!(places > 200 && breaks > 20, "{places} {breaks}");
}
