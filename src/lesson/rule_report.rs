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
        let own = match self.rule {
            RuleName::Before
            | RuleName::Together
            | RuleName::InOrder
            | RuleName::FlowsInto
            | RuleName::Near
            | RuleName::Apart
            | RuleName::Pinned
            | RuleName::AtMost
            | RuleName::LoadCeiling
            | RuleName::LongestLoad => true,
            RuleName::WarmUp
            | RuleName::CoolDown
            | RuleName::SidesPaired
            | RuleName::SidesEqual
            | RuleName::FirstSide
            | RuleName::Counterpose
            | RuleName::Recovery
            | RuleName::Preparation
            | RuleName::EasierFirst
            | RuleName::EffortArc
            | RuleName::Rounds
            | RuleName::RestsApart
            | RuleName::Fits => false,
        };
        if own && !self.sentence.is_empty() {
            &self.sentence
        } else {
            title(self.rule)
        }
    }
}

/// A rule on paper.
pub fn title(rule: RuleName) -> &'static str {
    match rule {
        RuleName::WarmUp => "warm-up first",
        RuleName::CoolDown => "cool-down last",
        RuleName::SidesPaired => "both sides one after the other",
        RuleName::SidesEqual => "both sides alike",
        RuleName::FirstSide => "one side leads",
        RuleName::Counterpose => "round the back after bending it",
        RuleName::Recovery => "rest between heavy loads",
        RuleName::LongestLoad => "no part of the body loaded too long",
        RuleName::LoadCeiling => "no part of the body tired out",
        RuleName::Preparation => "preparation before the full form",
        RuleName::EasierFirst => "easier before harder",
        RuleName::Before => "one before the other",
        RuleName::Together => "blocks together",
        RuleName::InOrder => "blocks and series in their order",
        RuleName::FlowsInto => "one straight into the other",
        RuleName::Near => "near the order you know",
        RuleName::Apart => "different from before",
        RuleName::Pinned => "each at its place or time",
        RuleName::AtMost => "few changes",
        RuleName::EffortArc => "hardest work in the middle",
        RuleName::Fits => "within the minutes",
        RuleName::Rounds => "rounds in turn",
        RuleName::RestsApart => "no two rests in a row",
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
            .position(|f| f.rule == entry.rule && f.line == line && f.must == must);
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
