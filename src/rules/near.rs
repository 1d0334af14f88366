//! Near a given order, or apart from one.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, neighbours::Neighbours};

/// At least a given number of neighbouring pairs of an order are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Near {
    /// Whether it must hold.
    pub asked: Asked,
    /// The order; what is not on the list is passed over.
    pub order: Vec<Target>,
    /// How many neighbouring pairs, at least.
    pub least: u32,
}

/// At most a given number of neighbouring pairs of an order are kept: a variant.
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

impl Rule for Near {
    const NAME: RuleName = RuleName {
        key: "near",
        title: "near the order you know",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        self.order.iter_mut().for_each(visit);
    }

    /// One `neighbours` with a least number.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let pairs = pairs(&self.order, subject);
        if pairs.len() < self.least as usize {
            posting.unmet(format!(
                "the list has only {} pairs of neighbours of the order to stay near, fewer than {}",
                pairs.len(),
                self.least
            ));
        }
        posting.post(
            Self::NAME,
            &self.asked,
            Kind::Neighbours(Neighbours {
                pairs,
                least: Some(i64::from(self.least)),
                most: None,
            }),
            format!(
                "at least {} pairs of neighbours of the order you know stay neighbours",
                match self.least {
                    1 => "two".to_owned(),
                    n => format!("{n} pairs of"),
                }
            ),
            "ask for fewer pairs",
        );
    }
}

impl Rule for Apart {
    const NAME: RuleName = RuleName {
        key: "apart",
        title: "different from before",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        self.order.iter_mut().for_each(visit);
    }

    /// One `neighbours` with a greatest number.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        posting.post(
            Self::NAME,
            &self.asked,
            Kind::Neighbours(Neighbours {
                pairs: pairs(&self.order, subject),
                least: None,
                most: Some(i64::from(self.most)),
            }),
            match self.most {
                0 => "no neighbours of the given order stay neighbours".to_owned(),
                1 => "at most one pair of neighbours of the given order stays".to_owned(),
                n => format!("at most {n} pairs of neighbours of the given order stay"),
            },
            "allow more pairs",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Near, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn pairs_run_through_the_sides_and_a_movement_named_again_takes_its_next_round() {
        let sample = Sample::new()
            .both(movement("a"))
            .each(movement("b"), 2)
            .both(movement("c"));
        let order: Vec<Target> = ["b", "a", "b", "c"].map(Target::movement).into();
        let rule = Near {
            asked: Asked::prefer(30.0),
            order: order.clone(),
            least: 6,
        };
        let posting = post(&rule, &sample);
        assert_eq!(
            posted(&posting, Near::NAME),
            ["[(1, 2), (2, 0), (0, 3), (3, 4), (4, 5)] Some(6)..None 3000"]
        );
        assert_eq!(posting.unmet.len(), 1);
        let mut posting = Posting::default();
        let apart = Apart {
            asked: Asked::must(),
            order,
            most: 2,
        };
        apart.post(&sample.subject(), &mut posting);
        assert!(posted(&posting, Apart::NAME)[0].ends_with("None..Some(2) must"));
    }
}
