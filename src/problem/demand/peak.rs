//! A step lies inside a part of the class.

/// A step lies inside a part of the class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Peak {
    /// The step.
    pub step: usize,
    /// Start of the part, per mille of the whole class.
    pub from: i64,
    /// End of the part, per mille of the whole class.
    pub to: i64,
}
