//! What may be written: types of briefs, machines, catalogues, blocks and labels. The readers keep the place of every value and so read without types; a
//! test holds these to the keys that the readers know.
#![allow(dead_code, reason = "they are read and described, not used")]

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

/// One value or several.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum OneOrMore<T> {
    /// One.
    One(T),
    /// Several, the preferred first where it matters.
    More(Vec<T>),
}

/// A class for segue.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Brief {
    /// The title; without it, the name of the file.
    pub title: Option<String>,
    /// The day, 2026-03-12; with the time of day for a calendar, 2026-03-12T12:30:00.
    pub date: Option<String>,
    /// Minutes available; without them, nothing is said about the length.
    #[schemars(range(min = 1, max = 600))]
    pub minutes: Option<f64>,
    /// How many people (or machines): 1 unless it says.
    #[schemars(range(min = 1, max = 200))]
    pub room: Option<u32>,
    /// How much the times of one person vary, as a fraction of their mean: 0.25 unless it says. With room it makes changes longer.
    #[schemars(range(min = 0, max = 2))]
    pub variation: Option<f64>,
    /// How used the people are to machines and movements: usual unless it says.
    pub pace: Option<Pace>,
    /// The machine, by its id or name.
    pub apparatus: Option<String>,
    /// What counts first: fewest stops, then time; time, then stops; or both by their weights.
    pub priority: Option<Priority>,
    /// The side that leads in all one-sided work.
    pub first_side: Option<OneSide>,
    /// Repetitions of the whole class; a number on a line overrides it.
    pub length: Option<Length>,
    /// Who is in the room: shown where a movement meets it.
    pub conditions: Option<OneOrMore<Condition>>,
    /// How the machines must stand at the end: "start" for as they stood at the start, or a table.
    pub end: Option<End>,
    /// What counts how much.
    pub cost: Option<Cost>,
    /// Short rests that may be put in: 0 for none, how many of each, or a table.
    pub breathers: Option<Breathers>,
    /// The movements, in any order: lines as in a plain list, tables, names of blocks and series.
    pub list: Option<Vec<ListLine>>,
    /// The rules.
    pub rules: Option<Rules>,
    /// Movements that stay together, in any order.
    pub block: Option<Vec<Block>>,
    /// Movements done on one side from top to bottom, then on the other.
    pub series: Option<Vec<Block>>,
    /// Movements of your own.
    pub movement: Option<Vec<OwnMovement>>,
}

/// What counts first.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Priority {
    Changes,
    Time,
    Balanced,
}

/// One side.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum OneSide {
    Left,
    Right,
}

/// A side, or both.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    Left,
    Right,
    Both,
}

/// Repetitions of the whole class.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Length {
    Short,
    Usual,
    Full,
}

/// A condition in the room.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Condition {
    /// Its name.
    Name(String),
    /// Its name, and what to do about it.
    Table(ConditionTable),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConditionTable {
    /// Its name or a phrase, such as "wrist pain" or "pregnant 30 weeks".
    pub name: String,
    /// Leave out what meets it, each named on the sheet with what could replace it.
    pub leave_out: Option<bool>,
    /// Put something else in the place of what meets it.
    pub replace: Option<bool>,
}

/// How the class ends.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum End {
    /// As it began.
    Word(Start),
    /// In a set-up.
    Table(EndTable),
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Start {
    Start,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EndTable {
    /// The springs at the end.
    pub springs: Option<SpringWish>,
    /// One value for each part of the set-up named.
    pub facets: Option<BTreeMap<String, String>>,
    /// Where everybody ends.
    pub posture: Option<String>,
}

/// Seconds that things count.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cost {
    /// One stop: 15 unless it says.
    #[schemars(range(min = 0, max = 3600))]
    pub stop: Option<f64>,
    /// Each load unit off the best load of a movement: 15 unless it says.
    #[schemars(range(min = 0, max = 3600))]
    pub off_load: Option<f64>,
    /// Another allowed value of anything else than the preferred one: 3 unless it says.
    #[schemars(range(min = 0, max = 3600))]
    pub off_value: Option<f64>,
}

/// Short rests that may be put in.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Breathers {
    /// How many of the rest fold.
    Number(#[schemars(range(min = 0, max = 6))] u32),
    /// Which, and how many.
    Table(BreathersTable),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BreathersTable {
    /// Movements that may be put in as a rest: the rest fold unless it says.
    pub movements: Option<OneOrMore<String>>,
    /// How many of each: 2 unless it says.
    #[schemars(range(min = 0, max = 6))]
    pub copies: Option<u32>,
    /// Seconds that each counts, above the time it takes: 10 unless it says.
    #[schemars(range(min = 0, max = 3600))]
    pub penalty: Option<f64>,
}

/// A line of the list.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum ListLine {
    /// As in a plain list: "Swan x 4", "Scooter, left"; or the name of a block.
    Text(String),
    /// As a table.
    Table(ListTable),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListTable {
    /// Its name; repetitions and so on may stand after it as in a plain list. Needed, unless `block` stands alone.
    pub movement: Option<String>,
    /// One side alone, or both.
    pub side: Option<Side>,
    /// How many; for a hold breaths or seconds.
    #[schemars(range(min = 1, max = 600))]
    pub repetitions: Option<u32>,
    /// How many times, with something else between.
    #[schemars(range(min = 1, max = 20))]
    pub rounds: Option<u32>,
    /// Your springs; they are not changed.
    pub springs: Option<SpringWish>,
    /// Other parts of the set-up, the first value preferred.
    pub facets: Option<BTreeMap<String, OneOrMore<String>>>,
    /// Seconds to show and say it.
    #[schemars(range(min = 0, max = 600))]
    pub teach: Option<f64>,
    /// Alternatives to it in another class of the week.
    pub or: Option<OneOrMore<String>>,
    /// The block or series that it belongs to; alone, all of it.
    pub block: Option<String>,
}

/// Springs as a line asks for them.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum SpringWish {
    /// "1 sun + 1 leaf" by label or class, "any", "free", "none", "all".
    Words(String),
    /// A load in units.
    Load(#[schemars(range(min = 0, max = 30))] f64),
    /// From and to how many load units.
    Range(WishedRange),
    /// How many of each, by label or class.
    Counts(BTreeMap<String, u32>),
    /// Several sets, the first preferred.
    Sets(Vec<SpringSet>),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WishedRange {
    /// Lowest load, in load units.
    pub from: f64,
    /// Highest load.
    pub to: f64,
    /// Best load.
    pub prefer: Option<f64>,
}

/// One set of springs.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum SpringSet {
    /// "1 sun + 1 leaf".
    Words(String),
    /// How many of each, by label or class.
    Counts(BTreeMap<String, u32>),
}

/// A block or a series.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// The list names it there; if it does not, it stands at the end of the list.
    pub name: String,
    /// Its movements.
    #[schemars(length(min = 1))]
    pub list: Vec<ListLine>,
    /// Whether it keeps its order as written: not, but in a series.
    pub ordered: Option<bool>,
    /// How many times all of it is done.
    #[schemars(range(min = 1, max = 20))]
    pub rounds: Option<u32>,
}

/// Whether a rule must hold.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Need {
    Must,
    Prefer,
    Off,
}

/// The rules of a class. A rule is a word ("must", "prefer", "off") or a table.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    /// What is for the warm-up only comes before all that cannot be in one.
    pub warm_up: Option<Phase>,
    /// What is for the end only comes after all that cannot be there.
    pub cool_down: Option<Phase>,
    /// The two sides follow one another.
    pub sides_paired: Option<SidesPaired>,
    /// Both sides have the same set-up.
    pub sides_equal: Option<Plain>,
    /// All one-sided work leads with the same side.
    pub first_side: Option<Plain>,
    /// Blocks, and each side of a series, stay together.
    pub blocks: Option<Plain>,
    /// Rounds come in sequence.
    pub rounds: Option<Rounds>,
    /// Something that rounds the back follows each run of back bends.
    pub counterpose: Option<Counterpose>,
    /// A part of the body rests between two heavy loads.
    pub recovery: Option<Recovery>,
    /// No part of the body is loaded too long without a break.
    pub longest_load: Option<LongestLoad>,
    /// A preparation that is on the list comes before its full form.
    pub preparation: Option<Plain>,
    /// An easier form comes before a harder one.
    pub easier_first: Option<Plain>,
    /// The hardest work lies in the middle.
    pub effort_arc: Option<EffortArc>,
    /// The class takes at most its minutes.
    pub fits: Option<Plain>,
    /// One comes before another.
    pub before: Option<Vec<Before>>,
    /// All stand together.
    pub together: Option<Vec<Together>>,
    /// One comes directly before another.
    pub flows_into: Option<Vec<FlowsInto>>,
    /// Neighbours of an order that you know stay neighbours.
    pub near: Option<Vec<Near>>,
    /// Neighbours of an order do not stay neighbours.
    pub apart: Option<Vec<Apart>>,
    /// Something stands at its place or time.
    pub pinned: Option<Vec<Pinned>>,
    /// One part of the set-up changes at most a given number of times.
    pub at_most: Option<Vec<AtMost>>,
    /// The modelled fatigue of a part of the body stays low.
    pub load_ceiling: Option<Vec<LoadCeiling>>,
}

/// The table of a rule: whether it must hold, the seconds that it counts where it is preferred, and its own keys.
macro_rules! rule_table {
    ($table:ident { $($(#[$meta:meta])* $field:ident: $of:ty,)* }) => {
        #[derive(Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $table {
            /// Whether it must hold.
            pub need: Option<Need>,
            /// Seconds that each breach counts, where it is preferred.
            #[schemars(range(min = 0, max = 100000))]
            pub weight: Option<f64>,
            $($(#[$meta])* pub $field: $of,)*
        }
    };
}

/// A rule that is a word or a table.
macro_rules! rule {
    ($name:ident, $table:ident $fields:tt) => {
        #[derive(Deserialize, JsonSchema)]
        #[serde(untagged)]
        pub enum $name {
            /// Whether it must hold.
            Word(Need),
            /// With more to say.
            Table($table),
        }
        rule_table!($table $fields);
    };
}

rule!(Plain, PlainTable {});
rule!(Phase, PhaseTable {
    /// Its minutes.
    #[schemars(range(min = 0, max = 120))]
    minutes: Option<f64>,
});
rule!(SidesPaired, SidesPairedTable {
    /// How many other steps may stand between.
    #[schemars(range(min = 0, max = 50))]
    within: Option<u32>,
});
rule!(Rounds, RoundsTable {
    /// Something else stands between them.
    apart: Option<Plain>,
});
rule!(Counterpose, CounterposeTable {
    /// From which degree a movement is a back bend.
    #[schemars(range(min = 1, max = 3))]
    extension: Option<u32>,
    /// From which degree a movement rounds the back.
    #[schemars(range(min = 1, max = 3))]
    flexion: Option<u32>,
    /// How many steps later at most, 1 for at once.
    #[schemars(range(min = 1, max = 50))]
    within: Option<u32>,
});
rule!(Recovery, RecoveryTable {
    /// What is heavy, as a fraction of the most that the part can do.
    #[schemars(range(min = 0, max = 1))]
    load: Option<f64>,
    /// How long it rests.
    #[schemars(range(min = 0, max = 3600))]
    seconds: Option<f64>,
});
rule!(LongestLoad, LongestLoadTable {
    /// What counts as loaded, as a fraction of the most that the part can do.
    #[schemars(range(min = 0, max = 1))]
    load: Option<f64>,
    /// How long at most.
    #[schemars(range(min = 1, max = 3600))]
    seconds: Option<f64>,
    /// Seconds of a break.
    #[schemars(range(min = 0, max = 3600))]
    rest: Option<f64>,
    /// More parts of the body to watch.
    regions: Option<Vec<LoadedRegion>>,
});
rule!(EffortArc, EffortArcTable {
    /// What is hard, in METs; the hardest quarter unless it says.
    #[schemars(range(min = 1, max = 15))]
    mets: Option<f64>,
    /// Where the middle begins, as a fraction of the class.
    #[schemars(range(min = 0, max = 1))]
    from: Option<f64>,
    /// Where the middle ends.
    #[schemars(range(min = 0, max = 1))]
    to: Option<f64>,
});
rule_table!(LoadedRegion {
    /// The part of the body.
    region: String,
    /// How long at most.
    #[schemars(range(min = 1, max = 3600))]
    seconds: f64,
    /// Seconds of a break.
    #[schemars(range(min = 0, max = 3600))]
    rest: Option<f64>,
});
rule_table!(Before {
    /// What comes first.
    first: String,
    /// What comes later.
    later: String,
});
rule_table!(Together {
    /// What stands together.
    members: Vec<String>,
    /// In this order.
    ordered: Option<bool>,
    /// How many others may stand between two of them.
    #[schemars(range(min = 0, max = 50))]
    within: Option<u32>,
});
rule_table!(FlowsInto {
    /// What comes directly before.
    from: String,
    /// What comes directly after.
    into: String,
});
rule_table!(Near {
    /// The order that you know.
    order: Vec<String>,
    /// How many pairs at least; all unless it says.
    least: Option<u32>,
});
rule_table!(Apart {
    /// The order.
    order: Vec<String>,
    /// How many pairs at most; none unless it says.
    most: Option<u32>,
});
rule_table!(Pinned {
    /// What is pinned.
    what: String,
    /// "first", "last", or a place counted from 1.
    at: Option<Place>,
    /// Instead of `at`: from which to which minute it starts.
    minutes: Option<[f64; 2]>,
});
rule_table!(AtMost {
    /// The part of the set-up, such as "springs" or "box".
    facet: String,
    /// How often it changes at most.
    changes: u32,
});
rule_table!(LoadCeiling {
    /// The part of the body.
    region: String,
    /// How tired at most, from 0 (fresh) to 1 (spent).
    #[schemars(range(min = 0, max = 1))]
    ceiling: f64,
});

/// A place in the class.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Place {
    /// At an end.
    Word(PlaceWord),
    /// Counted from 1.
    Number(#[schemars(range(min = 1))] u32),
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum PlaceWord {
    First,
    Last,
}

/// A movement of your own; keys not given are copied from the one that it is like.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnMovement {
    /// What it is called.
    pub name: String,
    /// The movement that it resembles.
    pub like: Option<String>,
    /// A short name for files; made from the name.
    pub id: Option<String>,
    /// Others that mean the same.
    pub other_names: Option<OneOrMore<String>>,
    /// How it is done, in one line.
    pub how: Option<String>,
    /// What to say.
    pub cues: Option<OneOrMore<String>>,
    /// For different bodies.
    pub notes: Option<BodyNotes>,
    /// How the body is placed: one of the positions of the machine.
    pub posture: Option<String>,
    /// How the body is placed at the start.
    pub start: Option<String>,
    /// How the body is placed at the end.
    pub end: Option<String>,
    /// Both at once, alternating, or each side by itself.
    pub sides: Option<WayOfSides>,
    /// The springs, as in a catalogue.
    pub springs: Option<SpringNeed>,
    /// What more springs make it.
    pub more_springs: Option<MoreSprings>,
    /// The same in words.
    pub more_springs_note: Option<String>,
    /// Other parts of the set-up, the first value preferred.
    pub facets: Option<BTreeMap<String, OneOrMore<String>>>,
    /// How many, and how long one takes.
    pub repetitions: Option<Repetitions>,
    /// Instead of repetitions: how it builds up.
    pub layer: Option<Vec<Layer>>,
    /// Seconds to show and say it.
    #[schemars(range(min = 0, max = 600))]
    pub teach: Option<f64>,
    /// The same on the second side.
    #[schemars(range(min = 0, max = 600))]
    pub teach_again: Option<f64>,
    /// How hard it works each part of the body, 0 to 1.
    pub loads: Option<BTreeMap<String, RegionLoad>>,
    /// What the back does, from 1 (a little) to 3 (all the way).
    pub spine: Option<BTreeMap<String, u8>>,
    /// How hard it is in METs (1 is sitting still).
    #[schemars(range(min = 1, max = 15))]
    pub effort: Option<f64>,
    /// 1 for beginners to 3 for advanced.
    #[schemars(range(min = 1, max = 3))]
    pub level: Option<u8>,
    /// Where it may stand.
    pub phases: Option<OneOrMore<PhaseWord>>,
    /// Movements that prepare it.
    pub prepared_by: Option<OneOrMore<String>>,
    /// Easier forms.
    pub easier: Option<OneOrMore<String>>,
    /// Harder forms.
    pub harder: Option<OneOrMore<String>>,
    /// What calls for care.
    pub cautions: Option<OneOrMore<String>>,
    /// Whether it is a short rest.
    pub rest: Option<bool>,
}

/// Notes for different bodies.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BodyNotes {
    /// For tall people.
    pub tall: Option<String>,
    /// For short people.
    pub short: Option<String>,
    /// Where the ropes are long.
    pub long_ropes: Option<String>,
    /// Where the ropes are short.
    pub short_ropes: Option<String>,
    /// Which part of hand or foot presses.
    pub contact: Option<String>,
}

/// How a movement treats the sides.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum WayOfSides {
    Both,
    Alternating,
    Each,
}

/// Springs as a catalogue asks for them.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum SpringNeed {
    /// Any; any, and a free carriage too; or all on, the carriage locked.
    Word(SpringWord),
    /// From and to how many load units.
    Range(SpringRange),
    /// Sets by class, the first preferred.
    Sets(Vec<BTreeMap<String, u32>>),
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SpringWord {
    Any,
    Free,
    Locked,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpringRange {
    /// Lowest load, in load units.
    pub from: f64,
    /// Highest load.
    pub to: f64,
    /// Best load.
    pub prefer: f64,
}

/// What more springs make a movement.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum MoreSprings {
    Harder,
    Steadier,
    Both,
    Neither,
}

/// How many repetitions, and how long one takes.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Repetitions {
    #[schemars(range(min = 1, max = 600))]
    pub fewest: u32,
    #[schemars(range(min = 1, max = 600))]
    pub usual: u32,
    #[schemars(range(min = 1, max = 600))]
    pub most: u32,
    /// Seconds for one.
    #[schemars(range(min = 0.1, max = 600))]
    pub seconds: f64,
    /// What is counted: repetitions unless it says.
    pub unit: Option<Unit>,
    /// Whether it has two directions.
    pub each_way: Option<bool>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    Repetitions,
    Breaths,
    Seconds,
}

/// A layer of a movement that builds up.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    pub name: String,
    pub repetitions: Repetitions,
    /// Offered, not asked.
    pub offered: Option<bool>,
    /// How the hands or feet hold.
    pub grip: Option<String>,
    #[schemars(range(min = 1, max = 3))]
    pub level: Option<u8>,
    /// How hard it works each part of the body; as the movement unless it says.
    pub loads: Option<BTreeMap<String, RegionLoad>>,
}

/// How hard a part of the body works.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RegionLoad {
    /// On the working side.
    Fraction(#[schemars(range(min = 0, max = 1))] f64),
    /// On another.
    Table(RegionLoadTable),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RegionLoadTable {
    #[schemars(range(min = 0, max = 1))]
    pub fraction: f64,
    /// The working side unless it says.
    pub on: Option<LoadSide>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum LoadSide {
    Working,
    Other,
    Both,
}

/// Where a movement may stand.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PhaseWord {
    WarmUp,
    Main,
    CoolDown,
}

/// Movements of one family.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Catalogue {
    /// The family, as movements are grouped by.
    pub family: String,
    /// The movements.
    pub movement: Option<Vec<Movement>>,
}

/// A movement of a catalogue: every key is given.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Movement {
    /// A short name for files, of small letters and hyphens.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Others that mean the same.
    pub other_names: Option<OneOrMore<String>>,
    /// How it is done, in one line.
    pub how: String,
    /// What to say.
    pub cues: OneOrMore<String>,
    /// For different bodies.
    pub notes: BodyNotes,
    /// How the body is placed: one of the positions of the machines. Needed, unless `start` and `end` are given.
    pub posture: Option<String>,
    /// How the body is placed at the start.
    pub start: Option<String>,
    /// How the body is placed at the end.
    pub end: Option<String>,
    /// Both at once, alternating, or each side by itself.
    pub sides: WayOfSides,
    /// Load units, or sets by class.
    pub springs: SpringNeed,
    /// What more springs make it.
    pub more_springs: MoreSprings,
    /// The same in words.
    pub more_springs_note: String,
    /// Other parts of the set-up, the first value preferred.
    pub facets: BTreeMap<String, OneOrMore<String>>,
    /// How many, and how long one takes. Needed, unless `layer` is given.
    pub repetitions: Option<Repetitions>,
    /// How it builds up.
    pub layer: Option<Vec<Layer>>,
    /// Seconds to show and say it.
    #[schemars(range(min = 0, max = 600))]
    pub teach: f64,
    /// The same on the second side.
    #[schemars(range(min = 0, max = 600))]
    pub teach_again: f64,
    /// How hard it works each part of the body, 0 to 1.
    pub loads: BTreeMap<String, RegionLoad>,
    /// What the back does, from 1 (a little) to 3 (all the way).
    pub spine: BTreeMap<String, u8>,
    /// How hard it is in METs (1 is sitting still).
    #[schemars(range(min = 1, max = 15))]
    pub effort: f64,
    /// 1 for beginners to 3 for advanced.
    #[schemars(range(min = 1, max = 3))]
    pub level: u8,
    /// Where it may stand.
    pub phases: OneOrMore<PhaseWord>,
    /// Movements that prepare it.
    pub prepared_by: OneOrMore<String>,
    /// Easier forms.
    pub easier: Option<OneOrMore<String>>,
    /// Harder forms.
    pub harder: Option<OneOrMore<String>>,
    /// What calls for care.
    pub cautions: OneOrMore<String>,
    /// Whether it is a short rest.
    pub rest: bool,
}

/// A machine.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Apparatus {
    /// A short name for briefs and files.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What is good to know, shown on every sheet.
    pub notes: Option<OneOrMore<String>>,
    /// Whether the bar locks at its notches.
    pub bar_locks: bool,
    /// Where everybody waits before the class; anywhere unless it says.
    pub start_posture: Option<String>,
    /// How the body may be placed.
    pub posture: Option<Vec<Posture>>,
    /// Moves that a person makes in one go.
    #[serde(rename = "move")]
    pub moves: Option<Vec<Move>>,
    /// The springs.
    pub springs: Springs,
    /// What else can be set.
    pub facet: Option<Vec<Facet>>,
    /// What this machine lacks: for a facet that others have, the value at which it is fixed.
    pub absent: Option<BTreeMap<String, String>>,
}

/// How used the people are to machines and movements.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pace {
    /// New to it: every change-over takes half as long again.
    Beginners,
    /// As groups are.
    Usual,
    /// They know the movements: no demonstrations, and no rests that nobody asked for.
    Regulars,
}

/// A way to be placed.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Posture {
    pub name: String,
    /// Whether it has a left and a right form.
    pub sides: Option<bool>,
    /// What carries the body.
    pub on: On,
    /// How the body is held.
    pub body: Body,
    /// Where it looks; leave it out where that makes no difference.
    pub facing: Option<Facing>,
    /// What the hands hold or lean on; free unless it says.
    pub hands: Option<Hands>,
    /// What the feet are in or on; free unless it says.
    pub feet: Option<Feet>,
    /// Of a position across the machine: at which end the side is that its form names; the bar unless it says.
    pub side_at: Option<EndOfMachine>,
}

/// An end of the machine.
#[derive(Deserialize, JsonSchema)]
pub enum EndOfMachine {
    #[serde(rename = "bar")]
    Bar,
    #[serde(rename = "strap end")]
    StrapEnd,
}

/// What carries the body.
#[derive(Deserialize, JsonSchema)]
pub enum On {
    /// The floor beside the machine.
    #[serde(rename = "floor")]
    Floor,
    /// The carriage, which rolls.
    #[serde(rename = "carriage")]
    Carriage,
    /// One foot on the carriage, the other on the floor.
    #[serde(rename = "carriage and floor")]
    CarriageAndFloor,
    /// Partly on the carriage, partly on the standing platform.
    #[serde(rename = "carriage and platform")]
    CarriageAndPlatform,
    /// The box along the carriage.
    #[serde(rename = "long box")]
    LongBox,
    /// The box across the carriage.
    #[serde(rename = "short box")]
    ShortBox,
}

/// How the body is held.
#[derive(Deserialize, JsonSchema)]
pub enum Body {
    #[serde(rename = "standing")]
    Standing,
    #[serde(rename = "seated")]
    Seated,
    #[serde(rename = "kneeling")]
    Kneeling,
    #[serde(rename = "hands and knees")]
    HandsAndKnees,
    #[serde(rename = "plank")]
    Plank,
    #[serde(rename = "on the back")]
    OnTheBack,
    #[serde(rename = "face down")]
    FaceDown,
    #[serde(rename = "on the side")]
    OnTheSide,
}

/// Where the body looks.
#[derive(Deserialize, JsonSchema)]
pub enum Facing {
    #[serde(rename = "bar")]
    Bar,
    #[serde(rename = "strap end")]
    StrapEnd,
    #[serde(rename = "side")]
    Side,
}

/// What the hands hold or lean on.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Hands {
    Free,
    Bar,
    Straps,
    Frame,
    Carriage,
    Box,
}

/// What the feet are in or on.
#[derive(Deserialize, JsonSchema)]
pub enum Feet {
    #[serde(rename = "free")]
    Free,
    #[serde(rename = "bar")]
    Bar,
    #[serde(rename = "board")]
    Board,
    #[serde(rename = "straps")]
    Straps,
    #[serde(rename = "straps and bar")]
    StrapsAndBar,
    #[serde(rename = "safety strap")]
    SafetyStrap,
}

/// A move from one posture to another, and back if that is given.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Move {
    pub from: String,
    pub to: String,
    /// How long it takes one person.
    #[schemars(range(min = 0))]
    pub seconds: f64,
    /// What to say; @ stands for the side that works.
    pub cue: String,
    /// The body motions that it needs at the least.
    pub motions: Option<OneOrMore<String>>,
    /// How long the way back takes.
    #[schemars(range(min = 0))]
    pub back: Option<f64>,
    /// What to say for the way back.
    pub back_cue: Option<String>,
    /// The body motions of the way back.
    pub back_motions: Option<OneOrMore<String>>,
    /// Whether the way there fixes the safety strap of the short box.
    pub fixes_strap: Option<bool>,
    /// Whether it changes the side.
    pub turns_over: Option<bool>,
}

/// The springs of a machine.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Springs {
    /// Seconds of any change.
    #[schemars(range(min = 0))]
    pub base: f64,
    /// Seconds for each spring that goes on or off.
    #[schemars(range(min = 0))]
    pub per_spring: f64,
    /// The least load on which a rolling carriage is safe to be stood or knelt on, in load units.
    #[schemars(range(min = 0, max = 20))]
    pub least_safe_load: f64,
    /// Whether the class halts for a change.
    pub stop: bool,
    /// Postures from which they can be reached; from those that usual practice allows unless it says.
    pub reach: Option<OneOrMore<String>>,
    /// The classes of springs.
    pub class: Option<Vec<SpringClass>>,
    /// How many of each are on at the start.
    pub start: BTreeMap<String, u32>,
}

/// Springs of one kind.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpringClass {
    /// The class, such as light, medium, heavy.
    pub name: String,
    /// What the studio calls them; the class unless it says.
    pub label: Option<String>,
    /// How many there are.
    #[schemars(range(min = 1, max = 9))]
    pub count: u32,
    /// Load of one, in load units. Needed, unless it is given in newtons per metre.
    #[schemars(range(min = 0.05, max = 10))]
    pub load: Option<f64>,
    /// Rate of one, instead of its load.
    #[schemars(range(min = 1, max = 3000))]
    pub newtons_per_metre: Option<f64>,
}

/// Something that can be set.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Facet {
    /// A short name for briefs and catalogues.
    pub key: String,
    /// What it is called.
    pub name: String,
    /// Whether the class halts for a change.
    pub stop: bool,
    /// Postures from which it can be reached; from those that usual practice allows unless it says.
    pub reach: Option<OneOrMore<String>>,
    /// What it can be set to.
    pub value: Option<Vec<FacetValue>>,
    /// The value at the start.
    pub start: String,
    /// Seconds of a change: one number, or a table of them, rows from, columns to.
    pub change: ChangeCost,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FacetValue {
    /// A short name for briefs and catalogues.
    pub key: String,
    /// What stands on the sheet.
    pub label: String,
    /// What to say when it is set or put on; of "none", when whatever is there comes off.
    pub cue: String,
    /// What to say when it comes off, if the cue of "none" does not say it.
    pub off_cue: Option<String>,
    /// What to say when the thing that is there is turned into this one.
    pub turn_cue: Option<String>,
    /// What it needs of other facets: for each the values that will do.
    pub needs: Option<BTreeMap<String, OneOrMore<String>>>,
}

/// Seconds of a change.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum ChangeCost {
    /// Of any.
    Any(f64),
    /// From each value (rows) to each (columns), in their order.
    Each(Vec<Vec<f64>>),
}

/// Blocks and series kept by name.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Blocks {
    /// Movements that stay together, in any order.
    pub block: Option<Vec<Block>>,
    /// Movements done on one side from top to bottom, then on the other.
    pub series: Option<Vec<Block>>,
}

/// What a studio calls the springs of its machines: below the id of a machine, for a class of its springs the label that it gets.
#[derive(Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Labels(pub BTreeMap<String, BTreeMap<String, String>>);
