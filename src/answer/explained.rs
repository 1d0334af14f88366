//! A class in order, with its reasons.

use super::ending::Ending;
use super::planned::Answer;
use crate::explain::explanation::Explanation;

/// An answer with its reasons.
#[derive(Debug, Clone)]
pub struct Explained {
    /// The answer.
    pub answer: Answer,
    /// Why its order is as it is; nothing where there is no order.
    pub why: Explanation,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Explained {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        match self.answer.ending() {
            Ending::Done | Ending::No if self.interrupted => Ending::Interrupted,
            ending => ending,
        }
    }
}
