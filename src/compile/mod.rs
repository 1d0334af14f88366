//! Brief to problem and ledger: the only place where loads, seconds and the room become integers.

use crate::brief::Brief;
use crate::diagnostic::Diagnostic;
use crate::model::apparatus::Apparatus;
use crate::model::class::Class;
use crate::model::springs::SpringSet;
use crate::problem::Problem;
use crate::rules::ledger::Ledger;

/// A brief compiled for an apparatus. Facet 0 of the problem is the springs, facet k + 1 is `apparatus.facets[k]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Compiled {
    /// The problem.
    pub problem: Problem,
    /// One entry for each demand.
    pub ledger: Ledger,
    /// The class as steps, same index as the problem's steps.
    pub class: Class,
    /// The apparatus.
    pub apparatus: Apparatus,
    /// The springs value at each index of facet 0.
    pub spring_values: Vec<SpringSet>,
    /// 1 + v e(N): by how much the slowest of the room is slower.
    pub room_factor: f64,
    /// Scores are in these units for each second of the balanced score: 100 for balanced; for the other priorities see `compile`.
    pub score_per_second: i64,
    /// Rules of the class that found nothing to do, or things that cannot be met whatever the order, with what would help
    /// ("nothing on the list rounds the back after the swan: add one of ...").
    pub unmet: Vec<String>,
}

/// Compiles a brief, or says everything that is wrong with it on this apparatus.
///
/// # Errors
/// All mistakes: circles among the orders that must hold, movements that no set-up serves, sides that cannot be equal, an empty list.
pub fn compile(_brief: &Brief, _apparatus: &Apparatus) -> Result<Compiled, Vec<Diagnostic>> {
    Err(Vec::new())
}
