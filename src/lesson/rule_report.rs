//! How each rule fared: kept, or broken where and by how much.

use super::breach::detail;
use crate::compile::Compiled;
use crate::rules::ledger::RuleName;
use crate::score::{Evaluation, cost_of};

/// One demand that is broken.
#[derive(Debug, Clone, PartialEq)]
pub struct Breach {
    /// Number of the demand in the problem.
    pub demand: usize,
    /// What was asked.
    pub sentence: String,
    /// Where and by how much it is not so; may be empty.
    pub detail: String,
    /// What would meet it; may be empty.
    pub remedy: String,
    /// Seconds that it counts in the score; `None` for a rule that must hold.
    pub seconds: Option<f64>,
}

/// One rule of the class.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleReport {
    /// The rule.
    pub rule: RuleName,
    /// Line of the brief that asked for it; `None` if it holds unasked.
    pub line: Option<usize>,
    /// Whether it must hold. What must and what may give way of one rule are two.
    pub must: bool,
    /// How many single demands it came to.
    pub demands: usize,
    /// What is asked, where all its demands ask for the same; empty otherwise.
    pub sentence: String,
    /// Those that are broken.
    pub breaches: Vec<Breach>,
}

impl RuleReport {
    /// Whether all of it is kept.
    pub fn kept(&self) -> bool {
        self.breaches.is_empty()
    }

    /// The rule on paper: of those that the teacher fills with names what is asked, where that is one thing; else the title.
    pub fn heading(&self) -> &str {
        if self.rule.filled_in && !self.sentence.is_empty() {
            &self.sentence
        } else {
            self.rule.title
        }
    }
}

/// How each rule fared, in the order in which the rules were compiled. Rules that asked for nothing in this class are not among them.
pub fn rule_reports(compiled: &Compiled, evaluation: &Evaluation) -> Vec<RuleReport> {
    let mut rule_reports: Vec<RuleReport> = Vec::new();
    for (k, entry) in compiled.ledger.entries.iter().enumerate() {
        let line = entry.span.as_ref().map(crate::source::Span::line);
        let must = compiled.problem.demands[k].weight.is_none();
        let known = rule_reports
            .iter()
            .position(|f| f.rule.title == entry.rule.title && f.line == line && f.must == must);
        let at = known.unwrap_or_else(|| {
            rule_reports.push(RuleReport {
                rule: entry.rule,
                line,
                must,
                demands: 0,
                sentence: entry.sentence.clone(),
                breaches: Vec::new(),
            });
            rule_reports.len() - 1
        });
        rule_reports[at].demands += 1;
        if rule_reports[at].sentence != entry.sentence {
            rule_reports[at].sentence.clear();
        }
        let violations = evaluation.counts[k];
        if violations > 0 {
            rule_reports[at].breaches.push(Breach {
                demand: k,
                sentence: entry.sentence.clone(),
                detail: detail(compiled, &evaluation.timeline, k, violations),
                remedy: entry.remedy.clone(),
                seconds: (!must)
                    .then(|| compiled.seconds_of(cost_of(&compiled.problem, k, violations))),
            });
        }
    }
    rule_reports
}
