//! The whole class takes at most the minutes given.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::{Posting, hundredths};
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, fits::Fits as FitsDemand};

/// The whole class takes at most the minutes given. The next class waits at the door, so it must hold unless the teacher says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Fits {
    /// Whether it must hold.
    pub asked: Asked,
}

impl Default for Fits {
    fn default() -> Self {
        Self {
            asked: Asked::must(),
        }
    }
}

impl Rule for Fits {
    const NAME: RuleName = RuleName {
        key: "fits",
        title: "within the minutes",
        filled_in: false,
        holds_places: false,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `fits`, where the brief gives minutes.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let Some(minutes) = subject.minutes else {
            return;
        };
        let work: f64 = subject.asked().map(|(_, s)| s.seconds() / 60.0).sum();
        if work > minutes && !self.asked.is_off() {
            posting.unmet(format!(
                "the movements alone take {work:.1} of {minutes} minutes: leave one out, or do fewer repetitions (length = \"short\")"
            ));
        }
        posting.post(
            Self::NAME,
            &self.asked,
            Kind::Fits(FitsDemand {
                total: hundredths(minutes * 60.0),
            }),
            format!("the class takes at most {minutes} minutes"),
            "leave a movement out, or do fewer repetitions",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Fits, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn minutes_must_hold_and_a_list_that_is_longer_by_itself_is_named() {
        let sample = Sample::new().both(movement("a")).both(movement("b"));
        assert!(post(&Fits::default(), &sample).demands.is_empty());
        let subject = Subject {
            minutes: Some(2.0),
            ..sample.subject()
        };
        let mut posting = Posting::default();
        Fits::default().post(&subject, &mut posting);
        assert_eq!(posted(&posting, Fits::NAME), ["by 12000 must"]);
        assert!(posting.unmet[0].starts_with("the movements alone take 3.0 of 2 minutes"));
    }
}
