//! A bound for lists that leave much open: the problem with fewer steps, solved exactly.
//!
//! **Claim.** If some steps are left out that start and end in the same posture and must be done, no plan of the whole problem scores less
//! than the best plan of the rest ([`without`]) and the least penalties of those left out.
//!
//! **Why.** Take a plan of the whole and leave these steps out of it. What changed before one of them now changes before the step after it,
//! or not at all: costs are metric, so are ways, and one stop stands for several, so the change-overs cost no more. (A facet that a step left
//! out insisted on changes once, where it changed first, to what the next step that cares has.) Each step left out paid at least its least
//! penalty for each facet. Of the demands only those are kept that cannot get worse by this: who comes before whom, also as it
//! follows over steps left out; runs, for what stood between is less; changes of a facet at most; a value shared by members that all care; a remedy
//! that is still there. All others are dropped, and those on the clock.
//!
//! The steps that are left in are at first those before which something changes in the incumbent; then those are added that the best plan
//! of the rest has no place for, where they would cost nothing. Most steps of a loose list find such a place, so a few rounds often say
//! nearly all.
//!
//! **Tested by** `claims` (`fewer_steps_cost_no_more`).

use super::outcome::Plan;
use super::precedence::Precedence;
use crate::problem::Problem;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::same::Same;
use crate::problem::demand::{Demand, Kind};

/// Steps added in one round.
const MOST_ADDED: usize = 3;

/// Which steps may be left out.
pub fn may_go(problem: &Problem, step: usize) -> bool {
    let s = &problem.steps[step];
    s.optional.is_none() && s.start == s.end
}

/// The least that a step pays for its set-up.
pub fn least_penalty(problem: &Problem, step: usize) -> i64 {
    let lists = problem.steps[step].setup.iter().flatten();
    lists
        .filter_map(|list| list.iter().map(|c| c.penalty).min())
        .sum()
}

/// The problem with the steps of `kept` alone (ascending, and all that [may not go](may_go) among them), numbered by their place there.
pub fn without(problem: &Problem, kept: &[usize]) -> Problem {
    let precedence = Precedence::of(problem);
    let number = |step: &usize| kept.binary_search(step).ok();
    let rest = |steps: &[usize]| -> Vec<usize> { steps.iter().filter_map(number).collect() };
    let all = |steps: &[usize]| steps.iter().all(|s| number(s).is_some());
    let cares = |step: &usize, facet: usize| problem.steps[*step].setup[facet].is_some();
    let mut demands = Vec::new();
    for (i, &a) in kept.iter().enumerate() {
        let after = kept.iter().enumerate();
        let after = after.filter(|&(_, &b)| precedence.is_before(a, b));
        demands.extend(after.map(|(j, _)| Demand {
            kind: Kind::Precede(Precede { a: i, b: j }),
            weight: None,
        }));
    }
    for demand in &problem.demands {
        let kind = match &demand.kind {
            Kind::Precede(d) => match (number(&d.a), number(&d.b)) {
                (Some(a), Some(b)) if demand.weight.is_some() => Kind::Precede(Precede { a, b }),
                // Those that must hold are in already.
                _ => continue,
            },
            Kind::Contiguous(d) => Kind::Contiguous(Contiguous {
                steps: rest(&d.steps),
                ..d.clone()
            }),
            Kind::Follow(d) if all(&d.remedy) => Kind::Follow(Follow {
                trigger: rest(&d.trigger),
                remedy: rest(&d.remedy),
                within: d.within,
            }),
            Kind::AtMost(d) => Kind::AtMost(d.clone()),
            Kind::Same(d) if d.steps.iter().all(|s| cares(s, d.facet)) => Kind::Same(Same {
                steps: rest(&d.steps),
                facet: d.facet,
            }),
            Kind::Follow(_)
            | Kind::Same(_)
            | Kind::Place(_)
            | Kind::Neighbours(_)
            | Kind::Window(_)
            | Kind::Recovery(_)
            | Kind::Longest(_)
            | Kind::Fits(_)
            | Kind::Fatigue(_)
            | Kind::Peak(_) => continue,
        };
        let empty = match &kind {
            Kind::Contiguous(d) => d.steps.len() < 2,
            Kind::Same(d) => d.steps.len() < 2,
            Kind::Follow(d) => d.trigger.is_empty(),
            _ => false,
        };
        if !empty {
            demands.push(Demand {
                kind,
                weight: demand.weight,
            });
        }
    }
    Problem {
        steps: kept.iter().map(|&s| problem.steps[s].clone()).collect(),
        demands,
        ..problem.clone()
    }
}

/// The steps before which something changes in a plan, and those that may not go; ascending.
pub fn deciding(problem: &Problem, plan: &Plan) -> Vec<usize> {
    let mut kept: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| !may_go(problem, s))
        .collect();
    let (mut setup, mut posture) = (&problem.start_setup, problem.start_posture);
    for (&step, next) in plan.order.iter().zip(&plan.setups) {
        let s = &problem.steps[step];
        if setup != next || posture != Some(s.start) {
            kept.push(step);
        }
        (setup, posture) = (next, Some(s.end));
    }
    kept.sort_unstable();
    kept.dedup();
    kept
}

/// Of the steps that `plan` (in numbers of the whole problem) leaves out those that have no place in it where they cost nothing, the dearest
/// ones, a few at a time.
pub fn without_place(problem: &Problem, plan: &Plan) -> Vec<usize> {
    let precedence = Precedence::of(problem);
    let out = (0..problem.steps.len()).filter(|&s| may_go(problem, s) && !plan.order.contains(&s));
    let least = |step: usize| {
        let costs = (0..=plan.order.len()).map(|at| cost_at(problem, &precedence, plan, step, at));
        costs.flatten().min().unwrap_or(i64::MAX)
    };
    let mut dear: Vec<(i64, usize)> = out
        .map(|s| (least(s), s))
        .filter(|&(cost, _)| cost > 0)
        .collect();
    dear.sort_unstable_by_key(|&(cost, s)| (-cost, s));
    dear.truncate(MOST_ADDED);
    dear.into_iter().map(|(_, s)| s).collect()
}

/// What it costs, about, to bring a step in before the `at`-th of a plan; `None`: it may not come there. 0 is exact.
fn cost_at(
    problem: &Problem,
    precedence: &Precedence,
    plan: &Plan,
    step: usize,
    at: usize,
) -> Option<i64> {
    let (before, after) = plan.order.split_at(at);
    let fits = before.iter().all(|&b| !precedence.is_before(step, b))
        && after.iter().all(|&a| !precedence.is_before(a, step));
    if !fits {
        return None;
    }
    let s = &problem.steps[step];
    let (setup, posture) = match at {
        0 => (&problem.start_setup, problem.start_posture),
        _ => (
            &plan.setups[at - 1],
            Some(problem.steps[before[at - 1]].end),
        ),
    };
    let way = posture.map_or(0, |p| {
        problem.postures.path[p][s.start] + problem.postures.path[s.end][p]
    });
    let mut cost = way * problem.time_weight;
    let mut halts = false;
    for ((list, &now), facet) in s.setup.iter().zip(setup).zip(&problem.facets) {
        let Some(list) = list else { continue };
        let least = list.iter().map(|c| c.penalty).min().unwrap_or(0);
        let choices = list.iter().map(|c| {
            let changes = facet.change[now][c.value] + facet.change[c.value][now];
            (
                changes * problem.time_weight + c.penalty - least,
                c.value != now,
            )
        });
        let (more, moves) = choices.min()?;
        cost += more;
        halts |= moves && facet.stop;
    }
    Some(cost + if halts { problem.stop_weight } else { 0 })
}
