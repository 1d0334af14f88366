//! What a demand can look at, and what it costs to break it.

use super::changeovers::Clock;
use super::facets::Values;
use super::places::Places;
use super::program::{Linear, Program};
use crate::problem::Problem;

/// The columns that a demand can look at.
pub(super) struct Columns<'a> {
    pub(super) problem: &'a Problem,
    pub(super) places: &'a Places,
    pub(super) facets: &'a [Values],
    /// There is one if a demand looks at it.
    pub(super) clock: Option<&'a Clock>,
}

impl Columns<'_> {
    /// The clock, for a demand that looks at it.
    pub(super) fn clock(&self) -> &Clock {
        self.clock
            .expect("there is a clock where a demand looks at it")
    }
}

/// 1 where a demand is broken, and what that costs; 0 for one that must hold.
pub(super) fn broken(weight: Option<i64>, program: &mut Program) -> Linear {
    let Some(weight) = weight else {
        return Linear::default();
    };
    let broken = program.binary();
    program.costs(broken * weight);
    broken.into()
}

/// How often a demand is broken, where that is at least what whole columns say, so that it need not be asked to be whole itself.
pub(super) fn times_broken(most: i64, weight: Option<i64>, program: &mut Program) -> Linear {
    let Some(weight) = weight else {
        return Linear::default();
    };
    let times = program.share(most);
    program.costs(times * weight);
    times.into()
}
