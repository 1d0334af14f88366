//! Regions of the body that a movement loads.

/// A region: its key and whether it comes in a left and a right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Region {
    /// Key and name on paper.
    pub name: &'static str,
    /// Whether it has sides (a right-leg movement does not load the left hip).
    pub paired: bool,
    /// Row of the fatigue parameters that serves it.
    pub joint: &'static str,
}

/// All regions. The mapping to joints is common practice, no source.
pub const REGIONS: &[Region] = &[
    Region {
        name: "calves",
        paired: true,
        joint: "ankle",
    },
    Region {
        name: "quadriceps",
        paired: true,
        joint: "knee",
    },
    Region {
        name: "hamstrings",
        paired: true,
        joint: "knee",
    },
    Region {
        name: "glutes",
        paired: true,
        joint: "general",
    },
    Region {
        name: "hip flexors",
        paired: true,
        joint: "general",
    },
    Region {
        name: "adductors",
        paired: true,
        joint: "general",
    },
    Region {
        name: "abductors",
        paired: true,
        joint: "general",
    },
    Region {
        name: "abdominals",
        paired: false,
        joint: "trunk",
    },
    Region {
        name: "obliques",
        paired: true,
        joint: "trunk",
    },
    Region {
        name: "back extensors",
        paired: false,
        joint: "trunk",
    },
    Region {
        name: "shoulder flexors",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "shoulder extensors",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "shoulder abductors",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "shoulder rotators",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "rear shoulder",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "chest",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "lats",
        paired: true,
        joint: "shoulder",
    },
    Region {
        name: "biceps",
        paired: true,
        joint: "elbow",
    },
    Region {
        name: "triceps",
        paired: true,
        joint: "elbow",
    },
    Region {
        name: "wrists",
        paired: true,
        joint: "hand/grip",
    },
    Region {
        name: "neck",
        paired: false,
        joint: "general",
    },
];

/// The region of that name.
pub fn region(name: &str) -> Option<&'static Region> {
    REGIONS.iter().find(|r| r.name == name)
}
