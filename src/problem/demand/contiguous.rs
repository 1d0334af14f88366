//! Steps in one run, or nearly.

/// Steps in one run, or nearly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contiguous {
    /// The members, distinct.
    pub steps: Vec<usize>,
    /// Whether they come in the order listed.
    pub ordered: bool,
    /// How many other steps may stand between the first and the last.
    pub within: i64,
}
