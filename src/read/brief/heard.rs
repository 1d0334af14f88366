//! What a teacher writes of the people in the room ("dodgy hip, replaced", "pregnant 30 weeks", "bad knees and high BP") to conditions of
//! the vocabulary.
//!
//! A condition is found by whole words inside the phrase, in the order of one of its names with little between. Longer names come first and
//! use up their words, so that a prolapsed disc is no prolapse. What is denied ("no knee pain") is no condition. What is not understood
//! is handed back as it stands: nobody is to think that it was checked.

use crate::model::condition::all;
use crate::model::condition::birth::PREGNANT;
use crate::model::condition::known::KnownCondition;
use crate::read::brief::nearer::{NEARER, Named, narrowed, of_a_direction};
use crate::read::names::{nearest, words};

/// What was understood of a phrase.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heard {
    /// Conditions of the vocabulary, each once.
    pub known: Vec<&'static KnownCondition>,
    /// Parts of the phrase in which nothing was understood, as written.
    pub own_words: Vec<String>,
    /// Words beside those understood that may mean something.
    pub passed_over: Vec<String>,
}

/// How many words may stand between the words of a name.
const BETWEEN: usize = 3;
/// The same where one of them belongs to another name already ("hip and knee replacement").
const SHARED: usize = 1;
/// A word of at least this many letters is known with a slip in it.
const LONG: usize = 7;
/// How alike a word with a slip is.
const ALIKE: f64 = 0.84;

/// Words that part what is said of one thing from the next.
const AND: [&str; 6] = ["and", "with", "plus", "also", "but", "or"];
/// Words that deny what comes next.
const NOT: [&str; 16] = [
    "no", "not", "non", "never", "without", "isnt", "arent", "wasnt", "hasnt", "havent", "doesnt",
    "dont", "didnt", "neither", "nor", "normal",
];
/// Words that may stand between a denial and what it denies.
const PASSED: [&str; 9] = [
    "a",
    "an",
    "any",
    "have",
    "had",
    "having",
    "longer",
    "been",
    "currently",
];
/// Words for what hurts: with one of them a part of the body may be denied ("no knee pain"); without it is to be spared ("no wrists").
const TROUBLE: [&str; 11] = [
    "pain",
    "ache",
    "problem",
    "issue",
    "trouble",
    "injury",
    "complaint",
    "condition",
    "surgery",
    "replacement",
    "arthritis",
];
/// Parts of the body.
const BODY: [&str; 17] = [
    "wrist", "hand", "thumb", "finger", "elbow", "shoulder", "neck", "back", "low", "lower",
    "lumbar", "hip", "knee", "ankle", "foot", "feet", "toe",
];
/// Words that say nothing of a condition by themselves.
const SAY_NOTHING: &str = "\
    a ache aching achy after ago all am an are at bad been bit both by can cannot cant care careful chronic class \
    clearance cleared client complaint condition currently day do doctor dodgy does doing due for from gp group \
    had has have her him his hurt hurting i in is issue it just kg lady left level light little load long lot man \
    me member mild moderate month my new no not of ok old on one our pain painful past people person physio poor \
    problem recent recently recovering replaced right s severe she he side since slight slightly some somebody \
    someone sore soreness stiff still suffer suffers tender that the their them there they this three to today trouble \
    two under upper very was weak week wk woman year yet yo";

struct Word {
    text: String,
    piece: usize,
    used: bool,
}

/// A name found at some words.
struct Found {
    condition: &'static KnownCondition,
    at: Vec<usize>,
    between: usize,
}

/// What is understood of a phrase.
pub fn heard(phrase: &str) -> Heard {
    if let Some(condition) = exactly(phrase) {
        return Heard {
            known: vec![condition],
            ..Heard::default()
        };
    }
    let pieces = pieces(phrase);
    let mut said: Vec<Word> = Vec::new();
    for (piece, text) in pieces.iter().enumerate() {
        said.extend(words(text).into_iter().map(|text| Word {
            text,
            piece,
            used: false,
        }));
    }
    let mut known: Vec<Named> = Vec::new();
    let mut understood = vec![false; pieces.len()];
    for found in names_in(&said) {
        let used = found.at.iter().filter(|&&k| said[k].used).count();
        if used == found.at.len() || (used > 0 && found.between > SHARED) {
            continue;
        }
        for &k in &found.at {
            said[k].used = true;
        }
        if denied(&said, &found.at) {
            continue;
        }
        for &k in &found.at {
            understood[said[k].piece] = true;
        }
        known.push(Named {
            condition: found.condition,
            first: found.at[0],
            piece: said[found.at[0]].piece,
        });
    }
    // As she said them.
    known.sort_by_key(|k| k.first);
    let plain: Vec<&str> = said.iter().map(|w| w.text.as_str()).collect();
    if known.is_empty() && weeks_alone(&plain) {
        known.push(Named {
            condition: &PREGNANT,
            first: 0,
            piece: 0,
        });
        understood.fill(true);
    }
    if known.is_empty() {
        return Heard {
            own_words: vec![phrase.trim().to_owned()],
            ..Heard::default()
        };
    }
    let mut heard = Heard {
        known: narrowed(&known, &plain, phrase),
        ..Heard::default()
    };
    let (mut own_words, mut passed_over) = (Vec::new(), Vec::new());
    let empty = |w: &Word| {
        says_nothing(&w.text) || is_a_number(&w.text) || of_a_direction(&w.text, &heard.known)
    };
    for (piece, text) in pieces.iter().enumerate() {
        let mut left = said.iter().filter(|w| w.piece == piece);
        if understood[piece] {
            let left = left.filter(|w| !w.used && !empty(w));
            passed_over.extend(left.map(|w| w.text.clone()));
        } else if left.any(|w| w.used || !empty(w)) {
            own_words.push(text.clone());
        }
    }
    (heard.own_words, heard.passed_over) = (own_words, passed_over);
    heard
}

/// A number, or a vertebra ("L5").
fn is_a_number(word: &str) -> bool {
    let figures = word.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    word.starts_with(|c: char| c.is_ascii_digit())
        || (word.len() - figures.len() == 1 && figures.parse::<u8>().is_ok())
}

fn says_nothing(word: &str) -> bool {
    SAY_NOTHING.split(' ').any(|w| w == word)
}

/// The phrase in pieces, as written, each of one thing.
fn pieces(phrase: &str) -> Vec<String> {
    let apart = |c: char| ",;/+&|.:()\n\u{2013}\u{2014}".contains(c);
    let mut found = Vec::new();
    for part in phrase.split(apart) {
        let mut piece: Vec<&str> = Vec::new();
        for word in part.split_whitespace() {
            if AND.contains(&word.to_lowercase().as_str()) {
                found.push(piece.join(" "));
                piece.clear();
            } else {
                piece.push(word);
            }
        }
        found.push(piece.join(" "));
    }
    found.retain(|piece| !piece.is_empty());
    found
}

/// Every name that is found, the longest and the tightest first.
fn names_in(said: &[Word]) -> Vec<Found> {
    let mut found = Vec::new();
    for condition in all().filter(|c| !NEARER.contains(&c.name)) {
        for name in std::iter::once(&condition.name).chain(condition.said) {
            let name = words(name);
            for start in 0..said.len() {
                if let Some((at, between)) = place(&name, said, start) {
                    found.push(Found {
                        condition,
                        at,
                        between,
                    });
                }
            }
        }
    }
    found.sort_by_key(|f| (std::cmp::Reverse(f.at.len()), f.between, f.at[0]));
    found
}

/// Where the words of a name stand from a word on, and how many others stand between.
fn place(name: &[String], said: &[Word], start: usize) -> Option<(Vec<usize>, usize)> {
    let mut at = Vec::new();
    let mut next = start;
    for (i, word) in name.iter().enumerate() {
        let last = if i == 0 {
            start + 1
        } else {
            next + BETWEEN + 1
        };
        let k = (next..last.min(said.len())).find(|&k| alike(&said[k].text, word))?;
        at.push(k);
        next = k + 1;
    }
    let between = next - start - name.len();
    (between <= BETWEEN).then_some((at, between))
}

/// Whether a word is this one, or this one with a slip in it.
fn alike(said: &str, word: &str) -> bool {
    said == word
        || (said.chars().count().min(word.chars().count()) >= LONG
            && strsim::normalized_damerau_levenshtein(said, word) >= ALIKE)
}

/// Whether what stands at these words is denied by what comes before it.
fn denied(said: &[Word], at: &[usize]) -> bool {
    let first = at[0];
    let piece = said[first].piece;
    let mut before = said[..first]
        .iter()
        .rev()
        .take_while(|w| w.piece == piece)
        .skip_while(|w| PASSED.contains(&w.text.as_str()));
    if !before
        .next()
        .is_some_and(|w| NOT.contains(&w.text.as_str()))
    {
        return false;
    }
    if at.iter().any(|&k| !BODY.contains(&said[k].text.as_str())) {
        return true;
    }
    let next = at.last().and_then(|&last| said.get(last + 1));
    next.is_some_and(|w| w.piece == piece && TROUBLE.contains(&w.text.as_str()))
}

/// Whether the phrase is a number of weeks and nothing more.
fn weeks_alone(words: &[&str]) -> bool {
    match words {
        [n, "week" | "wk" | "wks"] => n.parse::<u32>().is_ok(),
        [one] => ["w", "wk", "wks", "week"].iter().any(|u| {
            one.strip_suffix(u)
                .is_some_and(|n| n.parse::<u32>().is_ok())
        }),
        _ => false,
    }
}

/// The condition of this name, letters folded, and nothing else.
pub fn exactly(name: &str) -> Option<&'static KnownCondition> {
    let folded = words(name).concat();
    let is = |known: &str| words(known).concat() == folded;
    all().find(|c| is(c.name) || c.said.iter().any(|s| is(s)))
}

/// Names of up to three conditions that come near.
pub fn near(name: &str) -> Vec<&'static str> {
    let known: Vec<&'static str> = all().map(|c| c.name).collect();
    nearest(name, &known)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(phrase: &str) -> Vec<&'static str> {
        heard(phrase).known.iter().map(|c| c.name).collect()
    }

    /// Source: common practice, no source: how people say it.
    #[test]
    fn what_people_say_every_week_is_understood() {
        for (phrase, expected) in [
            ("back pain", &["back pain"][..]),
            ("low back", &["back pain"]),
            ("Lower back is sore", &["back pain"]),
            ("bad back", &["back pain"]),
            ("back pain, arching", &["back pain, arching"]),
            (
                "back hurts when bending forward",
                &["back pain, bending forward"],
            ),
            ("sore back from twisting", &["back pain, twisting"]),
            ("pregnant 30 weeks", &["late pregnancy"]),
            ("28 weeks pregnant", &["late pregnancy"]),
            ("20 wks pregnant", &["mid-pregnancy"]),
            ("pregnant", &["pregnancy"]),
            ("prenatal", &["pregnancy"]),
            ("2nd trimester", &["mid-pregnancy"]),
            ("30 weeks", &["late pregnancy"]),
            ("6 weeks postnatal", &["after birth"]),
            ("high BP", &["high blood pressure"]),
            ("hi blood pressure", &["high blood pressure"]),
            ("blood pressure is a bit high", &["high blood pressure"]),
            ("low blood pressure", &["low blood pressure"]),
            ("osteopenia", &["osteoporosis"]),
            ("mild osteoperosis", &["osteoporosis"]),
            ("bad knees", &["knee pain"]),
            ("sore wrists", &["wrist pain"]),
            ("carpal tunnel", &["wrist pain"]),
            ("slipped disc", &["disc trouble"]),
            ("prolapsed disc L5", &["disc trouble"]),
            ("sciatica", &["sciatica"]),
            ("dodgy hip, replaced", &["hip replacement"]),
            ("both hips replaced", &["hip replacement"]),
            (
                "hip and knee replacement",
                &["knee replacement", "hip replacement"],
            ),
            ("diastasis", &["abdominal separation"]),
            ("SPD", &["pelvic-girdle pain"]),
            ("pelvic girdle pain", &["pelvic-girdle pain"]),
            ("prolapse", &["pelvic floor"]),
            ("vertigo", &["dizziness"]),
            ("knee arthritis", &["knee pain"]),
            ("arthritis", &["arthritis"]),
            ("frozen shoulder", &["frozen shoulder"]),
            (
                "bad knees and high BP",
                &["high blood pressure", "knee pain"],
            ),
            ("cannot kneel", &["knee pain"]),
            ("is 14 weeks along", &["mid-pregnancy"]),
            ("hiatus hernia", &["reflux"]),
            ("hip (new, 2020)", &["hip replacement"]),
            ("no weight on hands", &["wrist pain"]),
        ] {
            let mut found = names(phrase);
            found.sort_unstable();
            let mut expected = expected.to_vec();
            expected.sort_unstable();
            assert_eq!(found, expected, "{phrase}");
        }
    }

    #[test]
    fn what_is_denied_is_no_condition_and_stays_her_own_words() {
        for phrase in [
            "not pregnant",
            "no knee pain",
            "no osteoporosis",
            "normal blood pressure",
        ] {
            let found = heard(phrase);
            assert_eq!(found.known, Vec::<&KnownCondition>::new(), "{phrase}");
            assert_eq!(found.own_words, [phrase]);
        }
        assert_eq!(names("no wrists"), ["wrist pain"]);
        assert_eq!(names("no knee pain but sore back"), ["back pain"]);
    }

    #[test]
    fn a_back_is_only_narrowed_where_nothing_else_may_be_meant() {
        for phrase in [
            "back pain, fine bending forward",
            "back pain, better when rounding",
            "back pain, not arching",
            "back pain when bending",
        ] {
            assert_eq!(names(phrase), ["back pain"], "{phrase}");
        }
        assert!(names("back pain, knee pain when twisting").contains(&"back pain"));
    }

    #[test]
    fn what_is_not_understood_is_handed_back_as_it_stands() {
        let found = heard("sore wrists, endometriosis");
        assert_eq!(found.known.len(), 1);
        assert_eq!(found.own_words, ["endometriosis"]);
        let found = heard("sore wrists bunionette");
        assert_eq!(found.passed_over, ["bunionette"]);
        let found = heard("Raynaud");
        assert_eq!(
            (found.known.len(), found.own_words),
            (0, vec!["Raynaud".to_owned()])
        );
        assert!(heard("knee pain, left side").own_words.is_empty());
    }

    #[test]
    fn short_words_are_not_found_inside_others() {
        for phrase in [
            "hippocampus",
            "backache-free",
            "discussion",
            "wristwatch",
            "handstand",
            "kneeled",
        ] {
            assert!(!names(phrase).contains(&"hip pain"), "{phrase}");
            assert!(!names(phrase).contains(&"disc trouble"), "{phrase}");
            assert!(!names(phrase).contains(&"wrist pain"), "{phrase}");
        }
    }
}
