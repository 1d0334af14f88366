//! How a command can end, and the exit code of each end.

use crate::diagnostic::Diagnostic;

/// The answer is no, or not settled, or something that must hold is broken.
pub(super) const NO: u8 = 1;
/// Bad input or bad usage.
pub(super) const BAD_INPUT: u8 = 2;
/// Somebody asked it to stop.
pub(super) const INTERRUPTED: u8 = 130;

/// How a command ended after printing its answer.
pub(super) enum End {
    /// Done.
    Done,
    /// The answer is no, or not settled.
    No,
    /// Interrupted; the best so far is printed.
    Interrupted,
    /// The search and its check disagreed.
    Bug(String),
}

impl End {
    /// How much worse it is than done.
    pub(super) fn weight(&self) -> u8 {
        match self {
            Self::Done => 0,
            Self::No => 1,
            Self::Interrupted => 2,
            Self::Bug(_) => 3,
        }
    }
}

/// Why a command printed no answer.
pub(super) enum Refusal {
    /// Mistakes in files.
    Mistakes(Vec<Diagnostic>),
    /// Something else, in one sentence.
    Usage(String),
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
