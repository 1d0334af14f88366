//! The problem as a whole.

use super::demand::Demand;
use super::facet::Facet;
use super::posture::Postures;
use super::step::Step;

/// A whole problem. Build it and call `problem::check::check`; everything downstream relies on what that promises.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problem {
    /// Free text.
    pub title: String,
    /// The things that can be set.
    pub facets: Vec<Facet>,
    /// Postures and the cost from each to each.
    pub postures: Postures,
    /// The set-up before the first step: one value for each facet.
    pub start_setup: Vec<usize>,
    /// The posture before the first step; `None`: wherever it costs least.
    pub start_posture: Option<usize>,
    /// What the class must end in, if it must.
    pub end: Option<End>,
    /// Weight of a hundredth of change-over time in the score.
    pub time_weight: i64,
    /// Score of one stop.
    pub stop_weight: i64,
    /// The steps, in the order as given.
    pub steps: Vec<Step>,
    /// What must or should hold.
    pub demands: Vec<Demand>,
}

/// The set-up and posture after the last change-over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct End {
    /// One entry for each facet; `None` leaves it as it is.
    pub setup: Vec<Option<usize>>,
    /// `None`: anywhere.
    pub posture: Option<usize>,
}
