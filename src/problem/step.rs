//! One performance of a movement on one side.

use serde::Serialize;

/// Which side a step works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Both at once, or by turns.
    Both,
    /// Left.
    Left,
    /// Right.
    Right,
}

/// A value that a step allows, with what it costs to use it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// Index among the facet's values.
    pub value: usize,
    /// Penalty in the score, at least 0.
    pub penalty: i64,
}

/// A step: what it needs, how long it takes, where the body is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// A name of its own.
    pub id: String,
    /// The side.
    pub side: Side,
    /// Hundredths of a second, change-over not included.
    pub duration: i64,
    /// For each facet `None` (*any*: every value will do) or the allowed values, at least one.
    pub setup: Vec<Option<Vec<Choice>>>,
    /// Posture at its start.
    pub start: usize,
    /// Posture at its end.
    pub end: usize,
    /// 0 before 1 before 2; `None`: free.
    pub stage: Option<u8>,
    /// Steps of one group are exempt from `recovery` among themselves.
    pub group: Option<i64>,
    /// `None`: must be done; else the penalty paid if it is used.
    pub optional: Option<i64>,
}
