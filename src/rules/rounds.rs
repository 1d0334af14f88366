//! Rounds come in sequence, and do not touch unless asked.

use super::ledger::RuleName;
use super::need::{Asked, WEIGHT_OTHER};
use super::posting::Posting;
use super::rule::{Rule, Visit};
use super::subject::Subject;
use crate::problem::demand::{Kind, neighbours::Neighbours, precede::Precede};

/// Rounds of a movement, block or series.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounds {
    /// Whether a later round must come after an earlier one. Numbers only, so it costs nothing to hold.
    pub sequence: Asked,
    /// Whether something else must stand between two rounds; off: they may follow at once.
    pub apart: Asked,
}

impl Default for Rounds {
    fn default() -> Self {
        Self {
            sequence: Asked::must(),
            apart: Asked::prefer(WEIGHT_OTHER),
        }
    }
}

/// A thing done in rounds: its name, and the steps of each round as written.
struct Repeated {
    name: String,
    rounds: Vec<Vec<usize>>,
}

fn repeated(subject: &Subject) -> Vec<Repeated> {
    let mut found: Vec<Repeated> = Vec::new();
    for (b, block) in subject.blocks.iter().enumerate() {
        if block.rounds > 1 {
            found.push(Repeated {
                name: block.name.clone(),
                rounds: subject
                    .block_rounds(b)
                    .into_iter()
                    .map(|r| r.steps)
                    .collect(),
            });
        }
    }
    let mut entries: Vec<usize> = Vec::new();
    for (i, s) in subject.asked() {
        let Some(entry) = s.entry else { continue };
        let by_block = s.block.is_some_and(|b| subject.blocks[b].rounds > 1);
        // The first run of a series may hold all rounds of a movement before the second run begins.
        if by_block || subject.in_series(i) || entries.contains(&entry) {
            continue;
        }
        entries.push(entry);
        let mut rounds: Vec<Vec<usize>> = Vec::new();
        let mut numbers: Vec<u32> = Vec::new();
        for (j, t) in subject.asked().filter(|(_, t)| t.entry == Some(entry)) {
            match numbers.iter().position(|&n| n == t.round) {
                Some(k) => rounds[k].push(j),
                None => {
                    numbers.push(t.round);
                    rounds.push(vec![j]);
                }
            }
        }
        if rounds.len() > 1 {
            found.push(Repeated {
                name: subject.movement(i).name.clone(),
                rounds,
            });
        }
    }
    found
}

impl Rule for Rounds {
    const NAME: RuleName = RuleName {
        key: "rounds",
        title: "rounds in turn",
        filled_in: false,
        holds_places: true,
    };

    fn targets_mut(&mut self, _: Visit<'_>) {}

    /// One `precede` for each pair of steps of two rounds in a row, and one `neighbours` that keeps the two rounds from touching.
    fn post(&self, subject: &Subject, posting: &mut Posting) {
        for thing in repeated(subject) {
            for (k, two) in thing.rounds.windows(2).enumerate() {
                let mut pairs = Vec::new();
                for &a in &two[0] {
                    for &b in &two[1] {
                        pairs.push((a, b));
                        posting.post(
                            Self::NAME,
                            &self.sequence,
                            Kind::Precede(Precede { a, b }),
                            format!("{} comes before {}", subject.name(a), subject.name(b)),
                            "",
                        );
                    }
                }
                posting.post(
                    Self::NAME,
                    &self.apart,
                    Kind::Neighbours(Neighbours {
                        pairs,
                        least: None,
                        most: Some(0),
                    }),
                    format!(
                        "something else stands between rounds {} and {} of {}",
                        k + 1,
                        k + 2,
                        thing.name
                    ),
                    "say that the rounds may follow at once, or add something to put between",
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::sample::{Sample, movement, posted};

    fn post(rule: &Rounds, sample: &Sample) -> Posting {
        let mut posting = Posting::default();
        rule.post(&sample.subject(), &mut posting);
        posting
    }

    #[test]
    fn rounds_come_in_sequence_and_do_not_touch() {
        let sample = Sample::new().each(movement("splits"), 2);
        let posting = post(&Rounds::default(), &sample);
        assert_eq!(
            posted(&posting, Rounds::NAME),
            [
                "0<2 must",
                "0<3 must",
                "1<2 must",
                "1<3 must",
                "[(0, 2), (0, 3), (1, 2), (1, 3)] None..Some(0) 3000"
            ]
        );
    }
}
