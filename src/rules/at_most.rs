//! A facet changes only so often in the class.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::subject::Subject;
use crate::problem::demand::{Kind, at_most::AtMost as AtMostDemand};

/// A facet changes only so often.
#[derive(Debug, Clone, PartialEq)]
pub struct AtMost {
    /// Whether it must hold.
    pub asked: Asked,
    /// Key of the facet; `springs` for the springs.
    pub facet: String,
    /// How often.
    pub changes: u32,
}

impl AtMost {
    /// One `at_most`, if the machine has the facet; else it says so.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        let Some(facet) = subject.facets.iter().position(|f| *f == self.facet) else {
            if !self.asked.is_off() {
                posting.unmet(format!(
                    "this machine has no {}: the limit on its changes asks for nothing",
                    self.facet
                ));
            }
            return;
        };
        posting.post(
            RuleName::AtMost,
            &self.asked,
            Kind::AtMost(AtMostDemand {
                facet,
                changes: i64::from(self.changes),
            }),
            format!("at most {} changes of the {}", self.changes, self.facet),
            "allow another change, or widen what the movements allow",
        );
    }
}
