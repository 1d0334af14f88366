//! No stretch of members is longer than a limit.

/// No stretch of members is longer than a limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Longest {
    /// The members.
    pub steps: Vec<usize>,
    /// Longest stretch, hundredths.
    pub limit: i64,
    /// A break of at least this ends a stretch, hundredths.
    pub rest: i64,
}
