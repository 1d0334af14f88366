//! A movement or block pinned to a place or a time.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::{Posting, hundredths};
use super::rule::{Rule, Visit};
use super::subject::Subject;
use super::target::Target;
use crate::problem::demand::{Kind, place::Place, window::Window};

/// Where something is pinned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pin {
    /// First of the class.
    First,
    /// Last of the class.
    Last,
    /// At this place, counted from 1 (the reader of briefs refuses 0).
    Place(u32),
    /// Starts within these minutes of the class.
    Minutes {
        /// Earliest start, minutes.
        from: f64,
        /// Latest start, minutes.
        to: f64,
    },
}

/// A movement or block pinned to a place or a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Pinned {
    /// Whether it must hold.
    pub asked: Asked,
    /// What is pinned.
    pub what: Target,
    /// Where.
    pub at: Pin,
}

impl Rule for Pinned {
    const NAME: RuleName = RuleName {
        key: "pinned",
        title: "each at its place or time",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, visit: Visit<'_>) {
        visit(&mut self.what);
    }

    /// One `place` or `window` for each step: m steps take m places in a row.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let steps = subject.steps_of(&self.what);
        let count = i64::try_from(steps.len()).expect("a class has few steps");
        for step in steps {
            let name = subject.name(step);
            let place = |min, max| Kind::Place(Place { step, min, max });
            let (kind, sentence) = match self.at {
                Pin::First => (place(1, count), format!("{name} is first")),
                Pin::Last => (place(-count, -1), format!("{name} is last")),
                Pin::Place(p) => {
                    let p = i64::from(p);
                    (
                        place(p, p + count - 1),
                        format!("{name} stands at place {p}"),
                    )
                }
                Pin::Minutes { from, to } => (
                    Kind::Window(Window {
                        step,
                        from: hundredths(from * 60.0),
                        to: hundredths(to * 60.0),
                    }),
                    format!("{name} starts between minute {from} and minute {to}"),
                ),
            };
            posting.post(Self::NAME, &self.asked, kind, sentence, "");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Pinned, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn two_sides_take_two_places_in_a_row_from_either_end() {
        let sample = Sample::new().both(movement("a")).each(movement("b"), 1);
        let at = |at| {
            let rule = Pinned {
                asked: Asked::must(),
                what: Target::movement("b"),
                at,
            };
            posted(&post(&rule, &sample), Pinned::NAME)
        };
        assert_eq!(at(Pin::First), ["1 at 1..2 must", "2 at 1..2 must"]);
        assert_eq!(at(Pin::Last), ["1 at -2..-1 must", "2 at -2..-1 must"]);
        assert_eq!(at(Pin::Place(2)), ["1 at 2..3 must", "2 at 2..3 must"]);
        assert_eq!(
            at(Pin::Minutes { from: 1.0, to: 2.5 }),
            ["1 starts 6000..15000 must", "2 starts 6000..15000 must"]
        );
    }
}
