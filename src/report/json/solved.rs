//! One problem of many: a line of `solve --lines`.

use serde::Serialize;

use crate::exchange::solution_file::SolutionFile;
use crate::search::outcome::{self, Outcome};

/// One problem of many: a line of `solve --lines`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Solved {
    /// It was read.
    Solved(Box<SolvedLine>),
    /// It was not.
    Refused(RefusedLine),
}

/// A file that was not solved.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct RefusedLine {
    /// Its name.
    pub file: String,
    /// What is wrong with it.
    pub error: String,
}

/// A problem that was read, and what came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct SolvedLine {
    /// The name of its file.
    pub file: String,
    /// The solution file.
    #[serde(flatten)]
    pub solution: SolutionFile,
    /// What ended the search.
    pub ended: Ended,
    /// Beginnings of an order that were examined.
    pub nodes: u64,
    /// Better and better plans, with the time at which each was found.
    pub incumbents: Vec<Incumbent>,
}

impl Solved {
    /// What came of a problem that was read.
    pub fn of(file: String, solution: SolutionFile, outcome: &Outcome) -> Self {
        let incumbents = outcome.trace.iter();
        Self::Solved(Box::new(SolvedLine {
            file,
            solution,
            ended: outcome.ended.into(),
            nodes: outcome.nodes,
            incumbents: incumbents
                .map(|&(seconds, score)| Incumbent { seconds, score })
                .collect(),
        }))
    }

    /// Why a file was not solved.
    pub fn refused(file: String, error: String) -> Self {
        Self::Refused(RefusedLine { file, error })
    }
}

/// What ended a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Ended {
    /// Complete: the plan is proven best, or no order is proven to exist.
    Proof,
    /// The time was up.
    Time,
    /// The limit of nodes was reached.
    Nodes,
    /// The memory left nothing more to try.
    Memory,
    /// Somebody asked it to stop.
    Interrupted,
    /// The problem is larger than the search takes.
    Refused,
}

impl From<outcome::Ended> for Ended {
    fn from(ended: outcome::Ended) -> Self {
        match ended {
            outcome::Ended::Proof => Self::Proof,
            outcome::Ended::Time => Self::Time,
            outcome::Ended::Nodes => Self::Nodes,
            outcome::Ended::Memory => Self::Memory,
            outcome::Ended::Cancelled => Self::Interrupted,
            outcome::Ended::Refused => Self::Refused,
        }
    }
}

/// A better plan on the way.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Incumbent {
    /// After which it was there.
    pub seconds: f64,
    /// Its score.
    pub score: i64,
}
