//! Preparations before full forms, easier options before harder ones: what the catalogue says of the movements on the list.
//!
//! **Definition.** All steps of the preparation's first round come before all steps of the full form; once that round is over
//! nothing more is asked, and a preparation that is not on the list asks for nothing. In a series that holds both, each run is judged by itself: its own
//! preparation comes before its own full form ([`super::before`] says why). A preparation that stands in one run alone prepares
//! that run; that the other side is missing is said by the rule of the paired sides. One that stands outside of the series of the full
//! form comes before both runs, and one in a series comes, on both sides, before a full form outside of it. Each such pair of steps is
//! one violation.

use super::before::post_before;
use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_CAN_HURT, WEIGHT_OTHER};
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use super::target::Target;
use crate::model::movement::Movement;

/// A preparation comes before its full form.
#[derive(Debug, Clone, PartialEq)]
pub struct Preparation {
    /// Whether it must hold.
    pub asked: Asked,
}

impl Default for Preparation {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_CAN_HURT),
        }
    }
}

/// An easier option comes before a harder one.
#[derive(Debug, Clone, PartialEq)]
pub struct EasierFirst {
    /// Whether it must hold.
    pub asked: Asked,
}

impl Default for EasierFirst {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
        }
    }
}

/// Distinct movements on the list, in the order written.
fn on_list<'a>(subject: &'a Subject) -> Vec<&'a Movement> {
    let mut found: Vec<&Movement> = Vec::new();
    for (i, _) in subject.asked() {
        let m = subject.movement(i);
        if found.iter().all(|other| other.id != m.id) {
            found.push(m);
        }
    }
    found
}

impl Rule for Preparation {
    const NAME: RuleName = RuleName {
        key: "preparation",
        title: "preparation before the full form",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `precede` for each step of the preparation's first round and each step of the full form.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let movements = on_list(subject);
        for full in &movements {
            for prep in movements
                .iter()
                .filter(|m| m.id != full.id && full.prepared_by.contains(&m.id))
            {
                post_before(
                    Self::NAME,
                    &self.asked,
                    &Target::movement(&prep.id),
                    &Target::movement(&full.id),
                    |a, b| format!("{a} prepares {b} and comes before it"),
                    subject,
                    posting,
                );
            }
        }
    }
}

impl Rule for EasierFirst {
    const NAME: RuleName = RuleName {
        key: "easier_first",
        title: "easier before harder",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// As for preparations, of two movements that each name the other: what only one of them names may be offered in its place and orders
    /// nothing. Where the easier option is a preparation as well, that rule has said it already.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let movements = on_list(subject);
        for hard in &movements {
            for easy in movements.iter().filter(|m| {
                m.id != hard.id
                    && hard.easier.contains(&m.id)
                    && m.harder.contains(&hard.id)
                    && !hard.prepared_by.contains(&m.id)
            }) {
                post_before(
                    Self::NAME,
                    &self.asked,
                    &Target::movement(&easy.id),
                    &Target::movement(&hard.id),
                    |a, b| format!("{a} is the easier form and comes before {b}"),
                    subject,
                    posting,
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Preparation, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    fn class() -> Sample {
        let mut full = movement("swan");
        full.prepared_by = vec!["swan prep".into(), "not here".into()];
        full.easier = vec!["swan prep".into(), "half swan".into()];
        let mut half = movement("half swan");
        half.harder = vec!["swan".into()];
        Sample::new()
            .both(full)
            .both(half)
            .each(movement("swan prep"), 2)
    }

    #[test]
    fn the_first_round_of_a_preparation_comes_before_the_full_form() {
        let posting = post(&Preparation::default(), &class());
        assert_eq!(
            posted(&posting, Preparation::NAME),
            ["2<0 6000", "3<0 6000"]
        );
    }

    /// A series written with the full form before its preparation, and what is asked of it.
    #[test]
    fn each_run_of_a_series_has_its_preparation_before_the_full_form() {
        let full = || Movement {
            prepared_by: vec!["prep".into()],
            ..movement("full")
        };
        let wrong = Sample::new().series("hips", vec![full(), movement("prep")]);
        let expected = ["1<0 6000", "3<2 6000"];
        let posting = post(&Preparation::default(), &wrong);
        assert_eq!(posted(&posting, Preparation::NAME), expected);
        // On the left alone it prepares the left alone.
        let mut one_sided = Sample::new().series("hips", vec![movement("prep"), full()]);
        one_sided.class.steps.remove(2);
        let posting = post(&Preparation::default(), &one_sided);
        assert_eq!(posted(&posting, Preparation::NAME), ["0<1 6000"]);
    }

    #[test]
    fn a_preparation_outside_of_the_series_comes_before_both_runs_and_the_other_way_round() {
        let full = || Movement {
            prepared_by: vec!["prep".into()],
            ..movement("full")
        };
        let outside = Sample::new()
            .series("hips", vec![full(), movement("other")])
            .both(movement("prep"));
        let posting = post(&Preparation::default(), &outside);
        assert_eq!(
            posted(&posting, Preparation::NAME),
            ["4<0 6000", "4<2 6000"]
        );
        let inside = Sample::new()
            .series("hips", vec![movement("prep"), movement("other")])
            .both(full());
        let posting = post(&Preparation::default(), &inside);
        assert_eq!(
            posted(&posting, Preparation::NAME),
            ["0<4 6000", "2<4 6000"]
        );
    }

    #[test]
    fn an_easier_option_comes_first_unless_its_preparation_says_so_already() {
        let mut posting = Posting::default();
        EasierFirst::default().post(&class().subject(), &mut posting);
        assert_eq!(posted(&posting, EasierFirst::NAME), ["1<0 3000"]);
    }

    #[test]
    fn what_only_one_of_two_names_is_offered_and_orders_nothing() {
        let mut full = movement("swan");
        full.easier = vec!["cat".into()];
        let sample = Sample::new().both(full).both(movement("cat"));
        let mut posting = Posting::default();
        EasierFirst::default().post(&sample.subject(), &mut posting);
        assert!(posted(&posting, EasierFirst::NAME).is_empty());
    }
}
