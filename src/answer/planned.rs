//! A class in order.

use std::sync::Arc;

use super::ending::Ending;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::diagnostic::Diagnostic;
use crate::explain::conflict::Conflict;
use crate::explain::relaxation::Relaxations;
use crate::score::Evaluation;
use crate::search::outcome::{Ended, Outcome};

/// Everything known about one class after planning it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What the teacher wrote.
    pub brief: Arc<Brief>,
    /// What was solved.
    pub compiled: Arc<Compiled>,
    /// How the search ended.
    pub outcome: Outcome,
    /// The plan scored by the referee, if there is one.
    pub best: Option<Evaluation>,
    /// The order as written, with the cheapest set-ups; `None` if none were found in time.
    pub as_given: Option<AsGiven>,
    /// Least number of pairs of neighbours to keep of the order as written, if asked for.
    pub keeps: Option<usize>,
    /// What cannot hold together, where no order exists.
    pub conflict: Option<Conflict>,
    /// Single changes that make an order possible, where none exists.
    pub relaxations: Option<Relaxations>,
    /// What the reader noticed and went on with.
    pub notes: Vec<Diagnostic>,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Answer {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        ending(&self.outcome, self.best.is_some(), self.interrupted)
    }
}

/// How a search that may have found something ended.
pub(super) fn ending(outcome: &Outcome, found: bool, interrupted: bool) -> Ending {
    match (outcome.ended, &outcome.disagreement) {
        (Ended::Refused, Some(why)) => Ending::Refused(why.clone()),
        (_, Some(bug)) => Ending::Bug(bug.clone()),
        (Ended::Cancelled, None) => Ending::Interrupted,
        (_, None) if interrupted => Ending::Interrupted,
        (_, None) if found => Ending::Done,
        (_, None) => Ending::No,
    }
}

/// The order as written, with the cheapest set-ups.
#[derive(Debug, Clone)]
pub struct AsGiven {
    /// The order with its set-ups, scored by the referee.
    pub found: Evaluation,
    /// Whether no set-ups are cheaper; if not, what is saved against it may be less than it seems.
    pub proven: bool,
}
