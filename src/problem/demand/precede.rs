//! One step before another.

/// One step before another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Precede {
    /// The step that comes first.
    pub a: usize,
    /// The step that comes later.
    pub b: usize,
}
