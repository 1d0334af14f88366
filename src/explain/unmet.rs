//! Wishes that are not met, and what would meet them.

use crate::compile::Compiled;
use crate::lesson::rule_report::RuleReport;

/// A wish that is not met.
#[derive(Debug, Clone, PartialEq)]
pub struct Unmet {
    /// What was wished for, with where it fails.
    pub wish: String,
    /// What would meet it; may be empty.
    pub remedy: String,
    /// Seconds that it counts.
    pub seconds: f64,
}

/// The wishes that an order leaves unmet, heaviest first.
pub fn unmet(rule_reports: &[RuleReport]) -> Vec<Unmet> {
    let mut found: Vec<Unmet> = rule_reports
        .iter()
        .flat_map(|fate| &fate.breaches)
        .filter_map(|breach| {
            Some(Unmet {
                wish: if breach.detail.is_empty() {
                    breach.sentence.clone()
                } else {
                    format!("{}: {}", breach.sentence, breach.detail)
                },
                remedy: breach.remedy.clone(),
                seconds: breach.seconds?,
            })
        })
        .collect();
    found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
    found
}

/// What no order of this list can meet, with what would help.
pub fn whatever_the_order(compiled: &Compiled) -> &[String] {
    &compiled.unmet
}
