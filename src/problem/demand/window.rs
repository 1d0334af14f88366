//! A step starts within certain times.

/// A step starts within certain times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// The step.
    pub step: usize,
    /// Earliest start, hundredths.
    pub from: i64,
    /// Latest start, hundredths.
    pub to: i64,
}
