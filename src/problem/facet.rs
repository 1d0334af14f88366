//! One thing that can be set.

/// A facet: its values, what each change costs, from where it can be changed, whether a change halts the class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Facet {
    /// Its name.
    pub name: String,
    /// Names of its values, at least one.
    pub values: Vec<String>,
    /// `change[u][v]`: hundredths from value u to v; n by n, not symmetric, zero diagonal, already all-pairs shortest.
    pub change: Vec<Vec<i64>>,
    /// Postures from which it can be changed; `None`: from every posture.
    pub reach: Option<Vec<usize>>,
    /// Whether a change of it halts the class.
    pub stop: bool,
}
