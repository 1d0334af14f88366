//! One line of a list as people write it: "Swan x 6", "Scooter, left", "Mermaid 8 reps, left and right", "Hundred, 2 rounds", "Plank 30 s".

use std::ops::Range;

use crate::model::movement::RepUnit;
use crate::problem::step::Side;

/// A piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece<T> {
    /// What it says.
    pub value: T,
    /// Where it stands, in bytes of the line.
    pub at: Range<usize>,
}

/// A number of repetitions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// How many; minutes are counted as seconds.
    pub number: u32,
    /// What is counted, if given.
    pub unit: Option<RepUnit>,
}

/// A line taken apart. Whether the name means anything is for others to say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Line {
    /// What is left for the name.
    pub name: String,
    /// Where the name stands, in bytes of the line.
    pub at: Range<usize>,
    /// Repetitions (breaths, seconds), if given.
    pub repetitions: Option<Piece<Count>>,
    /// Rounds, if given.
    pub rounds: Option<Piece<u32>>,
    /// `Left` or `Right` for one side only, `Both` where both are asked for in words.
    pub side: Option<Piece<Side>>,
    /// Where a number or a side is given once more: what is kept is the one nearest to the name.
    pub twice: Vec<Range<usize>>,
}

/// Takes a line apart from its end; what `known` calls a name is left whole ("Elephant, flat back").
pub fn line(text: &str, known: impl Fn(&str) -> bool) -> Line {
    let mut found = Line::default();
    let mut rest = trimmed(text, 0..text.len());
    while !known(&text[rest.clone()]) {
        let Some(shorter) = found.take(text, &rest) else {
            break;
        };
        rest = trimmed(text, shorter);
    }
    found.name = text[rest.clone()].to_owned();
    found.at = rest;
    found
}

/// A stretch of the line without the spaces and marks around it.
fn trimmed(text: &str, at: Range<usize>) -> Range<usize> {
    let mark = |c: char| c.is_whitespace() || ",;:()-\u{2013}\u{2014}".contains(c);
    let part = &text[at.clone()];
    let start = at.start + (part.len() - part.trim_start_matches(mark).len());
    let end = start + text[start..at.end].trim_end_matches(mark).len();
    start..end
}

impl Line {
    /// Takes one piece from the end and gives what stands before it; `None` if the end is part of a name.
    fn take(&mut self, text: &str, rest: &Range<usize>) -> Option<Range<usize>> {
        let words = words(text, rest);
        // The first word is always left for the name.
        let after_name = words.get(1..).unwrap_or_default();
        let said = |back: usize| -> String {
            let word = after_name.len().checked_sub(back).map(|k| &after_name[k]);
            word.map_or_else(String::new, |at| text[at.clone()].to_lowercase())
        };
        let (last, second, third) = (said(1), said(2), said(3));
        let both = ["left", "right", "l", "r"];
        let and = ["and", "&", "+", "/"];
        let is = |word: &str, of: &[&str]| of.contains(&word);
        if is(&third, &both) && is(&second, &and) && is(&last, &both) && third != last {
            return self.side(Side::Both, after_name, 3);
        }
        match (second.as_str(), last.as_str()) {
            ("both" | "each" | "per", "side" | "sides") => {
                return self.side(Side::Both, after_name, 2);
            }
            ("left", "side") => return self.side(Side::Left, after_name, 2),
            ("right", "side") => return self.side(Side::Right, after_name, 2),
            (n, "round" | "rounds" | "set" | "sets") if number(n).is_some() => {
                let value = number(n)?;
                let at = stretch(after_name, 2);
                self.twice.extend(self.rounds.take().map(|r| r.at));
                self.rounds = Some(Piece {
                    value,
                    at: at.clone(),
                });
                return Some(rest.start..at.start);
            }
            (n, unit) if number(n).is_some() && unit_of(unit).is_some() => {
                let (unit, many) = unit_of(unit)?;
                // "x 30 s" and "for 30 s".
                let back = if is(&third, &["x", "\u{d7}", "for"]) {
                    3
                } else {
                    2
                };
                let number = number(n)?.saturating_mul(many);
                let unit = Some(unit);
                return self.count(Count { number, unit }, after_name, back);
            }
            ("x" | "\u{d7}" | "for", n) if count(n).is_some() => {
                return self.count(count(n)?, after_name, 2);
            }
            _ => {}
        }
        match last.as_str() {
            "left" | "l" => self.side(Side::Left, after_name, 1),
            "right" | "r" => self.side(Side::Right, after_name, 1),
            "left/right" | "right/left" | "l/r" | "r/l" | "l+r" | "r+l" | "l&r" | "r&l" => {
                self.side(Side::Both, after_name, 1)
            }
            n => self.count(count(n)?, after_name, 1),
        }
    }

    fn side(&mut self, value: Side, words: &[Range<usize>], back: usize) -> Option<Range<usize>> {
        let at = stretch(words, back);
        self.twice.extend(self.side.take().map(|s| s.at));
        self.side = Some(Piece {
            value,
            at: at.clone(),
        });
        Some(0..at.start)
    }

    fn count(&mut self, value: Count, words: &[Range<usize>], back: usize) -> Option<Range<usize>> {
        let at = stretch(words, back);
        self.twice.extend(self.repetitions.take().map(|r| r.at));
        self.repetitions = Some(Piece {
            value,
            at: at.clone(),
        });
        Some(0..at.start)
    }
}

/// From the word so far back to the last.
fn stretch(words: &[Range<usize>], back: usize) -> Range<usize> {
    words[words.len() - back].start..words[words.len() - 1].end
}

/// A whole number; one too great to be held counts as the greatest, so that it is refused as a number and not as a name.
fn number(word: &str) -> Option<u32> {
    let digits = !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    digits.then(|| word.parse().unwrap_or(u32::MAX))
}

/// A number with an "x" or a unit written onto it: "6", "x6", "6x", "30s", "2min".
fn count(word: &str) -> Option<Count> {
    if let Some(number) = number(word.trim_matches(['x', '\u{d7}'])) {
        return Some(Count { number, unit: None });
    }
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let (unit, many) = unit_of(&word[digits..])?;
    Some(Count {
        number: number(&word[..digits])?.saturating_mul(many),
        unit: Some(unit),
    })
}

/// What a unit counts, and how many of those one of it is.
fn unit_of(word: &str) -> Option<(RepUnit, u32)> {
    match word {
        "rep" | "reps" | "repetition" | "repetitions" | "time" | "times" => {
            Some((RepUnit::Repetition, 1))
        }
        "breath" | "breaths" => Some((RepUnit::Breath, 1)),
        "s" | "sec" | "secs" | "second" | "seconds" => Some((RepUnit::Second, 1)),
        "min" | "mins" | "minute" | "minutes" => Some((RepUnit::Second, 60)),
        _ => None,
    }
}

/// The words of a stretch of the line, each without the marks around it; marks that stand alone are left out.
fn words(text: &str, at: &Range<usize>) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = at.start;
    for piece in text[at.clone()].split_inclusive(char::is_whitespace) {
        let word = trimmed(text, from..from + piece.len());
        from += piece.len();
        if !word.is_empty() {
            found.push(word);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, Option<u32>, Option<u32>, Option<Side>) {
        let l = line(text, |name| name == "Elephant, left");
        (
            l.name,
            l.repetitions.map(|r| r.value.number),
            l.rounds.map(|r| r.value),
            l.side.map(|s| s.value),
        )
    }

    #[test]
    fn repetitions_sides_and_rounds_stand_after_the_name_in_any_order() {
        let name = |n: &str| n.to_owned();
        assert_eq!(read("Swan"), (name("Swan"), None, None, None));
        for text in ["Swan x 6", "Swan x6", "Swan 6 reps", "Swan (6)", "Swan, 6x"] {
            assert_eq!(read(text), (name("Swan"), Some(6), None, None), "{text}");
        }
        for sides in ["left and right", "L/R", "right & left", "l + r", "per side"] {
            assert_eq!(
                read(&format!("Side splits 8 reps, {sides}")),
                (name("Side splits"), Some(8), None, Some(Side::Both)),
                "{sides}"
            );
        }
        assert_eq!(
            read("Scooter, 2 rounds, left"),
            (name("Scooter"), None, Some(2), Some(Side::Left))
        );
        assert_eq!(
            read("Scooter (R), 2 sets"),
            (name("Scooter"), None, Some(2), Some(Side::Right))
        );
    }

    #[test]
    fn a_unit_says_what_is_counted_and_minutes_are_seconds() {
        let counted = |text: &str| {
            let l = line(text, |_| false);
            assert_eq!(l.name, "Plank", "{text}");
            let count = l.repetitions.expect("a number").value;
            (count.number, count.unit)
        };
        for text in [
            "Plank 30 s",
            "Plank, 30sec",
            "Plank x 30 seconds",
            "Plank for 30s",
        ] {
            assert_eq!(counted(text), (30, Some(RepUnit::Second)), "{text}");
        }
        for text in ["Plank 2 min", "Plank: 2min", "Plank for 2 minutes"] {
            assert_eq!(counted(text), (120, Some(RepUnit::Second)), "{text}");
        }
        assert_eq!(counted("Plank 5 breaths"), (5, Some(RepUnit::Breath)));
        assert_eq!(counted("Plank 10 times"), (10, Some(RepUnit::Repetition)));
        assert_eq!(counted("Plank 10"), (10, None));
    }

    #[test]
    fn a_known_name_is_left_whole_and_something_is_always_left_for_the_name() {
        assert_eq!(read("Elephant, left x 3").0, "Elephant, left");
        assert_eq!(read("left"), ("left".to_owned(), None, None, None));
        assert_eq!(read("50 min").0, "50 min");
        assert_eq!(read("\u{2014}"), (String::new(), None, None, None));
    }

    #[test]
    fn each_piece_is_found_at_its_place_whatever_the_letters() {
        let text = "  \u{c9}l\u{e9}phant\u{3000}\u{6ed1}\u{677f}\t x 12,  left";
        let l = line(text, |_| false);
        assert_eq!(
            &text[l.at.clone()],
            "\u{c9}l\u{e9}phant\u{3000}\u{6ed1}\u{677f}"
        );
        assert_eq!(&text[l.repetitions.expect("a number").at], "x 12");
        assert_eq!(&text[l.side.expect("a side").at], "left");
    }

    #[test]
    fn what_is_given_twice_is_marked_and_a_number_too_great_is_still_a_number() {
        for (text, twice) in [
            ("Swan x 4 x 8", Some("x 8")),
            ("Swan, left, right", Some("right")),
            ("Swan, 2 rounds, 3 rounds", Some("3 rounds")),
            ("Swan x 4, 2 rounds, left", None),
        ] {
            let found = line(text, |_| false).twice;
            assert_eq!(found.first().map(|at| &text[at.clone()]), twice, "{text}");
        }
        assert_eq!(read("Swan x 99999999999").1, Some(u32::MAX));
        assert_eq!(read("Swan 99999999999 min").1, Some(u32::MAX));
    }
}
