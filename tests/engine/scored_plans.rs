//! The referee against figures of random plans that an independent program worked out.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;

use segue::exchange::problem_file;
use segue::score::evaluate;
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
struct Line {
    problem: Value,
    plans: Vec<Scored>,
}

#[derive(Deserialize)]
struct Scored {
    order: Vec<usize>,
    setups: Vec<Vec<usize>>,
    allowed: bool,
    score: i64,
    changeover: i64,
    stops: i64,
    finish: i64,
    penalties: i64,
    counts: Vec<i64>,
}

/// Origin of the figures: see `tests/data/plans/README.md`.
#[test]
fn every_figure_of_random_plans_is_that_of_an_independent_program() {
    let text = fs::read_to_string("tests/data/plans/scored.jsonl").unwrap();
    let mut allowed = 0;
    for (number, line) in text.lines().enumerate() {
        let line: Line = serde_json::from_str(line).unwrap();
        let problem = problem_file::read(&line.problem.to_string()).unwrap();
        for plan in line.plans {
            let order = &plan.order;
            let ours = evaluate(&problem, order, &plan.setups);
            let at = format!("line {}, order {order:?}: {ours:?}", number + 1);
            assert_eq!(ours.errors.is_empty(), plan.allowed, "{at}");
            if plan.allowed {
                allowed += 1;
                assert_eq!(ours.counts, plan.counts, "{at}");
                assert_eq!(ours.changeover, plan.changeover, "{at}");
                assert_eq!(ours.stops, plan.stops, "{at}");
                assert_eq!(ours.timeline.finish, plan.finish, "{at}");
                assert_eq!(ours.penalties, plan.penalties, "{at}");
                assert_eq!(ours.score, plan.score, "{at}");
            }
        }
    }
    assert!(allowed >= 200, "only {allowed} plans were allowed");
}
