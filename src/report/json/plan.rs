//! A plan with everything that is known about it: `plan --json`.

use serde::Serialize;

use super::class::Class;
use super::eased::{Changes, Conflict};
use super::orders::{Machine, Savings, Scored};
use super::seconds;
use crate::answer::planned::{Answer, AsGiven};
use crate::diagnostic::Diagnostic;
use crate::exchange::solution_file::{SolutionFile, write};
use crate::exchange::version::{VERSION, Version};
use crate::explain::machines::{self, Comparison};
use crate::explain::savings::savings;
use crate::explain::verdict::{Verdict, own_order_will_do, verdict};
use crate::lesson::lesson;
use crate::model::springs::SpringClass;
use crate::report::sheet;
use crate::score::Evaluation;

/// A plan: what `plan --json` prints. Keys that end in `seconds` are in seconds; places count from 1, steps from 0.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Plan {
    /// The version of this format.
    pub segue_plan: Version,
    /// The title of the class; may be empty.
    pub title: String,
    /// The day, and the time of day, if the class has one.
    pub date: Option<String>,
    /// The machine that it is planned on.
    pub machine: Machine,
    /// The springs of the machine, as the studio calls them.
    pub springs: Vec<Spring>,
    /// How many people or machines there are in the room.
    pub people: u32,
    /// Minutes there are, if they are given.
    pub minutes: Option<f64>,
    /// How sure the answer is.
    pub answer: AnswerWord,
    /// With "at most": seconds by which another order may be better, if anything is known.
    pub better_by_at_most_seconds: Option<f64>,
    /// The lines that open the sheet.
    pub said: Vec<String>,
    /// Whether the order as written is within a tenth of the best, if known; also null where `keeps_pairs` is a number.
    pub own_order_will_do: Option<bool>,
    /// Least number of pairs of neighbours to keep of the order as written, if asked for; `answer` then speaks of such orders.
    pub keeps_pairs: Option<usize>,
    /// The plan as a solution of the exported problem; `conflict` only where none of the demands can be spared.
    pub solution: SolutionFile,
    /// The list as given.
    pub as_given: Option<Scored>,
    /// Whether no set-ups for the list as given are cheaper; if not, the savings may be overstated.
    pub as_given_is_proven: Option<bool>,
    /// Where no order exists: what cannot hold together.
    pub conflict: Option<Conflict>,
    /// Where no order exists: what would help.
    pub changes: Option<Changes>,
    /// Against the list as given.
    pub savings: Option<Savings>,
    /// The class as it is taught, if there is an order.
    pub class: Option<Class>,
    /// What the list lacks whatever the order.
    pub lacks: Vec<String>,
    /// What was left out, for conditions in the room.
    pub left_out: Vec<String>,
    /// Assumptions.
    pub assumed: Vec<String>,
    /// What was noticed and gone on with.
    pub notes: Vec<Note>,
    /// With another machine asked for: what changed.
    pub other_machine: Option<OtherMachine>,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Plan {
    /// An answer; `compared`: with what the class is on its own machine, where another was asked for.
    pub fn new(answer: &Answer, compared: Option<&Comparison>) -> Self {
        let (brief, compiled) = (&answer.brief, &answer.compiled);
        let (word, at_most) = sureness(&verdict(compiled, &answer.outcome));
        let best = answer.best.as_ref();
        let own = answer.as_given.as_ref();
        let both = best.zip(own);
        let opening = sheet::sheet(answer).opening;
        let springs = compiled.apparatus.springs.classes.iter();
        Self {
            segue_plan: VERSION,
            title: brief.title.clone(),
            date: brief.date.map(|date| date.to_string()),
            machine: Machine::of(compiled),
            springs: springs.map(Spring::from).collect(),
            people: brief.room,
            minutes: brief.minutes,
            answer: word,
            better_by_at_most_seconds: at_most,
            said: opening.into_iter().map(|line| line.text).collect(),
            own_order_will_do: both.and_then(|(best, own)| will_do(answer, best, own)),
            keeps_pairs: answer.keeps,
            solution: solution(answer),
            as_given: own.map(|own| Scored::new(compiled, &own.found)),
            as_given_is_proven: own.map(|own| own.proven),
            conflict: (answer.conflict.as_ref()).map(|c| Conflict::new(compiled, c)),
            changes: answer.relaxations.as_ref().map(Changes::from),
            savings: both.map(|(best, own)| {
                Savings::from(&savings((compiled, &own.found), (compiled, best)))
            }),
            class: best.map(|best| Class::from(&lesson(brief, compiled, best))),
            lacks: compiled.unmet.clone(),
            left_out: compiled.class.left_out.clone(),
            assumed: assumed(&brief.assumed, &compiled.class.assumed),
            notes: answer.notes.iter().map(Note::from).collect(),
            other_machine: compared.map(OtherMachine::from),
            interrupted: answer.interrupted,
        }
    }
}

fn sureness(verdict: &Verdict) -> (AnswerWord, Option<f64>) {
    match verdict {
        Verdict::Best => (AnswerWord::Best, Some(0.0)),
        Verdict::AtMost { seconds, .. } => (AnswerWord::AtMost, *seconds),
        Verdict::Impossible => (AnswerWord::Impossible, None),
        Verdict::Unsettled { .. } => (AnswerWord::Unsettled, None),
        Verdict::Disagreement(_) => (AnswerWord::Disagreement, None),
        Verdict::TooLarge(_) => (AnswerWord::TooLarge, None),
    }
}

/// Whether the order as written will do; unknown where the best, or cheaper set-ups for it, may bring it nearer.
fn will_do(answer: &Answer, best: &Evaluation, own: &AsGiven) -> Option<bool> {
    let least = answer.outcome.bound.unwrap_or(0).min(best.score);
    if answer.keeps.is_some() {
        return None;
    }
    match own_order_will_do(least, &own.found) {
        true => Some(true),
        // The best is no dearer than the best that was found.
        false => (own.proven && !own_order_will_do(best.score, &own.found)).then_some(false),
    }
}

/// The solution file's fields, with what cannot hold together where there is no order.
fn solution(answer: &Answer) -> SolutionFile {
    let mut solution = write(&answer.outcome, answer.best.as_ref());
    if let Some(conflict) = answer.conflict.as_ref().filter(|c| c.minimal) {
        solution.name_conflict(conflict.demands.clone());
    }
    solution
}

/// Texts of the brief and of the class, each once.
pub(super) fn assumed(brief: &[String], class: &[String]) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for text in brief.iter().chain(class) {
        if !said.contains(text) {
            said.push(text.clone());
        }
    }
    said
}

/// Springs of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Spring {
    /// What the studio calls them.
    pub label: String,
    /// What the machine's file calls them.
    pub class: String,
    /// How many there are.
    pub count: u32,
    /// Load of one in load units.
    pub load_units: f64,
}

impl From<&SpringClass> for Spring {
    fn from(class: &SpringClass) -> Self {
        Self {
            label: class.label.clone(),
            class: class.name.clone(),
            count: class.count,
            load_units: class.load,
        }
    }
}

/// How sure the answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum AnswerWord {
    /// Nothing better exists.
    Best,
    /// There may be something better, by `better_by_at_most_seconds`.
    #[serde(rename = "at most")]
    AtMost,
    /// No order exists.
    Impossible,
    /// None was found, and it is not known whether there is one.
    Unsettled,
    /// The class is larger than segue takes.
    #[serde(rename = "too large")]
    TooLarge,
    /// The plan and its score did not agree, which is a fault of segue.
    Disagreement,
}

/// Something that was noticed and gone on with.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Note {
    /// What it is.
    pub message: String,
    /// Where it is, if it has a place.
    pub place: Option<NotePlace>,
}

impl From<&Diagnostic> for Note {
    fn from(note: &Diagnostic) -> Self {
        let place = note.labels.first().map(|label| NotePlace {
            source: label.span.source.name.clone(),
            line: label.span.line(),
        });
        Self {
            message: note.message.clone(),
            place,
        }
    }
}

/// A place in a file.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct NotePlace {
    /// The file.
    pub source: String,
    /// From 1.
    pub line: usize,
}

/// The same class on two machines, the first one first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct OtherMachine {
    /// The machine of the class, by name.
    pub first: String,
    /// The machine that was asked for.
    pub second: String,
    /// Stops on each.
    pub stops: [i64; 2],
    /// Change-over time on each.
    pub changeover_seconds: [f64; 2],
    /// The whole class on each.
    pub finish_seconds: [f64; 2],
    /// What stands elsewhere or on other springs, in the order of the second machine.
    pub shifts: Vec<Shift>,
}

impl From<&Comparison> for OtherMachine {
    fn from(c: &Comparison) -> Self {
        Self {
            first: c.first.clone(),
            second: c.second.clone(),
            stops: c.stops.into(),
            changeover_seconds: <[i64; 2]>::from(c.changeover).map(seconds),
            finish_seconds: <[i64; 2]>::from(c.finish).map(seconds),
            shifts: c.shifts.iter().map(Shift::from).collect(),
        }
    }
}

/// A step that stands elsewhere, or on other springs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Shift {
    /// Its name.
    pub step: String,
    /// Its place on the first machine; null if it is not there.
    pub from: Option<usize>,
    /// Its place on the second.
    pub to: Option<usize>,
    /// Its springs on the first machine; may be empty.
    pub springs_from: String,
    /// Its springs on the second.
    pub springs_to: String,
}

impl From<&machines::Shift> for Shift {
    fn from(s: &machines::Shift) -> Self {
        Self {
            step: s.step.clone(),
            from: s.from,
            to: s.to,
            springs_from: s.springs_from.clone(),
            springs_to: s.springs_to.clone(),
        }
    }
}
