//! A plain bound: every step that is not done must still be entered somehow.
//!
//! **Claim.** [`Simple::rest`] is no more than what the steps that must be done and are not still add to the score.
//!
//! **Relaxes** who comes before whom, what is carried over, every demand. **Why.** The change-over into a step goes from the posture in
//! which some other step (or the start) ends, and changes at least each facet for which the two steps have no value in common; for that
//! it pays the way, the cheapest such changes and, if one halts the class, a stop; and the step pays the cheapest of its penalties. A
//! step that does not care about a facet may have carried any value, so nothing is charged then. Each change-over is charged once,
//! to the step that it enters.
//!
//! **Tested by** `bounds` (`the_plain_bound_never_lies_above_the_best_end_of_a_partial_plan`), `brute_force` and `claims` (beams without a table).

use crate::search::done_set::Bits;
use crate::search::tables::Tables;

/// The cheapest entry of each step.
#[derive(Debug)]
pub struct Simple {
    entry: Vec<i64>,
    entry_time: Vec<i64>,
}

impl Simple {
    /// Works the entries out.
    pub fn new<const N: usize>(t: &Tables<'_, N>) -> Self {
        let (mut entry, mut entry_time) = (Vec::new(), Vec::new());
        for s in 0..t.n {
            let penalties: i64 = (0..t.n_facets)
                .filter_map(|f| t.choices(s, f)?.iter().map(|c| c.penalty).min())
                .sum();
            let from = std::iter::once(None).chain((0..t.n).filter(|&p| p != s).map(Some));
            let entries = from.map(|p| pair(t, p, s));
            let both: Vec<(i64, i64)> = entries.collect();
            entry.push(penalties + both.iter().map(|e| e.0).min().unwrap_or(0));
            entry_time.push(both.iter().map(|e| e.1).min().unwrap_or(0));
        }
        Self { entry, entry_time }
    }

    /// Least cost of the steps that must be done and are not.
    pub fn rest<const N: usize>(&self, t: &Tables<'_, N>, done: &Bits<N>) -> i64 {
        t.must.minus(done).iter().map(|s| self.entry[s]).sum()
    }

    /// Least time until the class ends, change-overs and steps.
    pub fn time<const N: usize>(&self, t: &Tables<'_, N>, done: &Bits<N>) -> i64 {
        t.must
            .minus(done)
            .iter()
            .map(|s| self.entry_time[s] + t.problem.steps[s].duration)
            .sum()
    }
}

/// Least cost and least time of the change-over from step `p` (`None`: the start) directly to step `s`.
fn pair<const N: usize>(t: &Tables<'_, N>, p: Option<usize>, s: usize) -> (i64, i64) {
    let (mut time, mut mask, mut halts) = (0, 0, false);
    for f in 0..t.n_facets {
        let Some(to) = t.choices(s, f) else { continue };
        let from: Vec<usize> = match p {
            None => vec![t.problem.start_setup[f]],
            Some(p) => match t.choices(p, f) {
                None => continue,
                Some(c) => c.iter().map(|c| c.value).collect(),
            },
        };
        let change = &t.problem.facets[f].change;
        if from.iter().any(|&u| to.iter().any(|c| c.value == u)) {
            continue;
        }
        time += from
            .iter()
            .flat_map(|&u| to.iter().map(move |c| change[u][c.value]))
            .min()
            .unwrap_or(0);
        mask |= t.reach_bit[f];
        halts |= t.halts >> f & 1 == 1;
    }
    let row = p.map_or(t.row_of(t.start_class), |p| t.problem.steps[p].end);
    time += t.way(mask, row, t.problem.steps[s].start);
    (
        time * t.problem.time_weight + if halts { t.problem.stop_weight } else { 0 },
        time,
    )
}
