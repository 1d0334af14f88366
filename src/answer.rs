//! Texts and limits in, an answer or mistakes out: the flow on one page.

use std::sync::Arc;

use crate::brief::Brief;
use crate::compile::Compiled;
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// Everything known about one class after planning it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What she wrote.
    pub brief: Arc<Brief>,
    /// What was solved.
    pub compiled: Arc<Compiled>,
    /// How the search ended.
    pub outcome: Outcome,
    /// The plan scored by the referee, if there is one.
    pub best: Option<Evaluation>,
    /// Her own order with the cheapest set-ups, scored by the referee.
    pub as_given: Evaluation,
}
