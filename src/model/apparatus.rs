//! A machine and its facets, with what each change costs in seconds.

use super::posture::PostureGraph;
use super::springs::{SpringClass, SpringSet};

/// What a change of a facet other than the springs costs, seconds for one person.
#[derive(Debug, Clone, PartialEq)]
pub enum ChangeCost {
    /// One number for any change.
    Flat(f64),
    /// `[from][to]`, a full matrix in the order of the values.
    Matrix(Vec<Vec<f64>>),
}

/// A facet other than the springs.
#[derive(Debug, Clone, PartialEq)]
pub struct FacetSpec {
    /// Its key, by which movements name it: `bar`, `box`, `straps`, `head`, `board`, `platform`, ...
    pub key: String,
    /// Its name on paper: "foot bar".
    pub name: String,
    /// Keys of its values, in order.
    pub values: Vec<String>,
    /// What each value is called on paper, one for each value ("foot bar at its middle notch").
    pub labels: Vec<String>,
    /// What to say when the facet is changed to this value, one for each value ("raise the bar to its middle notch").
    pub cues: Vec<String>,
    /// Cost of changes.
    pub change: ChangeCost,
    /// Base names of the postures from which it can be changed; empty: from every posture.
    pub reach: Vec<String>,
    /// Whether a change halts the class.
    pub stop: bool,
    /// Index of the value that the class starts with.
    pub start: usize,
}

/// The springs of a machine and what changing them costs.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringSpec {
    /// The classes, heaviest first by convention of the files.
    pub classes: Vec<SpringClass>,
    /// Seconds for any change.
    pub base: f64,
    /// Seconds for each spring put on or taken off.
    pub per_spring: f64,
    /// Base names of the postures from which they can be changed; empty: from every posture.
    pub reach: Vec<String>,
    /// Whether a change halts the class.
    pub stop: bool,
    /// What is on when the class starts.
    pub start: SpringSet,
    /// The least load, in units, that is left on for a step that does not care.
    pub least_safe: f64,
}

/// A machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Apparatus {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What to know about it (rope length, no lock on the bar, ...), for the sheet.
    pub notes: Vec<String>,
    /// Whether the foot bar locks. Without a lock the sheet says how to be safe.
    pub bar_locks: bool,
    /// The springs.
    pub springs: SpringSpec,
    /// The other facets.
    pub facets: Vec<FacetSpec>,
    /// Postures and moves.
    pub postures: PostureGraph,
    /// Base name of the posture in which people wait for the class to start; `None`: anywhere.
    pub start_posture: Option<String>,
}

impl Apparatus {
    /// Index of the facet with this key among `facets` (the springs are not among them).
    pub fn facet(&self, key: &str) -> Option<usize> {
        self.facets.iter().position(|f| f.key == key)
    }
}
