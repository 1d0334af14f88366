//! Members have the same value of a facet.

/// Members have the same value of a facet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Same {
    /// The members, at least two.
    pub steps: Vec<usize>,
    /// Index of the facet.
    pub facet: usize,
}
