//! Different classes from one list.

use super::class::Class;
use super::ending::Ending;
use super::planned::Answer;
use crate::orders::swaps::Swap;
use crate::orders::vary::{Week, Wish};

/// A class with some movements swapped.
#[derive(Debug, Clone)]
pub struct Listed {
    /// The class.
    pub class: Class,
    /// What is swapped in it.
    pub swaps: Vec<Swap>,
    /// For each step the number of its movement, the same in all lists of a week.
    pub names: Vec<usize>,
}

/// The lists that a week can be made from.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Those that are searched; first the class as written.
    pub lists: Vec<Listed>,
    /// At least how many there are, including those that cannot be compiled.
    pub ways: usize,
}

/// Different classes from one list.
#[derive(Debug, Clone)]
pub struct Varied {
    /// What they were made from.
    pub choice: Choice,
    /// The classes.
    pub week: Week,
    /// What was asked for.
    pub wish: Wish,
}

impl Varied {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        match (self.week.interrupted, self.week.short) {
            (true, _) => Ending::Interrupted,
            (false, Some(_)) => Ending::No,
            (false, None) => Ending::Done,
        }
    }
}

/// What comes of asking for different classes.
#[derive(Debug, Clone)]
pub enum Variants {
    /// The classes.
    Found(Box<Varied>),
    /// The class has no order to vary.
    NoPlan(Box<Answer>),
}
