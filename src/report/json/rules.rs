//! How the rules of a class fare, and the conditions in the room.

use serde::Serialize;

use crate::lesson::conditions::{self, InTheRoom};
use crate::lesson::offer;
use crate::lesson::rule_report::{self, RuleReport, title};

/// A rule of the class, and how it fares.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Rule {
    /// Its title.
    pub rule: String,
    /// The line of the brief that asks for it; null if it holds unasked.
    pub line: Option<usize>,
    /// Whether it must hold; if not, it is a wish.
    pub must: bool,
    /// Whether it is kept.
    pub kept: bool,
    /// How many demands it makes.
    pub demands: usize,
    /// Where it is not kept.
    pub breaches: Vec<Breach>,
}

impl From<&RuleReport> for Rule {
    fn from(report: &RuleReport) -> Self {
        Self {
            rule: title(report.rule).to_owned(),
            line: report.line,
            must: report.must,
            kept: report.kept(),
            demands: report.demands,
            breaches: report.breaches.iter().map(Breach::from).collect(),
        }
    }
}

/// A demand that is not met.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Breach {
    /// Its number in the problem.
    pub demand: usize,
    /// What it asks, as a sentence.
    pub asked: String,
    /// Where and by how much it is not so; may be empty.
    pub found: String,
    /// What would meet it; may be empty.
    pub would_help: String,
    /// What it counts; null for a rule that must hold.
    pub counts_seconds: Option<f64>,
}

impl From<&rule_report::Breach> for Breach {
    fn from(breach: &rule_report::Breach) -> Self {
        Self {
            demand: breach.demand,
            asked: breach.sentence.clone(),
            found: breach.detail.clone(),
            would_help: breach.remedy.clone(),
            counts_seconds: breach.seconds,
        }
    }
}

/// A condition in the room.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Condition {
    /// Its name, or the words of the brief where it is not known.
    pub condition: String,
    /// The phrase of the brief, where that is not the name.
    pub as_written: Option<String>,
    /// Whether segue knows which movements meet it; if not, nothing was checked for it.
    pub known: bool,
    /// What to ask or to know whatever the class; may be empty.
    pub ask: String,
    /// What to say, one sentence for each kind of care that comes up.
    pub say: Vec<String>,
    /// The movements that meet it.
    pub touched: Vec<Touched>,
}

impl From<&InTheRoom> for Condition {
    fn from(c: &InTheRoom) -> Self {
        Self {
            condition: c.condition.clone(),
            as_written: c.said.clone(),
            known: c.known,
            ask: c.ask.to_owned(),
            say: c.wordings.iter().map(|&say| say.to_owned()).collect(),
            touched: c.touched.iter().map(Touched::from).collect(),
        }
    }
}

/// A movement that meets a condition in the room.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Touched {
    /// Where it stands, from 1.
    pub places: Vec<usize>,
    /// Its name.
    pub movement: String,
    /// What about it calls for care.
    pub cautions: Vec<String>,
    /// Movements that may be offered in its place, nearest first; none: to sit, carriage in.
    pub options: Vec<String>,
    /// For each of them the springs, where they are not those of everybody: changed at the stop before and back at the next.
    pub option_springs: Vec<Option<String>>,
    /// The same as a sentence.
    pub say: String,
}

impl From<&conditions::Touched> for Touched {
    fn from(t: &conditions::Touched) -> Self {
        Self {
            places: t.places.clone(),
            movement: t.movement.clone(),
            cautions: t.cautions.iter().map(|c| c.word().to_owned()).collect(),
            options: t.options.iter().map(|o| o.movement.clone()).collect(),
            option_springs: t.options.iter().map(|o| o.springs.clone()).collect(),
            say: offer::said(&t.options),
        }
    }
}
