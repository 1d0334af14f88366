//! How an answer ended, whatever was asked.

/// How an answer ended. A face maps it to its own terms: exit codes, for example.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ending {
    /// All that was asked for is there.
    Done,
    /// The answer is no, or it was not settled within the limits.
    No,
    /// Somebody asked to stop; the best so far is there.
    Interrupted,
    /// The class is larger than the search takes, and in what.
    Refused(String),
    /// The search and its check disagreed: a bug, to be reported with this text.
    Bug(String),
}

impl Ending {
    /// The worse of two.
    pub fn worse(self, other: Self) -> Self {
        if other.weight() > self.weight() {
            other
        } else {
            self
        }
    }

    fn weight(&self) -> u8 {
        match self {
            Self::Done => 0,
            Self::No => 1,
            Self::Interrupted => 2,
            Self::Refused(_) => 3,
            Self::Bug(_) => 4,
        }
    }
}
