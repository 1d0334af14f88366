//! What is told: types of what the commands print with `--json`. The program puts these together by hand from what it knows; a test holds what it prints to
//! these types, key by key.
#![allow(dead_code, reason = "they are read and described, not used")]

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A version of a format: 1.
#[derive(Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Version(#[schemars(range(min = 1, max = 1))] pub u32);

/// A machine by id and name.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    pub id: String,
    pub name: String,
}

/// A plan: what `plan --json` prints. Keys that end in `seconds` are in seconds; places count from 1, steps from 0.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    pub segue_plan: Version,
    pub title: String,
    /// The day, and the time of day, if the class has one.
    pub date: Option<String>,
    pub machine: Machine,
    /// The springs of the machine, as the studio calls them.
    pub springs: Vec<Spring>,
    pub people: u32,
    /// Minutes there are, if they are given.
    pub minutes: Option<f64>,
    pub answer: AnswerWord,
    /// With "at most": seconds by which another order may be better, if anything is known.
    pub better_by_at_most_seconds: Option<f64>,
    /// The lines that open the sheet.
    pub said: Vec<String>,
    /// Whether her own order is within a tenth of the best, if that is known.
    pub own_order_will_do: Option<bool>,
    /// So many pairs of neighbours of her own order at least were to be kept, if that was asked for.
    pub keeps_pairs: Option<usize>,
    pub solution: Solution,
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
    /// What was taken over or assumed.
    pub assumed: Vec<String>,
    /// What was noticed and gone on with.
    pub notes: Vec<Note>,
    /// With another machine asked for: what changed.
    pub other_machine: Option<OtherMachine>,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

/// Springs of one kind.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spring {
    pub label: String,
    pub class: String,
    pub count: u32,
    /// Load of one in load units.
    pub load_units: f64,
}

/// How sure the answer is.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum AnswerWord {
    Best,
    #[serde(rename = "at most")]
    AtMost,
    Impossible,
    Unsettled,
    #[serde(rename = "too large")]
    TooLarge,
    Disagreement,
}

/// A solution of a problem file; times and scores in hundredths of a second.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Solution {
    pub segue_solution: Version,
    /// The steps in use, in order; null where there is no plan.
    pub order: Option<Vec<usize>>,
    /// Whether nothing better exists, or no order at all.
    pub proven: bool,
    pub seconds_taken: f64,
    /// For each step of the order one value for each facet.
    #[serde(default)]
    pub setups: Option<Vec<Vec<usize>>>,
    #[serde(default)]
    pub score: Option<i64>,
    /// No plan scores less, if anything is known.
    #[serde(default)]
    pub bound: Option<i64>,
    #[serde(default)]
    pub changeover: Option<i64>,
    #[serde(default)]
    pub stops: Option<i64>,
    #[serde(default)]
    pub finish: Option<i64>,
    #[serde(default)]
    pub violations: Option<Vec<Violation>>,
    /// Demands that cannot hold together, where no order exists and they were sought.
    #[serde(default)]
    pub conflict: Option<Vec<usize>>,
}

/// A demand that a plan breaks.
#[derive(Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Violation {
    pub demand: usize,
    /// How often; for a peak hundredths of a second.
    pub count: i64,
}

/// An order with its figures.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scored {
    pub order: Vec<usize>,
    pub setups: Vec<Vec<usize>>,
    /// In the units of a problem file.
    pub score: i64,
    pub stops: i64,
    pub changeover_seconds: f64,
    pub finish_seconds: f64,
    /// Demands that must hold and do not.
    pub broken_musts: Vec<usize>,
    /// How many wishes are not met.
    pub unmet_wishes: i64,
}

/// What cannot hold together.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Conflict {
    pub rules: Vec<ConflictRule>,
    /// Whether it was found for each of them that there is an order without it.
    pub settled: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConflictRule {
    pub demand: usize,
    /// What it asks, as a sentence.
    pub asked: String,
    /// The line of the brief, unless it holds unasked.
    pub line: Option<usize>,
}

/// Single changes that were tried where no order exists.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Changes {
    /// Those that are enough, best first.
    pub would_help: Vec<Change>,
    pub tried: usize,
    pub not_settled: usize,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Change {
    pub kind: ChangeKind,
    pub says: String,
    /// The line of the brief that changes.
    pub line: Option<usize>,
    /// Lines of the brief as they are.
    pub was: Vec<String>,
    /// The same lines with the change.
    pub becomes: Vec<String>,
    /// All that counts in the class with it.
    pub counts_seconds: f64,
    pub stops: i64,
    pub changeover_seconds: f64,
    pub finish_seconds: f64,
    pub unmet_wishes: i64,
    pub better_by_at_most_seconds: Option<f64>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ChangeKind {
    Wish,
    Less,
    Minutes,
    Rests,
    Shorter,
    Springs,
    Without,
}

/// One order less another.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Savings {
    pub stops: i64,
    pub changeover_seconds: f64,
    pub unmet_wishes: i64,
    pub broken_musts: i64,
    /// Change-overs that are gone.
    pub gone: Vec<Link>,
    /// Change-overs that are new.
    pub new: Vec<Link>,
    /// Change-overs between the same two that are another now.
    pub altered: Vec<Altered>,
}

/// A change-over between two steps; null for the start and the end of the class.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Link {
    pub from: Option<usize>,
    pub to: Option<usize>,
    pub seconds: f64,
    pub stop: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Altered {
    pub as_given: Link,
    pub now: Link,
}

/// The class as it is taught.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Class {
    /// How the machines stand before it.
    pub start: Vec<String>,
    /// Where everybody waits.
    pub start_position: Option<String>,
    /// What lies within reach.
    pub lay_out: Vec<String>,
    pub rows: Vec<Row>,
    /// What is changed after the last step.
    pub reset: Option<Changeover>,
    /// What is put back for the next class.
    pub put_back: Vec<String>,
    pub finish_seconds: f64,
    pub changeover_seconds: f64,
    pub stops: i64,
    pub left_over_seconds: Option<f64>,
    pub warm_up_seconds: Option<f64>,
    pub rules: Vec<Rule>,
    pub conditions: Vec<Condition>,
    /// Care that the machine calls for.
    pub machine_cautions: Vec<String>,
}

/// One step as it is taught.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// From 1.
    pub place: usize,
    /// From 0, as in the problem file.
    pub step: usize,
    pub id: String,
    pub movement: String,
    pub side: Side,
    pub round: u32,
    /// Whether it is a rest that was put in.
    pub breather: bool,
    pub block: Option<String>,
    pub layers: Vec<Layer>,
    /// By the studio's labels.
    pub springs: String,
    pub not_usual_springs: Option<NotUsual>,
    /// The next lighter springs that it allows here.
    pub lighter: Option<OtherSprings>,
    /// The next heavier ones.
    pub heavier: Option<OtherSprings>,
    pub other_facets: Vec<String>,
    pub position: String,
    pub teaching: Vec<String>,
    /// What to say to different bodies; empty where there is nothing.
    pub bodies: Bodies,
    /// Seconds from the start of the class to its start.
    pub clock: f64,
    /// Seconds from the start of the class to its end.
    pub end: f64,
    pub before: Changeover,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    Left,
    Right,
    Both,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    pub layer: String,
    pub amount: String,
    pub offered: bool,
    pub grip: String,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotUsual {
    pub usual: String,
    pub more_load_units: f64,
    pub effect: String,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherSprings {
    pub springs: String,
    pub effect: String,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bodies {
    pub tall: String,
    pub short: String,
    pub long_ropes: String,
    pub short_ropes: String,
    pub contact: String,
}

/// What is done between two steps.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Changeover {
    pub seconds: f64,
    /// Whether the class halts.
    pub stop: bool,
    pub cues: Vec<Cue>,
    /// What is against it; null if nothing is: a place that only the machine's own file allows, or the long safe way in place of a refused one.
    pub marked: Option<String>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cue {
    pub kind: CueKind,
    pub cue: String,
    pub seconds: f64,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CueKind {
    Care,
    Move,
    Springs,
    Machine,
}

/// A rule of the class, and how it fares.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    pub rule: String,
    pub line: Option<usize>,
    pub must: bool,
    pub kept: bool,
    /// How many demands it makes.
    pub demands: usize,
    pub breaches: Vec<Breach>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Breach {
    pub demand: usize,
    pub asked: String,
    pub found: String,
    pub would_help: Option<String>,
    pub counts_seconds: Option<f64>,
}

/// A condition in the room.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
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
    pub touched: Vec<Touched>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Touched {
    pub places: Vec<usize>,
    pub movement: String,
    pub cautions: Vec<String>,
    /// Movements that may be offered in its place, nearest first; none: to sit, carriage in.
    pub options: Vec<String>,
    /// For each of them the springs, where they are not those of everybody: changed at the stop before and back at the next.
    pub option_springs: Vec<Option<String>>,
    /// The same as a sentence.
    pub say: String,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Note {
    pub message: String,
    pub place: Option<NotePlace>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotePlace {
    pub source: String,
    pub line: usize,
}

/// The same class on two machines, the first one first.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherMachine {
    pub first: String,
    pub second: String,
    pub stops: [i64; 2],
    pub changeover_seconds: [f64; 2],
    pub finish_seconds: [f64; 2],
    pub shifts: Vec<Shift>,
}

/// A step that stands elsewhere, or on other springs.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shift {
    /// Its name.
    pub step: String,
    pub from: Option<usize>,
    pub to: Option<usize>,
    pub springs_from: Option<String>,
    pub springs_to: Option<String>,
}

/// An order as written, audited: what `check --json` prints, one line a class.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Check {
    pub segue_check: Version,
    pub title: String,
    pub machine: Machine,
    pub minutes: Option<f64>,
    pub order: Scored,
    /// Whether no set-ups for this order are cheaper.
    pub order_is_proven: bool,
    /// Changes there and back again.
    pub wasted: Vec<Wasted>,
    pub class: Class,
    pub lacks: Vec<String>,
    pub left_out: Vec<String>,
    pub assumed: Vec<String>,
    pub notes: Vec<Note>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wasted {
    pub facet: String,
    pub usual: String,
    pub between: String,
    /// Movements that are done meanwhile.
    pub steps: Vec<String>,
    pub seconds: f64,
    pub stop: bool,
}

/// Why the best order is as it is: what `explain --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Explain {
    pub segue_explain: Version,
    pub plan: Plan,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
    /// What each rule costs, dearest first.
    pub rules: Vec<Price>,
    pub transitions: Vec<Transition>,
    pub other_places: Vec<Elsewhere>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Price {
    pub rule: String,
    pub line: Option<usize>,
    pub demands: Vec<usize>,
    pub costs_at_least_seconds: f64,
    pub costs_at_most_seconds: Option<f64>,
    pub stops: Option<i64>,
    pub changeover_seconds: Option<f64>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Transition {
    pub from: Option<usize>,
    pub to: Option<usize>,
    pub seconds: f64,
    pub stop: bool,
    /// Of the step after it.
    pub place: usize,
    pub moving_seconds: f64,
    pub changes: Vec<Changed>,
    /// What keeps it, as sentences.
    pub kept_by: Vec<String>,
    /// Rules without which it would be gone.
    pub gone_without: Vec<String>,
    pub without_it: Without,
}

/// What an order without a transition costs.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Without {
    Word(WithoutWord),
    Costs(Costs),
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum WithoutWord {
    #[serde(rename = "not sought")]
    NotSought,
    Impossible,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Costs {
    pub costs_at_least_seconds: f64,
    pub costs_at_most_seconds: Option<f64>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Changed {
    pub what: String,
    pub from: String,
    pub to: String,
    pub seconds: f64,
    /// The step that needs it.
    pub needed_by: Option<usize>,
    /// The step since which the old value stood.
    pub since: Option<usize>,
    pub ahead_of_time: bool,
    /// A value that would serve both sides of it.
    pub serves_both: Option<String>,
    pub serves_both_costs_seconds: Option<f64>,
    pub others_could: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Elsewhere {
    pub steps: Vec<usize>,
    pub block: Option<String>,
    pub place: usize,
    /// Whether it was not settled.
    pub open: bool,
    #[serde(default)]
    pub other_place: Option<usize>,
    #[serde(default)]
    pub costs_seconds: Option<f64>,
    #[serde(default)]
    pub stops: Option<i64>,
    #[serde(default)]
    pub changeover_seconds: Option<f64>,
    /// Demands that would break anywhere else.
    #[serde(default)]
    pub breaks: Option<Vec<usize>>,
}

/// A change that was tried: what `try --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Try {
    pub segue_try: Version,
    pub changes: Vec<String>,
    pub before: Plan,
    pub after: Plan,
    pub difference: Option<Difference>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Difference {
    pub stops: i64,
    pub changeover_seconds: f64,
    pub finish_seconds: f64,
    pub unmet_wishes: i64,
}

/// One order beside another: this one less the other.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Beside {
    pub counts_seconds: f64,
    pub stops: i64,
    pub changeover_seconds: f64,
    pub unmet_wishes: i64,
    pub broken_musts: i64,
}

/// A week of classes: what `vary --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vary {
    pub segue_vary: Version,
    pub title: String,
    pub machine: Machine,
    pub asked: Asked,
    pub best: Scored,
    pub best_is_proven: bool,
    /// No class scores more.
    pub highest_score: i64,
    /// Neighbouring pairs of a class that could differ.
    pub pairs: usize,
    /// The smallest difference of two classes.
    pub least: Option<Apart>,
    pub sureness: Sureness,
    /// Why there are fewer than asked.
    pub fewer: Option<Fewer>,
    /// Orders that were chosen from.
    pub looked_at: usize,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
    /// For any two classes: neighbours that differ.
    pub pairs_apart: Vec<Vec<usize>>,
    /// For any two classes: pairs of movements the other way round.
    pub turned: Vec<Vec<usize>>,
    pub classes: Vec<Varied>,
    pub lists: Lists,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    pub count: usize,
    pub within_percent: f64,
    pub apart: usize,
    pub other_start: bool,
    pub other_end: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Apart {
    pub pairs: usize,
    pub turned: usize,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Sureness {
    Farthest,
    Found,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Fewer {
    Proven,
    #[serde(rename = "none to add")]
    NoneToAdd,
    Open,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Varied {
    pub swapped: Vec<Swapped>,
    pub order: Scored,
    pub beside_best: Beside,
    pub new_neighbours: Vec<[usize; 2]>,
    pub class: Class,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Swapped {
    pub out: String,
    pub into: String,
}

/// Ways to swap movements.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lists {
    pub ways: usize,
    pub looked_at: usize,
}

/// How far her own order can be kept: what `keep --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Keep {
    pub segue_keep: Version,
    pub plan: Plan,
    /// The best one, two, three moves, each better than the one before.
    pub moves: Vec<Moves>,
    pub moves_settled: bool,
    /// Neighbouring pairs of her order that can be kept or not.
    pub pairs: usize,
    pub points: Vec<Point>,
    pub between_open: bool,
    pub impossible_from: Option<usize>,
    pub open_from: Option<usize>,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Moves {
    /// What is taken elsewhere, each its steps in order.
    pub pieces: Vec<Vec<usize>>,
    pub beside_own: Beside,
    pub order: Scored,
    pub proven: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Point {
    pub kept: usize,
    pub beside_best: Option<Beside>,
    pub order: Scored,
    pub proven: bool,
}

/// The rest of a class that is late: what `late --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Late {
    pub segue_late: Version,
    pub title: String,
    pub machine: Machine,
    /// The place that comes next.
    pub from: usize,
    pub left_seconds: f64,
    /// Below 0: ahead.
    pub behind_seconds: f64,
    /// Whether the rest fits without a cut.
    pub fits: bool,
    /// Below 0: to spare.
    pub too_long_seconds: f64,
    /// Whether all choices of so few cuts were looked at.
    pub settled: bool,
    /// Whether the rest is in its best order.
    pub rest_is_proven: bool,
    /// Whether the plan of the class is the best, so that planned again it begins as it did.
    pub plan_is_proven: bool,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
    pub cuts: Vec<Cut>,
    /// The rest with the first cut, or whole.
    pub rest: Class,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cut {
    pub movements: Vec<String>,
    pub steps: Vec<usize>,
    pub saves_seconds: f64,
    pub to_spare_seconds: f64,
    pub beside_whole: Beside,
    pub order: Vec<usize>,
    pub setups: Vec<Vec<usize>>,
}

/// Movements: what `list --json` prints.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct List {
    pub segue_list: Version,
    pub movements: Vec<Listed>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Listed {
    pub id: String,
    pub name: String,
    pub family: String,
    pub phases: Vec<String>,
    pub level: u8,
    pub springs: String,
    pub cautions: Vec<String>,
}

/// Files of one's own: what `files --json` prints, nearest first.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Files {
    pub segue_files: Version,
    /// Id of the machine of a class that names none.
    pub default_machine: String,
    pub places: Vec<Shelf>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shelf {
    pub place: String,
    /// None for what comes with segue.
    pub folder: Option<String>,
    pub there: bool,
    pub files: Vec<ShelfFile>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShelfFile {
    pub file: String,
    pub kind: String,
    pub gives: Vec<Given>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Given {
    pub gives: String,
    /// Whether nothing nearer stands in its place.
    pub in_force: bool,
}

/// One problem of many: a line of `solve --lines`.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Solved {
    /// It was read.
    Solved(Box<SolvedLine>),
    /// It was not.
    Refused(RefusedLine),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RefusedLine {
    pub file: String,
    pub error: String,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SolvedLine {
    pub file: String,
    pub segue_solution: Version,
    pub order: Option<Vec<usize>>,
    pub proven: bool,
    pub seconds_taken: f64,
    #[serde(default)]
    pub setups: Option<Vec<Vec<usize>>>,
    #[serde(default)]
    pub score: Option<i64>,
    #[serde(default)]
    pub bound: Option<i64>,
    #[serde(default)]
    pub changeover: Option<i64>,
    #[serde(default)]
    pub stops: Option<i64>,
    #[serde(default)]
    pub finish: Option<i64>,
    #[serde(default)]
    pub violations: Option<Vec<Violation>>,
    #[serde(default)]
    pub conflict: Option<Vec<usize>>,
    /// What ended the search.
    pub ended: Ended,
    /// Beginnings of an order that were looked at.
    pub nodes: u64,
    /// Better and better plans, with the time at which each was found.
    pub incumbents: Vec<Incumbent>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Ended {
    Proof,
    Time,
    Nodes,
    Memory,
    Interrupted,
    Refused,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Incumbent {
    pub seconds: f64,
    pub score: i64,
}

/// A problem: what `export` prints. All times and penalties in hundredths of a second; steps, facets, values and postures are counted from 0.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    pub segue_problem: Version,
    pub title: String,
    pub facets: Vec<Facet>,
    pub postures: Postures,
    pub start: Start,
    /// How the class must end, if it matters.
    pub end: Option<EndSetup>,
    pub weights: Weights,
    pub steps: Vec<Step>,
    pub demands: Vec<Demand>,
}

/// A part of the set-up.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Facet {
    pub name: String,
    pub values: Vec<String>,
    /// Time of a change, rows from, columns to.
    pub change: Vec<Vec<i64>>,
    /// Postures from which it can be changed; empty: from all.
    pub reach: Vec<usize>,
    /// Whether a change is a stop.
    pub stop: bool,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Postures {
    pub names: Vec<String>,
    /// Time of the way from one to another.
    pub path: Vec<Vec<i64>>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Start {
    /// One value for each facet.
    pub setup: Vec<usize>,
    pub posture: Option<usize>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EndSetup {
    /// For each facet a value, or null for any.
    pub setup: Vec<Option<usize>>,
    pub posture: Option<usize>,
}

/// What a score counts.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weights {
    /// A hundredth of a second of change-over.
    pub time: i64,
    /// A stop.
    pub stop: i64,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    pub id: String,
    pub side: Side,
    pub duration: i64,
    /// For each facet the values that it allows, each with its penalty; null for any.
    pub setup: Vec<Option<Vec<(usize, i64)>>>,
    /// At its start and at its end.
    pub posture: [usize; 2],
    /// Of a group the first stage comes before the second; none where there are no stages.
    pub stage: Option<u32>,
    pub group: Option<usize>,
    /// Penalty if it is used, of a step that may be left out.
    pub optional: Option<i64>,
}

/// A demand on the order. Without a weight it must hold; else each breach counts so much.
#[derive(Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Demand {
    /// One comes before another.
    Precede {
        a: usize,
        b: usize,
        weight: Option<i64>,
    },
    /// All stand together, with at most so many others between two of them.
    Contiguous {
        steps: Vec<usize>,
        ordered: bool,
        within: i64,
        weight: Option<i64>,
    },
    /// Between two places, counted from 1, or below 0 from the end.
    Place {
        step: usize,
        min: i64,
        max: i64,
        weight: Option<i64>,
    },
    /// Starts between two times.
    Window {
        step: usize,
        from: i64,
        to: i64,
        weight: Option<i64>,
    },
    /// After each trigger a remedy comes at most so many steps later.
    Follow {
        trigger: Vec<usize>,
        remedy: Vec<usize>,
        within: i64,
        weight: Option<i64>,
    },
    /// Between the end of one and the start of another lies so much time.
    Recovery {
        steps: Vec<usize>,
        seconds: i64,
        weight: Option<i64>,
    },
    /// No run of them is longer; a break of so much time ends a run.
    Longest {
        steps: Vec<usize>,
        limit: i64,
        rest: i64,
        weight: Option<i64>,
    },
    /// A facet changes at most so often.
    AtMost {
        facet: usize,
        changes: i64,
        weight: Option<i64>,
    },
    /// A facet has one value for all.
    Same {
        steps: Vec<usize>,
        facet: usize,
        weight: Option<i64>,
    },
    /// So many of these pairs follow one another.
    Neighbours {
        pairs: Vec<[usize; 2]>,
        least: Option<i64>,
        most: Option<i64>,
        weight: Option<i64>,
    },
    /// All takes at most so long.
    Fits { total: i64, weight: Option<i64> },
    /// The modelled fatigue of a part of the body stays below a ceiling.
    Fatigue {
        region: String,
        /// Steps with how hard they work it, 0 to 1.
        loads: Vec<(usize, f64)>,
        build: f64,
        recover: f64,
        rest: f64,
        start: f64,
        ceiling: f64,
        weight: Option<i64>,
    },
    /// Lies between two times; what lies outside counts by its time.
    Peak {
        step: usize,
        from: i64,
        to: i64,
        weight: Option<i64>,
    },
}
