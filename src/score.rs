//! The referee: an order's timeline and score, read straight off the definition, slow and plain. Shares no code with the search.

use crate::problem::Problem;
use crate::problem::timeline::Timeline;

/// What a plan comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Evaluation {
    /// Why it is no plan at all (a value that is not allowed, a stage out of turn...); the figures then mean little.
    pub errors: Vec<String>,
    /// The plan on the clock.
    pub timeline: Timeline,
    /// Score, as problem-file.md defines it.
    pub score: i64,
    /// Sum of the change-overs, hundredths.
    pub changeover: i64,
    /// Number of stops.
    pub stops: i64,
    /// Set-up penalties and penalties of optional steps used.
    pub penalties: i64,
    /// For each demand the number of violations, as its kind counts them.
    pub counts: Vec<i64>,
    /// The demands that must hold and do not.
    pub broken: Vec<usize>,
}

impl Evaluation {
    /// Whether the plan is allowed and keeps every demand that must hold.
    pub fn feasible(&self) -> bool {
        self.errors.is_empty() && self.broken.is_empty()
    }
}

/// Scores `order` (steps in use) with `setups` (one value for each facet, one entry for each step of the order).
pub fn evaluate(_problem: &Problem, _order: &[usize], _setups: &[Vec<usize>]) -> Evaluation {
    Evaluation::default()
}

/// Time of the cheapest way from posture `from` to `to` (`None`: anywhere) that passes one posture of `reach` for each facet in `changed`.
pub fn way(
    _problem: &Problem,
    _from: Option<usize>,
    _to: Option<usize>,
    _changed: &[usize],
) -> i64 {
    0
}

/// What `count` violations of demand `k` add to the score; 0 for a demand that must hold.
pub fn cost_of(_problem: &Problem, _k: usize, _count: i64) -> i64 {
    0
}
