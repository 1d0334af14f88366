//! How far a pregnancy is, from the words that say so.
//!
//! Thirds as usual: to week 12, weeks 13 to 27, from week 28 on. Whatever leaves a doubt (a date that it is due, "more than", a number
//! without its unit) says nothing, and then all that any week calls for is marked.

use crate::model::condition::birth::{EARLY, LATE, MIDDLE, PREGNANT};
use crate::model::condition::known::KnownCondition;

/// First week of the second third and of the last.
const SECOND: u32 = 13;
const THIRD: u32 = 28;
/// No pregnancy is longer, weeks.
const LONGEST: u32 = 43;

/// Words with which a number of weeks does not say how far it is.
const DOUBT: [&str; 24] = [
    "due", "left", "go", "ago", "since", "every", "until", "till", "before", "over", "more",
    "plus", "least", "past", "after", "from", "than", "in", "for", "maybe", "last", "per",
    "beyond", "birth",
];

/// The part of pregnancy that these words say, folded; the whole of it if they do not. `more`: a number is said to be more than it is.
pub fn part(words: &[&str], more: bool) -> &'static KnownCondition {
    let greatest = |said: fn(&[&str], usize) -> Option<u32>| {
        (0..words.len()).filter_map(|i| said(words, i)).max()
    };
    let doubt = more || words.iter().any(|word| DOUBT.contains(word));
    let by_week = greatest(weeks)
        .filter(|week| !doubt && (1..=LONGEST).contains(week))
        .map(|week| match week {
            0..SECOND => 1,
            SECOND..THIRD => 2,
            THIRD.. => 3,
        });
    let by_name = greatest(third).filter(|_| !words.contains(&"after"));
    match by_week.max(by_name) {
        Some(1) => &EARLY,
        Some(2) => &MIDDLE,
        Some(3) => &LATE,
        Some(_) => &PREGNANT,
        None if follow(words, ["early", "pregnancy"]) && !doubt => &EARLY,
        None if follow(words, ["late", "pregnancy"]) => &LATE,
        None if follow(words, ["heavily", "pregnant"]) => &LATE,
        None => &PREGNANT,
    }
}

fn follow(words: &[&str], pair: [&str; 2]) -> bool {
    words.windows(2).any(|two| *two == pair)
}

/// Which third is said at a word: "2nd trimester", "trimester 2", "T2".
fn third(words: &[&str], at: usize) -> Option<u32> {
    let of = |word: &str| match word {
        "1" | "1st" | "first" | "one" => Some(1),
        "2" | "2nd" | "second" | "two" | "mid" | "middle" => Some(2),
        "3" | "3rd" | "third" | "three" | "last" | "final" | "late" => Some(3),
        _ => None,
    };
    match words[at] {
        "t1" => Some(1),
        "t2" => Some(2),
        "t3" => Some(3),
        "trimester" => {
            let before = at.checked_sub(1).and_then(|k| of(words[k]));
            let after = words.get(at + 1).and_then(|w| of(w));
            // "Second and third trimester": the later counts.
            let farther = at.checked_sub(2).and_then(|k| of(words[k]));
            before.max(after).max(farther.filter(|_| before.is_some()))
        }
        _ => None,
    }
}

/// How many weeks are said at a word: "30 weeks", "30w", "week 30", "7 months"; of several numbers in a row the greatest.
fn weeks(words: &[&str], at: usize) -> Option<u32> {
    let (number, glued) = split(words[at]);
    let unit = |word: &str| match word {
        "w" | "wk" | "wks" | "week" => Some(1),
        "mo" | "mth" | "mths" | "month" => Some(2),
        _ => None,
    };
    let in_weeks = |n: u32, unit: u32| match unit {
        1 => n,
        // So many months are at most the weeks before the next one begins: 52 weeks are 12 months.
        _ => (n.saturating_add(1).saturating_mul(52)).div_ceil(12) - 1,
    };
    if let (Some(n), Some(u)) = (number, unit(glued)) {
        return Some(in_weeks(n, u));
    }
    let u = unit(words[at])?;
    let plain = |word: &&str| {
        let (n, rest) = split(word);
        n.filter(|_| ["", "th", "st", "nd", "rd"].contains(&rest))
    };
    let before = words[..at].iter().rev().map_while(plain).max();
    let after = words.get(at + 1).and_then(plain);
    Some(in_weeks(before.max(after)?, u))
}

/// A number at the beginning of a word and what follows it.
fn split(word: &str) -> (Option<u32>, &str) {
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    (word[..digits].parse().ok(), &word[digits..])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> &'static str {
        let words: Vec<&str> = text.split(' ').collect();
        part(&words, false).name
    }

    /// Source: thirds of pregnancy as usual, to week 12, 13 to 27, from 28.
    #[test]
    fn weeks_months_and_thirds_say_how_far_it_is() {
        for (text, name) in [
            ("pregnant 12 week", "early pregnancy"),
            ("pregnant 13 week", "mid-pregnancy"),
            ("27 week pregnant", "mid-pregnancy"),
            ("pregnant 28 week", "late pregnancy"),
            ("30w pregnant", "late pregnancy"),
            ("pregnant week 20", "mid-pregnancy"),
            ("pregnant 7 month", "late pregnancy"),
            ("pregnant 4 month", "mid-pregnancy"),
            ("2nd trimester", "mid-pregnancy"),
            ("third trimester", "late pregnancy"),
            ("last trimester", "late pregnancy"),
            ("trimester 1", "early pregnancy"),
            ("early pregnancy", "early pregnancy"),
        ] {
            assert_eq!(said(text), name, "{text}");
        }
    }

    #[test]
    fn what_leaves_a_doubt_marks_everything() {
        for text in [
            "pregnant",
            "pregnant due in 6 week",
            "pregnant 2",
            "pregnant 8 week to go",
            "after first trimester",
            "pregnant more than 12 week",
            "pregnant 90 week",
        ] {
            assert_eq!(said(text), "pregnancy", "{text}");
        }
    }

    #[test]
    fn of_two_the_later_counts() {
        assert_eq!(said("pregnant 30 14 week"), "late pregnancy");
        assert_eq!(said("pregnant 27 4 week"), "mid-pregnancy");
        assert_eq!(said("second third trimester"), "late pregnancy");
    }
}
