//! Warm-up first, cool-down last.
//!
//! What is for the warm-up only comes before all that cannot be in one; the cool-down is the mirror image. Minutes are a wish
//! whatever the rule's need: a warm-up that falls short is reported, not refused. There is no demand for the minutes of the
//! cool-down, since nothing on the clock counts from the end; where the list cannot reach them the rule says so.

use super::ledger::RuleName;
use super::need::{Asked, Need, WEIGHT_OTHER};
use super::posting::{Posting, hundredths};
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::model::movement::Phase;
use crate::problem::demand::{Kind, precede::Precede, window::Window};

/// Latest start that a window without an end allows, hundredths: a day, longer than any class.
const NO_END: i64 = 24 * 60 * 6000;

/// Warm-up first.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmUp {
    /// Whether it must hold.
    pub asked: Asked,
    /// How many minutes should pass before the first step that cannot be in a warm-up.
    pub minutes: Option<f64>,
}

impl Default for WarmUp {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
            minutes: None,
        }
    }
}

/// Cool-down last.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolDown {
    /// Whether it must hold.
    pub asked: Asked,
    /// How many minutes should remain after the last step that cannot be in a cool-down.
    pub minutes: Option<f64>,
}

impl Default for CoolDown {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
            minutes: None,
        }
    }
}

/// Steps for one phase only, and steps that cannot be in it.
fn split(subject: &Subject, phase: Phase) -> (Vec<usize>, Vec<usize>) {
    let mut only = Vec::new();
    let mut never = Vec::new();
    for (i, _) in subject.asked() {
        let phases = &subject.movement(i).phases;
        if !phases.contains(&phase) {
            never.push(i);
        } else if phases.iter().all(|&p| p == phase) {
            only.push(i);
        }
    }
    (only, never)
}

/// Minutes of the asked steps that may stand in a phase.
fn minutes_available(subject: &Subject, phase: Phase) -> f64 {
    subject
        .asked()
        .filter(|&(i, _)| subject.movement(i).phases.contains(&phase))
        .map(|(_, s)| s.seconds() / 60.0)
        .sum()
}

impl Rule for WarmUp {
    const NAME: RuleName = RuleName {
        key: "warm_up",
        title: "warm-up first",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `precede` for each pair, one `window` for each step that should wait for the minutes.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let (only, never) = split(subject, Phase::WarmUp);
        for &a in &only {
            for &b in &never {
                posting.post(
                    Self::NAME,
                    &self.asked,
                    Kind::Precede(Precede { a, b }),
                    format!(
                        "{} is for the warm-up and comes before {}",
                        subject.name(a),
                        subject.name(b)
                    ),
                    "",
                );
            }
        }
        let (Some(minutes), false) = (self.minutes, self.asked.is_off()) else {
            return;
        };
        let wish = Asked {
            need: match self.asked.need {
                Need::Must | Need::Off => Need::Prefer {
                    weight: WEIGHT_OTHER,
                },
                wish @ Need::Prefer { .. } => wish,
            },
            span: self.asked.span.clone(),
        };
        for &i in &never {
            posting.post(
                Self::NAME,
                &wish,
                Kind::Window(Window {
                    step: i,
                    from: hundredths(minutes * 60.0),
                    to: NO_END,
                }),
                format!(
                    "{} starts after {minutes} minutes of warm-up",
                    subject.name(i)
                ),
                "add a warm-up movement, or do more repetitions there",
            );
        }
        let have = minutes_available(subject, Phase::WarmUp);
        if have < minutes && !never.is_empty() {
            posting.unmet(format!(
                "the list has only about {have:.1} minutes that can stand in a warm-up of {minutes}: add a warm-up movement"
            ));
        }
    }
}

impl Rule for CoolDown {
    const NAME: RuleName = RuleName {
        key: "cool_down",
        title: "cool-down last",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `precede` for each pair.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let (only, never) = split(subject, Phase::CoolDown);
        for &a in &never {
            for &b in &only {
                posting.post(
                    Self::NAME,
                    &self.asked,
                    Kind::Precede(Precede { a, b }),
                    format!(
                        "{} is for the cool-down and comes after {}",
                        subject.name(b),
                        subject.name(a)
                    ),
                    "",
                );
            }
        }
        if let (Some(minutes), false) = (self.minutes, self.asked.is_off()) {
            let have = minutes_available(subject, Phase::CoolDown);
            if have < minutes {
                posting.unmet(format!(
                    "the list has only about {have:.1} minutes that can stand in a cool-down of {minutes}: add a cool-down movement"
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, in_phases, movement, posted};

    fn post(rule: &WarmUp, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    fn class() -> Sample {
        Sample::new()
            .both(movement("main"))
            .both(in_phases("first", &[Phase::WarmUp]))
            .both(in_phases("either", &[Phase::WarmUp, Phase::Main]))
            .both(in_phases("last", &[Phase::CoolDown]))
    }

    #[test]
    fn warm_up_only_comes_before_all_that_cannot_be_in_one_pair_by_pair() {
        let posting = post(&WarmUp::default(), &class());
        assert_eq!(posted(&posting, WarmUp::NAME), ["1<0 3000", "1<3 3000"]);
        assert_eq!(
            posting.ledger.entries[0].sentence,
            "first is for the warm-up and comes before main"
        );
    }

    #[test]
    fn minutes_are_a_wish_even_where_the_order_must_hold_and_a_short_list_is_named() {
        let rule = WarmUp {
            asked: Asked::must(),
            minutes: Some(4.0),
        };
        let posting = post(&rule, &class());
        assert_eq!(
            posted(&posting, WarmUp::NAME),
            [
                "1<0 must",
                "1<3 must",
                "0 starts 24000..8640000 3000",
                "3 starts 24000..8640000 3000"
            ]
        );
        // Two steps of 90 s may stand there: 3 of 4 minutes.
        assert!(posting.unmet[0].contains("about 3.0 minutes"));
    }

    #[test]
    fn cool_down_is_the_mirror_image() {
        let mut posting = Posting::default();
        CoolDown::default().post(&class().subject(), &mut posting);
        assert_eq!(
            posted(&posting, CoolDown::NAME),
            ["0<3 3000", "1<3 3000", "2<3 3000"]
        );
    }

    #[test]
    fn a_rule_that_is_off_posts_nothing() {
        let rule = WarmUp {
            asked: Asked::off(),
            minutes: Some(4.0),
        };
        assert_eq!(post(&rule, &class()), Posting::default());
    }
}
