//! What a movement needs, loads and allows.

use super::caution::Caution;
use crate::source::Span;

/// How a movement treats the sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// Both at once: one step.
    Both,
    /// By turns within one step.
    Alternating,
    /// Each side on its own: two steps.
    Each,
}

/// Where in the class a movement may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// At the start.
    WarmUp,
    /// In the middle.
    Main,
    /// At the end.
    CoolDown,
}

/// The actions of the spine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spine {
    /// Rounding.
    Flexion,
    /// Back bending.
    Extension,
    /// Twisting.
    Rotation,
    /// Bending to the side.
    SideBend,
}

/// What more springs do to a movement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoreSprings {
    /// It gets harder.
    Harder,
    /// It gets easier or steadier: springs carry the body. Fewer than preferred are never taken unasked.
    Steadier,
    /// Harder for the limbs, steadier for the trunk.
    Both,
    /// It does not matter (all on, nothing moves).
    Neither,
}

/// Which springs a movement allows.
#[derive(Debug, Clone, PartialEq)]
pub enum SpringNeed {
    /// Any load that is safe on the apparatus; `free`: also none at all, a free carriage is right for it.
    Any {
        /// Whether a free carriage is right.
        free: bool,
    },
    /// A range of loads in load units with a preferred load.
    Range {
        /// Least load.
        from: f64,
        /// Greatest load.
        to: f64,
        /// Preferred load.
        prefer: f64,
    },
    /// All springs on; the carriage must not move.
    Locked,
    /// Explicit combinations, each a list of class name and count; the first is preferred.
    Sets(Vec<Vec<(String, u32)>>),
}

/// What a movement needs of a facet other than the springs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FacetNeed {
    /// Key of the facet.
    pub facet: String,
    /// Keys of the allowed values; the first is preferred.
    pub allowed: Vec<String>,
}

/// How often, or how long.
#[derive(Debug, Clone, PartialEq)]
pub struct Repetitions {
    /// Fewest (`length = "short"`).
    pub fewest: u32,
    /// Usual.
    pub usual: u32,
    /// Most (`length = "full"`).
    pub most: u32,
    /// What one is: a repetition, a breath, a second of a hold.
    pub unit: RepUnit,
    /// Seconds for one (for a hold counted in seconds: 1).
    pub seconds: f64,
    /// Whether the number is meant for each of two directions (the time is then twice).
    pub each_way: bool,
}

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RepUnit {
    /// Repetitions.
    Repetition,
    /// Breaths.
    Breath,
    /// Seconds of a hold.
    Second,
}

/// How a movement builds up within one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// "practice", "full form", "harder, offered", "small pulses", ...
    pub name: String,
    /// How often.
    pub repetitions: Repetitions,
    /// Offered, not asked.
    pub offered: bool,
    /// Grip where it differs from the movement's, for the sheet.
    pub grip: Option<String>,
    /// Level where it differs.
    pub level: Option<u8>,
    /// Loads where they differ: they replace the movement's for the regions named.
    pub loads: Vec<RegionLoad>,
}

/// A region under load.
#[derive(Debug, Clone, PartialEq)]
pub struct RegionLoad {
    /// Name of the region (see `model::region`).
    pub region: String,
    /// Fraction of maximum, 0 to 1.
    pub fraction: f64,
    /// For a one-sided movement and a paired region: which side carries it.
    pub on: LoadSide,
}

/// Which side of the body carries a load in a one-sided step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadSide {
    /// The side that the step works.
    Working,
    /// The other one.
    Other,
    /// Both.
    Both,
}

/// Notes for different people and ropes; empty where there is nothing to say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BodyNotes {
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

/// One movement of the catalogue, or of the teacher's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Movement {
    /// Its id: lower case words with hyphens.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Other names.
    pub other_names: Vec<String>,
    /// Its family, which is also the name of its file.
    pub family: String,
    /// One line on how it is done.
    pub how: String,
    /// Cues.
    pub cues: Vec<String>,
    /// Notes for different people.
    pub notes: BodyNotes,
    /// Layers that are taught, in order; at least one.
    pub layers: Vec<Layer>,
    /// Base name of the posture in which it starts.
    pub start: String,
    /// Base name of the posture in which it ends.
    pub end: String,
    /// Sides.
    pub sides: Sides,
    /// Springs.
    pub springs: SpringNeed,
    /// What more springs do.
    pub more_springs: MoreSprings,
    /// In words, by region ("steadier for the trunk, harder for the shoulders"); may be empty.
    pub more_springs_note: String,
    /// Other facets that it cares about, in any order; a facet not named is *any*.
    pub facets: Vec<FacetNeed>,
    /// Seconds to teach it the first time.
    pub teach: f64,
    /// Seconds to teach it again (second side, later round).
    pub teach_again: f64,
    /// Loads.
    pub loads: Vec<RegionLoad>,
    /// Spinal actions with degree 0..=3; none: neutral.
    pub spine: Vec<(Spine, u8)>,
    /// Effort in METs.
    pub effort: f64,
    /// Level 1..=3.
    pub level: u8,
    /// Phases in which it may stand, at least one.
    pub phases: Vec<Phase>,
    /// Ids of movements that must come before it, if they are on the list.
    pub prepared_by: Vec<String>,
    /// Ids of easier options.
    pub easier: Vec<String>,
    /// Ids of harder options.
    pub harder: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// A movement that may be put in as a rest (a rest fold).
    pub rest: bool,
    /// Where it was written.
    pub span: Span,
}

/// The name of the layer that repetitions on a list are for.
const MAIN_LAYER: &str = "full form";

impl Movement {
    /// The layer that repetitions on a list are for, by index: the full form, else the last that is not only offered.
    pub fn main_layer(&self) -> usize {
        let layers = &self.layers;
        layers
            .iter()
            .position(|l| l.name == MAIN_LAYER)
            .or_else(|| layers.iter().rposition(|l| !l.offered))
            .unwrap_or(0)
    }

    /// Whether the sides take turns in a layer, repetition by repetition; in one that is held they do not.
    pub fn by_turns(&self, layer: &Layer) -> bool {
        self.sides == Sides::Alternating && layer.repetitions.unit == RepUnit::Repetition
    }

    /// Where a text stands among the keys of the movement, after its name and before the next heading; its name where it is not
    /// found there.
    pub fn place_of(&self, text: &str) -> Span {
        let whole = &self.span.source.text;
        let from = self.span.bytes.end.min(whole.len());
        let rest = whole.get(from..).unwrap_or("");
        let to = from + rest.find("\n[[").unwrap_or(rest.len());
        let keys = Span::new(&self.span.source, from..to);
        keys.place_of(text).unwrap_or_else(|| self.span.clone())
    }

    /// Whether something about it calls for this care: a caution that it carries. A rest that rounds the back at all counts as rounding, since it
    /// is held and put in unasked.
    pub fn calls_for(&self, caution: Caution) -> bool {
        let held = self.rest && caution == Caution::DeepFlexion && self.degree(Spine::Flexion) > 0;
        held || self.cautions.contains(&caution)
    }

    /// The degree of a spinal action; 0 where it has none.
    pub fn degree(&self, action: Spine) -> u8 {
        self.spine
            .iter()
            .filter(|(a, _)| *a == action)
            .map(|&(_, d)| d)
            .max()
            .unwrap_or(0)
    }
}
