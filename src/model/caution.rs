//! Conditions in the room and the movements that meet them.
//!
//! A movement carries [`Caution`]s; a condition in the room touches some of them; a hit shows the wording and any easier option. This
//! plans, it does not clear anyone for exercise: [`STANDING`] stands with every caution.

/// What about a movement calls for care. One condition in the room may touch several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Deep or loaded rounding of the back.
    DeepFlexion,
    /// Lying on the back.
    LyingOnBack,
    /// Lying face down.
    LyingFaceDown,
    /// Long hard holds, breath holding.
    HardHold,
    /// Head lower than the heart.
    HeadDown,
    /// Back bending.
    BackBend,
    /// Loaded or repeated rounding or twisting.
    DiscLoad,
    /// Weight on bent wrists.
    WristLoad,
    /// Loaded arms above the shoulder, weight on the hands.
    ShoulderLoad,
    /// Kneeling, deep bending of the knee.
    KneeLoad,
    /// Head and chest lifted, weight near the neck.
    NeckLoad,
    /// Standing or kneeling on a carriage that moves.
    Balance,
    /// Jumping.
    Impact,
}

/// What is said wherever a caution is shown.
pub const STANDING: &str = "Get medical clearance first; follow licensed practice and local codes. If in doubt, leave it out.";

impl Caution {
    /// Each caution by the word that the files use.
    pub const WORDS: &'static [(&'static str, Caution)] = &[
        ("deep flexion", Caution::DeepFlexion),
        ("lying on the back", Caution::LyingOnBack),
        ("lying face down", Caution::LyingFaceDown),
        ("hard hold", Caution::HardHold),
        ("head down", Caution::HeadDown),
        ("back bend", Caution::BackBend),
        ("disc load", Caution::DiscLoad),
        ("wrist load", Caution::WristLoad),
        ("shoulder load", Caution::ShoulderLoad),
        ("knee load", Caution::KneeLoad),
        ("neck load", Caution::NeckLoad),
        ("balance", Caution::Balance),
        ("impact", Caution::Impact),
    ];

    /// Its word in the files and on paper.
    pub fn word(self) -> &'static str {
        match self {
            Self::DeepFlexion => "deep flexion",
            Self::LyingOnBack => "lying on the back",
            Self::LyingFaceDown => "lying face down",
            Self::HardHold => "hard hold",
            Self::HeadDown => "head down",
            Self::BackBend => "back bend",
            Self::DiscLoad => "disc load",
            Self::WristLoad => "wrist load",
            Self::ShoulderLoad => "shoulder load",
            Self::KneeLoad => "knee load",
            Self::NeckLoad => "neck load",
            Self::Balance => "balance",
            Self::Impact => "impact",
        }
    }

    /// What to say to someone whom it concerns.
    pub fn wording(self) -> &'static str {
        match self {
            Self::DeepFlexion => {
                "Deep or loaded rounding of the back: not for people with osteoporosis or a past spine fracture unless their clinician agrees. Offer the flat-back option."
            }
            Self::LyingOnBack => {
                "After the first trimester: avoid long or still lying on the back; use side-lying, seated or raised options. Pregnancy care team's advice comes first."
            }
            Self::LyingFaceDown => {
                "Lying face down: use side-lying, seated or kneeling options in pregnancy. Pregnancy care team's advice comes first."
            }
            Self::HardHold => {
                "Keep breathing; no long hard holds. If blood pressure is not under control: clearance first."
            }
            Self::HeadDown => {
                "Head-down positions raise eye pressure. With glaucoma, recent eye surgery or retinal trouble: choose the head-up option."
            }
            Self::BackBend => {
                "Back bending may provoke leg or back symptoms in narrowing or slippage of the lower spine. Stay neutral, stop if symptoms travel down a leg."
            }
            Self::DiscLoad => {
                "Recent disc trouble: no loaded or repeated rounding or twisting until a clinician agrees. Neutral-spine option."
            }
            Self::WristLoad => {
                "Weight on bent wrists: use fists, a wedge or the forearms; not more than a minute at a time."
            }
            Self::ShoulderLoad => "Keep loaded arm work below shoulder height and pain-free.",
            Self::KneeLoad => {
                "Padding under knees; keep the bend shallower than a right angle under load; standing or seated option."
            }
            Self::NeckLoad => "Head down, or support the head.",
            Self::Balance => "Heavier springs, a hand on the bar, teacher within reach.",
            Self::Impact => "No jumping without clearance; press instead.",
        }
    }

    /// Where the wording rests.
    pub fn source(self) -> &'static str {
        match self {
            Self::DeepFlexion => {
                "Sinaki M, Mikkelsen BA (1984) Arch Phys Med Rehabil 65:593-596; Brooke-Wavell K et al. (2022) Br J Sports Med 56(15):837-846"
            }
            Self::LyingOnBack => {
                "ACOG Committee Opinion 804 (2020) Obstet Gynecol 135(4):e178-e188, its sentences from memory"
            }
            Self::HardHold => {
                "Wiles JD et al. (2018) Medicine 97(10):e0105; Edwards JJ et al. (2024) Sports Med 54:1459-1497"
            }
            Self::HeadDown => {
                "Jasien JV et al. (2015) PLoS ONE 10(12):e0144505; Baskaran M et al. (2006) Ophthalmology 113:1327-1332"
            }
            Self::BackBend => {
                "Sinaki M et al. (1989) Arch Phys Med Rehabil 70:594-598; Matsuwaka ST, Liem BC (2018) Curr Phys Med Rehabil Rep"
            }
            Self::DiscLoad => {
                "Callaghan JP, McGill SM (2001) Clin Biomech 16:28-37, from memory; the evidence in people is mixed"
            }
            Self::WristLoad => {
                "Keir PJ et al. (2007) Human Factors 49(1):88-99; the minute is common practice, no source"
            }
            Self::ShoulderLoad => {
                "Kessel L, Watson M (1977) J Bone Joint Surg Br 59:166-172, from memory"
            }
            Self::KneeLoad => {
                "Glitsch U et al. (2022) Appl Sci 12(1):255; Kernozek TW et al. (2018) J Sport Rehabil 27(3):237"
            }
            Self::Impact => "Brooke-Wavell K et al. (2022) Br J Sports Med 56(15):837-846",
            Self::LyingFaceDown | Self::NeckLoad | Self::Balance => "common practice, no source",
        }
    }
}

/// A condition of the vocabulary and what it touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KnownCondition {
    /// Its name in briefs and on paper.
    pub name: &'static str,
    /// Other names that mean the same here.
    pub other_names: &'static [&'static str],
    /// Cautions that it meets.
    pub touches: &'static [Caution],
}

/// The vocabulary of conditions. Which cautions a condition meets follows the sources of the cautions.
pub const CONDITIONS: &[KnownCondition] = &[
    KnownCondition {
        name: "osteoporosis",
        other_names: &["low bone density", "past spine fracture"],
        touches: &[Caution::DeepFlexion, Caution::Impact],
    },
    KnownCondition {
        name: "pregnancy",
        other_names: &["pregnant", "after the first trimester"],
        touches: &[Caution::LyingOnBack, Caution::LyingFaceDown],
    },
    KnownCondition {
        name: "late pregnancy",
        other_names: &["third trimester"],
        touches: &[
            Caution::LyingOnBack,
            Caution::LyingFaceDown,
            Caution::Balance,
            Caution::Impact,
        ],
    },
    KnownCondition {
        name: "high blood pressure",
        other_names: &["hypertension", "raised blood pressure"],
        touches: &[Caution::HardHold, Caution::HeadDown],
    },
    KnownCondition {
        name: "glaucoma",
        other_names: &[
            "raised eye pressure",
            "recent eye surgery",
            "retinal trouble",
        ],
        touches: &[Caution::HeadDown],
    },
    KnownCondition {
        name: "spinal stenosis",
        other_names: &["stenosis", "facet joint pain", "spondylolisthesis"],
        touches: &[Caution::BackBend],
    },
    KnownCondition {
        name: "disc trouble",
        other_names: &[
            "disc herniation",
            "herniated disc",
            "sciatica",
            "slipped disc",
        ],
        touches: &[Caution::DiscLoad],
    },
    KnownCondition {
        name: "wrist pain",
        other_names: &["wrist", "sore wrist", "carpal tunnel"],
        touches: &[Caution::WristLoad],
    },
    KnownCondition {
        name: "shoulder pain",
        other_names: &["shoulder", "shoulder impingement", "rotator cuff pain"],
        touches: &[Caution::ShoulderLoad],
    },
    KnownCondition {
        name: "knee pain",
        other_names: &["knee", "sore knee"],
        touches: &[Caution::KneeLoad],
    },
    KnownCondition {
        name: "neck pain",
        other_names: &["neck", "stiff neck"],
        touches: &[Caution::NeckLoad],
    },
    KnownCondition {
        name: "poor balance",
        other_names: &["balance", "dizziness"],
        touches: &[Caution::Balance],
    },
    KnownCondition {
        name: "pelvic floor",
        other_names: &["pelvic-floor symptoms"],
        touches: &[Caution::Impact],
    },
    KnownCondition {
        name: "bone or joint injury",
        other_names: &["joint injury", "bone injury", "low-trauma fracture"],
        touches: &[Caution::Impact],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_has_its_word_and_is_met_by_some_condition() {
        for (word, caution) in Caution::WORDS {
            assert_eq!(caution.word(), *word);
            assert!(
                CONDITIONS.iter().any(|c| c.touches.contains(caution)),
                "{word} is met by no condition"
            );
        }
    }

    #[test]
    fn a_name_of_a_condition_means_one_thing() {
        let mut names: Vec<&str> = CONDITIONS
            .iter()
            .flat_map(|c| std::iter::once(c.name).chain(c.other_names.iter().copied()))
            .collect();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
