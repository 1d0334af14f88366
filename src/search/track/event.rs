//! What trackers are told, and what a violation costs them.

use crate::search::done_set::Bits;
use crate::search::tables::FacetSet;

/// One step more, as an order tracker sees it.
pub struct Advance<'a, const N: usize> {
    /// The steps done before.
    pub done: &'a Bits<N>,
    /// The steps that must be done in the end.
    pub must: &'a Bits<N>,
    /// The step placed.
    pub step: usize,
    /// Its place, from 1.
    pub place: i64,
    /// Class of the step before it.
    pub last_class: usize,
    /// The facets that changed before it.
    pub changed: FacetSet,
    /// The set-up that it has, one value for each facet (facets that are left out of a relaxation hold nonsense).
    pub setup: &'a [u16],
}

/// The end, as an order tracker sees it.
pub struct Settle {
    /// How many steps are used.
    pub used: i64,
    /// The facets that change in the final change-over.
    pub changed: FacetSet,
}

/// More than the steps, and so the changes and places, of any problem that the search takes: a state has at most 2048 bits, one for each
/// step among them. Counts that only matter up to that many are capped here.
pub const MANY: i64 = 4096;

/// `count` violations of a demand of this weight: their cost, or `None` if it must hold and does not.
#[inline]
pub fn charge(weight: Option<i64>, count: i64) -> Option<i64> {
    match weight {
        _ if count == 0 => Some(0),
        None => None,
        Some(w) => Some(w * count),
    }
}

/// The state of one clock tracker.
pub type Words = [i64; 3];

/// One step more, as a clock tracker sees it. All times are hundredths.
#[derive(Debug, Clone, Copy)]
pub struct Timed {
    /// The step.
    pub step: usize,
    /// When it starts.
    pub start: i64,
    /// When it ends.
    pub end: i64,
}

/// A state that is compared, as a clock tracker sees it.
pub struct Side<'a> {
    /// Its clock.
    pub now: i64,
    /// The tracker's words.
    pub words: &'a Words,
}

/// What is still to come, the same for both states that are compared.
pub struct Ahead<'a, const N: usize> {
    /// The steps done.
    pub done: &'a Bits<N>,
    /// No class takes longer than this from here to its end.
    pub longest: i64,
    /// No class takes less time than this from here to its end.
    pub least: i64,
}

/// Times from one to another, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The earliest.
    pub from: i64,
    /// The latest.
    pub to: i64,
}
