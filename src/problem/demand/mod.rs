//! What must or should hold. One file a kind, with its definition; the enum is closed, so the compiler shows every place.

pub mod at_most;
pub mod contiguous;
pub mod fatigue;
pub mod fits;
pub mod follow;
pub mod longest;
pub mod neighbours;
pub mod peak;
pub mod place;
pub mod precede;
pub mod recovery;
pub mod same;
pub mod window;

use super::step::Step;
use super::timeline::Timeline;
use at_most::AtMost;
use contiguous::Contiguous;
use fatigue::Fatigue;
use fits::Fits;
use follow::Follow;
use longest::Longest;
use neighbours::Neighbours;
use peak::Peak;
use place::Place;
use precede::Precede;
use recovery::Recovery;
use same::Same;
use window::Window;

/// A demand: its kind and its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// What it asks.
    pub kind: Kind,
    /// `None`: must hold; else what each violation adds to the score.
    pub weight: Option<i64>,
}

/// The kinds of demand.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// One step before another.
    Precede(Precede),
    /// Steps in one run.
    Contiguous(Contiguous),
    /// A step at certain places.
    Place(Place),
    /// A step's start within certain times.
    Window(Window),
    /// A remedy soon after each run of triggers.
    Follow(Follow),
    /// A rest between neighbouring members.
    Recovery(Recovery),
    /// No stretch of members longer than a limit.
    Longest(Longest),
    /// A facet changes at most a given number of times.
    AtMost(AtMost),
    /// Members share a facet's value.
    Same(Same),
    /// A given number of the listed pairs are neighbours.
    Neighbours(Neighbours),
    /// The class ends in time.
    Fits(Fits),
    /// A region's modelled fatigue stays under a ceiling.
    Fatigue(Fatigue),
    /// A step inside a part of the class.
    Peak(Peak),
}

impl Kind {
    /// Whether it is counted by an amount (hundredths of a second) and not by violations.
    pub fn is_peak(&self) -> bool {
        matches!(self, Self::Peak(_))
    }

    /// How often a finished order breaks it, as its kind counts: 0 means that it holds.
    ///
    /// `steps` are the problem's steps, by number.
    pub fn violations(&self, steps: &[Step], timeline: &Timeline) -> i64 {
        match self {
            Self::Precede(demand) => demand.violations(timeline),
            Self::Contiguous(demand) => demand.violations(timeline),
            Self::Place(demand) => demand.violations(timeline),
            Self::Window(demand) => demand.violations(timeline),
            Self::Follow(demand) => demand.violations(timeline),
            Self::Recovery(demand) => demand.violations(steps, timeline),
            Self::Longest(demand) => demand.violations(timeline),
            Self::AtMost(demand) => demand.violations(timeline),
            Self::Same(demand) => demand.violations(timeline),
            Self::Neighbours(demand) => demand.violations(timeline),
            Self::Fits(demand) => demand.violations(timeline),
            Self::Fatigue(demand) => demand.violations(timeline),
            Self::Peak(demand) => demand.violations(timeline),
        }
    }

    /// The kind's name in a problem file.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Precede(_) => "precede",
            Self::Contiguous(_) => "contiguous",
            Self::Place(_) => "place",
            Self::Window(_) => "window",
            Self::Follow(_) => "follow",
            Self::Recovery(_) => "recovery",
            Self::Longest(_) => "longest",
            Self::AtMost(_) => "at_most",
            Self::Same(_) => "same",
            Self::Neighbours(_) => "neighbours",
            Self::Fits(_) => "fits",
            Self::Fatigue(_) => "fatigue",
            Self::Peak(_) => "peak",
        }
    }
}
