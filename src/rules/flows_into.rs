//! A link that the teacher likes: some step of the one directly before some step of the other.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
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

impl Rule for FlowsInto {
    const NAME: RuleName = RuleName {
        key: "flows_into",
        title: "one straight into the other",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        visit(&mut self.from);
        visit(&mut self.into);
    }

    /// One `neighbours` of which at least one pair stands.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
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
            Self::NAME,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &FlowsInto, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn one_link_of_all_pairs_is_enough() {
        let sample = Sample::new().both(movement("a")).each(movement("b"), 1);
        let rule = FlowsInto {
            asked: Asked::prefer(30.0),
            from: Target::movement("a"),
            into: Target::movement("b"),
        };
        assert_eq!(
            posted(&post(&rule, &sample), FlowsInto::NAME),
            ["[(0, 1), (0, 2)] Some(1)..None 3000"]
        );
    }
}
