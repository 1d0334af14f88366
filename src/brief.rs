//! What the teacher wrote: list, minutes, room, people, rules. Names of movements are resolved to ids of the catalogue by `read`.

use crate::model::catalogue::Catalogue;
use crate::model::caution::Caution;
use crate::model::condition::known::KnownCondition;
use crate::model::condition::named;
use crate::model::date::Date;
use crate::model::movement::{FacetNeed, Movement, SpringNeed};
use crate::problem::step::Side;
use crate::rules::RuleBook;
use crate::source::Span;

/// What is compared first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Priority {
    /// Stops first, time second.
    Changes,
    /// Time first, stops second.
    Time,
    /// The weights decide.
    #[default]
    Balanced,
}

/// How used the people are to the machines and the movements.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// New to it: every change-over takes half as long again (common practice, no source).
    Beginners,
    /// As groups are.
    #[default]
    Usual,
    /// They know the movements: no demonstrations, and no rests that the teacher did not ask for.
    Regulars,
}

impl Pace {
    /// By what factor a change-over takes longer.
    pub fn factor(self) -> f64 {
        match self {
            Self::Beginners => 1.5,
            Self::Usual | Self::Regulars => 1.0,
        }
    }
}

/// Which repetitions the whole class takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Length {
    /// Fewest.
    Short,
    /// Usual.
    #[default]
    Usual,
    /// Most.
    Full,
}

/// One line of the list: a movement, with what is changed about it here.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Id in the catalogue given beside the brief (the teacher's own movements are added to it).
    pub movement: String,
    /// Only this side; `None`: as the movement has it.
    pub side: Option<Side>,
    /// Repetitions of the main layer, if given.
    pub repetitions: Option<u32>,
    /// Springs, if given: they are not changed.
    pub springs: Option<SpringNeed>,
    /// Other facets, if given.
    pub facets: Vec<FacetNeed>,
    /// Seconds to teach it, if given.
    pub teach: Option<f64>,
    /// How many times it is done, at least 1.
    pub rounds: u32,
    /// Block or series it belongs to (index into [`Brief::blocks`]).
    pub block: Option<usize>,
    /// Alternatives to it in another class of the week.
    pub instead: Vec<Instead>,
    /// Where it stands.
    pub span: Span,
}

/// A movement that may replace another.
#[derive(Debug, Clone, PartialEq)]
pub struct Instead {
    /// Id in the catalogue given beside the brief.
    pub movement: String,
    /// Where it stands.
    pub span: Span,
}

/// A block or a series.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Its name.
    pub name: String,
    /// Fixed order.
    pub ordered: bool,
    /// Done on one side and then on the other.
    pub series: bool,
    /// How many times it is done.
    pub rounds: u32,
    /// Where it stands.
    pub span: Span,
}

/// What is done about movements that meet a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Treatment {
    /// They stay, with what to say and what to offer.
    #[default]
    Shown,
    /// They are left out, each by name, with what could replace it.
    LeftOut,
    /// Others replace them.
    Replaced,
}

/// A condition in the room.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// Its name, one of the vocabulary of `model::condition`, or the teacher's own words.
    pub name: String,
    /// The phrase in which the teacher said it, if not its name.
    pub said: Option<String>,
    /// What is done about movements that meet it.
    pub treatment: Treatment,
    /// Where it stands.
    pub span: Span,
}

impl Condition {
    /// What is known of it; `None` for the teacher's own words.
    pub fn known(&self) -> Option<&'static KnownCondition> {
        named(&self.name)
    }

    /// The cautions of a movement that it meets, in the order in which they are compared.
    pub fn meets(&self, movement: &Movement) -> Vec<Caution> {
        let Some(known) = self.known() else {
            return Vec::new();
        };
        let mut met: Vec<Caution> = known
            .cautions()
            .filter(|&c| movement.calls_for(c))
            .collect();
        met.sort_unstable();
        met
    }

    /// Whether what meets it does not stay.
    pub fn takes_out(&self) -> bool {
        match self.treatment {
            Treatment::Shown => false,
            Treatment::LeftOut | Treatment::Replaced => true,
        }
    }
}

/// A set-up that the class must end in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EndSetup {
    /// Springs, by class name and count.
    pub springs: Option<Vec<(String, u32)>>,
    /// Facet key and value key.
    pub facets: Vec<(String, String)>,
    /// Base name of a posture.
    pub posture: Option<String>,
    /// Where it stands.
    pub span: Option<Span>,
}

/// A brief, checked against catalogue and apparatus as far as names go.
#[derive(Debug, Clone, PartialEq)]
pub struct Brief {
    /// Title of the class.
    pub title: String,
    /// When it is, if given.
    pub date: Option<Date>,
    /// Minutes, if given.
    pub minutes: Option<f64>,
    /// How many machines or people, at least 1.
    pub room: u32,
    /// Coefficient of variation of one person's change-over times.
    pub variation: f64,
    /// How used to the machines and movements the people are.
    pub pace: Pace,
    /// Id of the apparatus.
    pub apparatus: String,
    /// The list, in order.
    pub entries: Vec<Entry>,
    /// Blocks and series, named by entries.
    pub blocks: Vec<Block>,
    /// What is compared first.
    pub priority: Priority,
    /// Seconds that one stop counts.
    pub stop_seconds: f64,
    /// Penalty seconds for each load unit off the preferred load.
    pub off_load_seconds: f64,
    /// Penalty seconds for another allowed value of a facet than the preferred one.
    pub off_value_seconds: f64,
    /// The side that leads, if given.
    pub first_side: Option<Side>,
    /// Repetitions of the whole class.
    pub length: Length,
    /// Conditions in the room.
    pub conditions: Vec<Condition>,
    /// End set-up (reset for the next class).
    pub end: Option<EndSetup>,
    /// The rules of this class, defaults filled in.
    pub rules: RuleBook,
    /// The catalogue with the teacher's own movements added.
    pub catalogue: Catalogue,
    /// What was copied for the teacher's own movements ("from `prone press`: ..."), for the plan.
    pub assumed: Vec<String>,
    /// The whole brief.
    pub span: Span,
}

impl Brief {
    /// Whether somebody in the room has a condition that meets a movement.
    pub fn is_met(&self, movement: &Movement) -> bool {
        self.conditions
            .iter()
            .any(|c| !c.meets(movement).is_empty())
    }

    /// Every caution that somebody in the room meets, each once.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut all: Vec<Caution> = (self.conditions.iter())
            .filter_map(Condition::known)
            .flat_map(KnownCondition::cautions)
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}
