//! The shadow of a plan: the plan that the table knows.
//!
//! The backward table knows only plans that change facets early as `successor` says in (a) to (c). A plan that changes one early for the
//! sake of the clock is read in the table as its *shadow*: the same steps, but such changes wait as long as they may.
//!
//! **Claim.** `paid of the shadow + table at the shadow` is no more than what any completion of the plan costs in the end.
//! **Why.** Give the shadow the completion of the plan, with each delayed change made at the first step that cares about its facet, or, for a
//! facet that halts the class, at the first change-over of the shadow that halts in company. It is a plan of (a) to (c); it makes the
//! same changes, reached from everywhere, at the same cost, and no more stops than the plan: each delayed halt waits for a halt that
//! the shadow makes anyway, or replaces the plan's own. So its clock-free cost is no more than the plan's, and it is at least the
//! table's value after what the shadow has paid. What the demands on the clock have cost the plan itself is paid; where that is part of a sure
//! charge of a step to come, which the table still has, it is counted once ([`paid_ahead`](super::track::clock::ClockTracker::paid_ahead)).
//!
//! **Claim.** The shadow has never paid more for time, nor has it halted more often, than the plan.
//! **Why.** It makes the same changes, none before the plan makes it; and where a facet that waits joins a halt, that halt is the shadow's own. A
//! facet that changes in company in the plan has its company here: what is due cannot change again, so what changes for a step that cares
//! does not lag, and changes in the shadow too. So of the time that a plan below a figure may still take, what follows from what its shadow has paid
//! is no less than what follows from what it has paid itself, and needs no credit for early changes on top; the beam gives one, which
//! does no harm.
//!
//! A table knows nothing of plans that cost as much as the figure it was made for, so a beam that goes on past it has cut there.
//!
//! **Tested by** `claims` (`tables_and_beams_keep_what_they_promise_below_any_figure` and `..._where_early_changes_pay`: beams of every width, with the
//! tables of the first few facets, below, at and above the optimum), `bounds` (tables on all partial plans), `trackers` (`what_is_paid_and_sure_to_come_is_never_more_than_the_whole`).

use super::done_set::Bits;
use super::state::Layout;
use super::successor::{Successor, View};

/// The shadow's part of transition `s` out of the state `real`, whose shadow is `shadow`: its new key, cost without the clock, time of the
/// change-over.
pub fn follow<const N: usize>(
    view: &View<'_, N>,
    shadow: &Bits<N>,
    real: &Bits<N>,
    s: &Successor<N>,
) -> (Bits<N>, i64, i64) {
    let t = view.tables;
    let layout = view.layout;
    let mut key = *shadow;
    key.insert(s.step);
    key.set(layout.class, t.class_of[s.step] as u64);
    let (mut cost, mut time, mut changed, mut mask, mut company) = (0, 0, 0u32, 0u32, false);
    let mut waits = 0u32;
    let mut change = |f: usize, from: u64, to: u64, time: &mut i64| {
        if from != to {
            *time += t.problem.facets[f].change[from as usize][to as usize];
            changed |= 1 << f;
            mask |= t.reach_bit[f];
        }
        from != to
    };
    for f in (0..t.n_facets).filter(|f| t.all >> f & 1 == 1) {
        let from = shadow.get(layout.value[f]);
        let to = s.key.get(layout.value[f]);
        let lags = real.get(layout.due[f]) == 1 && shadow.get(layout.due[f]) == 0;
        let cares = t.choices(s.step, f);
        if let Some(choices) = cares {
            let penalty = choices
                .iter()
                .find(|c| c.value as u64 == to)
                .map_or(0, |c| c.penalty);
            cost += penalty;
        } else if lags || s.delayed >> f & 1 == 1 {
            waits |= 1 << f;
            continue;
        }
        key.set(layout.value[f], to);
        key.set(layout.due[f], s.key.get(layout.due[f]));
        let moved = change(f, from, to, &mut time);
        company |= moved && t.halts >> f & 1 == 1 && (cares.is_some() || t.loose >> f & 1 == 1);
    }
    if company {
        for f in (0..t.n_facets).filter(|f| (waits & t.halts) >> f & 1 == 1) {
            let to = s.key.get(layout.value[f]);
            change(f, shadow.get(layout.value[f]), to, &mut time);
            key.set(layout.value[f], to);
            key.set(layout.due[f], 1);
        }
    }
    time += t.way(
        mask,
        t.row_of(layout.class_in(shadow)),
        t.problem.steps[s.step].start,
    );
    cost += time * t.problem.time_weight;
    if changed & t.halts != 0 {
        cost += t.problem.stop_weight;
    }
    let place = i64::try_from(real.and(&Layout::done_mask(t.n)).len() + 1).expect("steps are few");
    let charged = view
        .other_costs(shadow, s.step, place, changed, &mut key)
        .unwrap_or(i64::MAX / 8);
    (key, cost + charged, time)
}
