//! How long a search may go on: the only clock in the search.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use super::outcome::Ended;

/// What ends a search before its proof.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    /// Wall-clock time.
    pub time: Option<Duration>,
    /// Expanded states: in a beam each once, in a table once for each step that is tried after it; a part that is searched again counts some more.
    pub nodes: Option<u64>,
    /// Bytes for tables and layers; `None`: [`DEFAULT_MEMORY`].
    pub memory: Option<u64>,
    /// Set by another thread (a signal handler) to stop.
    pub cancel: Option<Arc<AtomicBool>>,
    /// Seed for whatever is drawn at random: the parts of a plan that are searched again, the kicks of the local search for sequential
    /// ordering problems.
    pub seed: u64,
    /// So many threads; 0 and 1: one. With more, the same input need not give the same plan, and the nodes of the others are not counted.
    pub threads: u32,
}

impl Limits {
    /// Whether somebody asked to stop.
    pub fn cancelled(&self) -> bool {
        (self.cancel.as_ref()).is_some_and(|flag| flag.load(Ordering::Relaxed))
    }
}

/// Bytes for tables and layers where nothing else is said: 1 GiB.
pub const DEFAULT_MEMORY: u64 = 1 << 30;

/// Counts what a search has used of its limits.
#[derive(Debug)]
pub struct Meter<'a> {
    limits: &'a Limits,
    begun: Instant,
    nodes: u64,
    stopped: Option<Ended>,
}

/// The clock and the signal are looked at once in so many states.
const LOOK: u64 = 256;

impl<'a> Meter<'a> {
    /// Starts the clock.
    pub fn new(limits: &'a Limits) -> Self {
        Self {
            limits,
            begun: Instant::now(),
            nodes: 0,
            stopped: None,
        }
    }

    /// Counts one more state; `false` once a limit is reached, and from then on.
    pub fn go_on(&mut self) -> bool {
        if self.stopped.is_some() {
            return false;
        }
        if self.limits.nodes.is_some_and(|most| self.nodes >= most) {
            self.stopped = Some(Ended::Nodes);
        } else if self.nodes.is_multiple_of(LOOK) {
            self.look();
        }
        self.nodes += 1;
        self.stopped.is_none()
    }

    /// Counts what a search of a part has used.
    pub fn count(&mut self, nodes: u64) {
        self.nodes = self.nodes.saturating_add(nodes);
        if self.stopped.is_some() {
            return;
        }
        if self.limits.nodes.is_some_and(|most| self.nodes >= most) {
            self.stopped = Some(Ended::Nodes);
        } else {
            self.look();
        }
    }

    /// Limits for a search of a part: what is left of these, but for nodes and memory.
    pub fn part(&self, nodes: u64, memory: u64) -> Limits {
        let left = |most: u64| most.saturating_sub(self.nodes);
        Limits {
            time: (self.limits.time).map(|most| most.saturating_sub(self.begun.elapsed())),
            nodes: Some(
                self.limits
                    .nodes
                    .map_or(nodes, |most| left(most).min(nodes)),
            ),
            memory: Some(memory),
            ..self.limits.clone()
        }
    }

    /// Whether something ends the search in the end.
    pub fn ends(&self) -> bool {
        self.limits.time.is_some() || self.limits.nodes.is_some()
    }

    /// Seed for whatever is drawn at random.
    pub fn seed(&self) -> u64 {
        self.limits.seed
    }

    /// Counts many states at once, such as those of a table made anew; `false` once a limit is reached, and from then on.
    pub fn spend(&mut self, states: u64) -> bool {
        if self.stopped.is_some() {
            return false;
        }
        let before = self.nodes / LOOK;
        self.nodes = self.nodes.saturating_add(states);
        if self.limits.nodes.is_some_and(|most| self.nodes > most) {
            self.stopped = Some(Ended::Nodes);
        } else if self.nodes / LOOK > before {
            self.look();
        }
        self.stopped.is_none()
    }

    fn look(&mut self) {
        if self.limits.cancelled() {
            self.stopped = Some(Ended::Cancelled);
        } else if self
            .limits
            .time
            .is_some_and(|most| self.begun.elapsed() >= most)
        {
            self.stopped = Some(Ended::Time);
        }
    }

    /// Why it said no, if it did.
    pub fn stopped(&self) -> Option<Ended> {
        self.stopped
    }

    /// States so far.
    pub fn nodes(&self) -> u64 {
        self.nodes
    }

    /// Seconds so far.
    pub fn seconds(&self) -> f64 {
        self.begun.elapsed().as_secs_f64()
    }

    /// Bytes that may be used.
    pub fn memory(&self) -> u64 {
        self.limits.memory.unwrap_or(DEFAULT_MEMORY)
    }
}
