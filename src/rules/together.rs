//! Steps together, in any order or in the order given.

use super::blocks::{Blocks, IN_ORDER};
use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, contiguous::Contiguous};

/// Movements or blocks that stand together.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// Whether it must hold.
    pub asked: Asked,
    /// What stands together.
    pub members: Vec<Target>,
    /// Whether in the order given.
    pub ordered: bool,
    /// How many other steps may stand between the first and the last.
    pub within: u32,
}

impl Rule for Together {
    const NAME: RuleName = RuleName {
        key: "together",
        title: Blocks::NAME.title,
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        self.members.iter_mut().for_each(visit);
    }

    /// One `contiguous` over all steps of the members (all rounds, sides as written).
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let mut steps = Vec::new();
        for i in self.members.iter().flat_map(|t| subject.steps_of(t)) {
            if !steps.contains(&i) {
                steps.push(i);
            }
        }
        if steps.len() < 2 {
            return;
        }
        let names: Vec<String> = self
            .members
            .iter()
            .map(|t| subject.target_name(t))
            .collect();
        let (rule, how) = if self.ordered {
            (Self::NAME.titled(IN_ORDER), "stand together in this order")
        } else {
            (Self::NAME, "stand together")
        };
        posting.post(
            rule,
            &self.asked,
            Kind::Contiguous(Contiguous {
                steps,
                ordered: self.ordered,
                within: i64::from(self.within),
            }),
            format!("{} {how}", names.join(", ")),
            "",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Together, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn both_sides_of_a_member_belong_to_the_run() {
        let sample = Sample::new()
            .both(movement("a"))
            .each(movement("b"), 1)
            .both(movement("c"));
        let rule = Together {
            asked: Asked::prefer(30.0),
            members: vec![Target::movement("c"), Target::movement("b")],
            ordered: true,
            within: 1,
        };
        assert_eq!(
            posted(&post(&rule, &sample), Together::NAME.titled(IN_ORDER)),
            ["run [3, 1, 2] ordered +1 3000"]
        );
    }
}
