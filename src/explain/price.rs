//! What each rule costs: the best score with it against the best score without it, each solved.
//!
//! Claim: the price of a rule lies between `at_least` and `at_most`. Why: with S and B the score and the bound of the class, and T and C
//! those of the class without the rule, the best scores lie in B..S and C..T, so their difference in B - T..S - C; and it is never below 0,
//! since a demand less forbids nothing. Rules that are kept are first tried many at a time: where leaving out all of them gains nothing,
//! leaving out any of them does not. Tried by `tests/prices.rs`.

use super::allowance::Allowance;
use crate::compile::Compiled;
use crate::problem::Problem;
use crate::rules::ledger::RuleName;
use crate::score::{Evaluation, evaluate};
use crate::search::outcome::Outcome;
use crate::source::Span;

/// One search may take this part of what is left, or a larger one where few are left.
const SHARES: usize = 6;

/// What a rule costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// The rule.
    pub rule: RuleName,
    /// Line of the brief; `None` if it holds unasked.
    pub line: Option<usize>,
    /// Its demands.
    pub demands: Vec<usize>,
    /// At least so much of the score.
    pub at_least: i64,
    /// At most so much; `None`: nobody knows.
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
    let mut rules: Vec<(RuleName, Option<usize>)> = Vec::new();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (k, entry) in compiled.ledger.entries.iter().enumerate() {
        let rule = (entry.rule, entry.span.as_ref().map(Span::line));
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
        .map(|(((rule, line), demands), cost)| Price {
            rule,
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
    /// At least so much of the score.
    pub at_least: i64,
    /// At most so much; `None`: nobody knows.
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
    let broken = |g: &usize| groups[*g].iter().any(|&k| best.counts[k] > 0);
    let (broken, kept): (Vec<usize>, Vec<usize>) = (0..groups.len()).partition(broken);
    let mut shop = Shop {
        problem,
        groups,
        score: best.score,
        bound: outcome.bound.unwrap_or(0),
        left: groups.len(),
        allowance,
        costs: vec![Cost::default(); groups.len()],
    };
    for group in broken {
        shop.alone(group);
    }
    shop.many(&kept);
    shop.costs
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

struct Shop<'a> {
    problem: &'a Problem,
    groups: &'a [Vec<usize>],
    score: i64,
    bound: i64,
    /// Groups whose cost is not known yet.
    left: usize,
    allowance: &'a mut Allowance,
    costs: Vec<Cost>,
}

impl Shop<'_> {
    fn solve(&mut self, demands: &[usize]) -> Option<Outcome> {
        let parts = u32::try_from(self.left.clamp(1, SHARES)).expect("it is small");
        self.allowance.solve(&without(self.problem, demands), parts)
    }

    /// Groups that are kept: all left out at once. Where that gains something, those that the order found breaks are looked at one by one,
    /// the others together again.
    fn many(&mut self, groups: &[usize]) {
        match groups {
            [] => return,
            [one] => return self.alone(*one),
            _ => {}
        }
        let all: Vec<usize> = groups.iter().flat_map(|&g| self.groups[g].clone()).collect();
        let outcome = self.solve(&all);
        let bound = outcome.as_ref().and_then(|o| o.bound);
        if bound.is_some_and(|bound| bound >= self.score) {
            for &g in groups {
                self.note(g, 0, Some(0), None);
            }
            return;
        }
        let counts = (outcome.and_then(|o| o.plan))
            .map(|p| evaluate(self.problem, &p.order, &p.setups).counts);
        let breaks = |g: &usize| {
            (counts.as_ref()).is_some_and(|c| self.groups[*g].iter().any(|&k| c[k] > 0))
        };
        let (mut suspects, mut others): (Vec<usize>, Vec<usize>) = groups.iter().partition(|g| breaks(g));
        if suspects.is_empty() {
            // Nothing was learned: one half after the other.
            others = groups.to_vec();
            suspects = others.split_off(groups.len() / 2);
            self.many(&others);
            return self.many(&suspects);
        }
        for g in suspects {
            self.alone(g);
        }
        self.many(&others);
    }

    fn alone(&mut self, g: usize) {
        let Some(outcome) = self.solve(&self.groups[g]) else {
            return self.note(g, 0, None, None);
        };
        let plan = outcome.plan.as_ref();
        let without = plan.map(|p| evaluate(self.problem, &p.order, &p.setups));
        let at_least = plan.map_or(0, |p| (self.bound - p.score).max(0));
        let at_most = outcome.bound.map(|b| (self.score - b).max(at_least));
        self.note(g, at_least, at_most, without);
    }

    fn note(
        &mut self,
        g: usize,
        at_least: i64,
        at_most: Option<i64>,
        without: Option<Evaluation>,
    ) {
        self.left = self.left.saturating_sub(1);
        self.costs[g] = Cost {
            at_least,
            at_most,
            without,
        };
    }
}
