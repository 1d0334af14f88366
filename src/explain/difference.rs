//! How two orders differ in figures: of one class, or of a class and a changed one.

use super::savings::{Judged, broken_wishes};

/// What an order has more than another; below 0: fewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Difference {
    /// Stops.
    pub stops: i64,
    /// Change-over time, hundredths.
    pub changeover: i64,
    /// Whole class, hundredths.
    pub finish: i64,
    /// Rules that may give way and are not kept.
    pub unmet: i64,
    /// Score.
    pub score: i64,
}

/// What `this` has more than `that`, each an order of its own class.
pub fn difference(this: Judged<'_>, that: Judged<'_>) -> Difference {
    let unmet = broken_wishes(this.0, this.1) - broken_wishes(that.0, that.1);
    let (this, that) = (this.1, that.1);
    Difference {
        stops: this.stops - that.stops,
        changeover: this.changeover - that.changeover,
        finish: this.timeline.finish - that.timeline.finish,
        unmet,
        score: this.score - that.score,
    }
}
