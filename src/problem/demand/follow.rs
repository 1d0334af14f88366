//! After each maximal run of triggers a remedy comes soon.

/// After each maximal run of triggers a remedy comes soon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Follow {
    /// Steps that ask for a remedy.
    pub trigger: Vec<usize>,
    /// Steps that are one.
    pub remedy: Vec<usize>,
    /// Among how many steps after the run the remedy must be.
    pub within: i64,
}
