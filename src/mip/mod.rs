//! A second way to the same answer: the problem as a mixed-integer program, for short lists.
//!
//! It takes the waist alone ([`crate::problem`], and [`crate::score`] to judge what comes out) and shares no code with [`crate::search`] but the
//! form of an outcome. The two can disagree only where one of them is wrong.
//!
//! # The model
//! | file | columns | say |
//! | --- | --- | --- |
//! | `places` | `x[s][k]`, whole; flow `w[s][t][k]` | which step stands at which place, and what comes after what |
//! | `facets` | for each facet a flow through its values, in two layers | which value it has at each place, and which change was made early |
//! | `changeovers` | `walk`, `stop`, `start[k]` | the way of each change-over, whether it halts the class, the clock |
//! | `demand` | for each demand what breaks it | rows that hold unless it is broken |
//!
//! Least is to be: `weights.time` times the changes and ways, `weights.stop` times `stop`, the penalties of values and of
//! optional steps, the weight of each demand that is broken.
//!
//! **Claim.** The least cost is the least score of any plan; there is no solution where there is no plan.
//! **Why.** Every plan is a solution that costs its score: put each column to what its name says. Every solution whose whole columns are whole
//! is a plan, read off `x` and the values (each file says why), and costs at least its score: columns that cost are held from below
//! by what they count; times are held from both sides, as the clock may serve either way.
//! **Tested by** `tests/engine/mip.rs`: `the_model_finds_what_trying_everything_finds`, and a case worked by hand for each kind of demand.
//!
//! What comes out is rounded and scored anew in integers; a cost that is not the score is a bug, and is told as one.
//!
//! # Limits
//! `fatigue` is refused: it wears off exponentially in time. So is what passes what floating point can prove: scores above
//! 2^26 times what all costs share, classes of more than 2^24 hundredths, lists of more than [`MOST_STEPS`] steps. A wish that weighs nothing is not
//! stated at all. The time limit is looked at between two pivots; memory and nodes have none, and there is no way to interrupt it but to end
//! the program.

mod backend;
mod changeovers;
mod columns;
mod demand;
mod facets;
mod places;
mod program;

use std::time::Instant;

use crate::problem::Problem;
use crate::problem::figures::greatest_score;
use crate::score::evaluate;
use crate::search::outcome::{Ended, Outcome, Plan};
use backend::{Answer, MOST_SCORE, MOST_TIME};
use changeovers::{Timed, changeovers, horizon};
use columns::Columns;
use demand::counts;
use facets::Values;
use places::Places;
use program::Program;

/// Beyond so many steps the columns of the order alone are more than the backend takes.
pub const MOST_STEPS: usize = 40;
/// Columns beyond which the backend would not come to a first answer.
const MOST_COLUMNS: usize = 200_000;

/// Finds the best order and set-ups and proves it, or says how it ended. The result was scored again by `score`.
///
/// It ends by `until`. An outcome that is [`Ended::Refused`] says in `disagreement` everything that cannot be stated. The
/// problem must be well formed ([`crate::problem::check`]).
pub fn solve(problem: &Problem, until: Option<Instant>) -> Outcome {
    let begun = Instant::now();
    let refused = |why: Vec<String>| Outcome {
        ended: Ended::Refused,
        disagreement: Some(why.join("\n")),
        seconds: begun.elapsed().as_secs_f64(),
        ..Outcome::default()
    };
    let why = refusals(problem);
    if !why.is_empty() {
        return refused(why);
    }
    let (model, program) = model(problem);
    let why = beyond(problem, &program);
    if !why.is_empty() {
        return refused(why);
    }
    let answer = backend::solve(&program, until);
    let mut outcome = Outcome {
        seconds: begun.elapsed().as_secs_f64(),
        ..Outcome::default()
    };
    match answer {
        Answer::Impossible => {}
        Answer::Nothing => outcome.ended = Ended::Time,
        Answer::Failed(why) => {
            return refused(vec![format!(
                "the backend of the mixed-integer model gave up ({why}); solve it without `--method mip`"
            )]);
        }
        Answer::Found {
            values,
            proven,
            bound,
            nodes,
        } => {
            outcome.nodes = nodes;
            outcome.ended = if proven { Ended::Proof } else { Ended::Time };
            judge(problem, &model, &program, &values, &mut outcome);
            outcome.bound = match &outcome.plan {
                Some(plan) if proven => Some(plan.score),
                _ => bound.map(|bound| bound.max(0)),
            };
        }
    }
    outcome
}

/// Columns from which a plan is read.
struct Model {
    places: Places,
    facets: Vec<Values>,
}

/// The program of a problem.
fn model(problem: &Problem) -> (Model, Program) {
    let mut program = Program::default();
    let demands = || problem.demands.iter().filter(|d| counts(d));
    let timed = if demands().any(|d| demand::timed(&d.kind) == Timed::Yes) {
        Timed::Yes
    } else {
        Timed::No
    };
    let places = places::places(problem, &mut program);
    let facets: Vec<Values> = (0..problem.facets.len())
        .map(|f| facets::values(problem, &places, f, &mut program))
        .collect();
    let clock = changeovers(problem, &places, &facets, timed, &mut program);
    let columns = Columns {
        problem,
        places: &places,
        facets: &facets,
        clock: clock.as_ref(),
    };
    for demand in demands() {
        demand::state(&columns, demand, &mut program);
    }
    (Model { places, facets }, program)
}

/// Everything in a problem that the model cannot state.
fn refusals(problem: &Problem) -> Vec<String> {
    let mut why: Vec<String> = (problem.demands.iter().enumerate())
        .filter(|(_, demand)| counts(demand))
        .filter_map(|(k, demand)| {
            let reason = demand::refusal(&demand.kind)?;
            Some(format!(
                "demand {k}: a mixed-integer model cannot state `{}`: {reason}; leave it out, or solve without `--method mip`",
                demand.kind.name()
            ))
        })
        .collect();
    if problem.steps.len() > MOST_STEPS {
        why.push(format!(
            "a mixed-integer model takes at most {MOST_STEPS} steps, and there are {}; solve without `--method mip`",
            problem.steps.len()
        ));
    }
    let longest = horizon(problem);
    if longest > MOST_TIME {
        why.push(format!(
            "the class could take {longest} hundredths of a second, and a mixed-integer model tells times apart up to {MOST_TIME}; solve without `--method mip`"
        ));
    }
    why
}

/// What of the program is beyond the backend.
fn beyond(problem: &Problem, program: &Program) -> Vec<String> {
    let shared = backend::shared(&program.cost);
    let greatest = greatest_score(problem) / i128::from(shared);
    let mut why: Vec<String> = (backend::beyond(program).into_iter())
        .map(|why| {
            format!("the mixed-integer model is too large: {why}; solve without `--method mip`")
        })
        .collect();
    if greatest > MOST_SCORE.into() {
        why.push(format!(
            "a score could reach {greatest} times {shared}, and a mixed-integer model proves up to {MOST_SCORE} times that; make the weights smaller, or solve without `--method mip`"
        ));
    }
    if program.columns.len() > MOST_COLUMNS {
        why.push(format!(
            "the mixed-integer model would have {} columns, and at most {MOST_COLUMNS} are solved; solve without `--method mip`",
            program.columns.len()
        ));
    }
    why
}

/// Reads the plan off the columns and has it scored; where the score is not what the columns cost, says so instead.
fn judge(
    problem: &Problem,
    model: &Model,
    program: &Program,
    values: &[f64],
    outcome: &mut Outcome,
) {
    let value = |sum: program::Linear| -> f64 {
        let terms = sum.terms.iter().map(|&(var, c)| values[var.0] * c as f64);
        sum.constant as f64 + terms.sum::<f64>()
    };
    let n = model.places.many;
    let mut order = Vec::new();
    let mut setups = Vec::new();
    for k in 1..=n {
        let here = (0..n).find(|&s| value(model.places.at(s, k)) > 0.5);
        let Some(step) = here else { continue };
        order.push(step);
        let setup = (model.facets.iter()).map(|facet| {
            let of = |a: &usize| value(facet.has(k, *a));
            let most = facet.possible.iter().max_by(|a, b| of(a).total_cmp(&of(b)));
            *most.expect("a facet has a value")
        });
        setups.push(setup.collect::<Vec<usize>>());
    }
    let judged = evaluate(problem, &order, &setups);
    // No column of the cost counts time, so that all of them are in their own unit.
    let cost = value(program.cost.clone());
    let score = judged.score as f64;
    // Short of a proof a column may still cost more than what it counts.
    let agrees = score < cost + 0.5 && (outcome.ended != Ended::Proof || cost < score + 0.5);
    if judged.feasible() && agrees {
        outcome.plan = Some(Plan {
            order,
            setups,
            score: judged.score,
        });
        outcome.trace.push((outcome.seconds, judged.score));
    } else {
        outcome.disagreement = Some(format!(
            "the mixed-integer model costs {cost} for the order {order:?} with the set-ups {setups:?}; the referee scores it {}, errors {:?}, broken {:?}",
            judged.score, judged.errors, judged.broken
        ));
    }
}
