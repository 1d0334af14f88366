//! A link that she likes: some step of the one directly before some step of the other.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, neighbours::Neighbours};

/// One flows into the other.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowsInto {
    /// Whether it must hold.
    pub asked: Asked,
    /// What comes first.
    pub from: Target,
    /// What follows directly.
    pub into: Target,
}

impl FlowsInto {
    /// One `neighbours` of which at least one pair stands.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        let into = subject.steps_of(&self.into);
        let pairs: Vec<(usize, usize)> = subject
            .steps_of(&self.from)
            .into_iter()
            .flat_map(|a| into.iter().map(move |&b| (a, b)))
            .filter(|(a, b)| a != b)
            .collect();
        if pairs.is_empty() {
            return;
        }
        posting.post(
            RuleName::FlowsInto,
            &self.asked,
            Kind::Neighbours(Neighbours {
                pairs,
                least: Some(1),
                most: None,
            }),
            format!(
                "{} flows into {}",
                subject.target_name(&self.from),
                subject.target_name(&self.into)
            ),
            "",
        );
    }
}
