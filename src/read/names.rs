//! Names as people write them: compared without regard to case, accents, hyphens and plurals; the nearest for one that is not known.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// How near a name must be to be offered: 1 is equal, 0 has nothing in common.
const NEAR: f64 = 0.6;

/// How near a word is that is the beginning of another.
const NEARER: f64 = 0.7;
/// So near is a name that stands whole among other words.
const WHOLE: f64 = 0.8;
/// A line of more words than this is no name.
const MANY_WORDS: usize = 12;
/// How many times as long as a name what is asked for may be.
const TOO_LONG: usize = 4;
/// Letters from which a word counts as the beginning of another.
const SHORTENED: usize = 3;

/// How near two words are that count as the same.
const ALIKE: f64 = 0.75;

/// How many names are offered at most.
const OFFERED: usize = 3;

/// The words of a name in lower case, without accents, plural endings and punctuation.
pub fn words(name: &str) -> Vec<String> {
    let plain: String = if name.is_ascii() {
        // The same as below, without tables.
        name.chars()
            .filter(|c| *c != '\'')
            .map(|c| c.to_ascii_lowercase())
            .collect()
    } else {
        name.nfkd()
            .filter(|c| !is_combining_mark(*c) && *c != '\'' && *c != '\u{2019}')
            .flat_map(char::to_lowercase)
            .collect()
    };
    plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(singular)
        .collect()
}

/// A word without its plural ending. Crude on purpose: both sides of a comparison go through it.
fn singular(word: &str) -> String {
    let n = word.chars().count();
    if n > 4
        && let Some(stem) = word.strip_suffix("ies")
    {
        return format!("{stem}y");
    }
    for ending in ["sses", "shes", "ches", "xes", "zes"] {
        if n > 4 && word.ends_with(ending) {
            return word[..word.len() - 2].to_owned();
        }
    }
    if n > 3 && word.ends_with('s') && !["ss", "us", "is"].iter().any(|e| word.ends_with(e)) {
        return word[..word.len() - 1].to_owned();
    }
    word.to_owned()
}

/// The form in which names are compared: two names are the same if their folds are. "Roll-Downs", "rolldown" and "roll down" fold alike.
pub fn fold(name: &str) -> String {
    words(name).concat()
}

/// A name that is known, as it is compared with one that is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spelt {
    words: Vec<String>,
    whole: String,
    lower: String,
}

impl Spelt {
    /// A name.
    pub fn of(name: &str) -> Self {
        let words = words(name);
        Self {
            whole: words.concat(),
            lower: name.to_lowercase(),
            words,
        }
    }
}

/// A name that is looked for among those known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked(Spelt);

impl Asked {
    /// A name.
    pub fn of(name: &str) -> Self {
        Self(Spelt::of(name))
    }

    /// How near it is to a name that is known, 0 to 1: the better of spelling and shared words.
    pub fn likeness(&self, known: &Spelt) -> f64 {
        let asked = &self.0.words;
        // A whole name with more words round it ("feet in straps, frogs") is nearer than one that shares the words round it.
        let known_words: &[String] = if asked.len() <= MANY_WORDS {
            &known.words
        } else {
            &[]
        };
        let whole = !known_words.is_empty() && known_words.iter().all(|k| asked.contains(k));
        let whole = if whole { WHOLE } else { 0.0 };
        // What is many times as long is no slip of it, and a long line of something else is soon done with.
        if self.0.lower.len() > TOO_LONG * known.lower.len() {
            return whole;
        }
        let (one, other) = (self.0.whole.as_str(), known.whole.as_str());
        let other = if known_words.is_empty() { "" } else { other };
        // Written out too: a slip in a plural is none in its stem.
        let written = strsim::normalized_damerau_levenshtein(&self.0.lower, &known.lower);
        let mut spelling = strsim::normalized_damerau_levenshtein(one, other).max(written);
        // A word cut short ("reps") is near to the whole.
        if one.chars().count() >= SHORTENED && other.starts_with(one) {
            spelling = spelling.max(NEARER);
        }
        if asked.is_empty() || known_words.is_empty() {
            return spelling;
        }
        // A word counts as shared if it is spelt nearly alike, so that one slip in a long name does not hide it.
        let shared = asked
            .iter()
            .filter(|a| known_words.iter().any(|k| nearly_alike(a, k)))
            .count() as f64;
        let by_words = shared / asked.len() as f64 * 0.7 + shared / known_words.len() as f64 * 0.25;
        spelling.max(by_words).max(whole)
    }
}

/// Whether two words are the same but for a slip.
fn nearly_alike(one: &str, other: &str) -> bool {
    strsim::normalized_damerau_levenshtein(one, other) >= ALIKE
}

/// Up to three of these names, each with how near it is, that come nearest, nearest first; none that is not near.
pub fn most_like<'a>(scored: impl Iterator<Item = (f64, &'a str)>) -> Vec<&'a str> {
    let mut scored: Vec<(f64, &str)> = scored.filter(|(score, _)| *score > NEAR).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.truncate(OFFERED);
    scored.into_iter().map(|(_, name)| name).collect()
}

/// Up to three of `known` that come nearest to `name`, nearest first; empty if none is near.
pub fn nearest<'a>(name: &str, known: &[&'a str]) -> Vec<&'a str> {
    let asked = Asked::of(name);
    most_like((known.iter()).map(|k| (asked.likeness(&Spelt::of(k)), *k)))
}

/// Names in code marks, joined by "or": "`a`, `b` or `c`".
pub fn either(names: &[&str]) -> String {
    let marked: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    match marked.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_accents_hyphens_and_plurals_make_no_difference() {
        for (a, b) in [
            ("Roll-Downs", "rolldown"),
            ("Arabésque", "arabesque"),
            ("Knee stretches", "knee stretch"),
            ("Presses", "press"),
            ("  side  SPLITS ", "side-split"),
        ] {
            assert_eq!(fold(a), fold(b), "{a} and {b}");
        }
        assert_ne!(fold("twist"), fold("twice"));
    }

    #[test]
    fn a_whole_name_among_other_words_comes_first() {
        let known = ["beats, feet in straps", "frog", "bicycle, feet in straps"];
        assert_eq!(nearest("feet in straps - frogs", &known)[0], "frog");
    }

    #[test]
    fn a_slip_of_spelling_gets_the_right_name_first_and_at_most_three() {
        let known = [
            "side splits",
            "side skating",
            "side bend",
            "side sit-up",
            "scooter",
        ];
        assert_eq!(nearest("side spilts", &known)[0], "side splits");
        assert!(nearest("side", &known).len() <= 3);
        assert!(nearest("hopscotch", &known).is_empty());
    }

    #[test]
    fn names_are_joined_as_in_a_sentence() {
        assert_eq!(either(&["a"]), "`a`");
        assert_eq!(either(&["a", "b", "c"]), "`a`, `b` or `c`");
    }
}
