//! Order trackers: the closed set of them, and what they are told.

use super::at_most::AtMostTracker;
use super::contiguous::ContiguousTracker;
use super::event::{Advance, Settle};
use super::follow::FollowTracker;
use super::neighbours::NeighboursTracker;
use super::place::PlaceTracker;
use super::same::SameTracker;
use crate::problem::demand::Kind;
use crate::search::tables::Tables;

/// The order trackers.
#[derive(Debug)]
pub enum OrderTracker<const N: usize> {
    /// See its file.
    Contiguous(ContiguousTracker<N>),
    /// See its file.
    Place(PlaceTracker),
    /// See its file.
    Follow(FollowTracker<N>),
    /// See its file.
    AtMost(AtMostTracker),
    /// See its file.
    Same(SameTracker<N>),
    /// See its file.
    Neighbours(NeighboursTracker),
}

impl<const N: usize> OrderTracker<N> {
    /// One for each demand that needs one, in the order of the demands. Soft and hard `precede` and the stages are kept by
    /// [`Tables`]; the rest needs the clock.
    pub fn all(tables: &Tables<'_, N>) -> Vec<Self> {
        let problem = tables.problem;
        problem
            .demands
            .iter()
            .filter_map(|demand| match &demand.kind {
                // A block in one piece is kept by the candidates and the precedences of the tables, if none of it can be left out.
                Kind::Contiguous(d)
                    if demand.weight.is_none()
                        && d.within == 0
                        && d.steps.iter().all(|&s| problem.steps[s].optional.is_none()) =>
                {
                    None
                }
                Kind::Contiguous(d) => {
                    Some(Self::Contiguous(ContiguousTracker::new(d, demand.weight)))
                }
                Kind::Place(d) => Some(Self::Place(PlaceTracker::new(d, demand.weight, problem))),
                Kind::Follow(d) => Some(Self::Follow(FollowTracker::new(d, demand.weight))),
                Kind::AtMost(d) => Some(Self::AtMost(AtMostTracker::new(d, demand.weight))),
                Kind::Same(d) => Some(Self::Same(SameTracker::new(d, demand.weight, problem))),
                Kind::Neighbours(d) => Some(Self::Neighbours(NeighboursTracker::new(
                    d,
                    demand.weight,
                    tables,
                ))),
                Kind::Precede(_)
                | Kind::Window(_)
                | Kind::Recovery(_)
                | Kind::Longest(_)
                | Kind::Fits(_)
                | Kind::Fatigue(_)
                | Kind::Peak(_) => None,
            })
            .collect()
    }

    /// The facet that it reads, if it reads one: a relaxation without that facet leaves the tracker out.
    pub fn facet(&self) -> Option<usize> {
        match self {
            Self::AtMost(t) => Some(t.facet()),
            Self::Same(t) => Some(t.facet()),
            Self::Contiguous(_) | Self::Place(_) | Self::Follow(_) | Self::Neighbours(_) => None,
        }
    }

    /// Whether placing the step may change its state or cost something.
    pub fn concerns(&self, step: usize) -> bool {
        match self {
            Self::Same(t) => t.concerns(step),
            Self::AtMost(_)
            | Self::Contiguous(_)
            | Self::Place(_)
            | Self::Follow(_)
            | Self::Neighbours(_) => true,
        }
    }

    /// The greatest number that its state takes.
    pub fn greatest(&self) -> u64 {
        match self {
            Self::Contiguous(t) => t.greatest(),
            Self::Place(t) => t.greatest(),
            Self::Follow(t) => t.greatest(),
            Self::AtMost(t) => t.greatest(),
            Self::Same(t) => t.greatest(),
            Self::Neighbours(t) => t.greatest(),
        }
    }

    /// Its state after one more step, and what that costs; `None` if a demand that must hold is broken for good. It starts from 0.
    #[inline]
    pub fn advance(&self, state: u64, a: &Advance<'_, N>) -> Option<(u64, i64)> {
        match self {
            Self::Contiguous(t) => t.advance(state, a),
            Self::Place(t) => t.advance(state, a),
            Self::Follow(t) => t.advance(state, a),
            Self::AtMost(t) => t.advance(state, a),
            Self::Same(t) => t.advance(state, a),
            Self::Neighbours(t) => t.advance(state, a),
        }
    }

    /// What is still due when the order ends; `None` if a demand that must hold is broken.
    pub fn settle(&self, state: u64, s: &Settle) -> Option<i64> {
        match self {
            Self::Contiguous(_) | Self::Same(_) => Some(0),
            Self::Place(t) => t.settle(state),
            Self::Follow(t) => t.settle(state),
            Self::AtMost(t) => t.settle(state, s),
            Self::Neighbours(t) => t.settle(state),
        }
    }
}
