//! What a phrase says more nearly of the conditions that were found in it: how far a pregnancy is, what hurts a back, which joint it is.
//!
//! Only what leaves no doubt narrows anything: what is marked too much is looked at, what is marked too little is not.

use crate::model::condition::birth::{EARLY, LATE, MIDDLE, PREGNANT};
use crate::model::condition::joints::{ARTHRITIS, INJURY};
use crate::model::condition::known::KnownCondition;
use crate::model::condition::spine::{BACK_ARCHED, BACK_FORWARD, BACK_PAIN, BACK_TWISTED};
use crate::read::brief::weeks;

/// A condition and the piece of the phrase that names it.
#[derive(Debug, Clone, Copy)]
pub struct Named {
    /// The condition.
    pub condition: &'static KnownCondition,
    /// Where its name begins, in words.
    pub first: usize,
    /// The piece.
    pub piece: usize,
}

/// With these a direction may be what helps rather than what hurts.
const UNSURE: [&str; 17] = [
    "fine", "ok", "okay", "good", "better", "ease", "eases", "help", "helps", "relief", "no",
    "not", "except", "avoid", "only", "but", "without",
];

/// Conditions that say another more nearly. A phrase comes to them by that other alone, or by their name and nothing more: "fine bending
/// forward" holds the words of one and means the opposite.
pub const NEARER: [&str; 6] = [
    EARLY.name,
    MIDDLE.name,
    LATE.name,
    BACK_FORWARD.name,
    BACK_ARCHED.name,
    BACK_TWISTED.name,
];

/// Back pain of which it is said what hurts.
const BACKS: [&str; 3] = [BACK_FORWARD.name, BACK_ARCHED.name, BACK_TWISTED.name];

/// Words for the way in which a back hurts, and what each makes of it. "Bending" alone may be any.
const WAYS: [(&[&str], &KnownCondition); 3] = [
    (
        &[
            "forward", "flexion", "flexing", "rounding", "round", "rounded", "folding", "fold",
        ],
        &BACK_FORWARD,
    ),
    (
        &[
            "arching",
            "arch",
            "arched",
            "extension",
            "extending",
            "backward",
            "backbend",
            "backbending",
        ],
        &BACK_ARCHED,
    ),
    (
        &["twisting", "twist", "rotation", "rotating", "turning"],
        &BACK_TWISTED,
    ),
];

/// Conditions that name a joint.
const JOINTED: [&str; 11] = [
    "wrist pain",
    "elbow pain",
    "shoulder pain",
    "frozen shoulder",
    "knee pain",
    "knee replacement",
    "hip pain",
    "hip replacement",
    "ankle or foot trouble",
    "neck pain",
    "back pain",
];

/// The conditions with what the phrase says more nearly: how far a pregnancy is, what hurts a back, which joint.
pub fn narrowed(known: &[Named], said: &[&str], phrase: &str) -> Vec<&'static KnownCondition> {
    let alone = known.iter().all(|k| k.condition == known[0].condition);
    let mut found: Vec<&'static KnownCondition> = Vec::new();
    let mut push = |condition: &'static KnownCondition| {
        if !found.contains(&condition) {
            found.push(condition);
        }
    };
    for Named {
        condition, piece, ..
    } in known
    {
        if *condition == &PREGNANT {
            push(weeks::part(said, and_more(phrase)));
        } else if *condition == &BACK_PAIN && alone {
            let ways = directions(said);
            if ways.is_empty() {
                push(condition);
            }
            ways.into_iter().for_each(&mut push);
        } else if *condition == &ARTHRITIS || *condition == &INJURY {
            let joint = |k: &&Named| k.piece == *piece && JOINTED.contains(&k.condition.name);
            if !known.iter().any(|k| joint(&k)) {
                push(condition);
            }
        } else {
            push(condition);
        }
    }
    found
}

/// Whether a number has a plus behind it and no days ("27+ weeks"): more than it says.
fn and_more(phrase: &str) -> bool {
    let letters: Vec<char> = phrase.chars().collect();
    (1..letters.len()).any(|k| {
        letters[k] == '+'
            && letters[k - 1].is_ascii_digit()
            && !letters.get(k + 1).is_some_and(char::is_ascii_digit)
    })
}

/// What hurts a back, where that is said without a doubt.
fn directions(said: &[&str]) -> Vec<&'static KnownCondition> {
    if said.iter().any(|w| UNSURE.contains(w)) {
        return Vec::new();
    }
    let has = |any: &[&str]| said.iter().any(|w| any.contains(w));
    let ways = WAYS.iter().filter(|(words, _)| has(words));
    ways.map(|&(_, way)| way).collect()
}

/// Whether a word says how a back hurts, where that is among what was found.
pub fn of_a_direction(word: &str, known: &[&KnownCondition]) -> bool {
    known.iter().any(|c| BACKS.contains(&c.name))
        && WAYS.iter().any(|(words, _)| words.contains(&word))
}
