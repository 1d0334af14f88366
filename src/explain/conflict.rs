//! Why no order exists: demands that must hold and cannot hold together, of which none can be spared.
//!
//! Found by deletion: each rule, then each demand that is left, is taken out in turn, and stays out if there is still no order without
//! it. What must not stay out is needed for the conflict. Wishes play no part and are left away.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::compile::Compiled;
use crate::problem::Problem;
use crate::search::budget::Limits;
use crate::search::solve;

/// States that each try may expand: the same answer on every machine, and soon over.
const EACH_TRY: u64 = 20_000;

/// Demands that cannot hold together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Numbers of the demands, rising.
    pub demands: Vec<usize>,
    /// Whether it was found for each of them that there is an order without it. If not (a try was given up), some may be to spare.
    pub minimal: bool,
}

/// The demands that must hold and cannot hold together, of a problem for which no order exists.
pub fn conflict(compiled: &Compiled, limits: &Limits) -> Conflict {
    let problem = &compiled.problem;
    let must: Vec<usize> = (0..problem.demands.len())
        .filter(|&k| problem.demands[k].weight.is_none())
        .collect();
    let mut found = Conflict {
        demands: must,
        minimal: true,
    };
    let rule_of = |k: usize| {
        let entry = &compiled.ledger.entries[k];
        (entry.rule, entry.span.as_ref().map(|s| s.bytes.start))
    };
    let mut rules: Vec<_> = found.demands.iter().map(|&k| rule_of(k)).collect();
    rules.sort_unstable();
    rules.dedup();
    for rule in rules {
        let (out, rest) = found.demands.iter().partition(|&&k| rule_of(k) == rule);
        let (out, rest): (Vec<usize>, Vec<usize>) = (out, rest);
        // One demand alone is tried below.
        if out.len() > 1 && impossible(problem, &rest, limits) == Some(true) {
            found.demands = rest;
        }
    }
    for k in found.demands.clone() {
        let rest: Vec<usize> = found.demands.iter().copied().filter(|&d| d != k).collect();
        match impossible(problem, &rest, limits) {
            Some(true) => found.demands = rest,
            Some(false) => {}
            None => found.minimal = false,
        }
    }
    found
}

/// Whether there is no order that keeps these demands; `None` if that was not settled.
fn impossible(problem: &Problem, kept: &[usize], limits: &Limits) -> Option<bool> {
    let cancelled = limits.cancel.as_ref();
    if cancelled.is_some_and(|flag| flag.load(Ordering::Relaxed)) {
        return None;
    }
    let smaller = Problem {
        demands: kept.iter().map(|&k| problem.demands[k].clone()).collect(),
        ..problem.clone()
    };
    let first_plan = Arc::new(AtomicBool::new(false));
    let limits = Limits {
        time: None,
        nodes: Some(EACH_TRY),
        cancel: Some(Arc::clone(&first_plan)),
        ..limits.clone()
    };
    let outcome = solve(&smaller, &limits, &mut |news| {
        if news.score.is_some() {
            first_plan.store(true, Ordering::Relaxed);
        }
    });
    match (&outcome.plan, outcome.proven()) {
        (Some(_), _) => Some(false),
        (None, true) => Some(true),
        (None, false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample::compiled;
    use crate::problem::demand::{Demand, Kind, fits::Fits, precede::Precede};
    use crate::rules::ledger::{Entry, RuleName};

    #[test]
    fn a_circle_of_two_is_told_apart_from_what_has_nothing_to_do_with_it() {
        let mut class = compiled().compiled;
        let before = |a, b| Kind::Precede(Precede { a, b });
        let fits = Kind::Fits(Fits { total: 360_000 });
        let kinds = [fits, before(0, 1), before(1, 2), before(1, 0)];
        class.problem.demands = kinds
            .into_iter()
            .map(|kind| Demand { kind, weight: None })
            .collect();
        class.ledger.entries = (0..4)
            .map(|_| Entry {
                rule: RuleName::Before,
                sentence: String::new(),
                remedy: String::new(),
                span: None,
            })
            .collect();
        let found = conflict(&class, &Limits::default());
        assert_eq!(found.demands, [1, 3]);
        assert!(found.minimal);
    }
}
