//! How long a search may go on: the only clock in the search.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// What ends a search before its proof.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    /// Wall-clock time.
    pub time: Option<Duration>,
    /// Expanded states.
    pub nodes: Option<u64>,
    /// Bytes for tables and layers; `None`: 1 GiB.
    pub memory: Option<u64>,
    /// Set by another thread (a signal handler) to stop.
    pub cancel: Option<Arc<AtomicBool>>,
    /// Seed for whatever is drawn at random.
    pub seed: u64,
}
