//! Why no order exists: demands that must hold and cannot hold together, of which none can be spared.
//!
//! Found by halving (Junker 2004, QuickXplain), with the search as oracle, first among whole rules, then among the single demands of the
//! rules that are left. Claim: without any one of the rules found, all that the others ask for can hold; without any one of the demands
//! found, the other demands can. Why: the oracle is complete, and what is possible with more demands is possible with fewer. A question
//! that was not settled in the time counts as possible, so what is found cannot hold together whatever the time; only that none can be
//! spared may then be open, and is asked once more for each. Wishes play no part. Tried by `tests/engine/conflicts.rs`.
//!
//! Source: U. Junker, QuickXplain: preferred explanations and relaxations for over-constrained problems, AAAI 2004, pages 167 to 172.

use super::allowance::Allowance;
use super::possible::Possible;
use crate::compile::Compiled;
use crate::problem::Problem;

/// Demands that cannot hold together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Numbers of the demands, rising. Empty: no order exists even without any demand.
    pub demands: Vec<usize>,
    /// Whether it was found for each of them that there is an order without it. If not (a try was given up), some may be to spare.
    pub minimal: bool,
}

/// The rules of a class, and of their demands those, that must hold and cannot hold together, where no order exists.
pub fn conflict(compiled: &Compiled, allowance: &mut Allowance) -> Conflict {
    let entries = &compiled.ledger.entries;
    let rule_of = |k: usize| {
        let line = entries[k].span.as_ref().map(|s| s.bytes.start);
        (entries[k].rule, line)
    };
    let mut rules: Vec<(_, Vec<usize>)> = Vec::new();
    for k in musts(&compiled.problem) {
        match rules.iter_mut().find(|(rule, _)| *rule == rule_of(k)) {
            Some((_, demands)) => demands.push(k),
            None => rules.push((rule_of(k), vec![k])),
        }
    }
    let groups = rules.into_iter().map(|(_, demands)| demands).collect();
    among(&compiled.problem, groups, allowance)
}

/// The demands of a problem that must hold and cannot hold together, where no order exists.
pub fn conflict_of_problem(problem: &Problem, allowance: &mut Allowance) -> Conflict {
    let groups = musts(problem).into_iter().map(|k| vec![k]).collect();
    among(problem, groups, allowance)
}

/// The numbers of the demands that must hold.
fn musts(problem: &Problem) -> Vec<usize> {
    (0..problem.demands.len())
        .filter(|&k| problem.demands[k].weight.is_none())
        .collect()
}

/// First among groups of demands, then among the demands of the groups that are left.
fn among(problem: &Problem, groups: Vec<Vec<usize>>, allowance: &mut Allowance) -> Conflict {
    let mut hunt = Hunt {
        possible: Possible::new(problem),
        allowance,
        settled: true,
    };
    let groups = hunt.minimal(groups);
    let single: Vec<Vec<usize>> = groups.concat().into_iter().map(|k| vec![k]).collect();
    let several = single.len() > groups.len();
    let found = if several {
        hunt.minimal(single)
    } else {
        groups
    };
    let mut demands = found.concat();
    demands.sort_unstable();
    Conflict {
        demands,
        minimal: hunt.settled,
    }
}

/// The hunt for a conflict.
struct Hunt<'a, 'p> {
    possible: Possible<'p>,
    allowance: &'a mut Allowance,
    /// Whether nothing was left open that matters.
    settled: bool,
}

impl Hunt<'_, '_> {
    /// Of groups that cannot hold together, some that cannot either and of which none can be spared.
    fn minimal(&mut self, groups: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
        if groups.is_empty() {
            return groups;
        }
        let before = self.settled;
        self.settled = true;
        let mut found = self.halved(&[], false, &groups);
        let open = !self.settled;
        self.settled = before;
        // If something was left open on the way, perhaps it does not matter to what was found.
        let mut at = 0;
        while open && at < found.len() {
            let mut rest = found.clone();
            rest.remove(at);
            match self.possible.together(&rest.concat(), self.allowance) {
                Some(true) => at += 1,
                Some(false) => found = rest,
                None => {
                    self.settled = false;
                    at += 1;
                }
            }
        }
        found
    }

    /// Of `groups`, which cannot hold together with `given`, those that are needed for that; `asked`: whether `given` has grown since it was
    /// known to be possible by itself.
    fn halved(
        &mut self,
        given: &[Vec<usize>],
        asked: bool,
        groups: &[Vec<usize>],
    ) -> Vec<Vec<usize>> {
        if asked && !self.holds(given) {
            return Vec::new();
        }
        if let [one] = groups {
            // Without anything given, it is not known yet that an order exists without it.
            let alone = given.is_empty() && !asked && !self.holds(&[]);
            return if alone { Vec::new() } else { vec![one.clone()] };
        }
        let (first, second) = groups.split_at(groups.len() / 2);
        let with_first = [given, first].concat();
        let of_second = self.halved(&with_first, !first.is_empty(), second);
        let with_second = [given, &of_second].concat();
        let mut found = self.halved(&with_second, !of_second.is_empty(), first);
        found.extend(of_second);
        found
    }

    /// Whether these can hold together; what is not settled counts as if they could.
    fn holds(&mut self, groups: &[Vec<usize>]) -> bool {
        let found = self.possible.together(&groups.concat(), self.allowance);
        self.settled &= found.is_some();
        found.unwrap_or(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample::compiled;
    use crate::problem::demand::{self, Demand, Kind, precede::Precede};
    use crate::rules::before::Before;
    use crate::rules::fits::Fits;
    use crate::rules::ledger::{Entry, RuleName};
    use crate::rules::preparation::Preparation;
    use crate::rules::rule::Rule as _;
    use crate::search::budget::Limits;

    fn before(a: usize, b: usize) -> Kind {
        Kind::Precede(Precede { a, b })
    }

    /// The sample class with these demands, each with its rule.
    fn class(demands: &[(RuleName, Kind)]) -> Compiled {
        let mut class = compiled().compiled;
        class.problem.demands = (demands.iter())
            .map(|(_, kind)| Demand {
                kind: kind.clone(),
                weight: None,
            })
            .collect();
        class.ledger.entries = (demands.iter())
            .map(|(rule, _)| Entry {
                rule: *rule,
                sentence: String::new(),
                remedy: String::new(),
                span: None,
            })
            .collect();
        class
    }

    #[test]
    fn a_circle_of_two_is_told_apart_from_what_has_nothing_to_do_with_it() {
        let fits = Kind::Fits(demand::fits::Fits { total: 360_000 });
        let class = class(&[
            (Fits::NAME, fits),
            (Before::NAME, before(0, 1)),
            (Before::NAME, before(1, 2)),
            (Preparation::NAME, before(1, 0)),
        ]);
        let found = conflict(&class, &mut Allowance::new(&Limits::default()));
        assert_eq!(found.demands, [1, 3]);
        assert!(found.minimal);
    }

    #[test]
    fn a_rule_that_is_impossible_by_itself_is_not_blamed_on_another() {
        // Demands 0 and 1 make a circle inside one rule; 1 and 2 make one across two rules.
        let class = class(&[
            (Before::NAME, before(1, 0)),
            (Before::NAME, before(0, 1)),
            (Preparation::NAME, before(1, 0)),
        ]);
        let found = conflict(&class, &mut Allowance::new(&Limits::default()));
        assert_eq!(found.demands, [0, 1]);
    }

    #[test]
    fn without_time_all_that_must_hold_is_named_and_nothing_is_called_settled() {
        let class = class(&[
            (Before::NAME, before(0, 1)),
            (Before::NAME, before(1, 0)),
            (Preparation::NAME, before(1, 2)),
        ]);
        let limits = Limits {
            nodes: Some(0),
            ..Limits::default()
        };
        let found = conflict(&class, &mut Allowance::new(&limits));
        assert_eq!(found.demands, [0, 1, 2]);
        assert!(!found.minimal);
    }
}
