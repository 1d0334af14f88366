//! What is known of one condition: how it is said, which cautions it meets, what to say of each.

use crate::model::caution::Caution;

/// A caution that a condition meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Meets {
    /// The caution.
    pub caution: Caution,
    /// What to say of it to somebody with the condition.
    pub say: &'static str,
    /// Where that rests.
    pub source: &'static str,
}

impl Meets {
    /// Met, with words of its own and where they rest.
    pub const fn saying(caution: Caution, say: &'static str, source: &'static str) -> Self {
        Self {
            caution,
            say,
            source,
        }
    }
}

/// A condition of the vocabulary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KnownCondition {
    /// Its name in briefs and on paper.
    pub name: &'static str,
    /// Other names and phrases by which it is known; the words of one stand in this order in what is written, with little between.
    pub said: &'static [&'static str],
    /// Cautions that it meets, each once.
    pub meets: &'static [Meets],
    /// What to ask or to know whatever the class; may be empty.
    pub ask: &'static str,
}

impl KnownCondition {
    /// Whether it meets a caution.
    pub fn touches(&self, caution: Caution) -> bool {
        self.meets.iter().any(|m| m.caution == caution)
    }

    /// The cautions that it meets.
    pub fn cautions(&self) -> impl Iterator<Item = Caution> {
        self.meets.iter().map(|m| m.caution)
    }

    /// What to say of a caution to somebody with this condition.
    pub fn say(&self, caution: Caution) -> &'static str {
        (self.meets.iter())
            .find(|m| m.caution == caution)
            .map_or(caution.wording(), |m| m.say)
    }
}
