//! Before and after a birth, the belly wall and the pelvic floor.

use super::known::{KnownCondition, Meets};
use crate::model::caution::{COMMON_PRACTICE, Caution};

const PREGNANCY: &str =
    "ACOG Committee Opinion 804 (2020) Obstet Gynecol 135(4):e178-e188, its sentences from memory";
const LIGHT_HEADED: &str = "Mottola MF et al. (2018) Br J Sports Med 52:1339-1346, from memory";
const FALLING: &str =
    "National Health Service (UK), Exercise in pregnancy: what risks a fall only with caution";
const GIRDLE: &str = "Northern Care Alliance NHS Foundation Trust, Physiotherapy: pelvic girdle pain, leaflet: no standing on one leg, no straddling, weight even";
const FLOOR: &str = "B\u{f8} K, Nygaard IE (2020) Sports Med 50:471-484, from memory";
const RETURN: &str = "Goom T, Donnelly G, Brockwell E (2019) Returning to running postnatal, guidelines: not before three months, nor with symptoms";
const GAP: &str = "The Diastasis Recti charity (UK), Physiotherapy and exercise: care with sit-ups, planks and whatever domes the belly";

const HOLD: Meets = Meets::saying(
    Caution::HardHold,
    "Pregnancy: no long hard holds, no breath holding; breathe out on the effort.",
    PREGNANCY,
);
const DIZZY: Meets = Meets::saying(
    Caution::Dizziness,
    "Pregnancy: come up slowly, by the side, and wait; sit down at the first light-headedness.",
    LIGHT_HEADED,
);
const FALLS: Meets = Meets::saying(
    Caution::Balance,
    "Pregnancy: nothing from which to fall. A hand on the bar, heavier springs, teacher within reach, or both feet on the floor.",
    FALLING,
);
const ON_BACK: Meets = Meets::saying(
    Caution::LyingOnBack,
    "After the first trimester: avoid long or still lying on the back; use side-lying, seated or raised options. Pregnancy care team's advice comes first.",
    PREGNANCY,
);
const FACE_DOWN: Meets = Meets::saying(
    Caution::LyingFaceDown,
    "Lying face down: use side-lying, seated or kneeling options in pregnancy.",
    COMMON_PRACTICE,
);
const ROUNDING: Meets = Meets::saying(
    Caution::DeepFlexion,
    "Pregnancy, deep rounding under load: it presses on the belly wall; a long back instead.",
    COMMON_PRACTICE,
);
const BELLY: Meets = Meets::saying(
    Caution::AbdominalStrain,
    "Pregnancy: no curl-ups, long-lever leg lowers or planks where the belly domes; seated, kneeling or side-lying work instead.",
    COMMON_PRACTICE,
);
const HEAD_LOW: Meets = Meets::saying(
    Caution::HeadDown,
    "Pregnancy: head not below the heart; it brings dizziness and heartburn.",
    COMMON_PRACTICE,
);
const LATE_JUMPS: Meets = Meets::saying(
    Caution::Impact,
    "Late in pregnancy: no jumping; press instead.",
    COMMON_PRACTICE,
);
const LATE_SPLIT: Meets = Meets::saying(
    Caution::OneLegOrWideSplit,
    "Late in pregnancy: weight even on both feet, no wide or uneven split.",
    GIRDLE,
);

const NEWS: &str = "Bleeding, dizziness, chest pain, contractions or leaking: stop, and call the pregnancy care team.";

/// Pregnancy of which nobody has said how far it is: everything is marked that any part of it meets.
pub const PREGNANT: KnownCondition = KnownCondition {
    name: "pregnancy",
    said: &[
        "pregnant",
        "prenatal",
        "pre natal",
        "antenatal",
        "ante natal",
        "expecting",
        "expectant",
        "trimester",
        "gestation",
        "with child",
        "baby bump",
        "mum to be",
        "week along",
        "week gone",
        "mom to be",
    ],
    meets: &[
        HOLD, DIZZY, FALLS, ON_BACK, FACE_DOWN, ROUNDING, BELLY, HEAD_LOW, LATE_JUMPS, LATE_SPLIT,
    ],
    ask: "How far is not said, so all that any month calls for is marked: write \u{201c}pregnant 20 weeks\u{201d} or \u{201c}second trimester\u{201d} to have only what belongs to it.",
};

/// Up to week 12.
pub const EARLY: KnownCondition = KnownCondition {
    name: "early pregnancy",
    said: &[],
    meets: &[HOLD, DIZZY, FALLS],
    ask: NEWS,
};

/// Weeks 13 to 27.
pub const MIDDLE: KnownCondition = KnownCondition {
    name: "mid-pregnancy",
    said: &["middle of pregnancy", "middle pregnancy"],
    meets: &[
        HOLD, DIZZY, FALLS, ON_BACK, FACE_DOWN, ROUNDING, BELLY, HEAD_LOW,
    ],
    ask: NEWS,
};

/// From week 28 on.
pub const LATE: KnownCondition = KnownCondition {
    name: "late pregnancy",
    said: &["heavily pregnant", "full term"],
    meets: &[
        HOLD, DIZZY, FALLS, ON_BACK, FACE_DOWN, ROUNDING, BELLY, HEAD_LOW, LATE_JUMPS, LATE_SPLIT,
    ],
    ask: NEWS,
};

/// All of them.
pub const BIRTH: &[KnownCondition] = &[
    PREGNANT,
    EARLY,
    MIDDLE,
    LATE,
    KnownCondition {
        name: "after birth",
        said: &[
            "postnatal",
            "post natal",
            "postpartum",
            "post partum",
            "postpregnancy",
            "post pregnancy",
            "after pregnancy",
            "had a baby",
            "had baby",
            "gave birth",
            "given birth",
            "new mum",
            "new mom",
            "new mother",
            "c section",
            "csection",
            "caesarean",
            "cesarean",
            "caesarian",
            "cesarian",
        ],
        meets: &[
            Meets::saying(
                Caution::AbdominalStrain,
                "After birth: no curl-ups, long-lever leg lowers or planks until the belly wall has been looked at.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HardHold,
                "After birth: no hard holds, no breath holding; breathe out on the effort.",
                FLOOR,
            ),
            Meets::saying(
                Caution::Impact,
                "After birth: no jumping in the first three months, nor while anything leaks or drags; then with clearance.",
                RETURN,
            ),
        ],
        ask: "Ask when, how, and whether the check after birth is done.",
    },
    KnownCondition {
        name: "abdominal separation",
        said: &[
            "diastasis",
            "diastasis recti",
            "recti",
            "dra",
            "dram",
            "abdominal gap",
            "abdominal split",
            "ab separation",
            "abs separation",
            "ab gap",
            "tummy gap",
            "stomach separation",
            "separated abs",
            "split abs",
            "separated abdominals",
            "separation abdominals",
            "separation abs",
        ],
        meets: &[
            Meets::saying(
                Caution::AbdominalStrain,
                "Separated belly wall: nothing that makes it dome. Head down, one leg at a time, smaller range.",
                GAP,
            ),
            Meets::saying(
                Caution::DeepFlexion,
                "Separated belly wall, rounding under load: a long back instead.",
                GAP,
            ),
            Meets::saying(
                Caution::HardHold,
                "Separated belly wall: no hard holds, no breath holding.",
                GAP,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "pelvic floor",
        said: &[
            "pelvic-floor symptoms",
            "prolapse",
            "incontinence",
            "incontinent",
            "stress incontinence",
            "weak bladder",
            "bladder",
            "leaking",
            "leakage",
            "leaky",
            "leaks",
        ],
        meets: &[
            Meets::saying(
                Caution::Impact,
                "Pelvic floor: no jumping while anything leaks or drags; press instead.",
                FLOOR,
            ),
            Meets::saying(
                Caution::HardHold,
                "Pelvic floor: no long hard holds, no bearing down; breathe out on the effort.",
                FLOOR,
            ),
            Meets::saying(
                Caution::AbdominalStrain,
                "Pelvic floor: no curl-ups, leg lowers or planks that push downward; lighter, shorter levers.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "pelvic-girdle pain",
        said: &[
            "pelvic pain",
            "pelvis pain",
            "pgp",
            "spd",
            "symphysis",
            "symphysis pubis",
            "pubic pain",
            "pubis",
            "pubic bone",
        ],
        meets: &[
            Meets::saying(
                Caution::OneLegOrWideSplit,
                "Pelvic-girdle pain: weight even on both feet, knees together when turning over, no wide or uneven split.",
                GIRDLE,
            ),
            Meets::saying(
                Caution::HipAcross,
                "Pelvic-girdle pain: no leg across the middle, no far turning of the hip.",
                GIRDLE,
            ),
        ],
        ask: "",
    },
];
