//! How two orders differ in figures: of one class, or of a class and a changed one.

use super::savings::broken_wishes;
use crate::score::Evaluation;

/// What an order has more than another; below 0: fewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Difference {
    /// Stops.
    pub stops: i64,
    /// Change-over time, hundredths.
    pub changeover: i64,
    /// Whole class, hundredths.
    pub finish: i64,
    /// Wishes that are not met.
    pub unmet: i64,
    /// Score.
    pub score: i64,
}

/// What `this` has more than `that`.
pub fn difference(this: &Evaluation, that: &Evaluation) -> Difference {
    Difference {
        stops: this.stops - that.stops,
        changeover: this.changeover - that.changeover,
        finish: this.timeline.finish - that.timeline.finish,
        unmet: broken_wishes(this) - broken_wishes(that),
        score: this.score - that.score,
    }
}
