//! So many of the listed pairs stand directly one after the other.

/// So many of the listed pairs stand directly one after the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Neighbours {
    /// Ordered pairs: the second directly after the first.
    pub pairs: Vec<(usize, usize)>,
    /// At least so many.
    pub least: Option<i64>,
    /// At most so many.
    pub most: Option<i64>,
}
