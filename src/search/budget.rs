//! How long a search may go on: the only clock in the search.
//!
//! A command has one budget. Its deadline is a moment, not a length, so that whatever is handed a part of it (a phase, a thread, a search
//! within a search) ends by that moment at the latest, and no part starts a new clock.

use std::thread::available_parallelism;
use std::time::{Duration, Instant};

use super::outcome::Ended;
use super::stop::Stop;

/// What ends a search before its proof.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    /// The moment by which it must end; `None`: no deadline.
    pub until: Option<Instant>,
    /// Expanded states: in a beam each once, in a table once for each step that is tried after it; a part that is searched again counts some more.
    pub nodes: Option<u64>,
    /// Bytes for tables and layers; `None`: [`DEFAULT_MEMORY`].
    pub memory: Option<u64>,
    /// Asked by another thread, or a signal handler, to stop.
    pub stop: Stop,
    /// Seed for random choices: the parts of a plan that are searched again, the kicks of the local search for sequential
    /// ordering problems.
    pub seed: u64,
    /// Number of threads, as far as the machine has cores; 0 and 1: one. With more, the same input need not give the same plan, and the nodes of
    /// the others are not counted.
    pub threads: u32,
}

impl Limits {
    /// This much time from now on, and no other limit.
    pub fn of_time(time: Duration) -> Self {
        Self {
            until: moment(time),
            ..Self::default()
        }
    }

    /// So many threads as are asked for, and no more than the machine can run at once: further ones would take time and memory from these.
    pub fn workers(&self) -> u32 {
        let cores =
            available_parallelism().map_or(1, |n| u32::try_from(n.get()).unwrap_or(u32::MAX));
        self.threads.clamp(1, cores)
    }

    /// Whether somebody asked to stop.
    pub fn cancelled(&self) -> bool {
        self.stop.is_asked()
    }

    /// Whether the time is up.
    pub fn late(&self) -> bool {
        self.until.is_some_and(|until| until <= Instant::now())
    }

    /// One part in `parts` of the time that is left and of the nodes; the same token, memory, seed and threads.
    pub fn share(&self, parts: u32) -> Self {
        Self {
            nodes: self
                .nodes
                .map(|nodes| nodes.div_ceil(u64::from(parts.max(1)))),
            ..self.share_of_time(parts)
        }
    }

    /// The same but for the nodes, which count for each search.
    pub fn share_of_time(&self, parts: u32) -> Self {
        let now = Instant::now();
        Self {
            until: (self.until)
                .map(|until| now + until.saturating_duration_since(now) / parts.max(1)),
            ..self.clone()
        }
    }
}

/// The moment this far from now; `None` if it is beyond the clock's range, which is as good as no deadline.
pub fn moment(time: Duration) -> Option<Instant> {
    Instant::now().checked_add(time)
}

/// Default bytes for tables and layers: 1 GiB.
pub const DEFAULT_MEMORY: u64 = 1 << 30;

/// Counts what a search has used of its limits.
#[derive(Debug)]
pub struct Meter<'a> {
    limits: &'a Limits,
    begun: Instant,
    nodes: u64,
    stopped: Option<Ended>,
}

/// The clock and the signal are checked once in this many states.
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
            nodes: Some(
                self.limits
                    .nodes
                    .map_or(nodes, |most| left(most).min(nodes)),
            ),
            memory: Some(memory),
            ..self.limits.clone()
        }
    }

    /// Whether any limit is sure to end the search.
    pub fn ends(&self) -> bool {
        self.limits.until.is_some() || self.limits.nodes.is_some()
    }

    /// Seed for random choices.
    pub fn seed(&self) -> u64 {
        self.limits.seed
    }

    /// Counts many states at once, such as those of a rebuilt table; `false` once a limit is reached, and from then on.
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

    /// Checks the clock and the signal without counting a state, for work that is not counted in states. Returns whether the search has to stop.
    pub fn is_over(&mut self) -> bool {
        if self.stopped.is_none() {
            self.look();
        }
        self.stopped.is_some()
    }

    fn look(&mut self) {
        if self.limits.cancelled() {
            self.stopped = Some(Ended::Cancelled);
        } else if self.limits.late() {
            self.stopped = Some(Ended::Time);
        }
    }

    /// Which limit was reached, if any.
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
