//! Her own order of two: all steps of the one's first round before all steps of the other.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, precede::Precede};

/// One comes before the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Before {
    /// Whether it must hold.
    pub asked: Asked,
    /// What comes first.
    pub first: Target,
    /// What comes later.
    pub later: Target,
}

impl Before {
    /// One `precede` for each pair of steps.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        post_before(
            RuleName::Before,
            &self.asked,
            &self.first,
            &self.later,
            |a, b| format!("{a} comes before {b}"),
            subject,
            posting,
        );
    }
}

/// Posts all pairs of an order of two for `rule`; `sentence` gets the two names on paper. Of two movements in one series each side is
/// looked at by itself: the first side is over before the second begins, so a pair across the sides could never be kept, or always is.
pub fn post_before(
    rule: RuleName,
    asked: &Asked,
    first: &Target,
    later: &Target,
    sentence: impl Fn(&str, &str) -> String,
    subject: &Subject,
    posting: &mut Posting,
) {
    let later_steps = subject.steps_of(later);
    let series = subject.series();
    let across = |a: usize, b: usize| {
        series.iter().any(|s| {
            s.first.contains(&a) && s.second.contains(&b)
                || s.second.contains(&a) && s.first.contains(&b)
        })
    };
    for a in subject.first_round_of(first) {
        for &b in later_steps.iter().filter(|&&b| b != a && !across(a, b)) {
            posting.post(
                rule,
                asked,
                Kind::Precede(Precede { a, b }),
                sentence(&subject.name(a), &subject.name(b)),
                "",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Before, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn within_a_series_each_side_is_looked_at_by_itself() {
        let sample = Sample::new().series("legs", vec![movement("press"), movement("calves")]);
        let rule = Before {
            asked: Asked::must(),
            first: Target::movement("press"),
            later: Target::movement("calves"),
        };
        // Left press and calves, right press and calves.
        assert_eq!(
            posted(&post(&rule, &sample), RuleName::Before),
            ["0<1 must", "2<3 must"]
        );
    }

    #[test]
    fn all_steps_of_the_first_round_come_before_all_steps_of_the_other() {
        let sample = Sample::new()
            .each(movement("lunge"), 2)
            .each(movement("splits"), 1);
        let rule = Before {
            asked: Asked::must(),
            first: Target::movement("lunge"),
            later: Target::movement("splits"),
        };
        assert_eq!(
            posted(&post(&rule, &sample), RuleName::Before),
            ["0<4 must", "0<5 must", "1<4 must", "1<5 must"]
        );
    }
}
