//! Whether a problem is well formed: all mistakes at once.

use super::Problem;

/// A mistake in a problem, in words that name the place ("step 3: setup[0] lists value 2 twice").
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ProblemError(pub String);

/// All mistakes of a problem; empty if it is well formed.
pub fn check(_problem: &Problem) -> Vec<ProblemError> {
    Vec::new()
}
