//! A brief compiled for an apparatus.

use crate::model::apparatus::Apparatus;
use crate::model::class::Class;
use crate::model::springs::SpringSet;
use crate::problem::definition::Problem;
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

impl Compiled {
    /// Seconds that a part of the score stands for: a penalty, or the weight of a broken wish.
    pub fn seconds_of(&self, score: i64) -> f64 {
        // Scores are far below the 53 bits of an `f64` in seconds that are printed.
        score as f64 / self.score_per_second as f64
    }
}
