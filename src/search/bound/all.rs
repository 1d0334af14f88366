//! The bounds that are worked out once.

use super::charges::Charges;
use super::leftout::LeftOut;
use super::simple::Simple;
use crate::search::tables::Tables;
use crate::search::track::clock_set::ClockSet;

/// All of them.
pub struct Bounds<'a, const N: usize> {
    /// What must still be entered.
    pub simple: Simple,
    /// What facets cost that are left out.
    pub leftout: LeftOut<N>,
    /// What the clock certainly costs.
    pub charges: Charges<'a, N>,
}

impl<'a, const N: usize> Bounds<'a, N> {
    /// Of a problem.
    pub fn new(tables: &'a Tables<'a, N>, clock: &'a ClockSet<N>) -> Self {
        Self {
            simple: Simple::new(tables),
            leftout: LeftOut::new(tables),
            charges: Charges::new(tables, clock.trackers()),
        }
    }
}
