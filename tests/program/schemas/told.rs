//! The problem file as types: the program writes it by hand from what it knows.
#![allow(dead_code, reason = "they are read and described, not used")]

use schemars::JsonSchema;
use serde::Deserialize;

/// A version of a format: 1.
#[derive(Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Version(#[schemars(range(min = 1, max = 1))] pub u32);

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    Left,
    Right,
    Both,
}

/// A problem: what `export` prints. All times and penalties in hundredths of a second; steps, facets, values and postures are counted from 0.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    pub segue_problem: Version,
    pub title: String,
    pub facets: Vec<Facet>,
    pub postures: Postures,
    pub start: Start,
    /// How the class must end, if it matters.
    pub end: Option<EndSetup>,
    pub weights: Weights,
    pub steps: Vec<Step>,
    pub demands: Vec<Demand>,
}

/// A part of the set-up.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Facet {
    pub name: String,
    pub values: Vec<String>,
    /// Time of a change, rows from, columns to.
    pub change: Vec<Vec<i64>>,
    /// Postures from which it can be changed; empty: from all.
    pub reach: Vec<usize>,
    /// Whether a change is a stop.
    pub stop: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Postures {
    pub names: Vec<String>,
    /// Time of the way from one to another.
    pub path: Vec<Vec<i64>>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Start {
    /// One value for each facet.
    pub setup: Vec<usize>,
    pub posture: Option<usize>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EndSetup {
    /// For each facet a value, or null for any.
    pub setup: Vec<Option<usize>>,
    pub posture: Option<usize>,
}

/// What a score counts.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weights {
    /// A hundredth of a second of change-over.
    pub time: i64,
    /// A stop.
    pub stop: i64,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    pub id: String,
    pub side: Side,
    pub duration: i64,
    /// For each facet the values that it allows, each with its penalty; null for any.
    pub setup: Vec<Option<Vec<(usize, i64)>>>,
    /// At its start and at its end.
    pub posture: [usize; 2],
    /// Of a group the first stage comes before the second; none where there are no stages.
    pub stage: Option<u32>,
    pub group: Option<usize>,
    /// Penalty if it is used, of a step that may be left out.
    pub optional: Option<i64>,
}

/// A demand on the order. Without a weight it must hold; else each breach counts so much.
#[derive(Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Demand {
    /// One comes before another.
    Precede {
        a: usize,
        b: usize,
        weight: Option<i64>,
    },
    /// All stand together, with at most so many others between two of them.
    Contiguous {
        steps: Vec<usize>,
        ordered: bool,
        within: i64,
        weight: Option<i64>,
    },
    /// Between two places, counted from 1, or below 0 from the end.
    Place {
        step: usize,
        min: i64,
        max: i64,
        weight: Option<i64>,
    },
    /// Starts between two times.
    Window {
        step: usize,
        from: i64,
        to: i64,
        weight: Option<i64>,
    },
    /// After each trigger a remedy comes at most so many steps later.
    Follow {
        trigger: Vec<usize>,
        remedy: Vec<usize>,
        within: i64,
        weight: Option<i64>,
    },
    /// Between the end of one and the start of another lies so much time.
    Recovery {
        steps: Vec<usize>,
        seconds: i64,
        weight: Option<i64>,
    },
    /// No run of them is longer; a break of so much time ends a run.
    Longest {
        steps: Vec<usize>,
        limit: i64,
        rest: i64,
        weight: Option<i64>,
    },
    /// A facet changes at most so often.
    AtMost {
        facet: usize,
        changes: i64,
        weight: Option<i64>,
    },
    /// A facet has one value for all.
    Same {
        steps: Vec<usize>,
        facet: usize,
        weight: Option<i64>,
    },
    /// So many of these pairs follow one another.
    Neighbours {
        pairs: Vec<[usize; 2]>,
        least: Option<i64>,
        most: Option<i64>,
        weight: Option<i64>,
    },
    /// All takes at most so long.
    Fits { total: i64, weight: Option<i64> },
    /// The modelled fatigue of a part of the body stays below a ceiling.
    Fatigue {
        region: String,
        /// Steps with how hard they work it, 0 to 1.
        loads: Vec<(usize, f64)>,
        build: f64,
        recover: f64,
        rest: f64,
        start: f64,
        ceiling: f64,
        weight: Option<i64>,
    },
    /// Lies between two times; what lies outside counts by its time.
    Peak {
        step: usize,
        from: i64,
        to: i64,
        weight: Option<i64>,
    },
}
