//! Short rests that may be put in anywhere.

use crate::source::Span;

/// Short rests that may be put in, so many copies of each, at their own time and penalty. They post nothing themselves: a rest
/// that rounds the back answers a counterpose, and its time counts for recovery.
#[derive(Debug, Clone, PartialEq)]
pub struct Breathers {
    /// Ids of the resting movements; empty: the first resting movement of the catalogue that rounds the back.
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
