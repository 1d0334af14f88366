//! What cannot hold together and what would help, where no order exists: the keys `conflict` and `changes` of a plan.

use serde::Serialize;

use super::seconds;
use crate::compile::Compiled;
use crate::explain::conflict;
use crate::explain::easing::Easing;
use crate::explain::relaxation::{Relaxation, Relaxations};
use crate::report::eased::easing;
use crate::source::Span;

/// What cannot hold together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Conflict {
    /// The demands; empty: no order exists even without any.
    pub rules: Vec<ConflictRule>,
    /// Whether it was found for each of them that there is an order without it.
    pub settled: bool,
}

/// A demand that cannot hold together with others.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct ConflictRule {
    /// Its number in the problem.
    pub demand: usize,
    /// What it asks, as a sentence.
    pub asked: String,
    /// The line of the brief, unless it holds unasked.
    pub line: Option<usize>,
}

impl Conflict {
    /// What cannot hold together in a class.
    pub fn new(compiled: &Compiled, conflict: &conflict::Conflict) -> Self {
        let rule = |&k: &usize| {
            let entry = &compiled.ledger.entries[k];
            ConflictRule {
                demand: k,
                asked: entry.sentence.clone(),
                line: entry.span.as_ref().map(Span::line),
            }
        };
        Self {
            rules: conflict.demands.iter().map(rule).collect(),
            settled: conflict.minimal,
        }
    }
}

/// Single changes that were tried where no order exists.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Changes {
    /// Those that are enough, best first.
    pub would_help: Vec<Change>,
    /// How many were tried.
    pub tried: usize,
    /// How many of them were not settled in the time.
    pub not_settled: usize,
}

impl From<&Relaxations> for Changes {
    fn from(relaxations: &Relaxations) -> Self {
        Self {
            would_help: relaxations.found.iter().map(Change::from).collect(),
            tried: relaxations.tried,
            not_settled: relaxations.open,
        }
    }
}

/// A change to the brief that makes an order possible, with the best class that it leads to.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Change {
    /// What kind of change it is.
    pub kind: ChangeKind,
    /// The same in words.
    pub says: String,
    /// The line of the brief that changes.
    pub line: usize,
    /// Lines of the brief as they are.
    pub was: Vec<String>,
    /// The same lines with the change.
    pub becomes: Vec<String>,
    /// All that counts in the class with it.
    pub counts_seconds: f64,
    /// How often the class halts.
    pub stops: i64,
    /// All change-overs together.
    pub changeover_seconds: f64,
    /// The whole class.
    pub finish_seconds: f64,
    /// How many wishes are not met.
    pub unmet_wishes: i64,
    /// By how much another order with the same change could be better; null if nothing is known.
    pub better_by_at_most_seconds: Option<f64>,
}

impl From<&Relaxation> for Change {
    fn from(r: &Relaxation) -> Self {
        Self {
            kind: (&r.easing).into(),
            says: easing(&r.easing),
            line: r.change.line,
            was: r.change.was.clone(),
            becomes: r.change.becomes.clone(),
            counts_seconds: r.seconds,
            stops: r.stops,
            changeover_seconds: seconds(r.changeover),
            finish_seconds: seconds(r.finish),
            unmet_wishes: r.unmet,
            better_by_at_most_seconds: r.better_by,
        }
    }
}

/// What kind of change it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum ChangeKind {
    /// A rule becomes a wish.
    Wish,
    /// A rule asks for less.
    Less,
    /// More minutes.
    Minutes,
    /// More short rests.
    Rests,
    /// Fewer repetitions in the whole class.
    Shorter,
    /// The usual springs of a movement instead of its own.
    Springs,
    /// A line of the list is left out.
    Without,
}

impl From<&Easing> for ChangeKind {
    fn from(easing: &Easing) -> Self {
        match easing {
            Easing::Wish { .. } => Self::Wish,
            Easing::Less { .. } => Self::Less,
            Easing::Minutes { .. } => Self::Minutes,
            Easing::Rests { .. } => Self::Rests,
            Easing::Shorter => Self::Shorter,
            Easing::Springs { .. } => Self::Springs,
            Easing::Without { .. } => Self::Without,
        }
    }
}
