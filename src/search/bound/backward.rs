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
//! **Tested by** `brute_force` (proven optima, bounds never above them).

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::forward::{Forward, Frame, Layer};
use super::to_go::ToGo;
use crate::search::budget::Meter;
use crate::search::done_set::Bits;
use crate::search::successor::View;
use crate::search::tables::FacetSet;

/// The table of one view.
#[derive(Debug)]
pub struct Table<const N: usize> {
    /// By the number of steps done.
    layers: Vec<Frozen<N>>,
    mask: Bits<N>,
    done_mask: Bits<N>,
    /// The facets of its view.
    pub facets: FacetSet,
    /// It says nothing of plans that cost as much or more.
    pub below: i64,
    /// What the whole class costs at least; `None`: nothing is below.
    pub root: Option<ToGo>,
}

/// The states of a layer, those of a done set together and in ascending order.
#[derive(Debug, Default)]
struct Frozen<const N: usize> {
    groups: HashMap<Bits<N>, (u32, u32), FxBuildHasher>,
    keys: Vec<Bits<N>>,
    to_go: Vec<ToGo>,
}

/// The states of one done set.
#[derive(Debug, Clone, Copy)]
pub struct Group<'a, const N: usize> {
    keys: &'a [Bits<N>],
    to_go: &'a [ToGo],
    mask: &'a Bits<N>,
}

impl<const N: usize> Group<'_, N> {
    /// What is to come from a state; `None`: nothing below.
    #[inline]
    pub fn get(&self, key: &Bits<N>) -> Option<ToGo> {
        let at = self.keys.binary_search(&key.and(self.mask)).ok()?;
        Some(self.to_go[at])
    }

    /// The least of them.
    pub fn least(&self) -> i64 {
        self.to_go.iter().map(|t| t.cost).min().unwrap_or(0)
    }
}

/// A table could not be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Abandoned {
    /// It would have taken more memory than it may.
    TooLarge,
    /// The search was told to stop.
    Stopped,
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
        let mut forward = Forward::new(view, frame);
        let layers = forward.run(meter)?;
        let takes = &forward.takes.all;
        let mut frozen: Vec<Frozen<N>> = Vec::with_capacity(layers.len());
        let mut next: Vec<ToGo> = Vec::new();
        for (used, layer) in layers.iter().enumerate().rev() {
            let used = i64::try_from(used).expect("places are few");
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
            for (best, reached) in here.iter_mut().zip(&layer.reached) {
                if reached.cost + best.cost >= forward.below {
                    *best = ToGo::NONE;
                }
            }
            frozen.push(Frozen::of(layer, &here));
            next = here;
        }
        frozen.reverse();
        let root = next.first().filter(|r| r.cost < forward.below);
        let root = root.map(|r| ToGo {
            cost: r.cost + forward.apart,
            ..*r
        });
        Ok(Self {
            layers: frozen,
            mask: view.mask,
            done_mask: forward.done_mask,
            facets: view.scope.facets,
            below: frame.below,
            root,
        })
    }

    /// The states of a done set with `used` steps; `None`: nothing is below.
    #[inline]
    pub fn group(&self, used: usize, key: &Bits<N>) -> Option<Group<'_, N>> {
        let layer = self.layers.get(used)?;
        let &(from, to) = layer.groups.get(&key.and(&self.done_mask))?;
        let range = from as usize..to as usize;
        Some(Group {
            keys: &layer.keys[range.clone()],
            to_go: &layer.to_go[range],
            mask: &self.mask,
        })
    }

    /// What is to come from a state of a view with at least the scope of this one, with `used` steps done; `None`: nothing below.
    #[inline]
    pub fn get(&self, used: usize, key: &Bits<N>) -> Option<ToGo> {
        self.group(used, key)?.get(key)
    }

    /// How many states it holds.
    pub fn len(&self) -> usize {
        self.layers.iter().map(|l| l.keys.len()).sum()
    }

    /// Whether it holds none: nothing is below.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

impl<const N: usize> Frozen<N> {
    /// The states of the layer that lead below.
    fn of(layer: &Layer<N>, to_go: &[ToGo]) -> Self {
        let mut frozen = Self::default();
        let mut live: Vec<(Bits<N>, ToGo)> = Vec::new();
        for &(done, from, to) in &layer.groups {
            let range = from as usize..to as usize;
            let states = layer.keys[range.clone()].iter().zip(&to_go[range]);
            live.clear();
            live.extend(
                states
                    .filter(|(_, t)| **t != ToGo::NONE)
                    .map(|(k, t)| (*k, *t)),
            );
            if live.is_empty() {
                continue;
            }
            live.sort_unstable_by_key(|(key, _)| *key);
            let first = u32::try_from(frozen.keys.len()).expect("layers are bounded by memory");
            frozen.keys.extend(live.iter().map(|l| l.0));
            frozen.to_go.extend(live.iter().map(|l| l.1));
            let last = u32::try_from(frozen.keys.len()).expect("layers are bounded by memory");
            frozen.groups.insert(done, (first, last));
        }
        frozen.keys.shrink_to_fit();
        frozen.to_go.shrink_to_fit();
        frozen
    }
}
