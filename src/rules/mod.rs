//! The rules of the trade: one file a rule, with its parameters, its sentence and the demands that it posts.
//!
//! [`book`] holds the rules of one class with their defaults, [`subject`] what they read of the class, [`posting`] where their
//! demands go. No demand is merged with another or dropped as implied: each can be weighed and named on its own.

pub mod at_most;
pub mod before;
pub mod blocks;
pub mod book;
pub mod breathers;
pub mod counterpose;
pub mod effort_arc;
pub mod fits;
pub mod flows_into;
pub mod ledger;
pub mod load_ceiling;
pub mod longest_load;
pub mod near;
pub mod need;
pub mod pinned;
pub mod posting;
pub mod preparation;
pub mod recovery;
pub mod rounds;
pub mod rule;
#[cfg(test)]
pub mod sample;
pub mod sides;
pub mod subject;
pub mod target;
pub mod together;
pub mod warm_up;

pub use book::RuleBook;
pub use need::Need;
