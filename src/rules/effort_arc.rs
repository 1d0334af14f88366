//! The hardest steps stand in the middle of the class.

use super::ledger::RuleName;
use super::need::{Asked, Need};
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, peak::Peak};

/// The hardest steps fall inside a part of the class. Always a wish, unless it must hold: then nothing may lie outside.
#[derive(Debug, Clone, PartialEq)]
pub struct EffortArc {
    /// Whether it is asked for; the weight of a `prefer` is the seconds of penalty for each MET-minute outside.
    pub asked: Asked,
    /// Steps at or above these METs; `None`: the top quarter, ties included.
    pub mets: Option<f64>,
    /// Start of the part, per mille of the class.
    pub from: u32,
    /// End of the part, per mille of the class.
    pub to: u32,
}

/// Seconds of penalty for each MET-minute outside, unless the brief says (common practice, no source).
pub const SECONDS_PER_MET_MINUTE: f64 = 5.0;

impl Default for EffortArc {
    fn default() -> Self {
        Self {
            asked: Asked::off(),
            mets: None,
            from: 300,
            to: 800,
        }
    }
}

/// METs from which a step is among the top quarter of `efforts` (rounded up to whole steps; ties come in when compared with `>=`).
fn top_quarter(mut efforts: Vec<f64>) -> Option<f64> {
    efforts.sort_by(|a, b| b.total_cmp(a));
    let count = efforts.len().div_ceil(4);
    efforts.get(count.checked_sub(1)?).copied()
}

impl Rule for EffortArc {
    const NAME: RuleName = RuleName {
        key: "effort_arc",
        title: "hardest work in the middle",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `peak` for each hard step. The demand's weight is paid per second outside, so a step of e METs pays
    /// `seconds * e / 60` for each second.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let efforts = subject.asked().map(|(i, _)| subject.movement(i).effort);
        let Some(least) = self.mets.or_else(|| top_quarter(efforts.collect())) else {
            return;
        };
        for (step, _) in subject.asked() {
            let effort = subject.movement(step).effort;
            if effort < least {
                continue;
            }
            let asked = Asked {
                need: match self.asked.need {
                    Need::Prefer { weight } => Need::Prefer {
                        weight: weight * effort / 60.0,
                    },
                    other @ (Need::Must | Need::Off) => other,
                },
                span: self.asked.span.clone(),
            };
            posting.post(
                Self::NAME,
                &asked,
                Kind::Peak(Peak {
                    step,
                    from: i64::from(self.from),
                    to: i64::from(self.to),
                }),
                format!(
                    "{} is among the hardest and stands between {} % and {} % of the class",
                    subject.name(step),
                    f64::from(self.from) / 10.0,
                    f64::from(self.to) / 10.0
                ),
                "",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &EffortArc, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    fn class() -> Sample {
        let effort = |id: &str, effort| crate::model::movement::Movement {
            effort,
            ..movement(id)
        };
        Sample::new()
            .both(effort("a", 2.0))
            .both(effort("b", 6.0))
            .both(effort("c", 3.0))
            .both(effort("d", 6.0))
    }

    #[test]
    fn the_top_quarter_comes_with_its_ties_and_pays_by_met_minutes() {
        let rule = EffortArc {
            asked: Asked::prefer(5.0),
            ..EffortArc::default()
        };
        // Of four the top quarter is one; its tie comes in. 5 s a MET-minute at 6 METs are 0.5 s a second.
        assert_eq!(
            posted(&post(&rule, &class()), EffortArc::NAME),
            ["1 in 300..800 50", "3 in 300..800 50"]
        );
    }

    #[test]
    fn it_asks_for_nothing_unless_asked() {
        assert!(post(&EffortArc::default(), &class()).demands.is_empty());
    }
}
