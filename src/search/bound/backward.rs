//! The bound that decides: an exact backward table of the problem without its clock.
//!
//! **Claim.** For every state of the full search that can still lead to a plan of less than `below`, the table of a [`View`] without the
//! clock holds the state's [shadow](crate::search::beam) (masked to the view), and its `cost` is no more than what the plan still has
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
//! **Tested by** `claims` (`tables_and_beams_keep_what_they_promise_below_any_figure`; small problems need no table else).

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::charges::{Charges, Clocked};
use super::simple::Simple;
use super::to_go::ToGo;
use crate::search::budget::Meter;
use crate::search::done_set::Bits;
use crate::search::state::Layout;
use crate::search::successor::{DoneInfo, View};

/// The table of one view.
#[derive(Debug)]
pub struct Table<const N: usize> {
    /// By the number of steps done.
    layers: Vec<HashMap<Bits<N>, ToGo, FxBuildHasher>>,
    mask: Bits<N>,
    /// It says nothing of plans that cost as much or more.
    pub below: i64,
    /// What the whole class costs at least; `None`: nothing is below.
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

/// Within which a table is made.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a, const N: usize> {
    /// Only plans that cost less are of interest.
    pub below: i64,
    /// The table of a view with fewer facets, made for at least this `below`.
    pub previous: Option<&'a Table<N>>,
    /// The plain bound.
    pub simple: &'a Simple,
    /// The sure charges of demands on the clock.
    pub charges: &'a Charges<'a, N>,
    /// Bytes that it may take.
    pub memory: usize,
}

/// A transition that was seen.
struct Edge {
    to: u32,
    cost: i64,
    other: i64,
    time: i64,
}

/// A state on the way forward.
struct Reached {
    cost: i64,
    /// Least cost without the time of change-overs, and least time, of any way here.
    other: i64,
    time: i64,
    edges_end: usize,
}

struct Layer<const N: usize> {
    keys: Vec<Bits<N>>,
    reached: Vec<Reached>,
    edges: Vec<Edge>,
}

impl<const N: usize> Table<N> {
    /// Makes the table of `view`.
    ///
    /// # Errors
    /// [`Abandoned`] if it grows past its memory or the search has to stop.
    pub fn new(
        view: &View<'_, N>,
        frame: &Frame<'_, N>,
        meter: &mut Meter<'_>,
    ) -> Result<Self, Abandoned> {
        let t = view.tables;
        let mask = view.layout.mask(t.n, view.facets, view.trackers);
        let layers = forward(view, frame, &mask, meter)?;
        let mut tables: Vec<HashMap<Bits<N>, ToGo, FxBuildHasher>> =
            Vec::with_capacity(layers.len());
        let mut next: Vec<ToGo> = Vec::new();
        for (used, layer) in layers.iter().enumerate().rev() {
            let mut here = Vec::with_capacity(layer.keys.len());
            let mut live: HashMap<Bits<N>, ToGo, FxBuildHasher> = HashMap::default();
            let mut from = 0;
            for (key, reached) in layer.keys.iter().zip(&layer.reached) {
                let mut best = ToGo::NONE;
                let settled = view.settle(key, i64::try_from(used).expect("places are few"));
                if let Some((cost, time)) = settled {
                    best.least(cost, cost - time * t.problem.time_weight, time);
                }
                for edge in &layer.edges[from..reached.edges_end] {
                    let to = &next[edge.to as usize];
                    best.least(
                        edge.cost + to.cost,
                        edge.other + to.other,
                        edge.time + to.time,
                    );
                }
                from = reached.edges_end;
                if reached.cost + best.cost < frame.below {
                    live.insert(*key, best);
                } else {
                    best = ToGo::NONE;
                }
                here.push(best);
            }
            next = here;
            tables.push(live);
        }
        tables.reverse();
        let root = next.first().copied().filter(|r| r.cost < frame.below);
        Ok(Self {
            layers: tables,
            mask,
            below: frame.below,
            root,
        })
    }

    /// What is to come from a state of a view with at least the facets of this one, with `used` steps done; `None`: nothing below.
    #[inline]
    pub fn get(&self, used: usize, key: &Bits<N>) -> Option<ToGo> {
        self.layers.get(used)?.get(&key.and(&self.mask)).copied()
    }

    /// How many states it holds.
    pub fn len(&self) -> usize {
        self.layers.iter().map(HashMap::len).sum()
    }

    /// Whether it holds none: nothing is below.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// Bytes that a state and an edge take, as far as the limit is concerned: the map on the way forward, the arrays, the final map.
const STATE_BYTES: usize = 100;

/// All states and transitions that may lead below, layer by layer.
fn forward<const N: usize>(
    view: &View<'_, N>,
    frame: &Frame<'_, N>,
    mask: &Bits<N>,
    meter: &mut Meter<'_>,
) -> Result<Vec<Layer<N>>, Abandoned> {
    let t = view.tables;
    let done_mask = Layout::done_mask(t.n);
    let root = view.layout.begin(t).and(mask);
    let first = Reached {
        cost: 0,
        other: 0,
        time: 0,
        edges_end: 0,
    };
    let mut layers = vec![Layer {
        keys: vec![root],
        reached: vec![first],
        edges: Vec::new(),
    }];
    let state_bytes = STATE_BYTES + 2 * size_of::<Bits<N>>();
    let mut bytes = state_bytes;
    let weight = t.problem.time_weight;
    for used in 0..t.n {
        let mut layer = layers.pop().expect("there is a layer");
        let mut index: HashMap<Bits<N>, u32, FxBuildHasher> = HashMap::default();
        let mut next = Layer {
            keys: Vec::new(),
            reached: Vec::new(),
            edges: Vec::new(),
        };
        let mut infos: HashMap<Bits<N>, (DoneInfo, Vec<ToGo>), FxBuildHasher> = HashMap::default();
        let place = i64::try_from(used + 1).expect("places are few");
        for (key, from) in layer.keys.iter().zip(&mut layer.reached) {
            if !meter.go_on() {
                return Err(Abandoned::Stopped);
            }
            let (info, plain) = infos.entry(key.and(&done_mask)).or_insert_with(|| {
                let info = view.done_info(key);
                let plain = info
                    .candidates
                    .iter()
                    .map(|&s| plain_rest(view, frame, key, s))
                    .collect();
                (info, plain)
            });
            let (info, plain) = (&*info, &*plain);
            view.expand(
                key,
                info,
                place,
                frame.below - from.cost,
                |_| false,
                |s| {
                    let known = index.get(&s.key).copied();
                    let candidate = info
                        .candidates
                        .iter()
                        .position(|&c| c == s.step)
                        .expect("it is a candidate");
                    let mut rest = plain[candidate];
                    if known.is_none() || frame.charges.concerns(s.step) {
                        match frame.previous.map(|p| p.get(used + 1, &s.key)) {
                            None => {}
                            Some(None) => return,
                            Some(Some(to_go)) => {
                                rest.cost = rest.cost.max(to_go.cost);
                                rest.other = to_go.other;
                                rest.time = rest.time.max(to_go.time);
                            }
                        }
                    }
                    let mut edge = Edge {
                        to: 0,
                        cost: s.cost,
                        other: s.cost - s.changeover * weight,
                        time: s.changeover + t.problem.steps[s.step].duration,
                    };
                    if frame.charges.concerns(s.step) {
                        let clocked = Clocked::of(
                            t,
                            info,
                            &s,
                            from.time,
                            from.other + edge.other,
                            &rest,
                            frame.below,
                        );
                        match frame.charges.least(s.step, &clocked) {
                            None => return,
                            Some(sure) => {
                                edge.cost += sure;
                                edge.other += sure;
                            }
                        }
                    }
                    let reached = from.cost + edge.cost;
                    let (other, time) = (from.other + edge.other, from.time + edge.time);
                    if let Some(to) = known {
                        let state = &mut next.reached[to as usize];
                        state.cost = state.cost.min(reached);
                        state.other = state.other.min(other);
                        state.time = state.time.min(time);
                        edge.to = to;
                    } else {
                        if reached + rest.cost >= frame.below {
                            return;
                        }
                        edge.to =
                            u32::try_from(next.keys.len()).expect("layers are bounded by memory");
                        index.insert(s.key, edge.to);
                        next.keys.push(s.key);
                        next.reached.push(Reached {
                            cost: reached,
                            other,
                            time,
                            edges_end: 0,
                        });
                    }
                    layer.edges.push(edge);
                },
            );
            from.edges_end = layer.edges.len();
            let now = bytes + next.keys.len() * state_bytes + layer.edges.len() * size_of::<Edge>();
            if now > frame.memory {
                return Err(Abandoned::TooLarge);
            }
        }
        bytes += next.keys.len() * state_bytes + layer.edges.len() * size_of::<Edge>();
        layer.edges.shrink_to_fit();
        let over = next.keys.is_empty();
        layers.push(layer);
        if over {
            break;
        }
        layers.push(next);
    }
    Ok(layers)
}

/// What is to come after step `s` by the plain bound alone.
fn plain_rest<const N: usize>(
    view: &View<'_, N>,
    frame: &Frame<'_, N>,
    key: &Bits<N>,
    s: usize,
) -> ToGo {
    let mut done = *key;
    done.insert(s);
    ToGo {
        cost: frame.simple.rest(view.tables, &done),
        other: 0,
        time: frame.simple.time(view.tables, &done),
    }
}
