//! The bookkeeping side of a demand on a growing order: one file a kind, names as in `problem::demand`.
//!
//! An *order tracker* depends on the order and the set-ups alone. Its state is a small number in a field of the state's key, so two
//! states with the same key are the same to it. A *clock tracker* depends on times; its state is a few words that are compared, not
//! hashed: [`clock::ClockTracker::harm`] says how much worse one may fare than another.
//!
//! **Tested by** `trackers`: each against its definition on finished orders, and what it promises of the future against random futures.

pub mod at_most;
pub mod clock;
pub mod clock_set;
pub mod contiguous;
pub mod event;
pub mod fatigue;
pub mod follow;
pub mod longest;
pub mod neighbours;
pub mod order;
pub mod peak;
pub mod place;
pub mod recovery;
pub mod same;
pub mod window;
