//! The rules of one class, defaults filled in.

use super::at_most::AtMost;
use super::before::Before;
use super::blocks::Blocks;
use super::breathers::Breathers;
use super::counterpose::Counterpose;
use super::effort_arc::EffortArc;
use super::fits::Fits;
use super::flows_into::FlowsInto;
use super::load_ceiling::LoadCeiling;
use super::longest_load::LongestLoad;
use super::near::{Apart, Near};
use super::pinned::Pinned;
use super::preparation::{EasierFirst, Preparation};
use super::recovery::Recovery;
use super::rounds::Rounds;
use super::sides::{FirstSide, SidesEqual, SidesPaired};
use super::target::Target;
use super::together::Together;
use super::warm_up::{CoolDown, WarmUp};

/// The rules of one class. `Default` is what holds when a list says nothing else (common practice, no source).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RuleBook {
    /// Warm-up first.
    pub warm_up: WarmUp,
    /// Cool-down last.
    pub cool_down: CoolDown,
    /// The two sides of a movement, and the two runs of a series, one after the other.
    pub sides_paired: SidesPaired,
    /// Both sides in the same set-up.
    pub sides_equal: SidesEqual,
    /// All one-sided work leads with the same side.
    pub first_side: FirstSide,
    /// Blocks and the runs of a series stay together.
    pub blocks: Blocks,
    /// Rounds in sequence and not touching.
    pub rounds: Rounds,
    /// Flexion soon after extension.
    pub counterpose: Counterpose,
    /// Rest between heavy loads of one region.
    pub recovery: Recovery,
    /// No region loaded too long.
    pub longest_load: LongestLoad,
    /// Preparations before full forms.
    pub preparation: Preparation,
    /// Easier options before harder ones.
    pub easier_first: EasierFirst,
    /// Modelled fatigue under a ceiling; none by default.
    pub load_ceiling: Vec<LoadCeiling>,
    /// Her own orders of two.
    pub before: Vec<Before>,
    /// Steps together, in any order or in the order given.
    pub together: Vec<Together>,
    /// Links that the teacher likes.
    pub flows_into: Vec<FlowsInto>,
    /// Orders to stay near.
    pub near: Vec<Near>,
    /// Orders to keep away from.
    pub apart: Vec<Apart>,
    /// Places and times.
    pub pinned: Vec<Pinned>,
    /// Limits on changes of a facet.
    pub at_most: Vec<AtMost>,
    /// Hardest steps in the middle; off unless asked.
    pub effort_arc: EffortArc,
    /// The whole class inside the minutes.
    pub fits: Fits,
    /// Short rests that may be put in.
    pub breathers: Breathers,
}

impl RuleBook {
    /// What is said of one movement is said of another instead.
    pub fn speak_of(&mut self, movement: &str, instead: &str) {
        let before = self
            .before
            .iter_mut()
            .flat_map(|r| [&mut r.first, &mut r.later]);
        let together = self.together.iter_mut().flat_map(|r| &mut r.members);
        let flows = self
            .flows_into
            .iter_mut()
            .flat_map(|r| [&mut r.from, &mut r.into]);
        let near = self.near.iter_mut().flat_map(|r| &mut r.order);
        let apart = self.apart.iter_mut().flat_map(|r| &mut r.order);
        let pinned = self.pinned.iter_mut().map(|r| &mut r.what);
        let all = before
            .chain(together)
            .chain(flows)
            .chain(near)
            .chain(apart)
            .chain(pinned);
        for target in all {
            if let Target::Movement { id, .. } = target
                && id == movement
            {
                *id = instead.to_owned();
            }
        }
    }
}
