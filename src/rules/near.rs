//! Near a given order, or apart from one.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, neighbours::Neighbours};

/// At least so many neighbouring pairs of an order are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Near {
    /// Whether it must hold.
    pub asked: Asked,
    /// The order; what is not on the list is passed over.
    pub order: Vec<Target>,
    /// How many neighbouring pairs, at least.
    pub least: u32,
}

/// At most so many neighbouring pairs of an order are kept: a variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// Whether it must hold.
    pub asked: Asked,
    /// The order; what is not on the list is passed over.
    pub order: Vec<Target>,
    /// How many neighbouring pairs, at most.
    pub most: u32,
}

/// The neighbouring pairs of an order. Where a target is named for the k-th time it takes its k-th round, else all that is left.
fn pairs(order: &[Target], subject: &Subject) -> Vec<(usize, usize)> {
    let mut line: Vec<usize> = Vec::new();
    for (k, target) in order.iter().enumerate() {
        let again = order[k + 1..].contains(target);
        let left: Vec<usize> = subject
            .steps_of(target)
            .into_iter()
            .filter(|i| !line.contains(i))
            .collect();
        let round = left.iter().map(|&i| subject.class.steps[i].round).min();
        line.extend(
            left.into_iter()
                .filter(|&i| !again || Some(subject.class.steps[i].round) == round),
        );
    }
    line.windows(2).map(|w| (w[0], w[1])).collect()
}

impl Near {
    /// One `neighbours` with a least number.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        let pairs = pairs(&self.order, subject);
        if pairs.len() < self.least as usize {
            posting.unmet(format!(
                "only {} links of the order to stay near are on the list, fewer than {}",
                pairs.len(),
                self.least
            ));
        }
        posting.post(
            RuleName::Near,
            &self.asked,
            Kind::Neighbours(Neighbours {
                pairs,
                least: Some(i64::from(self.least)),
                most: None,
            }),
            format!("at least {} links of the given order are kept", self.least),
            "ask for fewer links",
        );
    }
}

impl Apart {
    /// One `neighbours` with a greatest number.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        posting.post(
            RuleName::Apart,
            &self.asked,
            Kind::Neighbours(Neighbours {
                pairs: pairs(&self.order, subject),
                least: None,
                most: Some(i64::from(self.most)),
            }),
            format!("at most {} links of the given order are kept", self.most),
            "allow more links",
        );
    }
}
