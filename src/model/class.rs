//! The list expanded into steps: sides, series, rounds, repetitions.

use super::movement::Movement;
use crate::problem::step::Side;
use crate::source::Span;

/// How often a layer of a step is done in this class.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// Index of the layer in the movement.
    pub layer: usize,
    /// How many repetitions, breaths or seconds.
    pub count: u32,
    /// Seconds for all of them.
    pub seconds: f64,
}

/// One step of the class: same index as in the compiled problem.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassStep {
    /// Index into [`Class::movements`].
    pub movement: usize,
    /// Its side.
    pub side: Side,
    /// Round, from 1.
    pub round: u32,
    /// Entry of the list (index from 0) that it came from; `None` for a breather.
    pub entry: Option<usize>,
    /// Block or series of the brief that it belongs to (index into `Brief::blocks`).
    pub block: Option<usize>,
    /// What is done, layer by layer.
    pub doses: Vec<Dose>,
    /// Seconds to teach it.
    pub teach: f64,
    /// Where the teacher wrote it; for a breather where breathers are allowed.
    pub span: Option<Span>,
}

impl ClassStep {
    /// Seconds of the whole step: teaching and all layers.
    pub fn seconds(&self) -> f64 {
        self.teach + self.doses.iter().map(|d| d.seconds).sum::<f64>()
    }
}

/// The class as steps.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Class {
    /// The movements in use, each as it is done in this class (the teacher's overrides applied).
    pub movements: Vec<Movement>,
    /// The steps as written, first side before second; breathers last.
    pub steps: Vec<ClassStep>,
    /// Assumptions, such as those for the teacher's own movements, and other things to tell ("taken from prone press: springs, posture, ...").
    pub assumed: Vec<String>,
    /// Movements left out for a caution, with the reason.
    pub left_out: Vec<String>,
}
