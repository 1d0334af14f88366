//! The best set-ups for a fixed order: the same search, on a problem that allows no other order.

use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};

/// A demand that must hold counts as much as this when it may be broken: above all that an order can cost otherwise.
const BROKEN: i64 = 1_000_000_000_000;

/// The problem of the set-ups of `order` alone: its steps are those of the order, numbered by their places, and must come so; a
/// demand that must hold is one that should, at a price above all others.
pub fn fixed(problem: &Problem, order: &[usize]) -> Problem {
    let place = |s: usize| order.iter().position(|&o| o == s);
    let map = |steps: &[usize]| steps.iter().filter_map(|&s| place(s)).collect::<Vec<_>>();
    let steps = order
        .iter()
        .map(|&s| {
            let mut step = problem.steps[s].clone();
            step.optional = None;
            step.stage = None;
            step
        })
        .collect();
    let mut demands: Vec<Demand> = (1..order.len())
        .map(|b| Demand {
            kind: Kind::Precede(Precede { a: b - 1, b }),
            weight: None,
        })
        .collect();
    for demand in &problem.demands {
        let kind = match demand.kind.clone() {
            // These depend on the order alone, which is fixed.
            Kind::Precede(_)
            | Kind::Contiguous(_)
            | Kind::Place(_)
            | Kind::Follow(_)
            | Kind::Neighbours(_) => continue,
            Kind::Window(mut d) => {
                let Some(s) = place(d.step) else { continue };
                d.step = s;
                Kind::Window(d)
            }
            Kind::Peak(mut d) => {
                let Some(s) = place(d.step) else { continue };
                d.step = s;
                Kind::Peak(d)
            }
            Kind::Recovery(mut d) => {
                d.steps = map(&d.steps);
                Kind::Recovery(d)
            }
            Kind::Longest(mut d) => {
                d.steps = map(&d.steps);
                Kind::Longest(d)
            }
            Kind::Same(mut d) => {
                d.steps = map(&d.steps);
                Kind::Same(d)
            }
            Kind::Fatigue(mut d) => {
                d.loads = d
                    .loads
                    .iter()
                    .filter_map(|&(s, q)| Some((place(s)?, q)))
                    .collect();
                Kind::Fatigue(d)
            }
            Kind::AtMost(d) => Kind::AtMost(d),
            Kind::Fits(d) => Kind::Fits(d),
        };
        demands.push(Demand {
            kind,
            weight: Some(demand.weight.unwrap_or(BROKEN)),
        });
    }
    Problem {
        steps,
        demands,
        ..problem.clone()
    }
}
