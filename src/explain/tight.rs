//! Where a plan is tight: neighbours that cannot change places as they are set, and the demands that keep them.
//!
//! One look with the referee for each pair of neighbours, no search: so it says nothing of what an order with other set-ups, or with more
//! moved than these two, would cost ([`super::price`] does).

use crate::problem::Problem;
use crate::score::{Evaluation, evaluate};

/// Two neighbours that cannot change places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Place of the later one, from 0.
    pub place: usize,
    /// Demands that are kept as it is and would be broken, or broken more.
    pub demands: Vec<usize>,
}

/// All such neighbours of a plan, in order. Where the two the other way round would be no plan at all (the second side before the first,
/// a later round before an earlier one), no demand keeps them and they are not among them.
pub fn held(problem: &Problem, best: &Evaluation) -> Vec<Held> {
    let (order, setups) = (&best.timeline.order, &best.timeline.setups);
    (1..order.len())
        .filter_map(|place| {
            let (mut order, mut setups) = (order.clone(), setups.clone());
            order.swap(place - 1, place);
            setups.swap(place - 1, place);
            let other = evaluate(problem, &order, &setups);
            let more = other.counts.iter().zip(&best.counts).enumerate();
            let demands: Vec<usize> = more.filter(|(_, (a, b))| a > b).map(|(k, _)| k).collect();
            (other.errors.is_empty() && !demands.is_empty()).then_some(Held { place, demands })
        })
        .collect()
}
