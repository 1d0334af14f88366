//! A change that was tried: `try --json`.

use serde::Serialize;

use super::plan::Plan;
use super::seconds;
use crate::answer::tried::Tried;
use crate::exchange::version::{VERSION, Version};
use crate::explain::difference::{self, difference};
use crate::report::tried::wanted;

/// A change that was tried: what `try --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Try {
    /// The version of this format.
    pub segue_try: Version,
    /// What was tried, in words.
    pub changes: Vec<String>,
    /// The class as it is, as `plan --json` prints it.
    pub before: Plan,
    /// The class with the changes.
    pub after: Plan,
    /// `after` less `before`; null if one of them has no order.
    pub difference: Option<Difference>,
}

impl Try {
    /// A change that was tried.
    pub fn new(tried: &Tried) -> Self {
        let (before, after) = (&tried.before, &tried.after);
        let both = before.best.as_ref().zip(after.best.as_ref());
        let d = both.map(|(was, is)| difference((&after.compiled, is), (&before.compiled, was)));
        Self {
            segue_try: VERSION,
            changes: wanted(&tried.wanted),
            before: Plan::new(before, None),
            after: Plan::new(after, None),
            difference: d.map(Difference::from),
        }
    }
}

/// The class with the changes less the class as it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Difference {
    /// Stops.
    pub stops: i64,
    /// Change-over time.
    pub changeover_seconds: f64,
    /// The whole class.
    pub finish_seconds: f64,
    /// Wishes that are not met.
    pub unmet_wishes: i64,
}

impl From<difference::Difference> for Difference {
    fn from(d: difference::Difference) -> Self {
        Self {
            stops: d.stops,
            changeover_seconds: seconds(d.changeover),
            finish_seconds: seconds(d.finish),
            unmet_wishes: d.unmet,
        }
    }
}
