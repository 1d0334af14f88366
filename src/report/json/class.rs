//! The class as it is taught: the sheet of a plan, row by row.

use serde::Serialize;

use super::rules::{Condition, Rule};
use super::seconds;
use crate::lesson::changeover;
use crate::lesson::setup_words;
use crate::lesson::{self, Done, Lesson};
use crate::model::movement::{BodyNotes, RepUnit};
use crate::problem::step::Side;

/// The class as it is taught.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Class {
    /// How the machines stand before it.
    pub start: Vec<String>,
    /// Where everybody waits.
    pub start_position: Option<String>,
    /// What lies within reach.
    pub lay_out: Vec<String>,
    /// What is taught, in order.
    pub rows: Vec<Row>,
    /// What is changed after the last step.
    pub reset: Option<Changeover>,
    /// What is put back for the next class.
    pub put_back: Vec<String>,
    /// The whole class.
    pub finish_seconds: f64,
    /// All change-overs together.
    pub changeover_seconds: f64,
    /// How often the class halts.
    pub stops: i64,
    /// What is left of its minutes, below 0 if it is too long; null without minutes.
    pub left_over_seconds: Option<f64>,
    /// How long it is until the first movement that cannot stand in a warm-up; null if there is none.
    pub warm_up_seconds: Option<f64>,
    /// How each rule fares.
    pub rules: Vec<Rule>,
    /// Conditions in the room.
    pub conditions: Vec<Condition>,
    /// Care that the machine calls for.
    pub machine_cautions: Vec<String>,
}

impl From<&Lesson> for Class {
    fn from(l: &Lesson) -> Self {
        Self {
            start: l.start.clone(),
            start_position: l.start_position.clone(),
            lay_out: l.lay_out.clone(),
            rows: l.rows.iter().map(Row::from).collect(),
            reset: l.reset.as_ref().map(Changeover::from),
            put_back: l.put_back.clone(),
            finish_seconds: seconds(l.finish),
            changeover_seconds: seconds(l.changeover),
            stops: l.stops,
            left_over_seconds: l.left_over.map(seconds),
            warm_up_seconds: l.warm_up.map(seconds),
            rules: l.rule_reports.iter().map(Rule::from).collect(),
            conditions: l.conditions.iter().map(Condition::from).collect(),
            machine_cautions: l.machine.clone(),
        }
    }
}

/// One step as it is taught.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Row {
    /// From 1.
    pub place: usize,
    /// From 0, as in the problem file.
    pub step: usize,
    /// Id of the movement.
    pub id: String,
    /// Its name.
    pub movement: String,
    /// Which side it works.
    pub side: Side,
    /// From 1.
    pub round: u32,
    /// Whether it is a rest that was put in.
    pub breather: bool,
    /// The block or series that it belongs to, by name.
    pub block: Option<String>,
    /// What is done of it, layer by layer.
    pub layers: Vec<Layer>,
    /// By the studio's labels.
    pub springs: String,
    /// Where these are not the springs that it is usually done on.
    pub not_usual_springs: Option<NotUsual>,
    /// The next lighter springs that it allows here.
    pub lighter: Option<OtherSprings>,
    /// The next heavier ones.
    pub heavier: Option<OtherSprings>,
    /// What else it asks of the machine.
    pub other_facets: Vec<String>,
    /// Where the body is at its start.
    pub position: String,
    /// How it is done, then cues.
    pub teaching: Vec<String>,
    /// What to say to different bodies; empty where there is nothing.
    pub bodies: Bodies,
    /// Seconds from the start of the class to its start.
    pub clock: f64,
    /// Seconds from the start of the class to its end.
    pub end: f64,
    /// What is done between the step before, or the start of the class, and this one.
    pub before: Changeover,
}

impl From<&lesson::Row> for Row {
    fn from(r: &lesson::Row) -> Self {
        Self {
            place: r.place,
            step: r.step,
            id: r.id.clone(),
            movement: r.movement.clone(),
            side: r.side,
            round: r.round,
            breather: r.breather,
            block: r.block.clone(),
            layers: r.done.iter().map(Layer::from).collect(),
            springs: r.springs.clone(),
            not_usual_springs: r.borrowed.as_ref().map(NotUsual::from),
            lighter: r.lighter.as_ref().map(OtherSprings::from),
            heavier: r.heavier.as_ref().map(OtherSprings::from),
            other_facets: r.facets.clone(),
            position: r.position.clone(),
            teaching: r.cues.clone(),
            bodies: (&r.notes).into(),
            clock: seconds(r.start),
            end: seconds(r.end),
            before: (&r.before).into(),
        }
    }
}

/// One form of a movement, and how often it is done.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Layer {
    /// Its name; empty if the movement has only one.
    pub layer: String,
    /// How often, in words.
    pub amount: String,
    /// How often, as a number of what `unit` says.
    pub count: u32,
    /// What is counted.
    pub unit: Unit,
    /// Whether it is done so often in each of two directions.
    pub each_way: bool,
    /// Whether the sides take turns.
    pub by_turns: bool,
    /// What all of it takes.
    pub seconds: f64,
    /// Whether it is offered, not asked.
    pub offered: bool,
    /// Another grip than the movement's; may be empty.
    pub grip: String,
}

impl From<&Done> for Layer {
    fn from(done: &Done) -> Self {
        Self {
            layer: done.layer.clone(),
            amount: done.amount.clone(),
            count: done.count,
            unit: done.unit.into(),
            each_way: done.each_way,
            by_turns: done.by_turns,
            seconds: done.seconds,
            offered: done.offered,
            grip: done.grip.clone(),
        }
    }
}

/// What is counted of a movement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Repetitions.
    Repetition,
    /// Breaths.
    Breath,
    /// Seconds of a hold.
    Second,
}

impl From<RepUnit> for Unit {
    fn from(unit: RepUnit) -> Self {
        match unit {
            RepUnit::Repetition => Self::Repetition,
            RepUnit::Breath => Self::Breath,
            RepUnit::Second => Self::Second,
        }
    }
}

/// Springs that are not those that a movement is usually done on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct NotUsual {
    /// Those that are usual, by the studio's labels.
    pub usual: String,
    /// Load units more than usual; below 0: fewer.
    pub more_load_units: f64,
    /// What that does to the movement.
    pub effect: String,
}

impl From<&setup_words::Borrowed> for NotUsual {
    fn from(b: &setup_words::Borrowed) -> Self {
        Self {
            usual: b.preferred.clone(),
            more_load_units: b.more,
            effect: b.effect.clone(),
        }
    }
}

/// Springs for somebody who wants less or more of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct OtherSprings {
    /// By the studio's labels.
    pub springs: String,
    /// What they do to the movement.
    pub effect: String,
}

impl From<&setup_words::Beside> for OtherSprings {
    fn from(other: &setup_words::Beside) -> Self {
        Self {
            springs: other.springs.clone(),
            effect: other.effect.to_owned(),
        }
    }
}

/// Notes for different bodies and ropes; each may be empty.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Bodies {
    /// For tall people.
    pub tall: String,
    /// For short people.
    pub short: String,
    /// With long ropes.
    pub long_ropes: String,
    /// With short ropes.
    pub short_ropes: String,
    /// Which part of the hand or foot presses.
    pub contact: String,
}

impl From<&BodyNotes> for Bodies {
    fn from(notes: &BodyNotes) -> Self {
        Self {
            tall: notes.tall.clone(),
            short: notes.short.clone(),
            long_ropes: notes.long_ropes.clone(),
            short_ropes: notes.short_ropes.clone(),
            contact: notes.contact.clone(),
        }
    }
}

/// What is done between two steps.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Changeover {
    /// How long it takes.
    pub seconds: f64,
    /// Whether the class halts.
    pub stop: bool,
    /// What to say, in order.
    pub cues: Vec<Cue>,
    /// What is against it; null if nothing is: a place that only the machine's own file allows, or the long safe way in place of a refused one.
    pub marked: Option<String>,
}

impl From<&changeover::Changeover> for Changeover {
    fn from(c: &changeover::Changeover) -> Self {
        Self {
            seconds: seconds(c.time),
            stop: c.stop,
            cues: c.cues.iter().map(Cue::from).collect(),
            marked: c.spotted.mark(),
        }
    }
}

/// One thing to say in a change-over.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Cue {
    /// What it asks.
    pub kind: CueKind,
    /// The words.
    pub cue: String,
    /// What it is counted with; 0 for what is said on the way.
    pub seconds: f64,
}

impl From<&changeover::Cue> for Cue {
    fn from(cue: &changeover::Cue) -> Self {
        Self {
            kind: cue.kind.into(),
            cue: cue.text.clone(),
            seconds: seconds(cue.time),
        }
    }
}

/// What a cue asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum CueKind {
    /// To be safe, before what follows.
    Care,
    /// A move of the body.
    Move,
    /// Springs go on or come off.
    Springs,
    /// Something else of the machine is set.
    Machine,
}

impl From<changeover::CueKind> for CueKind {
    fn from(kind: changeover::CueKind) -> Self {
        match kind {
            changeover::CueKind::Safety => Self::Care,
            changeover::CueKind::Move => Self::Move,
            changeover::CueKind::Springs => Self::Springs,
            changeover::CueKind::Facet => Self::Machine,
        }
    }
}
