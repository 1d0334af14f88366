//! The bound that decides: an exact backward table of the problem without its clock.
//!
//! **Claim.** For every state of the full search that can still lead to a plan of less than `below`, the table of a [`View`] without the
//! clock holds the state's [shadow](crate::search::shadow) (masked to the view), and its `cost` is no more than what the plan still has
//! to pay for what the clock does not decide and for the [sure charges](super::charges) of the steps to come; its `time` is no more
//! than the time that is still to pass.
//!
//! **Relaxes.** Demands on the clock are dropped but for their sure charges (of `recovery` also rests between direct neighbours are kept
//! that not even the longest change-over between them makes long enough). A view of some facets drops the others with their costs,
//! ways and stops, and the demands that read them.
//!
//! **Why.** Each plan of the full problem, its facets restricted to the view, is a plan of the relaxed one that costs no more: every part of
//! the score is a sum of terms that are not negative, ways are monotone in the facets that they serve, a stop is halted by fewer
//! facets. Early changes are restricted as `successor` argues, and for a view of some facets they are a superset of what a plan with all
//! facets may do. The table enumerates all states of the relaxed problem forward, layer by layer, leaving out only those whose least cost
//! so far plus a lower bound (the table before it, or the simple bound) reaches `below`; then it sweeps backward along the
//! transitions it has seen. A state that is not in the table cannot lead to less than `below`.
//!
//! **Tested by** `bounds` (`no_table_lies_above_the_best_end_of_a_partial_plan`: every partial plan, tables of every scope, below several figures) and
//! `claims` (`tables_and_beams_keep_what_they_promise_below_any_figure`; small problems need no table else).

use super::forward::{Forward, Frame};
use super::table::{Abandoned, Frozen, Table};
use super::to_go::ToGo;
use crate::search::budget::Meter;
use crate::search::successor::View;

/// Makes the table of `view`.
///
/// # Errors
/// [`Abandoned`] if it grows past its memory or the search has to stop.
pub fn table<const N: usize>(
    view: &View<'_, N>,
    frame: &Frame<'_, N>,
    meter: &mut Meter<'_>,
) -> Result<Table<N>, Abandoned> {
    let mut forward = Forward::new(view, frame);
    forward.run(meter, usize::MAX)?;
    sweep(view, forward, meter)
}

/// The way back, once the way forward is made.
///
/// # Errors
/// [`Abandoned::Stopped`] if the search has to stop.
pub fn sweep<const N: usize>(
    view: &View<'_, N>,
    mut forward: Forward<'_, '_, N>,
    meter: &mut Meter<'_>,
) -> Result<Table<N>, Abandoned> {
    let t = view.tables;
    let mut layers = std::mem::take(&mut forward.layers);
    let takes = &forward.takes.all;
    let mut frozen: Vec<Frozen<N>> = Vec::with_capacity(layers.len());
    let mut next: Vec<ToGo> = Vec::new();
    while let Some(layer) = layers.pop() {
        if meter.is_over() {
            return Err(Abandoned::Stopped);
        }
        let used = i64::try_from(layers.len()).expect("places are few");
        let mut here: Vec<ToGo> = layer
            .keys
            .iter()
            .map(|key| {
                let mut best = ToGo::NONE;
                if let Some((cost, time)) = view.settle(key, used) {
                    best.least(cost, cost - time * t.problem.time_weight, time);
                }
                best
            })
            .collect();
        for edge in &layer.edges {
            let (to, takes) = (&next[edge.to as usize], &takes[edge.takes as usize]);
            here[edge.from as usize].least(
                takes.cost + to.cost,
                takes.other + to.other,
                takes.time + to.time,
            );
        }
        for (best, cost) in here.iter_mut().zip(&layer.cost) {
            if cost + best.cost >= forward.below {
                *best = ToGo::NONE;
            }
        }
        frozen.push(Frozen::of(&layer.groups, &layer.keys, &here));
        next = here;
    }
    frozen.reverse();
    let root = next.first().filter(|r| r.cost < forward.below);
    let root = root.map(|r| ToGo {
        cost: r.cost + forward.apart,
        ..*r
    });
    Ok(Table {
        layers: frozen,
        mask: view.mask,
        done_mask: forward.done_mask,
        facets: view.scope.facets,
        below: forward.limit,
        root,
    })
}
