//! How a search ended.

use std::sync::Arc;

/// An order with its set-ups.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Plan {
    /// The steps in use, in order.
    pub order: Vec<usize>,
    /// One entry for each step of the order, one value for each facet.
    pub setups: Vec<Vec<usize>>,
    /// Its score.
    pub score: i64,
}

/// Why the search stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ended {
    /// Complete: the plan is proven best, or no order is proven to exist.
    #[default]
    Proof,
    /// The time was up.
    Time,
    /// The node limit was reached.
    Nodes,
    /// The memory limit left nothing more to try.
    Memory,
    /// Somebody asked it to stop.
    Cancelled,
    /// The problem is larger than this search takes; `disagreement` says in what.
    Refused,
}

/// How a search ended. `plan` is `None` with `ended == Proof`: no order exists; with another end: none was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// The best plan found.
    pub plan: Option<Plan>,
    /// No plan scores less than this; equal to the plan's score when proven; `None` if nothing is known.
    pub bound: Option<i64>,
    /// Why it stopped.
    pub ended: Ended,
    /// Expanded states, in tables and beams, counted as by [`super::budget::Limits::nodes`].
    pub nodes: u64,
    /// Seconds taken.
    pub seconds: f64,
    /// A disagreement between search and referee: a bug, to be reported as such. The plan is then `None`.
    pub disagreement: Option<String>,
    /// When each better plan came: seconds and score.
    pub trace: Vec<(f64, i64)>,
}

impl Outcome {
    /// Whether the answer (a best plan, or that there is none) is proven.
    pub fn proven(&self) -> bool {
        self.ended == Ended::Proof && self.disagreement.is_none()
    }
}

/// News while a search runs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Progress {
    /// The plan itself, where this is the news of a better one.
    pub better: Option<Arc<Plan>>,
    /// Score of the best plan so far.
    pub score: Option<i64>,
    /// Best bound so far.
    pub bound: Option<i64>,
    /// What it is doing, a few words.
    pub phase: &'static str,
}
