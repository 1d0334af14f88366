//! How a command can end, and the exit code of each end.

use crate::answer::ending::Ending;
use crate::diagnostic::Diagnostic;

/// The answer is no, or not settled, or something that must hold is broken.
const NO: u8 = 1;
/// Bad input or bad usage.
pub(super) const BAD_INPUT: u8 = 2;
/// Somebody asked it to stop.
pub(super) const INTERRUPTED: u8 = 130;

/// The exit code of an ending.
pub(super) fn code(ending: &Ending) -> u8 {
    match ending {
        Ending::Done => 0,
        Ending::No | Ending::Bug(_) => NO,
        Ending::Refused(_) => BAD_INPUT,
        Ending::Interrupted => INTERRUPTED,
    }
}

/// Why a command printed no answer.
pub(super) enum Refusal {
    /// Mistakes in files.
    Mistakes(Vec<Diagnostic>),
    /// Something else, in one sentence.
    Usage(String),
    /// The same in several that belong together.
    Several(Vec<String>),
    /// The answer could not be written.
    Output(std::io::Error),
}

impl From<Diagnostic> for Refusal {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Mistakes(vec![diagnostic])
    }
}

impl From<std::io::Error> for Refusal {
    fn from(e: std::io::Error) -> Self {
        Self::Output(e)
    }
}
