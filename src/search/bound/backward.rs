//! The bound that decides: an exact backward table of the problem without its clock.
//!
//! **Claim.** For every state of the full search that can still lead to a plan better than the incumbent, the table of a
//! [`View`] without the clock holds the state's [`shadow`](crate::search::beam) (masked to the view), and its `cost` is no more than what
//! the plan still has to pay, its `time` no more than the time that is still to pass.
//!
//! **Relaxes.** Demands on the clock are dropped (`window`, `fits`, `fatigue`, `longest`, `peak`, and of `recovery` all but rests between
//! direct neighbours that not even the longest change-over between them makes long enough). A view of some facets drops the others
//! with their costs, ways and stops, and the demands that read them.
//!
//! **Why.** Each plan of the full problem, its facets restricted to the view, is a plan of the relaxed one that costs no more: every part of
//! the score is a sum of terms that are not negative, ways are monotone in the facets that they serve, a stop is halted by fewer
//! facets. Early changes are restricted as `successor` argues, and for a view of some facets they are a superset of what a plan with all
//! facets may do. The table enumerates all states of the relaxed problem forward, layer by layer, leaving out only those whose least cost
//! so far plus a lower bound (the table before it, or the simple bound) reaches the incumbent; then it sweeps backward. A state that is not
//! in the table cannot lead to anything better than the incumbent of that time, nor, since incumbents only improve, than any later one.
//!
//! **Tested by** `brute_force` (proven optima, bounds never above them).

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::simple::Simple;
use crate::search::budget::Meter;
use crate::search::done_set::Bits;
use crate::search::state::Layout;
use crate::search::successor::{DoneInfo, View};

/// What is still to come from a state of the relaxed problem, at least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToGo {
    /// Cost.
    pub cost: i64,
    /// Time, steps included (not of the same completion).
    pub time: i64,
}

/// The table of one view.
#[derive(Debug)]
pub struct Table<const N: usize> {
    states: HashMap<Bits<N>, ToGo, FxBuildHasher>,
    mask: Bits<N>,
    /// Costs of facets that the view leaves out, over the whole class.
    pub root: Option<ToGo>,
}

/// A table could not be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Abandoned {
    /// It would have taken more memory than it may.
    TooLarge,
    /// The search was told to stop.
    Stopped,
}

const INFINITE: i64 = i64::MAX / 4;

impl<const N: usize> Table<N> {
    /// Makes the table of `view`. `below`: the incumbent's score; only states that may lead to less are kept. `previous`: the table of a
    /// view with fewer facets. `limit`: how many states it may have.
    ///
    /// # Errors
    /// [`Abandoned`] if it grows past the limit or the search has to stop.
    pub fn new(
        view: &View<'_, N>,
        below: i64,
        previous: Option<&Self>,
        simple: &Simple,
        limit: usize,
        meter: &mut Meter<'_>,
    ) -> Result<Self, Abandoned> {
        let t = view.tables;
        let mask = view.layout.mask(t.n, view.facets, view.trackers);
        let done_mask = Layout::done_mask(t.n);
        let root = view.layout.begin(t).and(&mask);
        let mut layers: Vec<Vec<(Bits<N>, i64)>> = vec![vec![(root, 0)]];
        let mut total = 1;
        for place in 1..=t.n {
            let mut found: HashMap<Bits<N>, i64, FxBuildHasher> = HashMap::default();
            let layer = layers.last().expect("there is a first layer");
            let mut infos: HashMap<Bits<N>, DoneInfo, FxBuildHasher> = HashMap::default();
            let mut rests: HashMap<Bits<N>, i64, FxBuildHasher> = HashMap::default();
            for (key, cost) in layer {
                if !meter.go_on() {
                    return Err(Abandoned::Stopped);
                }
                let info = infos
                    .entry(key.and(&done_mask))
                    .or_insert_with(|| view.done_info(key));
                view.expand(
                    key,
                    info,
                    i64::try_from(place).expect("places are few"),
                    &|_| false,
                    &mut |s| {
                        let reached = cost + s.cost;
                        if reached >= below {
                            return;
                        }
                        if let Some(known) = found.get_mut(&s.key) {
                            *known = reached.min(*known);
                            return;
                        }
                        let done = s.key.and(&done_mask);
                        let simple_rest =
                            *rests.entry(done).or_insert_with(|| simple.rest(t, &done));
                        let rest = match previous.map(|p| p.get(&s.key)) {
                            None => simple_rest,
                            Some(None) => return,
                            Some(Some(to_go)) => to_go.cost.max(simple_rest),
                        };
                        // A cheaper way to the same state may come later in this layer, so a state is dropped when the layer is done.
                        if reached + rest < below {
                            found.insert(s.key, reached);
                        }
                    },
                );
                if total + found.len() > limit {
                    return Err(Abandoned::TooLarge);
                }
            }
            if found.is_empty() {
                break;
            }
            total += found.len();
            layers.push(found.into_iter().collect());
        }
        let mut states: HashMap<Bits<N>, ToGo, FxBuildHasher> = HashMap::default();
        for (used, layer) in layers.iter().enumerate().rev() {
            let mut infos: HashMap<Bits<N>, DoneInfo, FxBuildHasher> = HashMap::default();
            let mut swept = Vec::new();
            for (key, cost) in layer {
                if !meter.go_on() {
                    return Err(Abandoned::Stopped);
                }
                let used = i64::try_from(used).expect("places are few");
                let mut best = view.settle(key, used).map_or(
                    ToGo {
                        cost: INFINITE,
                        time: INFINITE,
                    },
                    |(cost, time)| ToGo { cost, time },
                );
                let info = infos
                    .entry(key.and(&done_mask))
                    .or_insert_with(|| view.done_info(key));
                view.expand(key, info, used + 1, &|_| false, &mut |s| {
                    if let Some(next) = states.get(&s.key) {
                        best.cost = best.cost.min(s.cost + next.cost);
                        best.time = best
                            .time
                            .min(s.changeover + t.problem.steps[s.step].duration + next.time);
                    }
                });
                if cost + best.cost < below {
                    swept.push((*key, best));
                }
            }
            states.extend(swept);
        }
        let root = states.get(&root).copied();
        Ok(Self { states, mask, root })
    }

    /// What is to come from a state of a view with at least the facets of this one; `None`: nothing better than the incumbent.
    #[inline]
    pub fn get(&self, key: &Bits<N>) -> Option<ToGo> {
        self.states.get(&key.and(&self.mask)).copied()
    }

    /// How many states it holds.
    pub fn len(&self) -> usize {
        self.states.len()
    }

    /// Whether it holds none: nothing is better than the incumbent.
    pub fn is_empty(&self) -> bool {
        self.states.is_empty()
    }
}
