//! A class on another machine than its own.

use super::ending::Ending;
use super::planned::Answer;
use crate::diagnostic::Diagnostic;
use crate::explain::machines::Comparison;

/// A class on another machine, beside the same class on its own.
#[derive(Debug, Clone)]
pub struct Moved {
    /// The class on the other machine.
    pub answer: Answer,
    /// What is known of it on its own machine.
    pub own: Own,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Moved {
    /// How it ended: as for the class on the other machine, unless the comparison was cut short.
    pub fn ending(&self) -> Ending {
        match self.answer.ending() {
            Ending::Done | Ending::No if self.interrupted => Ending::Interrupted,
            ending => ending,
        }
    }
}

/// What is known of a class on its own machine.
#[derive(Debug, Clone)]
pub enum Own {
    /// The plan there, and what changed.
    Compared(Box<Answer>, Box<Comparison>),
    /// The plan there holds no order.
    Nothing(Box<Answer>),
    /// It is none there, for these mistakes.
    NoClass(Vec<Diagnostic>),
    /// It was not planned there, as it has no order on the other.
    NotAsked,
    /// It was not planned there, as somebody asked to stop, or the time was up. The machine's name.
    NotBegun(String),
}
