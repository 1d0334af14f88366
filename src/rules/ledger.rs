//! Where each demand came from: its rule, its sentence, its line.

use crate::source::Span;

/// How a rule is called and what it is like: [`Rule::NAME`](super::rule::Rule::NAME) of each, stated in its file.
///
/// What stands under one title and on one line of the brief is one rule to whoever reads the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleName {
    /// Its key in a brief, under `[rules]`.
    pub key: &'static str,
    /// Its title on paper.
    pub title: &'static str,
    /// Whether she fills it with names or limits of her own: then it is headed by what it asks, where that is one thing.
    pub filled_in: bool,
    /// Whether the picture tells of places that it holds. Not where the set-up or the clock decides, nor where it goes without saying.
    pub holds_places: bool,
}

impl RuleName {
    /// The same rule under another title, for some of its demands.
    pub const fn titled(self, title: &'static str) -> Self {
        Self { title, ..self }
    }
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
