//! A facet changes only so often.

/// A facet changes only so often.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtMost {
    /// Index of the facet.
    pub facet: usize,
    /// How often it may change, the first and the final change-over included.
    pub changes: i64,
}
