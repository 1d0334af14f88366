//! The class ends in time.

/// The class ends in time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fits {
    /// Latest end, final change-over included, hundredths.
    pub total: i64,
}
