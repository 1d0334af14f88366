//! Laws that hold for every problem, whatever its best plan is, on random problems beyond the reach of trying everything.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle::random::{Size, problem};
use proptest::prelude::{ProptestConfig, prop_assert, prop_assert_eq, proptest};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::exchange::problem_file;
use segue::exchange::solution_file::{self, Found};
use segue::problem::Problem;
use segue::problem::demand::Kind;
use segue::problem::figures::{greatest_score, latest_finish, most_changeover, most_violations};
use segue::score::evaluate;
use segue::search::budget::Limits;
use segue::search::outcome::Outcome;
use segue::search::{best_setups, solve};

const SIZE: Size = Size {
    timed: 7,
    untimed: 9,
    facets: 3,
};

fn solved(problem: &Problem) -> Outcome {
    solve(problem, &Limits::default(), &mut |_| {})
}

/// Score of the best plan, `None` if there is no order; panics where that is not proven.
fn optimum(problem: &Problem) -> Option<i64> {
    let outcome = solved(problem);
    assert!(outcome.proven(), "{}: {outcome:?}", problem.title);
    outcome.plan.map(|plan| plan.score)
}

/// The problem with its steps in another order: step i becomes step `to[i]`.
fn relabelled(problem: &Problem, to: &[usize]) -> Problem {
    let mut other = problem.clone();
    for (i, step) in problem.steps.iter().enumerate() {
        other.steps[to[i]] = step.clone();
    }
    let all = |steps: &mut Vec<usize>| steps.iter_mut().for_each(|s| *s = to[*s]);
    for demand in &mut other.demands {
        match &mut demand.kind {
            Kind::Precede(d) => (d.a, d.b) = (to[d.a], to[d.b]),
            Kind::Contiguous(d) => all(&mut d.steps),
            Kind::Place(d) => d.step = to[d.step],
            Kind::Window(d) => d.step = to[d.step],
            Kind::Follow(d) => {
                all(&mut d.trigger);
                all(&mut d.remedy);
            }
            Kind::Recovery(d) => all(&mut d.steps),
            Kind::Longest(d) => all(&mut d.steps),
            Kind::AtMost(_) | Kind::Fits(_) => {}
            Kind::Same(d) => all(&mut d.steps),
            Kind::Neighbours(d) => {
                (d.pairs.iter_mut()).for_each(|pair| *pair = (to[pair.0], to[pair.1]));
            }
            Kind::Fatigue(d) => d.loads.iter_mut().for_each(|load| load.0 = to[load.0]),
            Kind::Peak(d) => d.step = to[d.step],
        }
    }
    other
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn numbering_the_steps_otherwise_changes_nothing(seed: u64) {
        let problem = problem(seed, &SIZE);
        let mut to: Vec<usize> = (0..problem.steps.len()).collect();
        to.shuffle(&mut ChaCha8Rng::seed_from_u64(seed));
        prop_assert_eq!(optimum(&relabelled(&problem, &to)), optimum(&problem));
    }

    #[test]
    fn a_solution_read_back_is_what_was_found(seed: u64) {
        let problem = problem(seed, &SIZE);
        let outcome = solved(&problem);
        let judged = (outcome.plan.as_ref()).map(|p| evaluate(&problem, &p.order, &p.setups));
        let written = solution_file::write(&outcome, judged.as_ref());
        let text = serde_json::to_string(&written).unwrap();
        let read = solution_file::read(&text).unwrap();
        prop_assert_eq!(read.seconds_taken, outcome.seconds);
        match (read.found, outcome.plan, judged) {
            (Found::Plan(read), Some(plan), Some(judged)) => {
                prop_assert_eq!(&read.order, &plan.order);
                prop_assert_eq!(&read.setups, &plan.setups);
                prop_assert_eq!((read.score, read.bound), (plan.score, outcome.bound));
                prop_assert!(read.proven);
                prop_assert_eq!((read.changeover, read.stops), (judged.changeover, judged.stops));
                prop_assert_eq!(read.finish, judged.timeline.finish);
                let again = evaluate(&problem, &read.order, &read.setups);
                for (k, &count) in again.counts.iter().enumerate() {
                    let told = read.violations.iter().find(|v| v.demand == k);
                    prop_assert_eq!(told.map_or(0, |v| v.count), count);
                }
            }
            (found, None, _) => prop_assert_eq!(found, Found::Impossible { conflict: None }),
            (found, ..) => panic!("{found:?} is no plan"),
        }
    }

    #[test]
    fn no_plan_scores_above_the_bound(seed: u64) {
        let problem = problem(seed, &SIZE);
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut order: Vec<usize> = (0..problem.steps.len()).collect();
        order.shuffle(&mut random);
        let setups: Vec<Vec<usize>> = (order.iter())
            .map(|&step| {
                (problem.facets.iter().zip(&problem.steps[step].setup))
                    .map(|(facet, choices)| match choices {
                        Some(choices) => choices[random.random_range(0..choices.len())].value,
                        None => random.random_range(0..facet.values.len()),
                    })
                    .collect()
            })
            .collect();
        let judged = evaluate(&problem, &order, &setups);
        prop_assert!(i128::from(judged.score) <= greatest_score(&problem));
        prop_assert!(i128::from(judged.changeover) <= most_changeover(&problem));
        prop_assert!(i128::from(judged.timeline.finish) <= latest_finish(&problem));
        for (demand, &count) in problem.demands.iter().zip(&judged.counts) {
            let most = most_violations(&problem, &demand.kind);
            prop_assert!(i128::from(count) <= most, "{demand:?}: {count} > {most}");
        }
    }

    #[test]
    fn a_demand_more_never_makes_the_best_better(seed: u64) {
        let mut problem = problem(seed, &SIZE);
        let mut with = optimum(&problem);
        while problem.demands.pop().is_some() {
            let without = optimum(&problem);
            // Where there is a plan with the demand, there is one without it that costs no more.
            if let Some(with) = with {
                prop_assert!(without.is_some_and(|without| without <= with), "{without:?} > {with}");
            }
            with = without;
        }
    }

    #[test]
    fn a_demand_that_must_hold_asks_no_less_than_one_that_should(seed: u64) {
        let problem = problem(seed, &SIZE);
        let mut hard = problem.clone();
        for demand in &mut hard.demands {
            demand.weight = None;
        }
        if let Some(hard) = optimum(&hard) {
            // A plan that keeps everything breaks nothing, so it costs the same under both.
            prop_assert!(optimum(&problem).is_some_and(|soft| soft <= hard));
        }
    }

    /// A peak counts by amount, in hundredths that are rounded down, so its weight is first made a whole number of hundreds.
    #[test]
    fn doubling_every_weight_and_penalty_doubles_the_best_score(seed: u64) {
        let mut once = problem(seed, &SIZE);
        for demand in &mut once.demands {
            if matches!(demand.kind, Kind::Peak(_)) {
                demand.weight = demand.weight.map(|w| w / 100 * 100 + 100);
            }
        }
        let mut twice = once.clone();
        twice.time_weight *= 2;
        twice.stop_weight *= 2;
        for demand in &mut twice.demands {
            demand.weight = demand.weight.map(|w| w * 2);
        }
        for step in &mut twice.steps {
            step.optional = step.optional.map(|p| p * 2);
            for choice in step.setup.iter_mut().flatten().flatten() {
                choice.penalty *= 2;
            }
        }
        prop_assert_eq!(optimum(&twice), optimum(&once).map(|score| score * 2));
    }

    #[test]
    fn a_plan_is_what_the_referee_says_and_the_same_every_time(seed: u64) {
        let problem = problem(seed, &SIZE);
        let outcome = solved(&problem);
        if let Some(plan) = &outcome.plan {
            let judged = evaluate(&problem, &plan.order, &plan.setups);
            prop_assert!(judged.feasible(), "{judged:?}");
            prop_assert_eq!(judged.score, plan.score);
            prop_assert_eq!(outcome.bound, Some(plan.score));
        }
        prop_assert_eq!(solved(&problem).plan, outcome.plan);
    }

    #[test]
    fn the_best_set_ups_of_the_best_order_score_the_best(seed: u64) {
        let problem = problem(seed, &SIZE);
        if let Some(plan) = solved(&problem).plan {
            let (setups, proven) = best_setups(&problem, &plan.order, &Limits::default()).unwrap();
            prop_assert!(proven);
            let judged = evaluate(&problem, &plan.order, &setups);
            prop_assert!(judged.feasible(), "{judged:?}");
            prop_assert_eq!(judged.score, plan.score);
        }
    }

    /// Whatever the order, its best set-ups are allowed and break no more than must be broken.
    #[test]
    fn any_order_has_set_ups_that_are_allowed(seed: u64) {
        let mut problem = problem(seed, &SIZE);
        for step in &mut problem.steps {
            step.stage = None;
        }
        let mut order: Vec<usize> = (0..problem.steps.len()).collect();
        order.shuffle(&mut ChaCha8Rng::seed_from_u64(seed));
        let (setups, _) = best_setups(&problem, &order, &Limits::default()).unwrap();
        let judged = evaluate(&problem, &order, &setups);
        prop_assert_eq!(&judged.errors, &Vec::<String>::new());
        let best = optimum(&problem);
        if judged.broken.is_empty() {
            prop_assert!(best.is_some_and(|best| best <= judged.score), "{best:?}, {judged:?}");
        }
    }

    /// A search that is cut short may know less, but what it says still holds.
    #[test]
    fn a_search_cut_short_says_nothing_that_is_not_so(seed: u64, nodes in 1u64..400) {
        let problem = problem(seed, &SIZE);
        let truth = optimum(&problem);
        let limits = Limits { nodes: Some(nodes), ..Limits::default() };
        let short = solve(&problem, &limits, &mut |_| {});
        prop_assert!(short.disagreement.is_none(), "{short:?}");
        let found = short.plan.as_ref().map(|plan| plan.score);
        if short.proven() {
            prop_assert_eq!(found, truth);
        }
        if let Some(found) = found {
            prop_assert!(truth.is_some_and(|truth| truth <= found), "{truth:?}, {short:?}");
        }
        if let (Some(bound), Some(truth)) = (short.bound, truth) {
            prop_assert!(bound <= truth, "{truth}, {short:?}");
        }
    }

    #[test]
    fn a_problem_written_and_read_again_is_the_same(seed: u64) {
        let problem = problem(seed, &SIZE);
        prop_assert_eq!(problem_file::read(&problem_file::write(&problem)), Ok(problem));
    }
}
