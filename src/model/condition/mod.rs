//! Conditions that people bring into the room, and which cautions of movements they meet.
//!
//! What each says is its own, with where it rests beside it: a caution concerns two people for different reasons. If in doubt the more
//! careful reading stands: of a back that nobody has asked about everything is marked, and of a pregnancy without its weeks as well.

pub mod birth;
pub mod inner;
pub mod joints;
pub mod known;
pub mod spine;

use known::KnownCondition;

/// The vocabulary, group by group.
const GROUPS: [&[KnownCondition]; 4] = [spine::SPINE, birth::BIRTH, joints::JOINTS, inner::INNER];

/// Every condition that is known.
pub fn all() -> impl Iterator<Item = &'static KnownCondition> {
    GROUPS.into_iter().flatten()
}

/// The condition of this name, letter by letter.
pub fn named(name: &str) -> Option<&'static KnownCondition> {
    all().find(|c| c.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::caution::Caution;

    #[test]
    fn every_caution_is_met_by_some_condition() {
        for (word, caution) in Caution::WORDS {
            assert!(
                all().any(|c| c.touches(*caution)),
                "{word} is met by no condition"
            );
        }
    }

    #[test]
    fn a_name_of_a_condition_means_one_thing() {
        let mut names: Vec<&str> = all()
            .flat_map(|c| std::iter::once(c.name).chain(c.said.iter().copied()))
            .collect();
        let told = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), told);
    }

    #[test]
    fn what_is_said_is_said_of_the_condition_and_rests_on_something() {
        for condition in all() {
            assert!(!condition.meets.is_empty(), "{}", condition.name);
            for (i, met) in condition.meets.iter().enumerate() {
                let (name, word) = (condition.name, met.caution.word());
                assert!(met.say.ends_with('.'), "{name}: {word}");
                assert!(!met.source.is_empty(), "{name}: {word}");
                let twice = condition.meets[..i].iter();
                assert!(
                    twice.into_iter().all(|m| m.caution != met.caution),
                    "{name}"
                );
            }
        }
    }

    /// Source: the guidance named beside each; "common practice" for side bends, balance and the hip across.
    #[test]
    fn what_a_condition_meets_is_at_least_what_guidance_and_practice_name() {
        use Caution::{
            AbdominalStrain, BackBend, Balance, DeepFlexion, DeepHipBend, DiscLoad, Dizziness,
            HardHold, HeadDown, HipAcross, Impact, LoadedSideBend, LoadedTwist, LyingFaceDown,
            LyingOnBack, OneLegOrWideSplit,
        };
        let expected: [(&str, &[Caution]); 11] = [
            (
                "osteoporosis",
                &[DeepFlexion, LoadedTwist, LoadedSideBend, Impact, Balance],
            ),
            ("back pain", &[DeepFlexion, BackBend, DiscLoad, LoadedTwist]),
            ("disc trouble", &[DiscLoad, DeepFlexion, LoadedTwist]),
            ("sciatica", &[DiscLoad, DeepFlexion, LoadedTwist]),
            (
                "mid-pregnancy",
                &[
                    LyingOnBack,
                    LyingFaceDown,
                    DeepFlexion,
                    AbdominalStrain,
                    HardHold,
                    HeadDown,
                    Balance,
                ],
            ),
            ("late pregnancy", &[Impact, OneLegOrWideSplit]),
            (
                "abdominal separation",
                &[AbdominalStrain, DeepFlexion, HardHold],
            ),
            ("pelvic floor", &[Impact, HardHold, AbdominalStrain]),
            ("pelvic-girdle pain", &[OneLegOrWideSplit, HipAcross]),
            ("hip replacement", &[DeepHipBend, HipAcross, Impact]),
            ("dizziness", &[Dizziness, HeadDown, Balance]),
        ];
        for (name, cautions) in expected {
            let condition = named(name).expect("it is known");
            for caution in cautions {
                assert!(condition.touches(*caution), "{name}: {}", caution.word());
            }
        }
    }

    #[test]
    fn a_later_part_of_pregnancy_meets_all_that_an_earlier_one_does() {
        let parts = [&birth::EARLY, &birth::MIDDLE, &birth::LATE];
        for pair in parts.windows(2) {
            assert!(pair[0].cautions().all(|c| pair[1].touches(c)));
        }
        assert!(birth::LATE.cautions().all(|c| birth::PREGNANT.touches(c)));
    }

    #[test]
    fn high_blood_pressure_is_not_told_about_the_eyes() {
        let pressure = named("high blood pressure").expect("it is known");
        let eyes = named("glaucoma").expect("it is known");
        assert!(!pressure.say(Caution::HeadDown).contains("eye"));
        assert!(eyes.say(Caution::HeadDown).contains("eye"));
    }
}
