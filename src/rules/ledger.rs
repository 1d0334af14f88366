//! Where each demand came from: its rule, its sentence, its line.

use crate::source::Span;

/// The rule behind a demand, by the name used in files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RuleName {
    /// Warm-up first.
    WarmUp,
    /// Cool-down last.
    CoolDown,
    /// Sides paired.
    SidesPaired,
    /// Sides equal.
    SidesEqual,
    /// First side.
    FirstSide,
    /// Flexion after extension.
    Counterpose,
    /// Rest between heavy loads of one region.
    Recovery,
    /// No region loaded too long.
    LongestLoad,
    /// Modelled fatigue under a ceiling.
    LoadCeiling,
    /// Preparation before the full form.
    Preparation,
    /// Easier before harder.
    EasierFirst,
    /// Her own order of two movements.
    Before,
    /// Steps together.
    Together,
    /// Steps together, in this order.
    InOrder,
    /// A link that the teacher likes.
    FlowsInto,
    /// Near a given order.
    Near,
    /// Apart from a given order.
    Apart,
    /// Pinned to a place or a time.
    Pinned,
    /// Changes of a facet limited.
    AtMost,
    /// Hardest steps in the middle.
    EffortArc,
    /// Inside the minutes.
    Fits,
    /// Rounds in sequence.
    Rounds,
    /// No rest put in beside another.
    RestsApart,
}

/// What stands behind one demand of the compiled problem.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The rule.
    pub rule: RuleName,
    /// What this demand says, in the teacher's words: "`Swan` is followed within 3 by something that rounds the back".
    pub sentence: String,
    /// What would meet it if it is not met; empty where nothing simple would.
    pub remedy: String,
    /// The line of the brief; `None` for a rule that holds unasked.
    pub span: Option<Span>,
}

/// One entry for each demand, in the order of the demands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// The entries.
    pub entries: Vec<Entry>,
}
