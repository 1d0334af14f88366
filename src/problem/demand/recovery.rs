//! Neighbouring members lie apart in time.

/// Neighbouring members lie apart in time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovery {
    /// The members.
    pub steps: Vec<usize>,
    /// Least time from the end of one to the start of the next, hundredths.
    pub seconds: i64,
}
