//! Flexion soon after extension.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_CAN_HURT};
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::model::movement::Spine;
use crate::problem::demand::{Kind, follow::Follow};

/// After a run of back bends something that rounds the back comes soon.
#[derive(Debug, Clone, PartialEq)]
pub struct Counterpose {
    /// Whether it must hold.
    pub asked: Asked,
    /// Degree (0 to 3) of extension from which a step counts as a back bend.
    pub extension: u8,
    /// Degree (0 to 3) of flexion from which a step rounds the back.
    pub flexion: u8,
    /// Among how many steps after the run; 1 is at once.
    pub within: u32,
}

impl Default for Counterpose {
    fn default() -> Self {
        Self {
            asked: Asked::prefer(WEIGHT_CAN_HURT),
            extension: 2,
            flexion: 1,
            within: 3,
        }
    }
}

impl Rule for Counterpose {
    const NAME: RuleName = RuleName {
        key: "counterpose",
        title: "round the back after bending it",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `follow` for the class: each run of back bends that is left without one counts. A step that does both is a back
    /// bend: it asks, and does not answer.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        let degree = |i: usize, action| subject.movement(i).degree(action);
        let (trigger, rest): (Vec<usize>, Vec<usize>) = (0..subject.class.steps.len())
            .partition(|&i| degree(i, Spine::Extension) >= self.extension.max(1));
        if trigger.is_empty() {
            return;
        }
        let remedy: Vec<usize> = rest
            .into_iter()
            .filter(|&i| degree(i, Spine::Flexion) >= self.flexion.max(1))
            .collect();
        let mut names: Vec<String> = trigger
            .iter()
            .map(|&i| subject.movement(i).name.clone())
            .collect();
        names.sort();
        names.dedup();
        let how_soon = if self.within == 1 {
            "at once".to_string()
        } else {
            format!("within {} movements", self.within)
        };
        posting.post(
            Self::NAME,
            &self.asked,
            Kind::Follow(Follow {
                trigger,
                remedy,
                within: i64::from(self.within),
            }),
            format!(
                "something that rounds the back follows {how_soon} after each run of back bends ({})",
                names.join(", ")
            ),
            "add something that rounds the back, or allow a rest fold",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted, with_spine};

    fn post(rule: &Counterpose, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn a_breather_that_rounds_the_back_answers_and_a_half_range_back_bend_does_not_ask() {
        let sample = Sample::new()
            .both(with_spine("swan", Spine::Extension, 3))
            .both(with_spine("prone press", Spine::Extension, 1))
            .both(movement("footwork"))
            .both(with_spine("roll", Spine::Flexion, 1))
            .breather(with_spine("rest fold", Spine::Flexion, 2));
        let posting = post(&Counterpose::default(), &sample);
        assert_eq!(
            posted(&posting, Counterpose::NAME),
            ["[0] then [3, 4] in 3 6000"]
        );
    }

    #[test]
    fn a_step_that_bends_both_ways_asks_and_does_not_answer() {
        let mut snake = with_spine("snake", Spine::Extension, 2);
        snake.spine.push((Spine::Flexion, 2));
        let posting = post(&Counterpose::default(), &Sample::new().both(snake));
        assert_eq!(
            posted(&posting, Counterpose::NAME),
            ["[0] then [] in 3 6000"]
        );
    }
}
