//! A step at certain places.

/// A step at certain places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The step.
    pub step: usize,
    /// First allowed place: from 1, or from the end: -1 is last. Never 0.
    pub min: i64,
    /// Last allowed place, counted likewise.
    pub max: i64,
}
