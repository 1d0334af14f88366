//! What a search is for; and how one search has another run.

use super::budget::Limits;
use super::outcome::{Outcome, Plan};
use crate::problem::Problem;

/// What is searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// A problem.
    Whole,
    /// A problem with [fewer steps](super::fewer): it is not searched with fewer again.
    Fewer,
    /// A part of a plan: it is small, and what it has to beat is good.
    Part,
}

/// What a search is for.
#[derive(Debug, Clone)]
pub struct Aim {
    /// What is searched.
    pub of: Of,
    /// Plans that cost as much or more are of no interest.
    pub ceiling: i64,
    /// No plan costs less: known from elsewhere.
    pub floor: i64,
    /// A plan that is known.
    pub known: Option<Plan>,
}

impl Aim {
    /// Plans below a ceiling.
    pub fn below(of: Of, ceiling: i64) -> Self {
        Self {
            of,
            ceiling,
            floor: 0,
            known: None,
        }
    }
}

impl Default for Aim {
    fn default() -> Self {
        Self::below(Of::Whole, i64::MAX / 4)
    }
}

/// A search that one search has run.
pub type Search = fn(&Problem, &Limits, &Aim) -> Outcome;
