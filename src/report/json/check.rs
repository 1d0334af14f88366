//! An order as written, audited: `check --json`.

use serde::Serialize;

use super::class::Class;
use super::orders::{Machine, Scored};
use super::plan::{Note, assumed};
use super::seconds;
use crate::answer::class;
use crate::answer::planned::AsGiven;
use crate::exchange::version::{VERSION, Version};
use crate::explain::waste::{ThereAndBack, there_and_back};
use crate::lesson::lesson;

/// An order as written, audited: what `check --json` prints, one line a class.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Check {
    /// The version of this format.
    pub segue_check: Version,
    /// The title of the class; may be empty.
    pub title: String,
    /// The machine that it is for.
    pub machine: Machine,
    /// Minutes there are, if they are given.
    pub minutes: Option<f64>,
    /// The order as written.
    pub order: Scored,
    /// Whether no set-ups for this order are cheaper.
    pub order_is_proven: bool,
    /// Changes there and back again.
    pub wasted: Vec<Wasted>,
    /// The class as it is taught in this order.
    pub class: Class,
    /// What the list lacks whatever the order.
    pub lacks: Vec<String>,
    /// What was left out, for conditions in the room.
    pub left_out: Vec<String>,
    /// What was taken over or assumed.
    pub assumed: Vec<String>,
    /// What was noticed and gone on with.
    pub notes: Vec<Note>,
}

impl Check {
    /// The audit of an order as written.
    pub fn new(prepared: &class::Class, given: &AsGiven) -> Self {
        let (brief, compiled) = (&prepared.brief, &prepared.compiled);
        let evaluation = &given.found;
        let wasted = there_and_back(compiled, &evaluation.timeline);
        Self {
            segue_check: VERSION,
            title: brief.title.clone(),
            machine: Machine::of(compiled),
            minutes: brief.minutes,
            order: Scored::new(compiled, evaluation),
            order_is_proven: given.proven,
            wasted: wasted.into_iter().map(Wasted::from).collect(),
            class: Class::from(&lesson(brief, compiled, evaluation)),
            lacks: compiled.unmet.clone(),
            left_out: compiled.class.left_out.clone(),
            assumed: assumed(&brief.assumed, &compiled.class.assumed),
            notes: prepared.notes.iter().map(Note::from).collect(),
        }
    }
}

/// Something that is changed and soon changed back.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Wasted {
    /// What is changed.
    pub facet: String,
    /// What it is before and after.
    pub usual: String,
    /// What it is between.
    pub between: String,
    /// Movements that are done meanwhile.
    pub steps: Vec<String>,
    /// What the two changes take, the way to reach it not counted.
    pub seconds: f64,
    /// Whether they halt the class.
    pub stop: bool,
}

impl From<ThereAndBack> for Wasted {
    fn from(w: ThereAndBack) -> Self {
        Self {
            facet: w.facet,
            usual: w.usual,
            between: w.between,
            steps: w.steps,
            seconds: seconds(w.time),
            stop: w.stop,
        }
    }
}
