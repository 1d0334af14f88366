//! The modelled fatigue of a region stays under a ceiling.

use super::need::Asked;

/// The modelled fatigue of a region stays under a ceiling throughout; off by default.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadCeiling {
    /// Whether it must hold.
    pub asked: Asked,
    /// Key of the region.
    pub region: String,
    /// Highest fatigued share, 0 to 1.
    pub ceiling: f64,
}
