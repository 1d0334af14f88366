//! The rules of the trade: one file a rule, with its parameters, its sentence and the demands that it posts.

pub mod ledger;

/// Whether a rule must hold, or what a violation costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    /// Must hold.
    Must,
    /// Should hold; seconds of the score for each violation.
    Prefer {
        /// Weight in seconds.
        weight: f64,
    },
}

/// The rules of one class. Filled in by `read::brief`; the defaults are those of `Default`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RuleBook {}
