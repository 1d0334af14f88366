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
//! The steps that are left in are at first those before which most changes in the incumbent; then those are added that the best plan
//! of the rest has no place for, where they would cost nothing. Most steps of a loose list find such a place, so a few rounds often say
//! nearly all.
//!
//! **Tested by** `claims` (`fewer_steps_cost_no_more`).

use super::aim::{Aim, Of, Search};
use super::budget::Limits;
use super::neighbourhood::restricted;
use super::outcome::{Ended, Plan};
use super::precedence::Precedence;
use crate::problem::Problem;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::same::Same;
use crate::problem::demand::{Demand, Kind};

/// So many steps are left in at first, besides those that must be.
const FIRST_KEPT: usize = 12;
/// Looked for is what costs at most this part more than a bound that is known.
const NEAR: i64 = 32;
/// To bring the others in may take as many nodes as the steps kept took, and so many at least.
const LEAST_BROUGHT: u64 = 20_000;
/// Steps added in one round.
const MOST_ADDED: usize = 3;

/// Rounds with more steps each time.
#[derive(Debug)]
pub struct Rounds {
    problem: Problem,
    search: Search,
    /// Steps that are left in, ascending.
    kept: Vec<usize>,
    /// The best plan known with these.
    known: Option<Plan>,
    /// No plan with these costs less, nor one with more (without what those left out pay).
    floor: i64,
    /// How often nothing was near it: each time twice as far is looked.
    vain: u32,
}

/// What has come of a round.
#[derive(Debug)]
pub struct Round {
    /// No plan of the whole problem costs less.
    pub bound: i64,
    /// A better plan of the whole problem.
    pub plan: Option<Plan>,
    /// What it took.
    pub nodes: u64,
    /// What to do.
    pub then: Then,
}

/// What to do after a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// The next one has more steps.
    More,
    /// The same again, for longer.
    Longer,
    /// There is no more to gain.
    Over,
}

impl Rounds {
    /// From the steps before which most changes in the incumbent.
    pub fn new(problem: &Problem, incumbent: &Plan, search: Search) -> Self {
        Self {
            problem: problem.clone(),
            search,
            kept: dearest(problem, incumbent, FIRST_KEPT),
            known: None,
            floor: 0,
            vain: 0,
        }
    }

    /// One round, for plans of the whole problem that cost less than `below`.
    pub fn next(&mut self, below: i64, limits: &Limits) -> Round {
        let problem = &self.problem;
        let out = (0..problem.steps.len()).filter(|s| self.kept.binary_search(s).is_err());
        let apart: i64 = out.map(|s| least_penalty(problem, s)).sum();
        let mut round = Round {
            bound: 0,
            plan: None,
            nodes: 0,
            then: Then::Over,
        };
        if self.kept.len() == problem.steps.len() {
            return round;
        }
        // A few steps more cost little more: tables are small where only so much is looked at.
        let near = match self.floor {
            0 => i64::MAX / 4,
            floor => floor.saturating_add((floor / NEAR + 1) << self.vain),
        };
        let ceiling = near.min(below - apart);
        let aim = Aim {
            of: Of::Fewer,
            ceiling,
            floor: self.floor,
            known: self.known.take(),
        };
        let outcome = (self.search)(&without(problem, &self.kept), limits, &aim);
        round.nodes = outcome.nodes;
        if outcome.plan.is_none() && outcome.ended == Ended::Proof {
            self.floor = ceiling;
            self.vain += 1;
            round.bound = ceiling + apart;
            if round.bound < below {
                round.then = Then::More;
            }
            return round;
        }
        self.floor = self.floor.max(outcome.bound.unwrap_or(0));
        self.vain = 0;
        round.bound = self.floor + apart;
        if outcome.ended != Ended::Proof {
            self.known = outcome.plan;
            round.then = match outcome.ended {
                Ended::Nodes => Then::Longer,
                _ => Then::Over,
            };
            return round;
        }
        let mut plan = outcome.plan.unwrap_or_default();
        plan.order.iter_mut().for_each(|s| *s = self.kept[*s]);
        // The best plan in which they keep their order, and all others are brought in.
        let free: Vec<bool> = (0..problem.steps.len())
            .map(|s| !plan.order.contains(&s))
            .collect();
        let whole = restricted(problem, &plan.order, &free);
        let shorter = Limits {
            nodes: Some(outcome.nodes.max(LEAST_BROUGHT)),
            ..limits.clone()
        };
        let brought = (self.search)(&whole, &shorter, &Aim::below(Of::Part, below));
        round.nodes += brought.nodes;
        round.plan = brought.plan;
        let more = without_place(problem, &plan);
        if !more.is_empty() {
            self.kept.extend(more);
            self.kept.sort_unstable();
            // Their least penalties are in the plans with them.
            round.then = Then::More;
        }
        round
    }
}

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

/// The steps before which most is to be paid in a plan, so many of them, and those that may not go; ascending.
pub fn dearest(problem: &Problem, plan: &Plan, count: usize) -> Vec<usize> {
    let mut dear = Vec::new();
    let (mut setup, mut posture) = (&problem.start_setup, problem.start_posture);
    for (&step, next) in plan.order.iter().zip(&plan.setups) {
        let s = &problem.steps[step];
        let way = posture.map_or(0, |p| problem.postures.path[p][s.start]);
        let changes = problem.facets.iter().zip(setup.iter().zip(next));
        let (mut change, mut stop) = (0, 0);
        for (facet, (&from, &to)) in changes.filter(|(_, (from, to))| from != to) {
            change += facet.change[from][to];
            stop = stop.max(if facet.stop { problem.stop_weight } else { 0 });
        }
        let cost = (way + change) * problem.time_weight + stop;
        if cost > 0 && may_go(problem, step) {
            dear.push((cost, step));
        }
        (setup, posture) = (next, Some(s.end));
    }
    dear.sort_unstable_by_key(|&(cost, s)| (-cost, s));
    dear.truncate(count);
    let mut kept: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| !may_go(problem, s))
        .collect();
    kept.extend(dear.into_iter().map(|(_, s)| s));
    kept.sort_unstable();
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
