//! What about a movement calls for care.
//!
//! A movement carries [`Caution`]s; a condition in the room meets some of them (`model::condition`), and a hit shows what to say and what
//! to offer. This plans, it does not clear anyone for exercise: [`STANDING`] stands with every caution.

/// What about a movement calls for care. One condition in the room may meet several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Deep or loaded rounding of the back.
    DeepFlexion,
    /// Twisting under load or far to one side.
    LoadedTwist,
    /// Bending to the side under load.
    LoadedSideBend,
    /// Lying on the back.
    LyingOnBack,
    /// Lying face down.
    LyingFaceDown,
    /// Long hard holds, breath holding.
    HardHold,
    /// Work that domes the belly: curl-ups, long-lever leg lowers, planks.
    AbdominalStrain,
    /// Head lower than the heart.
    HeadDown,
    /// Rising or rolling up quickly, head below the heart and up again.
    Dizziness,
    /// Back bending.
    BackBend,
    /// Loaded or repeated rounding or twisting.
    DiscLoad,
    /// Hip bent beyond a right angle.
    DeepHipBend,
    /// Leg across the middle of the body, hip turned far in or out.
    HipAcross,
    /// Load on one leg, a wide or uneven split of the pelvis.
    OneLegOrWideSplit,
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

/// Where no guidance is named.
pub const COMMON_PRACTICE: &str = "common practice, no source";

impl Caution {
    /// Each caution by the word that the files use.
    pub const WORDS: &'static [(&'static str, Caution)] = &[
        ("deep flexion", Caution::DeepFlexion),
        ("loaded twist", Caution::LoadedTwist),
        ("loaded side bend", Caution::LoadedSideBend),
        ("lying on the back", Caution::LyingOnBack),
        ("lying face down", Caution::LyingFaceDown),
        ("hard hold", Caution::HardHold),
        ("abdominal strain", Caution::AbdominalStrain),
        ("head down", Caution::HeadDown),
        ("dizziness", Caution::Dizziness),
        ("back bend", Caution::BackBend),
        ("disc load", Caution::DiscLoad),
        ("deep hip bend", Caution::DeepHipBend),
        ("hip across the middle", Caution::HipAcross),
        ("one leg or wide split", Caution::OneLegOrWideSplit),
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
            Self::LoadedTwist => "loaded twist",
            Self::LoadedSideBend => "loaded side bend",
            Self::LyingOnBack => "lying on the back",
            Self::LyingFaceDown => "lying face down",
            Self::HardHold => "hard hold",
            Self::AbdominalStrain => "abdominal strain",
            Self::HeadDown => "head down",
            Self::Dizziness => "dizziness",
            Self::BackBend => "back bend",
            Self::DiscLoad => "disc load",
            Self::DeepHipBend => "deep hip bend",
            Self::HipAcross => "hip across the middle",
            Self::OneLegOrWideSplit => "one leg or wide split",
            Self::WristLoad => "wrist load",
            Self::ShoulderLoad => "shoulder load",
            Self::KneeLoad => "knee load",
            Self::NeckLoad => "neck load",
            Self::Balance => "balance",
            Self::Impact => "impact",
        }
    }

    /// What to say of it, whoever is in the room; what a condition has to say of it stands before this.
    pub fn wording(self) -> &'static str {
        match self {
            Self::DeepFlexion => {
                "Deep or loaded rounding of the back: keep it flat, bend from the hips."
            }
            Self::LoadedTwist => {
                "Twisting under load or far to one side: small, slow turns with a long back, or none."
            }
            Self::LoadedSideBend => "Bending to the side under load: stay long and upright.",
            Self::LyingOnBack => {
                "Long or still lying on the back: side-lying, seated or raised instead."
            }
            Self::LyingFaceDown => "Lying face down: side-lying, seated or kneeling instead.",
            Self::HardHold => "Keep breathing; no long hard holds.",
            Self::AbdominalStrain => {
                "Where the belly domes it is too much: head down, one leg at a time, a smaller range, or leave it out."
            }
            Self::HeadDown => "Head lower than the heart: choose the form with the head up.",
            Self::Dizziness => {
                "Come up slowly, the head last, and wait a moment before the next move."
            }
            Self::BackBend => "Back bending: stay neutral; stop if anything is felt down a leg.",
            Self::DiscLoad => {
                "Loaded or repeated rounding or twisting: the back stays long and still."
            }
            Self::DeepHipBend => {
                "Hip bent beyond a right angle: keep the angle open, a smaller range."
            }
            Self::HipAcross => {
                "Leg across the middle, hip turned far: legs hip wide, knees and toes straight ahead."
            }
            Self::OneLegOrWideSplit => {
                "Load on one leg, legs wide apart: both feet, weight even, no wider than the hips."
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
            Self::LoadedTwist
            | Self::LoadedSideBend
            | Self::LyingFaceDown
            | Self::AbdominalStrain
            | Self::Dizziness
            | Self::DeepHipBend
            | Self::HipAcross
            | Self::OneLegOrWideSplit
            | Self::NeckLoad
            | Self::Balance => COMMON_PRACTICE,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_has_its_word() {
        for (word, caution) in Caution::WORDS {
            assert_eq!(caution.word(), *word);
        }
    }
}
