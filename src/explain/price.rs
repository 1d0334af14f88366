//! What each rule costs: the best score with it against the best score without it, each solved.
//!
//! Claim: the price of a rule lies between `at_least` and `at_most`. Why: with S and B the score and the bound of the class, and T and C
//! those of the class without the rule, the best scores lie in B..S and C..T, so their difference in B - T..S - C; and it is never below 0,
//! since a demand less forbids nothing. Tried by `tests/engine/prices.rs`.

use super::allowance::Allowance;
use crate::compile::Compiled;
use crate::problem::Problem;
use crate::score::{Evaluation, evaluate};
use crate::search::outcome::Outcome;
use crate::source::Span;

/// A search may take as many nodes as that for the class itself, and at least this many; where time is left, once more this many times
/// as many, and in the end as many as there is time for.
const LEAST_NODES: u64 = 500_000;
const PATIENCE: u64 = 3;

/// What a rule costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// Title of the rule.
    pub title: &'static str,
    /// Line of the brief; `None` if it holds unasked.
    pub line: Option<usize>,
    /// Its demands.
    pub demands: Vec<usize>,
    /// At least this much of the score.
    pub at_least: i64,
    /// At most this much; `None`: unknown.
    pub at_most: Option<i64>,
    /// The best order without it, where one was sought for this rule alone, on the clock of the class.
    pub without: Option<Evaluation>,
}

impl Price {
    /// Whether the rule is known to cost something.
    pub fn is_tight(&self) -> bool {
        self.at_least > 0
    }

    /// Whether the price is known.
    pub fn settled(&self) -> bool {
        self.at_most == Some(self.at_least)
    }
}

/// What every rule of a class costs, dearest first. `outcome`: how the search for the class ended; `best`: its plan, scored.
pub fn prices(
    compiled: &Compiled,
    outcome: &Outcome,
    best: &Evaluation,
    allowance: &mut Allowance,
) -> Vec<Price> {
    let mut rules: Vec<(&'static str, Option<usize>)> = Vec::new();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (k, entry) in compiled.ledger.entries.iter().enumerate() {
        let rule = (entry.rule.title, entry.span.as_ref().map(Span::line));
        match rules.iter().position(|known| *known == rule) {
            Some(at) => groups[at].push(k),
            None => {
                rules.push(rule);
                groups.push(vec![k]);
            }
        }
    }
    let costs = costs(&compiled.problem, &groups, outcome, best, allowance);
    let mut prices: Vec<Price> = (rules.into_iter().zip(groups).zip(costs))
        .map(|(((title, line), demands), cost)| Price {
            title,
            line,
            demands,
            at_least: cost.at_least,
            at_most: cost.at_most,
            without: cost.without,
        })
        .collect();
    prices.sort_by_key(|p| (std::cmp::Reverse(p.at_least), p.demands.first().copied()));
    prices
}

/// What some demands cost together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cost {
    /// At least this much of the score.
    pub at_least: i64,
    /// At most this much; `None`: unknown.
    pub at_most: Option<i64>,
    /// The best order without them, where one was sought for them alone.
    pub without: Option<Evaluation>,
}

/// What each group of demands costs, in their order.
pub fn costs(
    problem: &Problem,
    groups: &[Vec<usize>],
    outcome: &Outcome,
    best: &Evaluation,
    allowance: &mut Allowance,
) -> Vec<Cost> {
    let bound = outcome.bound.unwrap_or(0);
    let mut costs = vec![Cost::default(); groups.len()];
    // Without a wish a class is mostly settled as soon as with it; without what must hold there are many more orders.
    let must = |g: &usize| {
        groups[*g]
            .iter()
            .any(|&k| problem.demands[k].weight.is_none())
    };
    let mut open: Vec<usize> = (0..groups.len()).collect();
    open.sort_by_key(must);
    let fair = fair(outcome);
    for nodes in [fair, fair.saturating_mul(PATIENCE), u64::MAX] {
        let problems: Vec<Problem> = open.iter().map(|&g| without(problem, &groups[g])).collect();
        let outcomes = allowance.solve_all(&problems, nodes);
        for (&g, outcome) in open.iter().zip(outcomes) {
            let Some(outcome) = outcome else { continue };
            let plan = outcome.plan.as_ref();
            let at_least = plan.map_or(0, |p| (bound - p.score).max(0));
            let at_most = outcome.bound.map(|b| (best.score - b).max(at_least));
            if at_least >= costs[g].at_least {
                costs[g].at_least = at_least;
                costs[g].without = plan.map(|p| evaluate(problem, &p.order, &p.setups));
            }
            let known = costs[g].at_most.into_iter().chain(at_most).min();
            costs[g].at_most = known;
        }
        open.retain(|&g| costs[g].at_most != Some(costs[g].at_least));
    }
    costs
}

/// How many nodes a search for a slightly different problem may take, after that for the problem itself.
pub fn fair(outcome: &Outcome) -> u64 {
    outcome.nodes.max(LEAST_NODES)
}

/// A problem without some of its demands.
pub fn without(problem: &Problem, demands: &[usize]) -> Problem {
    Problem {
        demands: (problem.demands.iter().enumerate())
            .filter(|(k, _)| !demands.contains(k))
            .map(|(_, demand)| demand.clone())
            .collect(),
        ..problem.clone()
    }
}
