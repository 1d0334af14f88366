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
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

impl Explained {
    /// How it came to its end.
    pub fn ending(&self) -> Ending {
        match self.answer.ending() {
            Ending::Done | Ending::No if self.interrupted => Ending::Interrupted,
            ending => ending,
        }
    }
}
