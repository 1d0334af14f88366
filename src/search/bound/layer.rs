//! What a table is made of: layers of states, and the transitions between them.

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use crate::search::done_set::Bits;

/// A transition that was seen.
pub struct Edge {
    /// Number of the state in its layer.
    pub from: u32,
    /// Number of the state in the layer that it leads to.
    pub to: u32,
    /// Number of what it takes.
    pub takes: u32,
}

/// What a transition takes: cost, cost without the time of change-overs, time. There are few different ones, so they are kept by number.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Takes {
    /// Cost.
    pub cost: i64,
    /// Cost without the time of change-overs.
    pub other: i64,
    /// Time, the step included.
    pub time: i64,
}

/// All of them by number.
#[derive(Default)]
pub struct AllTakes {
    numbers: HashMap<Takes, u32, FxBuildHasher>,
    /// By number.
    pub all: Vec<Takes>,
}

impl AllTakes {
    /// The number of what is taken.
    #[inline]
    pub fn number(&mut self, takes: Takes) -> u32 {
        *self.numbers.entry(takes).or_insert_with(|| {
            self.all.push(takes);
            u32::try_from(self.all.len() - 1).expect("edges are bounded by memory")
        })
    }
}

/// A state on the way forward: least cost, least cost without the time of change-overs, and least time of any way here.
#[derive(Clone, Copy)]
pub struct Reached {
    /// Least cost.
    pub cost: i64,
    /// Least cost without the time of change-overs.
    pub other: i64,
    /// Least time.
    pub time: i64,
}

/// States of one layer, those of a done set together, and the transitions out of them.
#[derive(Default)]
pub struct Layer<const N: usize> {
    /// Done set, first state and first state of the next.
    pub groups: Vec<(Bits<N>, u32, u32)>,
    /// Keys of the states.
    pub keys: Vec<Bits<N>>,
    /// The least cost at which each is reached.
    pub cost: Vec<i64>,
    /// Transitions to the next layer.
    pub edges: Vec<Edge>,
}

impl<const N: usize> Layer<N> {
    /// Bytes that it takes, room to grow included.
    pub fn bytes(&self) -> usize {
        self.keys.capacity() * size_of::<Bits<N>>()
            + self.cost.capacity() * size_of::<i64>()
            + self.edges.capacity() * size_of::<Edge>()
            + self.groups.capacity() * size_of::<(Bits<N>, u32, u32)>()
    }

    /// Gives back the room to grow.
    pub fn shrink(&mut self) {
        self.keys.shrink_to_fit();
        self.cost.shrink_to_fit();
        self.edges.shrink_to_fit();
        self.groups.shrink_to_fit();
    }
}
