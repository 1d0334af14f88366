//! The lists of a week: the list as written, and the same with some movements swapped for their alternatives.
//!
//! A swap takes the other movement as the catalogue has it: springs, repetitions and the like of the line were meant for the first. What a rule says of a
//! movement that is swapped holds for the other, if no other line has it too.

use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

use crate::brief::Brief;

/// At most this many lists are searched, including the one as written.
pub const MOST_LISTS: usize = 24;
/// Ways to swap are counted up to here.
const MOST_WAYS: usize = 100_000;

/// One movement instead of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swap {
    /// Index of the line.
    pub entry: usize,
    /// Id of the movement that is written there.
    pub out: String,
    /// Id of its replacement.
    pub into: String,
}

/// The lists, and of how many.
#[derive(Debug, Clone, PartialEq)]
pub struct Lists {
    /// What is swapped in each; nothing in the first.
    pub swaps: Vec<Vec<Swap>>,
    /// How many there are in all, that as written among them; where they are very many, a lower bound.
    pub ways: usize,
}

/// Lists with at most this many swaps: all of them, or [`MOST_LISTS`] drawn by the seed. No two swaps of a list bring the same movement in.
pub fn lists(brief: &Brief, most: usize, seed: u64) -> Lists {
    let mut ways: Vec<Vec<Swap>> = vec![Vec::new()];
    for (e, entry) in brief.entries.iter().enumerate() {
        for k in 0..ways.len() {
            if ways[k].len() >= most {
                continue;
            }
            for instead in &entry.instead {
                let taken = ways[k].iter().any(|s| s.into == instead.movement);
                if !taken && ways.len() < MOST_WAYS {
                    let mut more = ways[k].clone();
                    more.push(Swap {
                        entry: e,
                        out: entry.movement.clone(),
                        into: instead.movement.clone(),
                    });
                    ways.push(more);
                }
            }
        }
    }
    let all = ways.len();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    ways[1..].shuffle(&mut rng);
    ways.truncate(MOST_LISTS);
    Lists {
        swaps: ways,
        ways: all,
    }
}

/// The brief with these swaps.
pub fn swapped(brief: &Brief, swaps: &[Swap]) -> Brief {
    let mut new = brief.clone();
    for swap in swaps {
        let entry = &mut new.entries[swap.entry];
        entry.movement.clone_from(&swap.into);
        (entry.repetitions, entry.springs, entry.teach) = (None, None, None);
        entry.facets = Vec::new();
    }
    for swap in swaps {
        if new.entries.iter().all(|e| e.movement != swap.out) {
            new.rules.speak_of(&swap.out, &swap.into);
        }
    }
    new
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Instead;
    use crate::compile::sample;
    use crate::rules::sample::{Sample, movement};

    fn brief() -> Brief {
        let sample = ["a", "b", "c"].map(movement).into_iter();
        let mut brief = sample::brief(&sample.fold(Sample::new(), Sample::both));
        let span = brief.span.clone();
        let mut may = |e: usize, movements: &[&str]| {
            brief.entries[e].instead = (movements.iter())
                .map(|m| Instead {
                    movement: (*m).to_owned(),
                    span: span.clone(),
                })
                .collect();
        };
        may(0, &["x", "y"]);
        may(2, &["y", "z"]);
        brief
    }

    /// Source: counted by hand. One swap: x, y for a; y, z for c. Two: x and y, x and z, y and z, but not y twice.
    #[test]
    fn all_ways_to_swap_are_there_once() {
        let count = |most| lists(&brief(), most, 1).swaps.len();
        assert_eq!((count(0), count(1), count(2), count(9)), (1, 5, 8, 8));
        assert_eq!(lists(&brief(), 2, 1).ways, 8);
        assert!(lists(&brief(), 2, 7).swaps[0].is_empty());
    }
}
