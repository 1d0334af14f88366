//! Every order of a short list that scores no more than a ceiling.
//!
//! **Claim.** Unless it says that it gave up, each order (of the steps that must be done) that has set-ups and rests within the ceiling is
//! found, with its best plan.
//! **Why.** Orders are told apart by what comes first, then second, and so on. A beginning is given up only where the search proves that no
//! plan with that beginning is within the ceiling; the best plan of a beginning is also the best of the longer beginning that it goes on with.
//! **Tested by** `every_order_within_the_ceiling_is_found` in `tests/engine/variants.rs`.

use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::search::budget::Limits;
use crate::search::outcome::Plan;
use crate::search::solve_below;

/// What was found.
#[derive(Debug, Default)]
pub struct Every {
    /// One plan for each order of the steps that must be done.
    pub plans: Vec<Plan>,
    /// Whether these are all.
    pub complete: bool,
    /// Searches made.
    pub searches: u64,
}

/// Finds all orders with a score of at most `ceiling`, `best` being a best plan; gives up beyond `most` orders, after `searches` searches or
/// where `limits` (for each search) end one.
pub fn every(
    problem: &Problem,
    best: &Plan,
    ceiling: i64,
    most: usize,
    searches: u64,
    limits: &Limits,
) -> Every {
    let mut found = Every {
        complete: true,
        ..Every::default()
    };
    let must: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let mut open = vec![(Vec::new(), best.clone())];
    while let Some((mut begun, plan)) = open.pop() {
        if found.plans.len() >= most || found.searches >= searches || limits.cancelled() {
            found.complete = false;
            break;
        }
        let on: Vec<usize> = (plan.order.iter().copied())
            .filter(|&s| problem.steps[s].optional.is_none())
            .collect();
        // Along the plan at hand, each time with all the other ways to go on from there.
        while begun.len() < on.len() {
            let next = on[begun.len()];
            for &s in must.iter().filter(|&&s| s != next && !begun.contains(&s)) {
                let mut other = begun.clone();
                other.push(s);
                let ended = solve_below(&beginning(problem, &must, &other), limits, ceiling + 1);
                found.searches += 1;
                match ended.plan {
                    Some(plan) if ended.disagreement.is_none() => open.push((other, plan)),
                    Some(_) | None => found.complete &= ended.proven(),
                }
                if found.searches >= searches {
                    found.complete = false;
                    break;
                }
            }
            begun.push(next);
        }
        found.plans.push(plan);
    }
    found
}

/// The problem in which the steps that must be done begin so.
fn beginning(problem: &Problem, must: &[usize], begun: &[usize]) -> Problem {
    let mut demands = problem.demands.clone();
    let mut precede = |a: usize, b: usize| {
        demands.push(Demand {
            kind: Kind::Precede(Precede { a, b }),
            weight: None,
        });
    };
    for two in begun.windows(2) {
        precede(two[0], two[1]);
    }
    if let Some(&last) = begun.last() {
        for &s in must.iter().filter(|s| !begun.contains(s)) {
            precede(last, s);
        }
    }
    Problem {
        demands,
        ..problem.clone()
    }
}
