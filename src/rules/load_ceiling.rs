//! The modelled fatigue of a region stays under a ceiling.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::model::fatigue::rates_of;
use crate::model::region::region;
use crate::problem::demand::{Kind, fatigue::Fatigue};

/// The modelled fatigue of a region stays under a ceiling throughout; off by default.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadCeiling {
    /// Whether it must hold.
    pub asked: Asked,
    /// Key of the region.
    pub region: String,
    /// Highest fatigued share, 0 to 1.
    pub ceiling: f64,
}

impl Rule for LoadCeiling {
    const NAME: RuleName = RuleName {
        key: "load_ceiling",
        title: "no part of the body tired out",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `fatigue` for each side of the region that is loaded; people come fresh.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let Some(rates) = region(&self.region).and_then(|r| rates_of(r.joint)) else {
            posting.unmet(format!("the load model knows no region {}", self.region));
            return;
        };
        for loaded in subject.loaded(0.0) {
            if loaded.region != self.region {
                continue;
            }
            posting.post(
                Self::NAME,
                &self.asked,
                Kind::Fatigue(Fatigue {
                    region: loaded.name.clone(),
                    loads: loaded.loads,
                    build: rates.fatigue,
                    recover: rates.recovery,
                    rest: rates.at_rest,
                    start: 0.0,
                    ceiling: self.ceiling,
                }),
                format!(
                    "{} stay under {:.0} % of modelled fatigue",
                    loaded.name,
                    100.0 * self.ceiling
                ),
                format!("put work that spares the {} between", self.region),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::movement::LoadSide;
    use crate::rules::sample::{Sample, posted, with_load};

    fn post(rule: &LoadCeiling, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn each_side_that_is_loaded_has_its_own_share_of_fatigue() {
        let sample = Sample::new().each(with_load("scooter", "glutes", 0.6, LoadSide::Working), 1);
        let rule = LoadCeiling {
            asked: Asked::prefer(60.0),
            region: "glutes".into(),
            ceiling: 0.4,
        };
        assert_eq!(
            posted(&post(&rule, &sample), LoadCeiling::NAME),
            [
                "left glutes [(0, 0.6)] under 0.4 6000",
                "right glutes [(1, 0.6)] under 0.4 6000"
            ]
        );
    }
}
