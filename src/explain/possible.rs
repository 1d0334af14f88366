//! Which demands that must hold can hold together: asked of the search, and remembered.
//!
//! A question is a set of demands; the answer is an order that keeps them, a proof that there is none, or neither in the time. Two answers
//! are had for nothing: a set inside one that some known order keeps is possible, a set that holds an impossible one is not.

use super::allowance::Allowance;
use crate::problem::Problem;
use crate::problem::demand::Demand;
use crate::score::evaluate;

/// One question may take this part of what is left.
const PART: u32 = 4;

/// What is known about sets of demands of one problem.
#[derive(Debug)]
pub struct Possible<'a> {
    problem: &'a Problem,
    /// The problem without wishes and costs: any order will do.
    bare: Problem,
    /// The demands that must hold and that each order found so far keeps.
    kept: Vec<Vec<bool>>,
    /// Sets that are proven impossible.
    impossible: Vec<Vec<bool>>,
}

impl<'a> Possible<'a> {
    /// Nothing is known yet.
    pub fn new(problem: &'a Problem) -> Self {
        let mut bare = problem.clone();
        bare.demands.clear();
        bare.stop_weight = 0;
        for step in &mut bare.steps {
            step.optional = step.optional.map(|_| 0);
            for choice in step.setup.iter_mut().flatten().flatten() {
                choice.penalty = 0;
            }
        }
        Self {
            problem,
            bare,
            kept: Vec::new(),
            impossible: Vec::new(),
        }
    }

    /// Whether these demands (by number) can hold together; `None` if that was not settled.
    pub fn together(&mut self, demands: &[usize], allowance: &mut Allowance) -> Option<bool> {
        let mut asked = vec![false; self.problem.demands.len()];
        for &k in demands {
            asked[k] = true;
        }
        let inside =
            |small: &[bool], large: &[bool]| small.iter().zip(large).all(|(s, l)| !s || *l);
        if self.kept.iter().any(|kept| inside(&asked, kept)) {
            return Some(true);
        }
        if self.impossible.iter().any(|set| inside(set, &asked)) {
            return Some(false);
        }
        self.bare.demands = (demands.iter())
            .map(|&k| Demand {
                kind: self.problem.demands[k].kind.clone(),
                weight: None,
            })
            .collect();
        let outcome = allowance.first(&self.bare, PART)?;
        if let Some(plan) = &outcome.plan {
            let counts = evaluate(self.problem, &plan.order, &plan.setups).counts;
            self.kept
                .push(counts.iter().map(|&count| count == 0).collect());
            return Some(true);
        }
        if outcome.proven() {
            self.impossible.push(asked);
            return Some(false);
        }
        None
    }
}
