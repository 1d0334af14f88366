//! What must or should hold, as rows: one file for each of the things that a demand can look at.

mod order;
mod times;
mod values;

use super::changeovers::Timed;
use super::columns::Columns;
use super::program::Program;
use crate::problem::demand::{Demand, Kind};

/// Whether a demand says anything: a wish that weighs nothing may be broken at will.
pub(super) fn counts(demand: &Demand) -> bool {
    demand.weight != Some(0)
}

/// Whether a kind of demand looks at the clock.
pub(super) fn timed(kind: &Kind) -> Timed {
    match kind {
        Kind::Precede(_)
        | Kind::Contiguous(_)
        | Kind::Place(_)
        | Kind::Follow(_)
        | Kind::AtMost(_)
        | Kind::Same(_)
        | Kind::Neighbours(_) => Timed::No,
        Kind::Window(_)
        | Kind::Recovery(_)
        | Kind::Longest(_)
        | Kind::Fits(_)
        | Kind::Fatigue(_)
        | Kind::Peak(_) => Timed::Yes,
    }
}

/// Why a kind of demand cannot be stated exactly in rows, if it cannot.
pub(super) fn refusal(kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::Fatigue(_) => {
            Some("fatigue builds up and wears off exponentially in time, which no linear row says")
        }
        Kind::Precede(_)
        | Kind::Contiguous(_)
        | Kind::Place(_)
        | Kind::Window(_)
        | Kind::Follow(_)
        | Kind::Recovery(_)
        | Kind::Longest(_)
        | Kind::AtMost(_)
        | Kind::Same(_)
        | Kind::Neighbours(_)
        | Kind::Fits(_)
        | Kind::Peak(_) => None,
    }
}

/// The rows of one demand, and what breaking it costs.
pub(super) fn state(columns: &Columns, demand: &Demand, program: &mut Program) {
    let weight = demand.weight;
    match &demand.kind {
        Kind::Precede(d) => order::precede(columns, d, weight, program),
        Kind::Contiguous(d) => order::contiguous(columns, d, weight, program),
        Kind::Place(d) => order::place(columns, d, weight, program),
        Kind::Follow(d) => order::follow(columns, d, weight, program),
        Kind::Neighbours(d) => order::neighbours(columns, d, weight, program),
        Kind::AtMost(d) => values::at_most(columns, d, weight, program),
        Kind::Same(d) => values::same(columns, d, weight, program),
        Kind::Window(d) => times::window(columns, d, weight, program),
        Kind::Recovery(d) => times::recovery(columns, d, weight, program),
        Kind::Longest(d) => times::longest(columns, d, weight, program),
        Kind::Fits(d) => times::fits(columns, d, weight, program),
        Kind::Peak(d) => times::peak(columns, d, weight, program),
        Kind::Fatigue(_) => unreachable!("a problem with fatigue is refused"),
    }
}
