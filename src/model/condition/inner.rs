//! Conditions of heart, head and breath, and what follows an operation.

use super::known::{KnownCondition, Meets};
use crate::model::caution::{COMMON_PRACTICE, Caution};

const PRESSURE: &str = "Wiles JD et al. (2018) Medicine 97(10):e0105; Edwards JJ et al. (2024) Sports Med 54:1459-1497";
const EYES: &str = "Jasien JV et al. (2015) PLoS ONE 10(12):e0144505; Baskaran M et al. (2006) Ophthalmology 113:1327-1332";
const EYES_HOLD: &str = "Vieira GM et al. (2006) Arch Ophthalmol 124:1251-1254, from memory";
const HEART: &str = "Williams MA et al. (2007) Circulation 116:572-584, its sentences from memory";
const SPINNING: &str = "MedlinePlus, Benign positional vertigo, aftercare: no sudden change of position, sit up slowly and stay, hold on when standing";

/// All of them.
pub const INNER: &[KnownCondition] = &[
    KnownCondition {
        name: "high blood pressure",
        said: &[
            "hypertension",
            "hypertensive",
            "raised blood pressure",
            "hi blood pressure",
            "elevated blood pressure",
            "blood pressure",
            "blood pressure high",
            "high bp",
            "hi bp",
            "raised bp",
            "bp high",
            "bp",
            "hbp",
        ],
        meets: &[
            Meets::saying(
                Caution::HardHold,
                "High blood pressure: keep breathing, no long hard holds. If it is not under control: clearance first.",
                PRESSURE,
            ),
            Meets::saying(
                Caution::HeadDown,
                "High blood pressure: head not below the heart; choose the form with the head up, and come up slowly.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "low blood pressure",
        said: &["hypotension", "low bp", "bp low", "blood pressure low"],
        meets: &[
            Meets::saying(
                Caution::Dizziness,
                "Low blood pressure: come up slowly, the head last, and wait before the next move.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Balance,
                "Low blood pressure: a hand on the bar, teacher within reach.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "heart condition",
        said: &[
            "heart",
            "heart attack",
            "cardiac",
            "stent",
            "angina",
            "arrhythmia",
            "atrial fibrillation",
            "afib",
            "pacemaker",
            "bypass",
        ],
        meets: &[
            Meets::saying(
                Caution::HardHold,
                "Heart: keep breathing, no hard holds, well below full effort; only with clearance.",
                HEART,
            ),
            Meets::saying(
                Caution::HeadDown,
                "Heart: head not below the heart; choose the form with the head up.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Dizziness,
                "Heart: come up slowly and wait; some medicines make for dizziness.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Impact,
                "Heart: no jumping without clearance; press instead.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "Chest pain, breathlessness or palpitations: stop at once.",
    },
    KnownCondition {
        name: "glaucoma",
        said: &[
            "raised eye pressure",
            "eye pressure",
            "recent eye surgery",
            "eye surgery",
            "cataract surgery",
            "retinal trouble",
            "retina",
            "retinal",
            "detached retina",
        ],
        meets: &[
            Meets::saying(
                Caution::HeadDown,
                "Head-down positions raise eye pressure. With glaucoma, recent eye surgery or retinal trouble: choose the head-up option.",
                EYES,
            ),
            Meets::saying(
                Caution::HardHold,
                "Holding the breath raises eye pressure too: keep breathing, no long hard holds.",
                EYES_HOLD,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "dizziness",
        said: &[
            "dizzy",
            "dizzy spells",
            "vertigo",
            "bppv",
            "lightheaded",
            "light headed",
            "faint",
            "fainting",
            "inner ear",
            "meniere",
            "menieres",
        ],
        meets: &[
            Meets::saying(
                Caution::Dizziness,
                "Dizziness: no quick rising, rolling or bending down and up; come up slowly, eyes on one spot, and wait.",
                SPINNING,
            ),
            Meets::saying(
                Caution::HeadDown,
                "Dizziness: head not below the heart; choose the form with the head up.",
                SPINNING,
            ),
            Meets::saying(
                Caution::Balance,
                "Dizziness: nothing from which to fall. A hand on the bar, heavier springs, teacher within reach.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "poor balance",
        said: &[
            "balance",
            "unsteady",
            "falls",
            "afraid of falling",
            "multiple sclerosis",
            "parkinson",
            "parkinsons",
        ],
        meets: &[
            Meets::saying(
                Caution::Balance,
                "Poor balance: heavier springs, a hand on the bar, teacher within reach.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Dizziness,
                "Poor balance: come up slowly, and wait before the next move.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "migraine",
        said: &["headache"],
        meets: &[
            Meets::saying(
                Caution::HeadDown,
                "Migraine: head not below the heart; it may bring one on.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HardHold,
                "Migraine: keep breathing, jaw loose, no long hard holds.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::NeckLoad,
                "Migraine: head down, or support the head.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "asthma",
        said: &[
            "asthmatic",
            "copd",
            "breathless",
            "breathing trouble",
            "breathing problem",
        ],
        meets: &[Meets::saying(
            Caution::HardHold,
            "Asthma: breathe throughout, no long hard holds, rest before breathlessness.",
            COMMON_PRACTICE,
        )],
        ask: "Their reliever lies within reach, not in the changing room.",
    },
    KnownCondition {
        name: "hernia",
        said: &["groin hernia", "umbilical hernia"],
        meets: &[
            Meets::saying(
                Caution::AbdominalStrain,
                "Hernia: nothing that pushes the belly out; shorter levers, lighter, or leave it out.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HardHold,
                "Hernia: no hard holds, no breath holding; breathe out on the effort.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "reflux",
        said: &["hiatus hernia", "hiatal hernia", "heartburn", "gerd"],
        meets: &[
            Meets::saying(
                Caution::HeadDown,
                "Reflux: head and chest not below the stomach.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HardHold,
                "Reflux: no hard holds, no breath holding.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "recent surgery",
        said: &[
            "surgery",
            "operation",
            "operated",
            "op",
            "post op",
            "postop",
            "hysterectomy",
        ],
        meets: &[
            Meets::saying(
                Caution::AbdominalStrain,
                "After an operation: nothing that pulls on the scar or pushes the belly out.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HardHold,
                "After an operation: no hard holds, no breath holding.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HeadDown,
                "After an operation: head not below the heart.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Dizziness,
                "After an operation: come up slowly, and wait.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Balance,
                "After an operation: nothing from which to fall.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Impact,
                "After an operation: no jumping without clearance.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "Ask where and when, and for the surgeon's word that a class is right by now; write the joint too (\u{201c}knee pain\u{201d}).",
    },
    KnownCondition {
        name: "after breast surgery",
        said: &[
            "breast surgery",
            "breast cancer",
            "mastectomy",
            "lumpectomy",
            "breast reconstruction",
        ],
        meets: &[
            Meets::saying(
                Caution::ShoulderLoad,
                "After breast surgery: little weight on the hands, light springs for that arm, only as high as it goes freely.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::LyingFaceDown,
                "After breast surgery: not face down on the chest.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
];
