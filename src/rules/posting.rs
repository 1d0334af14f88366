//! Where the rules put their demands: the demand and its entry of the ledger always together.

use super::ledger::{Entry, Ledger, RuleName};
use super::need::{Asked, Need};
use crate::problem::demand::{Demand, Kind};
use crate::sizes::DEMANDS;

/// Demands and ledger as they grow.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Posting {
    /// The demands. Weights are hundredths of a second as the balanced score counts them; `compile` scales them for other priorities.
    pub demands: Vec<Demand>,
    /// One entry for each demand.
    pub ledger: Ledger,
    /// Things that no order can meet, with what would help, and rules that found nothing to do.
    pub unmet: Vec<String>,
}

impl Posting {
    /// Puts in a demand of `rule`, unless the rule is switched off. One more than any class may have are kept, and no further ones.
    pub fn post(
        &mut self,
        rule: RuleName,
        asked: &Asked,
        kind: Kind,
        sentence: String,
        remedy: impl Into<String>,
    ) {
        if self.is_full() {
            return;
        }
        let weight = match asked.need {
            Need::Off => return,
            Need::Must => None,
            Need::Prefer { weight } => Some(hundredths(weight)),
        };
        self.demands.push(Demand { kind, weight });
        self.ledger.entries.push(Entry {
            rule,
            sentence,
            remedy: remedy.into(),
            span: asked.span.clone(),
        });
    }

    /// Whether there are more demands than any class may have.
    pub fn is_full(&self) -> bool {
        DEMANDS.is_less_than(self.demands.len())
    }

    /// Says something that no order can meet, once.
    pub fn unmet(&mut self, sentence: String) {
        if !self.unmet.contains(&sentence) {
            self.unmet.push(sentence);
        }
    }
}

/// Seconds as hundredths, rounded half up.
pub fn hundredths(seconds: f64) -> i64 {
    // A brief's numbers are far below the range of an `i64`.
    (seconds * 100.0 + 0.5).floor() as i64
}
