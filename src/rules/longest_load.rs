//! No region stays loaded for too long.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_CAN_HURT};
use super::posting::{Posting, hundredths};
use super::rule::{Rule, Visit};
use super::subject::{LoadedRegion, Subject};
use crate::problem::demand::{Kind, longest::Longest};

/// Longest time with weight on the wrists where somebody in the room has a wrist condition, seconds (common practice, no source).
pub const WRIST_CARE_SECONDS: f64 = 60.0;

/// The limit of one region.
#[derive(Debug, Clone, PartialEq)]
pub struct RegionLimit {
    /// Key of the region.
    pub region: String,
    /// Longest stretch under load, seconds.
    pub seconds: f64,
    /// Seconds without load that end a stretch.
    pub rest: f64,
    /// Whether it must hold.
    pub asked: Asked,
}

/// The region that carries weight on the hands.
pub const WRISTS: &str = "wrists";

/// No region stays loaded for too long.
#[derive(Debug, Clone, PartialEq)]
pub struct LongestLoad {
    /// Fraction of maximum (0 to 1) from which a load counts. For the wrists every load counts: what bears weight bends them as far, however
    /// little it is (common practice, no source).
    pub load: f64,
    /// The regions that are watched.
    pub regions: Vec<RegionLimit>,
}

impl Default for LongestLoad {
    fn default() -> Self {
        Self {
            load: 0.5,
            regions: vec![RegionLimit {
                region: WRISTS.to_string(),
                seconds: 120.0,
                rest: 20.0,
                asked: Asked::prefer(WEIGHT_CAN_HURT),
            }],
        }
    }
}

impl LongestLoad {
    /// The sides of a region that count as loaded, with the steps that load them.
    pub fn watched(&self, subject: &Subject, region: &str) -> Vec<LoadedRegion> {
        let from = if region == WRISTS { 0.0 } else { self.load };
        let mut found = subject.loaded(from);
        found.retain(|r| r.region == region);
        found
    }
}

impl Rule for LongestLoad {
    const NAME: RuleName = RuleName {
        key: "longest_load",
        title: "no part of the body loaded too long",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `longest` for each region watched, and side.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        for limit in &self.regions {
            let seconds = if subject.wrist_care && limit.region == WRISTS {
                limit.seconds.min(WRIST_CARE_SECONDS)
            } else {
                limit.seconds
            };
            for region in self.watched(subject, &limit.region) {
                for &(i, _) in &region.loads {
                    let alone = subject.class.steps[i].seconds();
                    if alone > seconds && !limit.asked.is_off() {
                        posting.unmet(format!(
                            "{} alone loads the {} for {alone:.0} s, longer than {seconds:.0}: do fewer repetitions",
                            subject.name(i),
                            region.name
                        ));
                    }
                }
                posting.post(
                    Self::NAME,
                    &limit.asked,
                    Kind::Longest(Longest {
                        steps: region.steps(),
                        limit: hundredths(seconds),
                        rest: hundredths(limit.rest),
                    }),
                    format!(
                        "{} are not loaded for more than {seconds} seconds without a break of {} seconds",
                        region.name, limit.rest
                    ),
                    format!("put something between that frees the {}", limit.region),
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::movement::LoadSide;
    use crate::rules::sample::{Sample, posted, with_load};

    fn post(rule: &LongestLoad, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    fn class() -> Sample {
        Sample::new()
            .both(with_load("plank", "wrists", 0.9, LoadSide::Both))
            .both(with_load("elephant", "wrists", 0.6, LoadSide::Both))
    }

    #[test]
    fn wrists_are_watched_for_two_minutes() {
        let posting = post(&LongestLoad::default(), &class());
        assert_eq!(
            posted(&posting, LongestLoad::NAME),
            ["longest [0, 1] 12000 2000 6000"]
        );
    }

    /// Source: common practice, no source: hands and knees are weight on the hands.
    #[test]
    fn weight_on_the_hands_counts_below_half_of_the_maximum_and_no_other_load_does() {
        let sample = class()
            .both(with_load("cat", "wrists", 0.15, LoadSide::Both))
            .both(with_load("curl", "abdominals", 0.15, LoadSide::Both));
        let mut rule = LongestLoad::default();
        let mut belly = rule.regions[0].clone();
        belly.region = "abdominals".to_string();
        rule.regions.push(belly);
        assert_eq!(
            posted(&post(&rule, &sample), LongestLoad::NAME),
            ["longest [0, 1, 2] 12000 2000 6000"]
        );
    }

    #[test]
    fn a_wrist_condition_makes_it_a_minute_and_names_what_is_longer_alone() {
        let sample = class();
        let care = Subject {
            wrist_care: true,
            ..sample.subject()
        };
        let mut posting = Posting::default();
        LongestLoad::default().post(&care, &mut posting);
        assert_eq!(
            posted(&posting, LongestLoad::NAME),
            ["longest [0, 1] 6000 2000 6000"]
        );
        assert_eq!(posting.unmet.len(), 2);
    }
}
