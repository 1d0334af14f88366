//! A finished table: what is still to come from every state of a relaxed problem that may lead below a figure. How it is made, and why
//! it is a bound: [`super::backward`].

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

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
}

impl<const N: usize> Group<'_, N> {
    /// What is to come from a state; `None`: nothing below.
    #[inline]
    pub fn get(&self, key: &Bits<N>) -> Option<ToGo> {
        let at = self.keys.binary_search(&key.and(self.mask)).ok()?;
        Some(self.to_go[at])
    }

    /// The least cost of them.
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

    /// Bytes that it takes.
    pub fn bytes(&self) -> usize {
        let state = size_of::<Bits<N>>() + size_of::<ToGo>();
        let group = 2 * size_of::<(Bits<N>, (u32, u32))>();
        let groups: usize = self.layers.iter().map(|l| l.groups.len()).sum();
        self.len() * state + groups * group
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
