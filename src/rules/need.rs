//! Whether a rule must hold, should hold, or is off, and where the teacher said so.

use crate::source::Span;

/// Seconds that a violation of a rule costs where breaking it can hurt (common practice, no source).
pub const WEIGHT_CAN_HURT: f64 = 60.0;

/// Seconds that a violation of any other rule costs (common practice, no source).
pub const WEIGHT_OTHER: f64 = 30.0;

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
    /// The rule is switched off.
    Off,
}

/// A need with the line of the brief that asks for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What is asked.
    pub need: Need,
    /// The line of the brief; `None` for a rule that holds unasked.
    pub span: Option<Span>,
}

impl Asked {
    /// A wish that holds unasked; `weight` in seconds.
    pub fn prefer(weight: f64) -> Self {
        Self {
            need: Need::Prefer { weight },
            span: None,
        }
    }

    /// A demand that holds unasked.
    pub fn must() -> Self {
        Self {
            need: Need::Must,
            span: None,
        }
    }

    /// Switched off.
    pub fn off() -> Self {
        Self {
            need: Need::Off,
            span: None,
        }
    }

    /// Whether it is switched off.
    pub fn is_off(&self) -> bool {
        self.need == Need::Off
    }
}
