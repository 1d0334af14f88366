//! Sides: paired, equal, and led by the same one.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_OTHER};
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, contiguous::Contiguous, precede::Precede, same::Same};
use crate::problem::step::Side;

/// The two sides of a movement are adjacent; so are the two runs of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct SidesPaired {
    /// Whether it must hold.
    pub asked: Asked,
    /// How many other steps may stand between.
    pub within: u32,
}

impl Default for SidesPaired {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
            within: 0,
        }
    }
}

/// Both sides use the same set-up and the same repetitions.
#[derive(Debug, Clone, PartialEq)]
pub struct SidesEqual {
    /// Whether the set-ups must be the same. Repetitions are equal by construction: see `compile::equal_sides`.
    pub asked: Asked,
}

impl Default for SidesEqual {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
        }
    }
}

/// All one-sided work leads with the same side.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstSide {
    /// Whether it must hold.
    pub asked: Asked,
}

impl Default for FirstSide {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_OTHER),
        }
    }
}

impl Rule for SidesPaired {
    const NAME: RuleName = RuleName {
        key: "sides_paired",
        title: "both sides one after the other",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `contiguous` for each pair of sides and for each round of a series. That each run of a series stays together is
    /// posted by `blocks`.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let between = match self.within {
            0 => "directly one after the other".to_string(),
            1 => "with at most one movement between".to_string(),
            k => format!("with at most {k} movements between"),
        };
        for pair in subject.side_pairs() {
            posting.post(
                Self::NAME,
                &self.asked,
                Kind::Contiguous(Contiguous {
                    steps: vec![pair.left, pair.right],
                    ordered: false,
                    within: i64::from(self.within),
                }),
                format!(
                    "both sides of {} are done {between}",
                    subject.movement(pair.left).name
                ),
                "",
            );
        }
        for series in subject.series() {
            if series.second.is_empty() {
                continue;
            }
            posting.post(
                Self::NAME,
                &self.asked,
                Kind::Contiguous(Contiguous {
                    steps: [series.first.as_slice(), &series.second].concat(),
                    ordered: false,
                    within: i64::from(self.within),
                }),
                format!(
                    "both sides of the series {} are done {between}",
                    subject.blocks[series.block].name
                ),
                "",
            );
        }
        for (i, s) in subject.asked() {
            if s.side != Side::Both && !self.asked.is_off() && !has_other_side(subject, i) {
                posting.unmet(format!(
                    "{} has no other side on the list: add it",
                    subject.name(i)
                ));
            }
        }
    }
}

/// Whether the other side of a one-sided step is on the list.
fn has_other_side(subject: &Subject, step: usize) -> bool {
    let side = subject.class.steps[step].side;
    subject.asked().any(|(j, other)| {
        other.side != Side::Both
            && other.side != side
            && subject.movement(j).id == subject.movement(step).id
    })
}

/// Steps that should be alike: the two sides of a movement, and the two runs of a series step by step.
pub fn alike(subject: &Subject) -> Vec<(usize, usize)> {
    let mut pairs: Vec<(usize, usize)> = subject
        .side_pairs()
        .into_iter()
        .map(|p| (p.left, p.right))
        .collect();
    for series in subject.series() {
        pairs.extend(
            series
                .first
                .iter()
                .copied()
                .zip(series.second.iter().copied())
                .filter(|&(a, b)| subject.movement(a).id == subject.movement(b).id),
        );
    }
    pairs
}

impl Rule for SidesEqual {
    const NAME: RuleName = RuleName {
        key: "sides_equal",
        title: "both sides alike",
        filled_in: false,
        holds_places: false,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `same` for each pair and each facet in which the two could differ.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let free = |step: usize, facet: usize| subject.free.is_none_or(|free| free[step][facet]);
        for (a, b) in alike(subject) {
            for (facet, key) in subject.facets.iter().enumerate() {
                if !free(a, facet) && !free(b, facet) {
                    continue;
                }
                posting.post(
                    Self::NAME,
                    &self.asked,
                    Kind::Same(Same {
                        steps: vec![a, b],
                        facet,
                    }),
                    format!(
                        "{} has the same {key} on both sides",
                        subject.movement(a).name
                    ),
                    "",
                );
            }
        }
    }
}

impl Rule for FirstSide {
    const NAME: RuleName = RuleName {
        key: "first_side",
        title: "one side leads",
        filled_in: false,
        holds_places: false,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `precede` for each pair of sides, and one for each pair of steps that stand at the same place of a series' two runs.
    /// Where the brief names no side, the first one-sided step as written says which side leads.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let Some(leading) = leading_side(subject) else {
            return;
        };
        let word = match leading {
            Side::Right => "right",
            Side::Left | Side::Both => "left",
        };
        for pair in subject.side_pairs() {
            let (a, b) = if leading == Side::Right {
                (pair.right, pair.left)
            } else {
                (pair.left, pair.right)
            };
            posting.post(
                Self::NAME,
                &self.asked,
                Kind::Precede(Precede { a, b }),
                format!("{} leads with the {word} side", subject.movement(a).name),
                "",
            );
        }
        for series in subject.series() {
            for (&a, &b) in series.first.iter().zip(&series.second) {
                let (a, b) = if subject.class.steps[a].side == leading
                    || subject.class.steps[b].side != leading
                        && runs_lead(subject, &series.first, leading)
                {
                    (a, b)
                } else {
                    (b, a)
                };
                posting.post(
                    Self::NAME,
                    &self.asked,
                    Kind::Precede(Precede { a, b }),
                    format!(
                        "the series {} leads with the {word} side",
                        subject.blocks[series.block].name
                    ),
                    "",
                );
            }
        }
    }
}

/// Whether a run of a series works the leading side (a both-sided step in it takes the side of its run).
fn runs_lead(subject: &Subject, run: &[usize], leading: Side) -> bool {
    run.iter().any(|&i| subject.class.steps[i].side == leading)
}

/// The side that leads the class: the one the brief names, else that of the first one-sided step as written.
pub fn leading_side(subject: &Subject) -> Option<Side> {
    subject.first_side.filter(|&s| s != Side::Both).or_else(|| {
        subject
            .asked()
            .map(|(_, s)| s.side)
            .find(|&side| side != Side::Both)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &SidesPaired, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn each_round_of_a_movement_has_its_own_pair_of_sides() {
        let sample = Sample::new().each(movement("splits"), 2);
        let posting = post(&SidesPaired::default(), &sample);
        assert_eq!(
            posted(&posting, SidesPaired::NAME),
            ["run [0, 1] free +0 3000", "run [2, 3] free +0 3000"]
        );
    }

    #[test]
    fn the_two_runs_of_a_series_are_paired_as_a_whole_and_alike_step_by_step() {
        let sample = Sample::new().series("legs", vec![movement("a"), movement("b")]);
        let posting = post(&SidesPaired::default(), &sample);
        assert_eq!(
            posted(&posting, SidesPaired::NAME),
            ["run [0, 1, 2, 3] free +0 3000"]
        );
        assert_eq!(alike(&sample.subject()), [(0, 2), (1, 3)]);
    }

    #[test]
    fn a_side_without_the_other_is_named() {
        let mut sample = Sample::new().each(movement("splits"), 1);
        sample.class.steps.pop();
        let posting = post(&SidesPaired::default(), &sample);
        assert!(posting.demands.is_empty());
        assert_eq!(
            posting.unmet,
            ["splits, left has no other side on the list: add it"]
        );
    }

    #[test]
    fn the_side_of_the_brief_leads_else_the_one_written_first() {
        let sample = Sample::new()
            .each(movement("splits"), 1)
            .series("legs", vec![movement("a"), movement("b")]);
        let mut posting = Posting::default();
        FirstSide::default().post(&sample.subject(), &mut posting);
        let as_written = ["0<1 3000", "2<4 3000", "3<5 3000"];
        assert_eq!(posted(&posting, FirstSide::NAME), as_written);
        let mut posting = Posting::default();
        let right = Subject {
            first_side: Some(Side::Right),
            ..sample.subject()
        };
        FirstSide::default().post(&right, &mut posting);
        let right_first = ["1<0 3000", "4<2 3000", "5<3 3000"];
        assert_eq!(posted(&posting, FirstSide::NAME), right_first);
    }

    #[test]
    fn equal_sides_ask_only_where_there_is_a_choice() {
        let sample = Sample::new().each(movement("splits"), 1);
        let mut posting = Posting::default();
        let free = [vec![true, false], vec![true, false]];
        let subject = Subject {
            free: Some(&free),
            ..sample.subject()
        };
        SidesEqual::default().post(&subject, &mut posting);
        assert_eq!(posted(&posting, SidesEqual::NAME), ["same [0, 1] 0 3000"]);
    }
}
