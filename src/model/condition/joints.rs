//! Conditions of arms and legs.

use super::known::{KnownCondition, Meets};
use crate::model::caution::{COMMON_PRACTICE, Caution};

const WRISTS: &str =
    "Keir PJ et al. (2007) Human Factors 49(1):88-99; the minute is common practice, no source";
const SHOULDERS: &str = "Kessel L, Watson M (1977) J Bone Joint Surg Br 59:166-172, from memory";
const KNEES: &str = "Glitsch U et al. (2022) Appl Sci 12(1):255; Kernozek TW et al. (2018) J Sport Rehabil 27(3):237";
const NEW_HIPS: &str = "London Health Sciences Centre, Hip precautions: not beyond a right angle, legs not crossed, not turned far in or out";
const NEW_KNEES: &str = "Wylde V et al. (2019) EFORT Open Rev 4(7):460-467: six to eight of ten find kneeling hard; nothing says that it harms";
const BONES: &str = "Brooke-Wavell K et al. (2022) Br J Sports Med 56(15):837-846";

/// Joints that hurt, whichever they are: left aside where the phrase names a joint.
pub const ARTHRITIS: KnownCondition = KnownCondition {
    name: "arthritis",
    said: &[
        "arthritic",
        "osteoarthritis",
        "rheumatoid",
        "rheumatism",
        "psoriatic arthritis",
        "rheumatoid arthritis",
    ],
    meets: &[
        Meets::saying(
            Caution::WristLoad,
            "Arthritis in hands or wrists: fists, a wedge or the forearms; not more than a minute at a time.",
            COMMON_PRACTICE,
        ),
        Meets::saying(
            Caution::ShoulderLoad,
            "Arthritis in the shoulders: below shoulder height and free of pain.",
            COMMON_PRACTICE,
        ),
        Meets::saying(
            Caution::KneeLoad,
            "Arthritis in the knees: padding, and a bend shallower than a right angle.",
            COMMON_PRACTICE,
        ),
        Meets::saying(
            Caution::DeepHipBend,
            "Arthritis in the hips: a smaller bend, free of pinching.",
            COMMON_PRACTICE,
        ),
        Meets::saying(
            Caution::Impact,
            "Arthritis: no jumping without clearance; press instead.",
            COMMON_PRACTICE,
        ),
    ],
    ask: "Ask which joints; until that is said, hands, shoulders, hips and knees are all marked.",
};

/// An injury, wherever it is: left aside where the phrase names a joint.
pub const INJURY: KnownCondition = KnownCondition {
    name: "bone or joint injury",
    said: &[
        "joint injury",
        "bone injury",
        "low-trauma fracture",
        "injury",
        "injured",
        "fracture",
        "broken bone",
        "stress fracture",
        "sprain",
    ],
    meets: &[Meets::saying(
        Caution::Impact,
        "After an injury of bone or joint: no jumping without clearance; press instead.",
        BONES,
    )],
    ask: "Only jumping is marked for it: ask which joint, and write that too (\u{201c}knee pain\u{201d}).",
};

/// All of them.
pub const JOINTS: &[KnownCondition] = &[
    KnownCondition {
        name: "wrist pain",
        said: &[
            "wrist",
            "sore wrist",
            "carpal tunnel",
            "rsi",
            "hand pain",
            "sore hand",
            "hand",
            "thumb",
            "finger",
            "weight on hand",
            "no weight on hand",
            "no weight on wrist",
        ],
        meets: &[Meets::saying(
            Caution::WristLoad,
            "Weight on bent wrists: use fists, a wedge or the forearms; not more than a minute at a time.",
            WRISTS,
        )],
        ask: "",
    },
    KnownCondition {
        name: "elbow pain",
        said: &["elbow", "tennis elbow", "golfer elbow", "golfers elbow"],
        meets: &[
            Meets::saying(
                Caution::WristLoad,
                "Elbow: little weight on the hands, elbows soft, not more than a minute at a time.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::ShoulderLoad,
                "Elbow: lighter springs, a loose grip, no locked arms.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "shoulder pain",
        said: &[
            "shoulder",
            "shoulder impingement",
            "rotator cuff pain",
            "rotator cuff",
            "dislocated shoulder",
            "shoulder dislocation",
        ],
        meets: &[Meets::saying(
            Caution::ShoulderLoad,
            "Shoulder: keep loaded arm work below shoulder height and pain-free, little weight on the hands.",
            SHOULDERS,
        )],
        ask: "",
    },
    KnownCondition {
        name: "frozen shoulder",
        said: &["adhesive capsulitis", "stiff shoulder"],
        meets: &[Meets::saying(
            Caution::ShoulderLoad,
            "Frozen shoulder: only as far as it goes by itself, no weight on the hands, no pull overhead.",
            COMMON_PRACTICE,
        )],
        ask: "",
    },
    KnownCondition {
        name: "knee pain",
        said: &[
            "knee",
            "sore knee",
            "bad knee",
            "meniscus",
            "patella",
            "kneecap",
            "acl",
            "kneeling",
            "cannot kneel",
            "cant kneel",
            "no kneeling",
            "not kneel",
        ],
        meets: &[
            Meets::saying(
                Caution::KneeLoad,
                "Padding under knees; keep the bend shallower than a right angle under load; standing or seated option.",
                KNEES,
            ),
            Meets::saying(
                Caution::Impact,
                "Knees: no jumping without clearance; press instead.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "knee replacement",
        said: &[
            "knee replaced",
            "replaced knee",
            "new knee",
            "knee new",
            "artificial knee",
            "knee prosthesis",
            "total knee",
            "tkr",
        ],
        meets: &[
            Meets::saying(
                Caution::KneeLoad,
                "New knee: kneeling is often sore and feels odd; padding, or a form without it, and a bend shallower than a right angle under load.",
                NEW_KNEES,
            ),
            Meets::saying(
                Caution::Impact,
                "New knee: no jumping; press instead.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "hip pain",
        said: &[
            "hip",
            "groin",
            "hip impingement",
            "hip bursitis",
            "labral tear hip",
            "hip labral tear",
            "hip labrum",
        ],
        meets: &[
            Meets::saying(
                Caution::DeepHipBend,
                "Hip: a smaller bend, free of pinching at the front.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HipAcross,
                "Hip: no leg across the middle, no far turning.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::OneLegOrWideSplit,
                "Hip: weight on both legs, and no wider than is free of pain.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "hip replacement",
        said: &[
            "hip replaced",
            "replaced hip",
            "new hip",
            "hip new",
            "artificial hip",
            "hip prosthesis",
            "hip resurfacing",
            "total hip",
            "thr",
        ],
        meets: &[
            Meets::saying(
                Caution::DeepHipBend,
                "New hip: do not bend it beyond a right angle unless the surgeon has lifted that.",
                NEW_HIPS,
            ),
            Meets::saying(
                Caution::HipAcross,
                "New hip: the leg does not cross the middle, knee and toes stay straight ahead.",
                NEW_HIPS,
            ),
            Meets::saying(
                Caution::Impact,
                "New hip: no jumping; press instead.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "Ask for the surgeon's own limits, and how long they hold: they differ with the way it was put in.",
    },
    KnownCondition {
        name: "ankle or foot trouble",
        said: &[
            "ankle",
            "foot",
            "feet",
            "heel",
            "plantar",
            "plantar fasciitis",
            "achilles",
            "bunion",
            "toe",
        ],
        meets: &[
            Meets::saying(
                Caution::Impact,
                "Ankle or foot: no jumping without clearance; press with the whole foot.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Balance,
                "Ankle or foot: a hand on the bar, heavier springs, teacher within reach.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    ARTHRITIS,
    KnownCondition {
        name: "hypermobility",
        said: &[
            "hypermobile",
            "hyper mobile",
            "hyper mobility",
            "ehlers",
            "ehlers danlos",
            "eds",
        ],
        meets: &[
            Meets::saying(
                Caution::BackBend,
                "Loose joints, arching: well short of the end of the range.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::ShoulderLoad,
                "Loose joints: elbows and shoulders soft, never hanging in them; a smaller range.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::WristLoad,
                "Loose joints: elbows soft, not more than a minute on the hands.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::OneLegOrWideSplit,
                "Loose joints: no splits to the end of the range; more spring, less way.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    INJURY,
];
