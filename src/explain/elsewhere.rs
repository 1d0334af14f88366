//! The cheapest other place of each movement, block and series: everything else keeps its order, the set-ups are chosen anew.
//!
//! Exact: one small problem for each, in which only the place and the set-ups are free.

use super::allowance::Allowance;
use super::transition::apart;
use crate::compile::Compiled;
use crate::problem::Problem;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::place::Place;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::figures::price_of_breaking;
use crate::score::{Evaluation, evaluate};

/// Something that is moved as one: a movement with both its sides where they stand together, or a block or series.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unit {
    /// Its steps, which stand next to each other in this order.
    pub steps: Vec<usize>,
    /// The block or series that it is, by its index in the brief; `None`: a movement.
    pub block: Option<usize>,
}

/// Where else it could stand.
#[derive(Debug, Clone, PartialEq)]
pub enum Other {
    /// Here, at this cost.
    Place {
        /// Place of its first step, from 1.
        place: usize,
        /// The whole class with it there.
        evaluation: Box<Evaluation>,
    },
    /// Nowhere: at the cheapest other place these demands that must hold would break.
    Breaks(Vec<usize>),
    /// There is no other place.
    Nowhere,
    /// It was not settled in the time.
    Open,
}

/// A unit with its place and its cheapest other one.
#[derive(Debug, Clone, PartialEq)]
pub struct Elsewhere {
    /// What is moved.
    pub unit: Unit,
    /// Place of its first step, from 1.
    pub place: usize,
    /// Where else.
    pub other: Other,
}

/// The units of an order, in order: each movement, with its two sides or rounds where they touch; each block and series as a whole before its
/// movements.
pub fn units(compiled: &Compiled, order: &[usize]) -> Vec<Unit> {
    let step = |s: usize| &compiled.class.steps[s];
    let mut units: Vec<Unit> = Vec::new();
    let runs = |same: &dyn Fn(usize, usize) -> bool| -> Vec<Vec<usize>> {
        order
            .chunk_by(|&a, &b| same(a, b))
            .map(<[usize]>::to_vec)
            .collect()
    };
    let blocks = runs(&|a, b| step(a).block.is_some() && step(a).block == step(b).block);
    let movements = runs(&|a, b| {
        step(a).movement == step(b).movement
            && step(a).entry == step(b).entry
            && step(a).entry.is_some()
            && step(a).round == step(b).round
    });
    let first = |unit: &[usize]| order.iter().position(|&s| s == unit[0]);
    units.extend(
        (blocks.into_iter().filter(|b| b.len() > 1)).map(|steps| Unit {
            block: step(steps[0]).block,
            steps,
        }),
    );
    for steps in movements {
        if !units.iter().any(|u| u.steps == steps) {
            units.push(Unit { steps, block: None });
        }
    }
    units.sort_by_key(|u| (first(&u.steps), std::cmp::Reverse(u.steps.len())));
    units
}

/// The cheapest other place of each unit of an order.
pub fn elsewhere(
    compiled: &Compiled,
    best: &Evaluation,
    allowance: &mut Allowance,
) -> Vec<Elsewhere> {
    let problem = &compiled.problem;
    let order = &best.timeline.order;
    let units = units(compiled, order);
    let many = units.len();
    (units.into_iter().enumerate())
        .map(|(at, unit)| {
            let place = order.iter().position(|&s| s == unit.steps[0]).unwrap_or(0) + 1;
            let parts = u32::try_from(many - at).unwrap_or(u32::MAX);
            let other = other(problem, order, &unit, allowance, parts);
            Elsewhere { unit, place, other }
        })
        .collect()
}

fn must(kind: Kind) -> Demand {
    Demand { kind, weight: None }
}

/// The demands that let a unit alone move, and not stand where it stands. `None`: there is nothing else it could stand beside.
fn only_moves(problem: &Problem, order: &[usize], unit: &Unit) -> Option<Vec<Demand>> {
    let rest: Vec<usize> = (order.iter().copied())
        .filter(|s| !unit.steps.contains(s))
        .collect();
    if rest.is_empty() {
        return None;
    }
    let mut demands: Vec<Demand> = (rest.windows(2))
        .map(|w| must(Kind::Precede(Precede { a: w[0], b: w[1] })))
        .collect();
    if unit.steps.len() > 1 {
        demands.push(must(Kind::Contiguous(Contiguous {
            steps: unit.steps.clone(),
            ordered: true,
            within: 0,
        })));
    }
    let at = order.iter().position(|&s| s == unit.steps[0])?;
    let before = at.checked_sub(1).map(|i| order[i]);
    demands.push(apart(before, unit.steps[0]));
    // A rest that the order does not use stays out: no place is so far back.
    let beyond = i64::try_from(problem.steps.len() + 1).expect("a class has few steps");
    demands.extend(
        (0..problem.steps.len())
            .filter(|s| !order.contains(s))
            .map(|step| {
                must(Kind::Place(Place {
                    step,
                    min: beyond,
                    max: beyond,
                }))
            }),
    );
    Some(demands)
}

/// The problem in which the steps of an order are all done.
fn all_done(problem: &Problem, order: &[usize]) -> Problem {
    let mut problem = problem.clone();
    for &s in order {
        problem.steps[s].optional = None;
    }
    problem
}

/// The cheapest other place of one unit of an order. `parts`: the share of what is left that it may use is one in this many.
pub fn other(
    problem: &Problem,
    order: &[usize],
    unit: &Unit,
    allowance: &mut Allowance,
    parts: u32,
) -> Other {
    let Some(moves) = only_moves(problem, order, unit) else {
        return Other::Nowhere;
    };
    let mut kept = all_done(problem, order);
    kept.demands.extend(moves.iter().cloned());
    let Some(outcome) = allowance.solve(&kept, parts) else {
        return Other::Open;
    };
    if let Some(plan) = outcome.plan.as_ref().filter(|_| outcome.proven()) {
        let evaluation = evaluate(problem, &plan.order, &plan.setups);
        let first = plan.order.iter().position(|&s| s == unit.steps[0]);
        return Other::Place {
            place: first.unwrap_or(0) + 1,
            evaluation: Box::new(evaluation),
        };
    }
    if !outcome.proven() {
        return Other::Open;
    }
    // What must hold is made dear instead, so that the place comes out where least of it breaks.
    let mut dear = all_done(problem, order);
    let price = price_of_breaking(&dear);
    for demand in &mut dear.demands {
        let hundredths = if demand.kind.is_peak() { 100 } else { 1 };
        demand.weight.get_or_insert(price * hundredths);
    }
    dear.demands.extend(moves);
    match allowance.solve(&dear, parts) {
        Some(outcome) if outcome.proven() => match outcome.plan {
            Some(plan) => Other::Breaks(evaluate(problem, &plan.order, &plan.setups).broken),
            None => Other::Nowhere,
        },
        Some(_) | None => Other::Open,
    }
}
