//! Conditions of the back and the neck.

use super::known::{KnownCondition, Meets};
use crate::model::caution::{COMMON_PRACTICE, Caution};

const BONES_ROUNDING: &str = "Sinaki M, Mikkelsen BA (1984) Arch Phys Med Rehabil 65:593-596; Brooke-Wavell K et al. (2022) Br J Sports Med 56(15):837-846";
const BONES_TWISTING: &str = "Osteoporosis Canada, Too fit to fall or fracture: the spine is hurt by bending or twisting it quickly or repeatedly, and under load";
const BONES_IMPACT: &str = "Brooke-Wavell K et al. (2022) Br J Sports Med 56(15):837-846";
const DIRECTION: &str = "Long A, Donelson R, Fung T (2004) Spine 29:2593-2602, from memory: what hurts and what helps differs from back to back";
const DISC: &str = "Callaghan JP, McGill SM (2001) Clin Biomech 16:28-37, from memory; the evidence in people is mixed";
const NARROWING: &str = "Matsuwaka ST, Liem BC (2018) Curr Phys Med Rehabil Rep";
const SLIPPAGE: &str = "Sinaki M et al. (1989) Arch Phys Med Rehabil 70:594-598";

const BACK_ROUNDING: Meets = Meets::saying(
    Caution::DeepFlexion,
    "Sore back, rounding: a flat back and a small range instead; stop at the first sign of the known pain.",
    DIRECTION,
);
const BACK_LOAD: Meets = Meets::saying(
    Caution::DiscLoad,
    "Sore back, loaded or repeated rounding and twisting: fewer, lighter, with a long back, or leave it out.",
    DISC,
);
const BACK_ARCHING: Meets = Meets::saying(
    Caution::BackBend,
    "Sore back, arching: stay neutral; stop at the first sign of the known pain.",
    DIRECTION,
);
const BACK_TWISTING: Meets = Meets::saying(
    Caution::LoadedTwist,
    "Sore back, twisting under load: small, slow turns without load, or none.",
    COMMON_PRACTICE,
);
const BACK_ASK: &str = "Stop what sends pain, tingling or numbness down a leg; new or night pain belongs to a clinician before a class.";

/// Back pain of which nobody has said what hurts.
pub const BACK_PAIN: KnownCondition = KnownCondition {
    name: "back pain",
    said: &[
        "back",
        "low back",
        "lower back",
        "lumbar",
        "lumbago",
        "back spasm",
        "low back pain",
        "lower back pain",
        "sore lower back",
        "backache",
    ],
    meets: &[BACK_ROUNDING, BACK_ARCHING, BACK_LOAD, BACK_TWISTING],
    ask: "Ask what hurts. Until that is said, rounding, arching and twisting are all marked; then write \u{201c}back pain, bending forward\u{201d}, \u{201c}back pain, arching\u{201d} or \u{201c}back pain, twisting\u{201d}.",
};

/// Back pain where rounding hurts.
pub const BACK_FORWARD: KnownCondition = KnownCondition {
    name: "back pain, bending forward",
    said: &[],
    meets: &[BACK_ROUNDING, BACK_LOAD],
    ask: BACK_ASK,
};

/// Back pain where arching hurts.
pub const BACK_ARCHED: KnownCondition = KnownCondition {
    name: "back pain, arching",
    said: &[],
    meets: &[BACK_ARCHING],
    ask: BACK_ASK,
};

/// Back pain where twisting hurts.
pub const BACK_TWISTED: KnownCondition = KnownCondition {
    name: "back pain, twisting",
    said: &[],
    meets: &[BACK_TWISTING, BACK_LOAD],
    ask: BACK_ASK,
};

/// All of them.
pub const SPINE: &[KnownCondition] = &[
    KnownCondition {
        name: "osteoporosis",
        said: &[
            "osteoporotic",
            "osteopenia",
            "osteopenic",
            "osteopaenia",
            "low bone density",
            "low bone mass",
            "bone density",
            "bone loss",
            "thin bones",
            "thinning bones",
            "brittle bones",
            "weak bones",
            "spine fracture",
            "spinal fracture",
            "past spine fracture",
            "vertebral fracture",
            "fractured vertebra",
            "compression fracture",
        ],
        meets: &[
            Meets::saying(
                Caution::DeepFlexion,
                "Deep or loaded rounding of the back: not for people with osteoporosis or a past spine fracture unless their clinician agrees. Offer the flat-back option.",
                BONES_ROUNDING,
            ),
            Meets::saying(
                Caution::LoadedTwist,
                "Twisting under load or far to one side loads weak vertebrae as rounding does: small, slow turns with a long back, or none.",
                BONES_TWISTING,
            ),
            Meets::saying(
                Caution::LoadedSideBend,
                "Bending to the side under load: stay long and upright.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Impact,
                "No jumping after a spine fracture or several others; else only with clearance. Press instead.",
                BONES_IMPACT,
            ),
            Meets::saying(
                Caution::Balance,
                "A fall breaks bones: heavier springs, a hand on the bar, teacher within reach.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    BACK_PAIN,
    BACK_FORWARD,
    BACK_ARCHED,
    BACK_TWISTED,
    KnownCondition {
        name: "sciatica",
        said: &[
            "sciatic",
            "sciatic nerve",
            "nerve pain leg",
            "pain down leg",
        ],
        meets: &[
            Meets::saying(
                Caution::DeepFlexion,
                "Sciatica, rounding: a flat back instead; stop if anything travels down the leg.",
                DISC,
            ),
            Meets::saying(
                Caution::DiscLoad,
                "Sciatica: no loaded or repeated rounding or twisting until a clinician agrees.",
                DISC,
            ),
            Meets::saying(
                Caution::LoadedTwist,
                "Sciatica: no twisting under load; small turns with a long back at most.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::BackBend,
                "Sciatica may come from a disc or from narrowing, and arching provokes the second: stay neutral.",
                NARROWING,
            ),
        ],
        ask: "Pain down a leg has several causes: ask what the clinician found, and stop whatever sends it farther down.",
    },
    KnownCondition {
        name: "disc trouble",
        said: &[
            "disc",
            "disk",
            "disc herniation",
            "herniated disc",
            "slipped disc",
            "bulging disc",
            "prolapsed disc",
            "disc prolapse",
            "disc bulge",
            "herniated disk",
            "slipped disk",
            "bulging disk",
        ],
        meets: &[
            Meets::saying(
                Caution::DeepFlexion,
                "Recent disc trouble, rounding: a flat back instead.",
                DISC,
            ),
            Meets::saying(
                Caution::DiscLoad,
                "Recent disc trouble: no loaded or repeated rounding or twisting until a clinician agrees. Neutral-spine option.",
                DISC,
            ),
            Meets::saying(
                Caution::LoadedTwist,
                "Recent disc trouble: no twisting under load.",
                DISC,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "spinal stenosis",
        said: &["stenosis", "facet joint pain", "facet joint", "facet"],
        meets: &[Meets::saying(
            Caution::BackBend,
            "Back bending may provoke leg or back symptoms where the lower spine is narrow. Stay neutral, stop if symptoms travel down a leg.",
            NARROWING,
        )],
        ask: "",
    },
    KnownCondition {
        name: "spondylolisthesis",
        said: &[
            "spondylolysis",
            "slipped vertebra",
            "pars defect",
            "pars fracture",
        ],
        meets: &[
            Meets::saying(
                Caution::BackBend,
                "Back bending opens a slipped vertebra farther: stay neutral, stop if symptoms travel down a leg.",
                SLIPPAGE,
            ),
            Meets::saying(
                Caution::LoadedTwist,
                "A slipped vertebra, twisting under load: small, slow turns, or none.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::Impact,
                "A slipped vertebra: no jumping without clearance; press instead.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "sacroiliac pain",
        said: &["sacroiliac", "si joint", "sij", "sacroiliitis", "sacrum"],
        meets: &[
            Meets::saying(
                Caution::OneLegOrWideSplit,
                "Sacroiliac pain: both feet, weight even, no wide or uneven split.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::HipAcross,
                "Sacroiliac pain: no leg across the middle, no far turning of the hip.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::LoadedTwist,
                "Sacroiliac pain: pelvis and ribs turn together, or not at all.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "scoliosis",
        said: &["scoliotic", "curved spine", "curvature spine"],
        meets: &[
            Meets::saying(
                Caution::LoadedTwist,
                "Scoliosis, twisting under load: the two sides differ; small range, and only as far as the stiffer side.",
                COMMON_PRACTICE,
            ),
            Meets::saying(
                Caution::LoadedSideBend,
                "Scoliosis, bending to the side under load: the two sides differ; grow long first, small range.",
                COMMON_PRACTICE,
            ),
        ],
        ask: "",
    },
    KnownCondition {
        name: "neck pain",
        said: &[
            "neck",
            "stiff neck",
            "whiplash",
            "cervical",
            "cervical disc",
            "neck disc",
        ],
        meets: &[Meets::saying(
            Caution::NeckLoad,
            "Neck: head down, or support the head.",
            COMMON_PRACTICE,
        )],
        ask: "",
    },
];
