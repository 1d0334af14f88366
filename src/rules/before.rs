//! An order of two: all steps of the one's first round before all steps of the other.
//!
//! A series that holds both is judged run by run. What stands in its left run is asked before the other in the left run, what stands in
//! its right run before the other in the right run; the two runs ask nothing of one another, in whatever rounds they are. A series is all
//! of one side and then all of the other, so the second side of the one can never come before the first side of the other; and what was
//! done on the left has not prepared the right. A both-sided movement of a series stands in each run and counts for its own. Where
//! an order names a side of either, it is taken at its word.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
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

impl Rule for Before {
    const NAME: RuleName = RuleName {
        key: "before",
        title: "one before the other",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        visit(&mut self.first);
        visit(&mut self.later);
    }

    /// One `precede` for each pair of steps.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        post_before(
            Self::NAME,
            &self.asked,
            &self.first,
            &self.later,
            |a, b| format!("{a} comes before {b}"),
            subject,
            posting,
        );
    }
}

/// Posts all pairs of an order of two for `rule`, those in different runs of one series left out; `sentence` gets the two names on
/// paper.
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
    let by_run = !first.names_a_side() && !later.names_a_side();
    let runs = subject.runs();
    let apart = |a: usize, b: usize| match (runs[a], runs[b]) {
        (Some(a), Some(b)) => by_run && a.block == b.block && a.second != b.second,
        (None, _) | (_, None) => false,
    };
    for a in subject.first_round_of(first) {
        for &b in later_steps.iter().filter(|&&b| b != a && !apart(a, b)) {
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
    use crate::problem::step::Side;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Before, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
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
            posted(&post(&rule, &sample), Before::NAME),
            ["0<4 must", "0<5 must", "1<4 must", "1<5 must"]
        );
    }

    #[test]
    fn in_a_series_each_run_has_its_own_order_unless_a_side_is_named() {
        let sample = Sample::new()
            .series("legs", vec![movement("lunge"), movement("splits")])
            .both(movement("splits"));
        let rule = |first: Target| Before {
            asked: Asked::must(),
            first,
            later: Target::movement("splits"),
        };
        assert_eq!(
            posted(
                &post(&rule(Target::movement("lunge")), &sample),
                Before::NAME
            ),
            ["0<1 must", "0<4 must", "2<3 must", "2<4 must"]
        );
        let right = Target::Movement {
            id: "lunge".into(),
            side: Some(Side::Right),
        };
        assert_eq!(
            posted(&post(&rule(right), &sample), Before::NAME),
            ["2<1 must", "2<3 must", "2<4 must"]
        );
    }
}
