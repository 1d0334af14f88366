//! A week of classes: `vary --json`.

use serde::Serialize;

use super::class::Class;
use super::orders::{Beside, Machine, Scored};
use crate::answer::varied::Choice;
use crate::exchange::version::{VERSION, Version};
use crate::lesson::lesson;
use crate::orders::difference::Difference;
use crate::orders::vary::{self, Short, Week, Wish};
use crate::report::varied::{new_pairs, swapped_in};

/// A week of classes: what `vary --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Vary {
    /// The version of this format.
    pub segue_vary: Version,
    /// The title of the class; may be empty.
    pub title: String,
    /// The machine that they are planned on.
    pub machine: Machine,
    /// What was asked for.
    pub asked: Asked,
    /// The best order of the list as written.
    pub best: Scored,
    /// Whether nothing better exists.
    pub best_is_proven: bool,
    /// No class scores more.
    pub highest_score: i64,
    /// Neighbouring pairs of a class that could differ.
    pub pairs: usize,
    /// The smallest difference of two classes; null with fewer than two.
    pub least: Option<Apart>,
    /// How sure it is that no choice of as many classes is farther apart.
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
    /// The classes, best first.
    pub classes: Vec<Varied>,
    /// The lists that they are made from.
    pub lists: Lists,
}

impl Vary {
    /// A week that was found for a wish.
    pub fn new(choice: &Choice, week: &Week, wish: &Wish) -> Self {
        let prepared = &choice.lists[0].class;
        let compiled = &prepared.compiled;
        let n = week.classes.len();
        let table = |of: fn(&Difference) -> usize| -> Vec<Vec<usize>> {
            let rows = week.apart.chunks(n.max(1));
            rows.map(|row| row.iter().map(of).collect()).collect()
        };
        Self {
            segue_vary: VERSION,
            title: prepared.brief.title.clone(),
            machine: Machine::of(compiled),
            asked: wish.into(),
            best: Scored::new(compiled, &week.best),
            best_is_proven: week.best_is_proven,
            highest_score: week.ceiling,
            pairs: week.pairs,
            least: week.least().map(Apart::from),
            sureness: week.sureness.into(),
            fewer: week.short.map(Fewer::from),
            looked_at: week.looked_at,
            interrupted: week.interrupted,
            pairs_apart: table(|d| d.pairs),
            turned: table(|d| d.turned),
            classes: (0..n).map(|k| Varied::new(choice, week, k)).collect(),
            lists: Lists {
                ways: choice.ways,
                looked_at: choice.lists.len(),
            },
        }
    }
}

/// What was asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Asked {
    /// So many classes.
    pub count: usize,
    /// A class may score so much above the best.
    pub within_percent: f64,
    /// Any two differ in so many neighbouring pairs at least.
    pub apart: usize,
    /// Whether no two may begin with the same movement.
    pub other_start: bool,
    /// Whether no two may end with the same movement.
    pub other_end: bool,
}

impl From<&Wish> for Asked {
    fn from(wish: &Wish) -> Self {
        Self {
            count: wish.count,
            within_percent: wish.within as f64 / 100.0,
            apart: wish.apart,
            other_start: wish.opener,
            other_end: wish.closer,
        }
    }
}

/// How two classes differ.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Apart {
    /// Neighbours that differ.
    pub pairs: usize,
    /// Pairs of movements the other way round.
    pub turned: usize,
}

impl From<Difference> for Apart {
    fn from(d: Difference) -> Self {
        Self {
            pairs: d.pairs,
            turned: d.turned,
        }
    }
}

/// How sure it is that no choice of as many classes is farther apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Sureness {
    /// None is.
    Farthest,
    /// These are the farthest that were found.
    Found,
}

impl From<vary::Sureness> for Sureness {
    fn from(sureness: vary::Sureness) -> Self {
        match sureness {
            vary::Sureness::Farthest => Self::Farthest,
            vary::Sureness::Found => Self::Found,
        }
    }
}

/// Why there are fewer classes than asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Fewer {
    /// There are not more.
    Proven,
    /// None can be added to these; another choice may have more.
    #[serde(rename = "none to add")]
    NoneToAdd,
    /// It was not settled.
    Open,
}

impl From<Short> for Fewer {
    fn from(short: Short) -> Self {
        match short {
            Short::Proven => Self::Proven,
            Short::NoneToAdd => Self::NoneToAdd,
            Short::Open => Self::Open,
        }
    }
}

/// One class of the week.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Varied {
    /// Movements of the list that others stand for.
    pub swapped: Vec<Swapped>,
    /// Its order.
    pub order: Scored,
    /// This class less the best order.
    pub beside_best: Beside,
    /// Pairs of steps that are neighbours here and not in the best order.
    pub new_neighbours: Vec<[usize; 2]>,
    /// The class as it is taught.
    pub class: Class,
}

impl Varied {
    fn new(choice: &Choice, week: &Week, k: usize) -> Self {
        let prepared = &choice.lists[week.lists[k]].class;
        let written = &choice.lists[0].class.compiled;
        let (best, class) = (&week.best, &week.classes[k]);
        let swapped = swapped_in(choice, week, k).into_iter();
        let neighbours = new_pairs(choice, week, k).into_iter();
        Self {
            swapped: swapped.map(|(out, into)| Swapped { out, into }).collect(),
            order: Scored::new(&prepared.compiled, class),
            beside_best: Beside::new((written, best), (&prepared.compiled, class)),
            new_neighbours: neighbours.map(<[usize; 2]>::from).collect(),
            class: Class::from(&lesson(&prepared.brief, &prepared.compiled, class)),
        }
    }
}

/// A movement that stands for another, both by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Swapped {
    /// The one on the list.
    pub out: String,
    /// The one in its place.
    pub into: String,
}

/// Ways to swap movements.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Lists {
    /// How many there are, to swap none among them.
    pub ways: usize,
    /// So many of them were looked at.
    pub looked_at: usize,
}
