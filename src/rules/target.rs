//! What a rule of the brief speaks of: a movement, one side of it, or a block.

use crate::problem::step::Side;

/// A movement, one side of it, or a block or series.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// A movement by its id; `side`: only the steps on that side.
    Movement {
        /// Its id in the catalogue of the brief.
        id: String,
        /// Only this side; `None`: all its steps.
        side: Option<Side>,
    },
    /// A block or series, by its index among the blocks of the brief.
    Block(usize),
}

impl Target {
    /// All steps of a movement.
    pub fn movement(id: impl Into<String>) -> Self {
        Self::Movement {
            id: id.into(),
            side: None,
        }
    }

    /// Whether it is one side of a movement.
    pub fn names_a_side(&self) -> bool {
        match self {
            Self::Movement { side, .. } => side.is_some(),
            Self::Block(_) => false,
        }
    }
}
