//! Why this order: all reasons together, as data.

use super::allowance::Allowance;
use super::elsewhere::{Elsewhere, elsewhere};
use super::price::{Price, prices};
use super::transition::{Transition, transitions};
use crate::compile::Compiled;
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// Why an order is as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Explanation {
    /// Its transitions that take time or halt, in order.
    pub transitions: Vec<Transition>,
    /// What each rule costs, dearest first.
    pub prices: Vec<Price>,
    /// The cheapest other place of each movement, block and series, in order.
    pub elsewhere: Vec<Elsewhere>,
}

/// Why the plan of a search is as it is. `news`: what is looked into now, in a few words.
pub fn explanation(
    compiled: &Compiled,
    outcome: &Outcome,
    best: &Evaluation,
    allowance: &mut Allowance,
    news: &mut dyn FnMut(&'static str),
) -> Explanation {
    news("where else each movement could stand");
    let elsewhere = elsewhere(compiled, best, allowance);
    news("what each stop is for");
    let transitions = transitions(&compiled.problem, outcome, best, allowance);
    news("what each rule costs");
    let prices = prices(compiled, outcome, best, allowance);
    Explanation {
        transitions,
        prices,
        elsewhere,
    }
}
