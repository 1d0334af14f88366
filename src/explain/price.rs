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

/// A rule and its demands.
struct Group {
    rule: RuleName,
    line: Option<usize>,
    demands: Vec<usize>,
}

/// What every rule of a class costs, dearest first. `outcome`: how the search for the class ended; `best`: its plan, scored.
pub fn prices(
    compiled: &Compiled,
    outcome: &Outcome,
    best: &Evaluation,
    allowance: &mut Allowance,
) -> Vec<Price> {
    let mut groups: Vec<Group> = Vec::new();
    for (k, entry) in compiled.ledger.entries.iter().enumerate() {
        let line = entry.span.as_ref().map(crate::source::Span::line);
        match (groups.iter_mut()).find(|g| g.rule == entry.rule && g.line == line) {
            Some(group) => group.demands.push(k),
            None => groups.push(Group {
                rule: entry.rule,
                line,
                demands: vec![k],
            }),
        }
    }
    let broken = |g: &Group| g.demands.iter().any(|&k| best.counts[k] > 0);
    let (broken, kept): (Vec<Group>, Vec<Group>) = groups.into_iter().partition(broken);
    let mut shop = Shop {
        problem: &compiled.problem,
        score: best.score,
        bound: outcome.bound.unwrap_or(0),
        left: broken.len() + kept.len(),
        allowance,
        prices: Vec::new(),
    };
    for group in broken {
        shop.alone(group);
    }
    shop.many(kept);
    let mut prices = shop.prices;
    prices.sort_by_key(|p| (std::cmp::Reverse(p.at_least), p.demands.first().copied()));
    prices
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
    score: i64,
    bound: i64,
    /// Rules whose price is not known yet.
    left: usize,
    allowance: &'a mut Allowance,
    prices: Vec<Price>,
}

impl Shop<'_> {
    fn solve(&mut self, demands: &[usize]) -> Option<Outcome> {
        let parts = u32::try_from(self.left).unwrap_or(u32::MAX).max(1);
        self.allowance.solve(&without(self.problem, demands), parts)
    }

    /// Rules that are kept: halves of them, until a half gains nothing or is one.
    fn many(&mut self, mut groups: Vec<Group>) {
        if groups.len() <= 1 {
            if let Some(group) = groups.pop() {
                self.alone(group);
            }
            return;
        }
        let all: Vec<usize> = groups.iter().flat_map(|g| g.demands.clone()).collect();
        let bound = self.solve(&all).and_then(|outcome| outcome.bound);
        if bound.is_some_and(|bound| bound >= self.score) {
            for group in groups {
                self.note(group, 0, Some(0), None);
            }
            return;
        }
        let second = groups.split_off(groups.len() / 2);
        self.many(groups);
        self.many(second);
    }

    fn alone(&mut self, group: Group) {
        let Some(outcome) = self.solve(&group.demands) else {
            return self.note(group, 0, None, None);
        };
        let without = (outcome.plan.as_ref()).map(|p| evaluate(self.problem, &p.order, &p.setups));
        let at_least = (outcome.plan.as_ref()).map_or(0, |p| (self.bound - p.score).max(0));
        let at_most = outcome.bound.map(|bound| (self.score - bound).max(at_least));
        self.note(group, at_least, at_most, without);
    }

    fn note(
        &mut self,
        group: Group,
        at_least: i64,
        at_most: Option<i64>,
        without: Option<Evaluation>,
    ) {
        self.left = self.left.saturating_sub(1);
        self.prices.push(Price {
            rule: group.rule,
            line: group.line,
            demands: group.demands,
            at_least,
            at_most,
            without,
        });
    }
}
