//! How far her own order can be kept: for each number of its neighbouring pairs, the best order that keeps at least as many.
//!
//! **Claim.** A point that is not called open is exact: no order that keeps as many pairs of hers scores less. Numbers between two points are
//! those of the point above them.
//! **Why.** Each point is one search with the demand that so many of her pairs stand (`neighbours`, must hold); what it finds may keep more
//! than was asked, and then it is the best for those numbers too. A pair that a block, a series or two sides force is not counted; a rest
//! between two neighbours parts them.
//! **Tested by** `the_curve_agrees_with_trying_all` in `tests/own_order.rs`.

use super::difference::Measure;
use crate::problem::Problem;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::{Demand, Kind};
use crate::score::{Evaluation, evaluate};
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::{Ended, Outcome, Progress};
use crate::search::{solve, solve_below};

/// Nodes of one search.
const ONE_SEARCH: u64 = 20_000_000;

/// The best order for a number of pairs.
#[derive(Debug, Clone)]
pub struct Point {
    /// Pairs of her order that it keeps.
    pub kept: usize,
    /// The order.
    pub found: Evaluation,
    /// Whether nothing that keeps as many is better.
    pub proven: bool,
}

/// The curve.
#[derive(Debug, Clone)]
pub struct Curve {
    /// Neighbouring pairs of her order that can be kept or not.
    pub pairs: usize,
    /// From the best order on, each with more pairs kept than the one before.
    pub points: Vec<Point>,
    /// So many pairs and more no order keeps that keeps what must hold; `None`: she can keep all.
    pub impossible_from: Option<usize>,
    /// Numbers of pairs that were not settled: from this one on.
    pub open_from: Option<usize>,
}

/// The pairs of an order that count, without names: step after step.
fn own_pairs(problem: &Problem, order: &[usize]) -> Vec<(usize, usize)> {
    Measure::new(problem, (0..problem.steps.len()).collect()).free_pairs(order)
}

fn standing(pairs: &[(usize, usize)], order: &[usize]) -> usize {
    let two = order.windows(2).map(|two| (two[0], two[1]));
    two.filter(|pair| pairs.contains(pair)).count()
}

/// The problem in which at least so many pairs of an order stand.
pub fn keeping(problem: &Problem, own: &[usize], least: usize) -> Problem {
    let mut kept = problem.clone();
    let pairs = own_pairs(problem, own);
    if !pairs.is_empty() && least > 0 {
        kept.demands.push(Demand {
            kind: Kind::Neighbours(Neighbours {
                pairs,
                least: Some(i64::try_from(least).expect("an order has few pairs")),
                most: None,
            }),
            weight: None,
        });
    }
    kept
}

/// The curve of `own`, an order of the steps that must be done.
///
/// # Errors
/// How the search for the best order ended, if there is none.
pub fn nearest(
    problem: &Problem,
    own: &[usize],
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Curve, Box<Outcome>> {
    let pairs = own_pairs(problem, own);
    let mut meter = Meter::new(limits);
    let first = solve(problem, limits, progress);
    meter.count(first.nodes);
    let Some(plan) = &first.plan else {
        return Err(Box::new(first));
    };
    let mut curve = Curve {
        pairs: pairs.len(),
        points: vec![Point {
            kept: standing(&pairs, &plan.order),
            found: evaluate(problem, &plan.order, &plan.setups),
            proven: first.proven(),
        }],
        impossible_from: None,
        open_from: None,
    };
    while let Some(last) = curve.points.last()
        && last.kept < pairs.len()
    {
        let least = last.kept + 1;
        progress(&Progress {
            phase: "keeping more of your order",
            ..Progress::default()
        });
        let part = meter.part(ONE_SEARCH, meter.memory());
        let ended = solve_below(&keeping(problem, own, least), &part, i64::MAX / 4);
        meter.count(ended.nodes);
        match &ended.plan {
            Some(plan) => curve.points.push(Point {
                kept: standing(&pairs, &plan.order),
                found: evaluate(problem, &plan.order, &plan.setups),
                proven: ended.ended == Ended::Proof,
            }),
            None if ended.proven() => {
                curve.impossible_from = Some(least);
                break;
            }
            None => {
                curve.open_from = Some(least);
                break;
            }
        }
    }
    Ok(curve)
}
