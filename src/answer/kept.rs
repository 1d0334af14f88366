//! A teacher's own order: the fewest moves that save most of it, and how far it can be kept at what price.

use super::ending::Ending;
use super::planned::{Answer, AsGiven};
use crate::orders::moves::Fewest;
use crate::orders::nearest::Curve;
use crate::search::outcome::Outcome;

/// What was found about the order as written.
#[derive(Debug, Clone)]
pub struct OwnOrder {
    /// The plan of the class.
    pub answer: Answer,
    /// The order as written, with the cheapest set-ups.
    pub own: AsGiven,
    /// The fewest moves.
    pub moves: Fewest,
    /// How far it can be kept.
    pub curve: Curve,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl OwnOrder {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        if self.interrupted {
            Ending::Interrupted
        } else {
            Ending::Done
        }
    }
}

/// What comes of asking how far an order can be kept.
#[derive(Debug, Clone)]
pub enum Kept {
    /// All of it.
    Looked(Box<OwnOrder>),
    /// There is no plan, or no set-ups for the order as written were found, so that there is nothing to compare.
    Nothing(Box<Answer>),
}

/// The best order that keeps as many pairs of neighbours as asked.
#[derive(Debug, Clone)]
pub enum Pairs {
    /// As a plan of the class.
    Planned(Box<Answer>),
    /// The order has only this many pairs.
    Has(usize),
    /// How the search ended that found none.
    Nothing(Outcome),
}
