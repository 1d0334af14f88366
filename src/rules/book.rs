//! The list of the rules, and the rules of one class, defaults filled in.

use super::at_most::AtMost;
use super::before::Before;
use super::blocks::Blocks;
use super::breathers::Breathers;
use super::counterpose::Counterpose;
use super::effort_arc::EffortArc;
use super::fits::Fits;
use super::flows_into::FlowsInto;
use super::ledger::RuleName;
use super::load_ceiling::LoadCeiling;
use super::longest_load::LongestLoad;
use super::near::{Apart, Near};
use super::pinned::Pinned;
use super::posting::Posting;
use super::preparation::{EasierFirst, Preparation};
use super::recovery::Recovery;
use super::rounds::Rounds;
use super::rule::{Rule, Visit};
use super::sides::{FirstSide, SidesEqual, SidesPaired};
use super::subject::Subject;
use super::target::Target;
use super::together::Together;
use super::warm_up::{CoolDown, WarmUp};

/// Makes the book of the rules and all that is done with every rule, from a field for each.
macro_rules! rules {
    ($($(#[$says:meta])* $field:ident: $rule:ty,)+) => {
        /// The rules of one class. `Default` is what holds when a list says nothing else (common practice, no source).
        #[derive(Debug, Clone, PartialEq, Default)]
        pub struct RuleBook {
            $($(#[$says])* pub $field: $rule,)+
        }

        impl RuleName {
            /// Every rule, in the order in which they post.
            pub const ALL: &[Self] = &[$(<$rule as Rule>::NAME),+];
        }

        impl RuleBook {
            /// What all rules ask of a class.
            pub fn post(&self, subject: &Subject) -> Posting {
                let mut posting = Posting::default();
                $(self.$field.post(subject, &mut posting);)+
                posting
            }

            /// Visits all that any rule names.
            fn targets_mut(&mut self, visit: Visit<'_>) {
                $(self.$field.targets_mut(visit);)+
            }
        }
    };
}

rules! {
    /// Warm-up first.
    warm_up: WarmUp,
    /// Cool-down last.
    cool_down: CoolDown,
    /// Blocks and the runs of a series stay together.
    blocks: Blocks,
    /// Rounds in sequence and not touching.
    rounds: Rounds,
    /// The two sides of a movement, and the two runs of a series, one after the other.
    sides_paired: SidesPaired,
    /// Both sides in the same set-up.
    sides_equal: SidesEqual,
    /// All one-sided work leads with the same side.
    first_side: FirstSide,
    /// Preparations before full forms.
    preparation: Preparation,
    /// Easier options before harder ones.
    easier_first: EasierFirst,
    /// Flexion soon after extension.
    counterpose: Counterpose,
    /// Rest between heavy loads of one region.
    recovery: Recovery,
    /// No region loaded too long.
    longest_load: LongestLoad,
    /// Modelled fatigue under a ceiling; none by default.
    load_ceiling: Vec<LoadCeiling>,
    /// Her own orders of two.
    before: Vec<Before>,
    /// Steps together, in any order or in the order given.
    together: Vec<Together>,
    /// Links that the teacher likes.
    flows_into: Vec<FlowsInto>,
    /// Orders to stay near.
    near: Vec<Near>,
    /// Orders to keep away from.
    apart: Vec<Apart>,
    /// Places and times.
    pinned: Vec<Pinned>,
    /// Limits on changes of a facet.
    at_most: Vec<AtMost>,
    /// Short rests that may be put in.
    breathers: Breathers,
    /// Hardest steps in the middle; off unless asked.
    effort_arc: EffortArc,
    /// The whole class inside the minutes.
    fits: Fits,
}

impl RuleBook {
    /// What is said of one movement is said of another instead.
    pub fn speak_of(&mut self, movement: &str, instead: &str) {
        self.targets_mut(&mut |target| {
            if let Target::Movement { id, .. } = target
                && id == movement
            {
                *id = instead.to_owned();
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_rules_have_one_key_and_only_those_of_blocks_one_title() {
        for (k, a) in RuleName::ALL.iter().enumerate() {
            for b in &RuleName::ALL[k + 1..] {
                let of_blocks = (a.key, b.key) == ("blocks", "together");
                assert_ne!(a.key, b.key);
                assert_eq!(a.title == b.title, of_blocks, "{a:?} {b:?}");
            }
        }
    }
}
