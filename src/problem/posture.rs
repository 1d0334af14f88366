//! Postures and the ways between them.

/// Postures by number, with the cost from each to each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Postures {
    /// Their names.
    pub names: Vec<String>,
    /// `path[p][q]`: hundredths from posture p to q; not symmetric, zero diagonal, already all-pairs shortest.
    pub path: Vec<Vec<i64>>,
}
