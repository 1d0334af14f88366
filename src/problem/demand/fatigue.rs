//! The fatigued share of a region stays under a ceiling.

/// The fatigued share of a region stays under a ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Fatigue {
    /// Name of the region.
    pub region: String,
    /// Step and its load, 0 to 1.
    pub loads: Vec<(usize, f64)>,
    /// Rate of fatigue under load, per second.
    pub build: f64,
    /// Rate of recovery under load, per second.
    pub recover: f64,
    /// Times that rate at rest.
    pub rest: f64,
    /// Fatigued share at time 0.
    pub start: f64,
    /// Highest allowed share.
    pub ceiling: f64,
}
