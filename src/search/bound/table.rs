//! A finished table: what is still to come from every state of a relaxed problem that may lead below a figure. How it is made, and why
//! it is a bound: [`super::backward`].

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::couples::Couples;
use super::to_go::ToGo;
use crate::search::done_set::Bits;
use crate::search::tables::FacetSet;

/// The table of one view.
#[derive(Debug)]
pub struct Table<const N: usize> {
    /// By the number of steps done.
    pub(super) layers: Vec<Frozen<N>>,
    pub(super) mask: Bits<N>,
    pub(super) done_mask: Bits<N>,
    /// Couples that are taken in one: there are no states between their steps.
    pub(super) couples: Couples,
    /// Durations of all steps.
    pub(super) durations: Vec<i64>,
    /// The facets of its view.
    pub facets: FacetSet,
    /// It says nothing of plans that cost as much or more.
    pub below: i64,
    /// What the whole class costs at least; `None`: nothing is below.
    pub root: Option<ToGo>,
}

/// The states of a layer, those of a done set together and in ascending order.
#[derive(Debug, Default)]
pub struct Frozen<const N: usize> {
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
    /// In the midst of a couple: the least of what is to come, whatever the state. The states are those after the couple.
    between: Option<ToGo>,
}

impl<const N: usize> Group<'_, N> {
    /// What is to come from a state, or in the midst of a couple at least; `None`: nothing below.
    #[inline]
    pub fn get(&self, key: &Bits<N>) -> Option<ToGo> {
        if self.between.is_some() {
            return self.between;
        }
        let at = self.keys.binary_search(&key.and(self.mask)).ok()?;
        Some(self.to_go[at])
    }

    /// The least cost of them.
    pub fn least(&self) -> i64 {
        self.to_go.iter().map(|t| t.cost).min().unwrap_or(0)
    }

    /// In the midst of a couple: the second step, which takes so long, is still to come.
    fn before(mut self, duration: i64) -> Self {
        let mut least = ToGo::NONE;
        for t in self.to_go {
            least.least(t.cost, t.other, t.time + duration);
        }
        self.between = Some(least);
        self
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
    /// The states of a done set with `used` steps; `None`: nothing is below.
    #[inline]
    pub fn group(&self, used: usize, key: &Bits<N>) -> Option<Group<'_, N>> {
        let done = key.and(&self.done_mask);
        let Some(second) = self.couples.open(&done) else {
            return self.states(used, &done);
        };
        let mut after = done;
        after.insert(second);
        let group = self.states(used + 1, &after)?;
        Some(group.before(self.durations[second]))
    }

    fn states(&self, used: usize, done: &Bits<N>) -> Option<Group<'_, N>> {
        let layer = self.layers.get(used)?;
        let &(from, to) = layer.groups.get(done)?;
        let range = from as usize..to as usize;
        Some(Group {
            keys: &layer.keys[range.clone()],
            to_go: &layer.to_go[range],
            mask: &self.mask,
            between: None,
        })
    }

    /// In the midst of a couple that is taken in one: its second step.
    #[inline]
    pub fn open(&self, key: &Bits<N>) -> Option<usize> {
        self.couples.open(key)
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
    /// The states of a layer (for each done set its first state and the first of the next) that lead below.
    pub fn of(groups: &[(Bits<N>, u32, u32)], keys: &[Bits<N>], to_go: &[ToGo]) -> Self {
        let mut frozen = Self::default();
        let mut live: Vec<(Bits<N>, ToGo)> = Vec::new();
        for &(done, from, to) in groups {
            let range = from as usize..to as usize;
            let states = keys[range.clone()].iter().zip(&to_go[range]);
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
