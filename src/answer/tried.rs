//! A class and the same class with changes.

use super::ending::Ending;
use super::planned::Answer;

/// The changes wanted, each in a few words, as from a command line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wanted {
    /// Names of movements, blocks or series to leave out.
    pub without: Vec<String>,
    /// Movements to add, as lines of a list.
    pub with: Vec<String>,
    /// Other minutes.
    pub minutes: Option<f64>,
    /// A movement, and its springs as a brief writes them.
    pub springs: Vec<(String, String)>,
    /// What comes before what: movements, blocks or series.
    pub before: Vec<(String, String)>,
}

impl Wanted {
    /// Whether no change is wanted.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// A class and the same class with changes.
#[derive(Debug, Clone)]
pub struct Tried {
    /// What is different.
    pub wanted: Wanted,
    /// The class as it is.
    pub before: Answer,
    /// The class with the changes.
    pub after: Answer,
}

impl Tried {
    /// How it ended: as for the class with the changes, unless something went wrong before it.
    pub fn ending(&self) -> Ending {
        match self.before.ending() {
            Ending::Done | Ending::No => self.after.ending(),
            ending @ (Ending::Interrupted | Ending::Refused(_) | Ending::Bug(_)) => {
                ending.worse(self.after.ending())
            }
        }
    }
}
