//! Short rests that may be put in anywhere.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, neighbours::Neighbours};
use crate::source::Span;

/// Short rests that may be added, a given number of each, at their own time and penalty. They ask for nothing but that two of them never
/// stand side by side: a rest that rounds the back answers a counterpose, and its time counts for recovery.
#[derive(Debug, Clone, PartialEq)]
pub struct Breathers {
    /// Ids of the resting movements; empty: the first resting movement of the catalogue that nobody in the room is to be spared.
    pub movements: Vec<String>,
    /// How many copies of each; 0: none may be put in.
    pub copies: u32,
    /// Penalty in seconds for each that is used.
    pub penalty: f64,
    /// The line of the brief.
    pub span: Option<Span>,
}

impl Default for Breathers {
    fn default() -> Self {
        Self {
            movements: Vec::new(),
            copies: 2,
            penalty: 10.0,
            span: None,
        }
    }
}

impl Rule for Breathers {
    const NAME: RuleName = RuleName {
        key: "breathers",
        title: "no two rests in a row",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `neighbours` that keeps a rest which was put in from touching another rest.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let put_in: Vec<usize> = subject.breathers().collect();
        let rests: Vec<usize> = (0..subject.class.steps.len())
            .filter(|&i| subject.movement(i).rest)
            .collect();
        let mut pairs = Vec::new();
        for &a in &rests {
            for &b in &rests {
                if a != b && (put_in.contains(&a) || put_in.contains(&b)) {
                    pairs.push((a, b));
                }
            }
        }
        if pairs.is_empty() {
            return;
        }
        posting.post(
            Self::NAME,
            &Asked::must(),
            Kind::Neighbours(Neighbours {
                pairs,
                least: None,
                most: Some(0),
            }),
            "two rests in a row are one: none is added beside another".to_owned(),
            "",
        );
    }
}
