//! Rest between two heavy loads of one region.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_CAN_HURT};
use super::posting::{Posting, hundredths};
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, recovery::Recovery as RecoveryDemand};

/// Between two heavy loads of one region some time passes.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// Whether it must hold.
    pub asked: Asked,
    /// Fraction of maximum (0 to 1) from which a load is heavy.
    pub load: f64,
    /// Seconds from the end of one to the start of the next.
    pub seconds: f64,
}

impl Default for Recovery {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_CAN_HURT),
            load: 0.5,
            seconds: 60.0,
        }
    }
}

impl Rule for Recovery {
    const NAME: RuleName = RuleName {
        key: "recovery",
        title: "rest between heavy loads",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `recovery` for each region and side with at least two heavy steps.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        for region in subject.loaded(self.load) {
            let steps = region.steps();
            if steps.len() < 2 {
                continue;
            }
            posting.post(
                Self::NAME,
                &self.asked,
                Kind::Recovery(RecoveryDemand {
                    steps,
                    seconds: hundredths(self.seconds),
                }),
                format!(
                    "{} rest at least {} seconds between two heavy loads",
                    region.name, self.seconds
                ),
                format!(
                    "add something between that does not load the {}, or allow a shorter rest",
                    region.region
                ),
            );
        }
    }
}

/// The group of each step for the exemption from recovery: the two sides of a movement, and all steps of one round of a series.
/// `None`: on its own.
pub fn groups(subject: &Subject) -> Vec<Option<i64>> {
    let mut groups = vec![None; subject.class.steps.len()];
    let mut next = 0;
    for pair in subject.side_pairs() {
        groups[pair.left] = Some(next);
        groups[pair.right] = Some(next);
        next += 1;
    }
    for series in subject.series() {
        for &i in series.first.iter().chain(&series.second) {
            groups[i] = Some(next);
        }
        next += 1;
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::movement::LoadSide;
    use crate::rules::sample::{Sample, movement, posted, with_load};

    fn post(rule: &Recovery, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn a_right_leg_does_not_load_the_left_hip() {
        let sample = Sample::new()
            .each(with_load("scooter", "glutes", 0.6, LoadSide::Working), 1)
            .both(with_load("bridge", "glutes", 0.7, LoadSide::Both));
        let posting = post(&Recovery::default(), &sample);
        assert_eq!(
            posted(&posting, Recovery::NAME),
            ["rest [0, 2] 6000 6000", "rest [1, 2] 6000 6000"]
        );
    }

    #[test]
    fn work_with_both_arms_is_counted_once_and_a_light_load_not_at_all() {
        let sample = Sample::new()
            .both(with_load("plank", "wrists", 0.5, LoadSide::Both))
            .both(with_load("kneel", "wrists", 0.4, LoadSide::Both))
            .both(with_load("press up", "wrists", 0.9, LoadSide::Both));
        let posting = post(&Recovery::default(), &sample);
        assert_eq!(posted(&posting, Recovery::NAME), ["rest [0, 2] 6000 6000"]);
    }

    #[test]
    fn two_sides_and_one_series_are_a_group_each_and_a_new_round_is_a_new_one() {
        let sample = Sample::new()
            .each(movement("splits"), 2)
            .both(movement("bridge"))
            .series("legs", vec![movement("a"), movement("b")]);
        let expected = [0, 0, 1, 1, -1, 2, 2, 2, 2].map(|g| (g >= 0).then_some(g));
        assert_eq!(groups(&sample.subject()), expected);
    }
}
