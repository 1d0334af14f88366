//! A class that has begun: the rest that fits the minutes.

use super::ending::Ending;
use super::planned::{Answer, ending};
use crate::orders::late::{Begun, Late};
use crate::search::outcome::Outcome;

/// What comes of asking for the rest of a class.
#[derive(Debug, Clone)]
pub enum Remaining {
    /// A rest, with what could be cut.
    Found(Box<RestOfClass>),
    /// The class itself has no plan to follow.
    NoPlan(Box<Answer>),
    /// No order of what is left was found; how the search for one ended.
    Nothing(Outcome),
    /// The plan has only this many movements.
    Steps(usize),
}

/// The rest of a class.
#[derive(Debug, Clone)]
pub struct RestOfClass {
    /// Where the class stands.
    pub begun: Begun,
    /// What is left.
    pub late: Late,
}

impl RestOfClass {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        if self.late.interrupted {
            Ending::Interrupted
        } else if self.late.fits() || !self.late.cuts.is_empty() {
            Ending::Done
        } else {
            Ending::No
        }
    }
}

impl Remaining {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        match self {
            Self::Found(rest) => rest.ending(),
            Self::NoPlan(answer) => answer.ending(),
            Self::Nothing(outcome) => ending(outcome, false, false),
            Self::Steps(_) => Ending::No,
        }
    }
}
