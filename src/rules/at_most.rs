//! A facet changes at most a given number of times in the class.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, at_most::AtMost as AtMostDemand};

/// A facet changes at most a given number of times.
#[derive(Debug, Clone, PartialEq)]
pub struct AtMost {
    /// Whether it must hold.
    pub asked: Asked,
    /// Key of the facet; `springs` for the springs.
    pub facet: String,
    /// How often.
    pub changes: u32,
}

impl Rule for AtMost {
    const NAME: RuleName = RuleName {
        key: "at_most",
        title: "few changes",
        filled_in: true,
        holds_places: false,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `at_most`, if the machine has the facet; else it says so.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let Some(facet) = subject.facets.iter().position(|f| *f == self.facet) else {
            if !self.asked.is_off() {
                posting.unmet(format!(
                    "this machine has no {}: the limit on its changes has no effect",
                    self.facet
                ));
            }
            return;
        };
        posting.post(
            Self::NAME,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &AtMost, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn a_facet_that_the_machine_lacks_is_said_to_ask_for_nothing() {
        let sample = Sample::new().both(movement("a"));
        let limit = |facet: &str| AtMost {
            asked: Asked::must(),
            facet: facet.into(),
            changes: 3,
        };
        let posting = post(&limit("bar"), &sample);
        assert_eq!(posted(&posting, AtMost::NAME), ["facet 1 3 times must"]);
        let posting = post(&limit("board"), &sample);
        assert!(posting.demands.is_empty() && posting.unmet.len() == 1);
    }
}
