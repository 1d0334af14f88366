//! Rest between two heavy loads of one region.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_CAN_HURT};
use super::posting::{Posting, hundredths};
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

impl Recovery {
    /// One `recovery` for each region and side with at least two heavy steps.
    pub fn post(&self, subject: &Subject, posting: &mut Posting) {
        for region in subject.loaded(self.load) {
            let steps = region.steps();
            if steps.len() < 2 {
                continue;
            }
            posting.post(
                RuleName::Recovery,
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
