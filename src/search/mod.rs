//! The solver. Knows the waist alone; the same answer for the same input and node budget.
//!
//! What runs when stands in [`campaign`]; the bound in [`bound::backward`]; the search that ends in the proof in [`beam`]. Problems that are
//! sequential ordering problems in disguise have an engine of their own, [`sop`].

pub mod aim;
pub mod beam;
pub mod bound;
pub mod budget;
pub mod campaign;
pub mod cover;
pub mod dominance;
pub mod done_set;
pub mod early;
pub mod fewer;
pub mod from_below;
pub mod incumbent;
#[cfg(feature = "peers")]
pub mod library;
pub mod local;
pub mod moves;
pub mod neighbourhood;
pub mod outcome;
pub mod parts;
pub mod precedence;
pub mod rungs;
pub mod setups;
pub mod shadow;
pub mod sop;
pub mod state;
pub mod stop;
pub mod successor;
pub mod tables;
pub mod track;
pub mod twins;
pub mod walks;
pub mod wrongs;

use crate::problem::Problem;
use crate::score::evaluate;
use aim::{Aim, Of};
use budget::Limits;
use outcome::{Ended, Outcome, Plan, Progress};
use stop::Stop;

/// Nodes for first set-ups of a fixed order.
const FIRST_SETUPS: u64 = 20_000;

/// Finds the best order and set-ups, and proves it or says how far off it may be. The result was scored again by `score`.
///
/// `progress` is called with each better plan or bound. The problem must be well formed ([`crate::problem::check`]).
pub fn solve(problem: &Problem, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Outcome {
    solve_from(problem, None, limits, progress)
}

/// The same, from a plan that is known, perhaps from a problem much like it. One that is no plan of this problem is not minded.
pub fn solve_from(
    problem: &Problem,
    known: Option<&Plan>,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    tracing::info!(
        title = problem.title,
        steps = problem.steps.len(),
        "search begins"
    );
    let outcome = searched(problem, known, limits, &mut |news| {
        tracing::debug!(
            phase = news.phase,
            score = news.score,
            bound = news.bound,
            "search"
        );
        progress(news);
    });
    tracing::info!(
        score = outcome.plan.as_ref().map(|plan| plan.score),
        bound = outcome.bound,
        ended = ?outcome.ended,
        nodes = outcome.nodes,
        seconds = outcome.seconds,
        "search ended"
    );
    outcome
}

fn searched(
    problem: &Problem,
    known: Option<&Plan>,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    if let Some(outcome) = sop::solve(problem, limits, progress) {
        return judged(problem, outcome);
    }
    if let Some(why) = tables::refusal(problem) {
        return Outcome {
            ended: Ended::Refused,
            disagreement: Some(why),
            ..Outcome::default()
        };
    }
    let aim = Aim {
        known: known.and_then(|plan| plan_of(problem, plan)),
        ..Aim::default()
    };
    // The width is found with tables of the least width that holds the done set, then the tables are made again.
    match width(problem) {
        0..=2 => run::<2>(problem, limits, &aim, progress),
        3..=4 => run::<4>(problem, limits, &aim, progress),
        5..=16 => run::<16>(problem, limits, &aim, progress),
        words => Outcome {
            ended: Ended::Refused,
            disagreement: Some(format!(
                "the search keeps a state in at most 1024 bits; this problem takes {}",
                words * 64
            )),
            ..Outcome::default()
        },
    }
}

/// Finds the best plan that scores less than `ceiling`, with [`solve`]'s proof, or proves that there is none: without plans in a hurry and
/// without regard to the order as written, for programs that ask many questions about one class.
pub fn solve_below(problem: &Problem, limits: &Limits, ceiling: i64) -> Outcome {
    if let Some(why) = tables::refusal(problem) {
        return Outcome {
            ended: Ended::Refused,
            disagreement: Some(why),
            ..Outcome::default()
        };
    }
    let aim = Aim {
        ceiling,
        of: Of::Part,
        ..Aim::default()
    };
    let quiet = &mut |_: &Progress| {};
    let outcome = match width(problem) {
        0..=2 => campaign::search::<2>(problem, limits, &aim, quiet),
        3..=4 => campaign::search::<4>(problem, limits, &aim, quiet),
        5..=16 => campaign::search::<16>(problem, limits, &aim, quiet),
        _ => return solve(problem, limits, quiet),
    };
    judged(problem, outcome)
}

/// A good plan without any proof, by [annealing](local) alone, for programs that want many plans: the best that comes within the limits,
/// which must end somewhere. `None`: none came, which says nothing about whether there is one.
pub fn in_a_hurry(problem: &Problem, limits: &Limits) -> Option<Plan> {
    if tables::refusal(problem).is_some() {
        return None;
    }
    match width(problem) {
        0..=2 => local::best_of_runs::<2>(problem, limits),
        3..=4 => local::best_of_runs::<4>(problem, limits),
        5..=16 => local::best_of_runs::<16>(problem, limits),
        _ => None,
    }
}

/// The plan with its score in this problem, if it is a plan of it.
fn plan_of(problem: &Problem, plan: &Plan) -> Option<Plan> {
    let steps = plan.order.iter().all(|&s| s < problem.steps.len());
    let facets = (plan.setups.iter()).all(|setup| setup.len() == problem.facets.len());
    let values = |setup: &Vec<usize>| {
        let pairs = setup.iter().zip(&problem.facets);
        pairs.into_iter().all(|(&v, facet)| v < facet.values.len())
    };
    let sound = steps && facets && plan.setups.iter().all(values);
    if !sound || plan.setups.len() != plan.order.len() {
        return None;
    }
    let judged = evaluate(problem, &plan.order, &plan.setups);
    judged.feasible().then(|| Plan {
        score: judged.score,
        ..plan.clone()
    })
}

/// Words that a state of the problem takes.
fn width(problem: &Problem) -> usize {
    match problem.steps.len() {
        0..=128 => campaign::words::<2>(problem),
        n if n <= 1024 => campaign::words::<16>(problem),
        n => n.div_ceil(64),
    }
}

/// The best set-ups for a fixed order (the order "as given"): exact over set-ups, soft demands counted, demands that must hold
/// counted as broken rather than forbidden (so that an answer always comes). Returns the set-ups, one entry for each step of `order`, and
/// whether it is proven that none are better; `None` if the search was stopped by `limits` before it had any. The flag to stop is looked
/// at only once there are some, or the first 20,000 nodes are spent.
pub fn best_setups(
    problem: &Problem,
    order: &[usize],
    limits: &Limits,
) -> Option<(Vec<Vec<usize>>, bool)> {
    let fixed = setups::fixed(problem, order);
    let first = Limits {
        nodes: Some(limits.nodes.map_or(FIRST_SETUPS, |n| n.min(FIRST_SETUPS))),
        stop: Stop::default(),
        ..limits.clone()
    };
    let found = solve(&fixed, &first, &mut |_| {});
    if found.proven() {
        return found.plan.map(|plan| (plan.setups, true));
    }
    // Below a good plan the tables that prove it are small.
    let below = found.plan.as_ref().map_or(i64::MAX / 4, |plan| plan.score);
    let rest = Limits {
        nodes: limits.nodes.map(|n| n.saturating_sub(found.nodes)),
        ..limits.clone()
    };
    let better = solve_below(&fixed, &rest, below);
    let proven = better.proven();
    (better.plan.or(found.plan)).map(|plan| (plan.setups, proven))
}

fn run<const N: usize>(
    problem: &Problem,
    limits: &Limits,
    aim: &Aim,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    judged(
        problem,
        campaign::search::<N>(problem, limits, aim, progress),
    )
}

/// The outcome, without its plan if the referee does not agree with it.
fn judged(problem: &Problem, mut outcome: Outcome) -> Outcome {
    if let Some(plan) = &outcome.plan {
        let judged = evaluate(problem, &plan.order, &plan.setups);
        if !judged.feasible() || judged.score != plan.score {
            outcome.disagreement = Some(format!(
                "the search scores the order {:?} with the set-ups {:?} {}; the referee scores it {}, errors {:?}, broken {:?}",
                plan.order, plan.setups, plan.score, judged.score, judged.errors, judged.broken
            ));
            outcome.plan = None;
        }
    }
    outcome
}
