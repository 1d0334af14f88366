//! Orders with their figures, and one beside another: parts that several reports have in common.

use serde::Serialize;

use super::seconds;
use crate::compile::Compiled;
use crate::explain::savings::{self, Judged, broken_wishes};
use crate::score::Evaluation;

/// A machine by id and name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Machine {
    /// Its id, as in `apparatus` of a class.
    pub id: String,
    /// Its name on paper.
    pub name: String,
}

impl Machine {
    /// The machine of a class.
    pub fn of(compiled: &Compiled) -> Self {
        Self {
            id: compiled.apparatus.id.clone(),
            name: compiled.apparatus.name.clone(),
        }
    }
}

/// An order with its figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Scored {
    /// The steps in use.
    pub order: Vec<usize>,
    /// For each step of the order one value for each facet.
    pub setups: Vec<Vec<usize>>,
    /// In the units of a problem file.
    pub score: i64,
    /// How often the class halts.
    pub stops: i64,
    /// All change-overs together.
    pub changeover_seconds: f64,
    /// The whole class.
    pub finish_seconds: f64,
    /// Demands that must hold and do not.
    pub broken_musts: Vec<usize>,
    /// How many wishes are not met.
    pub unmet_wishes: i64,
}

impl Scored {
    /// An order as the referee scores it.
    pub fn new(compiled: &Compiled, evaluation: &Evaluation) -> Self {
        Self {
            order: evaluation.timeline.order.clone(),
            setups: evaluation.timeline.setups.clone(),
            score: evaluation.score,
            stops: evaluation.stops,
            changeover_seconds: seconds(evaluation.changeover),
            finish_seconds: seconds(evaluation.timeline.finish),
            broken_musts: evaluation.broken.clone(),
            unmet_wishes: broken_wishes(compiled, evaluation),
        }
    }
}

/// A change-over between two steps; null for the start and the end of the class.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Link {
    /// The step before it.
    pub from: Option<usize>,
    /// The step after it.
    pub to: Option<usize>,
    /// How long it takes.
    pub seconds: f64,
    /// Whether the class halts.
    pub stop: bool,
}

impl From<&savings::Link> for Link {
    fn from(link: &savings::Link) -> Self {
        Self {
            from: link.from,
            to: link.to,
            seconds: seconds(link.time),
            stop: link.stop,
        }
    }
}

/// A change-over that both orders have, and that takes another time.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Altered {
    /// In the list as given.
    pub as_given: Link,
    /// In the order that was found.
    pub now: Link,
}

/// One order less another.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Savings {
    /// Stops that are saved.
    pub stops: i64,
    /// Change-over time that is saved.
    pub changeover_seconds: f64,
    /// Wishes that are met now and were not, less those that were met and are not now.
    pub unmet_wishes: i64,
    /// The same of rules that must hold.
    pub broken_musts: i64,
    /// Change-overs that are gone.
    pub gone: Vec<Link>,
    /// Change-overs that are new.
    pub new: Vec<Link>,
    /// Change-overs between the same two that are another now.
    pub altered: Vec<Altered>,
}

impl From<&savings::Savings> for Savings {
    fn from(s: &savings::Savings) -> Self {
        let altered = s.altered.iter().map(|(as_given, now)| Altered {
            as_given: as_given.into(),
            now: now.into(),
        });
        Self {
            stops: s.stops,
            changeover_seconds: seconds(s.changeover),
            unmet_wishes: s.wishes,
            broken_musts: s.musts,
            gone: s.gone.iter().map(Link::from).collect(),
            new: s.new.iter().map(Link::from).collect(),
            altered: altered.collect(),
        }
    }
}

/// One order beside another: this one less the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Beside {
    /// All that counts, in seconds as the class counts them.
    pub counts_seconds: f64,
    /// Stops.
    pub stops: i64,
    /// Change-over time.
    pub changeover_seconds: f64,
    /// Wishes that are not met.
    pub unmet_wishes: i64,
    /// Rules that must hold and do not.
    pub broken_musts: i64,
}

impl Beside {
    /// `this` less `other`.
    pub fn new(other: Judged<'_>, this: Judged<'_>) -> Self {
        let s = savings::savings(this, other);
        Self {
            counts_seconds: this.0.seconds_of(this.1.score - other.1.score),
            stops: s.stops,
            changeover_seconds: seconds(s.changeover),
            unmet_wishes: s.wishes,
            broken_musts: s.musts,
        }
    }
}
