//! The token that asks a search to stop, shared by whoever searches and whoever may ask.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Asks to stop, from another thread or a signal handler. Clones are the same token; one made [`below`](Self::below) another is asked
/// with it, but not the other way round.
#[derive(Debug, Clone, Default)]
pub struct Stop {
    asked: Arc<AtomicBool>,
    above: Option<Arc<Stop>>,
}

impl Stop {
    /// A new token that is asked to stop along with this one.
    pub fn below(&self) -> Self {
        Self {
            asked: Arc::default(),
            above: Some(Arc::new(self.clone())),
        }
    }

    /// Asks to stop. Returns whether this had been asked before.
    pub fn ask(&self) -> bool {
        self.asked.swap(true, Ordering::SeqCst)
    }

    /// Whether somebody asked to stop.
    pub fn is_asked(&self) -> bool {
        self.asked.load(Ordering::Relaxed) || self.above.as_ref().is_some_and(|a| a.is_asked())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_asked_with_the_one_above_it_alone() {
        let command = Stop::default();
        let (one, other) = (command.below(), command.below());
        assert!(!one.ask());
        assert!(one.is_asked() && !other.is_asked() && !command.is_asked());
        command.ask();
        assert!(other.below().is_asked());
    }
}
