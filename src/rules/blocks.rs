//! A block stays together, in its order where it is fixed; so does each run of a series.

use super::ledger::RuleName;
use super::need::Asked;
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, contiguous::Contiguous};

/// The title of what keeps an order as well.
pub const IN_ORDER: &str = "blocks and series in their order";

/// Blocks and the runs of a series stay together. The teacher wrote them so: they hold unless made a wish.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocks {
    /// Whether it must hold.
    pub asked: Asked,
}

impl Default for Blocks {
    fn default() -> Self {
        Self {
            asked: Asked::must(),
        }
    }
}

impl Rule for Blocks {
    const NAME: RuleName = RuleName {
        key: "blocks",
        title: "blocks together",
        filled_in: true,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `contiguous` for each round of a block, two for each round of a series (its runs are always in their order, since the
    /// second side repeats the first).
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        for (b, block) in subject.blocks.iter().enumerate() {
            if block.series {
                continue;
            }
            for round in subject.block_rounds(b) {
                let name = &block.name;
                let (rule, sentence) = if block.ordered {
                    (
                        Self::NAME.titled(IN_ORDER),
                        format!("the block {name} stays together in its order"),
                    )
                } else {
                    (Self::NAME, format!("the block {name} stays together"))
                };
                self.run(rule, round.steps, block.ordered, sentence, posting);
            }
        }
        for series in subject.series() {
            let name = &subject.blocks[series.block].name;
            for run in [series.first, series.second] {
                let sentence =
                    format!("each side of the series {name} is done in one run, in its order");
                self.run(Self::NAME.titled(IN_ORDER), run, true, sentence, posting);
            }
        }
    }
}

impl Blocks {
    fn run(
        &self,
        rule: RuleName,
        steps: Vec<usize>,
        ordered: bool,
        sentence: String,
        posting: &mut Posting,
    ) {
        if steps.len() < 2 {
            return;
        }
        posting.post(
            rule,
            &self.asked,
            Kind::Contiguous(Contiguous {
                steps,
                ordered,
                within: 0,
            }),
            sentence,
            "",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Blocks, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn each_run_of_a_series_is_one_run_in_order() {
        let sample = Sample::new().series("legs", vec![movement("a"), movement("b")]);
        let posting = post(&Blocks::default(), &sample);
        assert_eq!(
            posted(&posting, Blocks::NAME.titled(IN_ORDER)),
            ["run [0, 1] ordered +0 must", "run [2, 3] ordered +0 must"]
        );
    }
}
