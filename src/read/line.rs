//! One line of a list as people write it: "Swan x 6", "Scooter, left", "Mermaid 8 reps, left and right", "Hundred, 2 rounds".

use crate::problem::step::Side;

/// A line taken apart. Whether the name means anything is for others to say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Line {
    /// What is left for the name.
    pub name: String,
    /// Repetitions (breaths, seconds), if given.
    pub repetitions: Option<u32>,
    /// Rounds, if given.
    pub rounds: Option<u32>,
    /// `Left` or `Right` for one side only, `Both` where both are asked for in words.
    pub side: Option<Side>,
    /// Whether a number or a side is given twice: what is kept is the one nearest to the name.
    pub twice: bool,
}

/// Takes a line apart from its end; what `known` calls a name is left whole ("Elephant, flat back").
pub fn line(text: &str, known: impl Fn(&str) -> bool) -> Line {
    let mut found = Line::default();
    let mut rest = trimmed(text);
    while !known(rest) {
        let Some(shorter) = found.take(rest) else {
            break;
        };
        rest = trimmed(shorter);
    }
    found.name = rest.to_owned();
    found
}

fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || ",;:()-\u{2013}".contains(c))
}

impl Line {
    /// Takes one piece from the end and gives what stands before it; `None` if the end is part of a name.
    fn take<'t>(&mut self, text: &'t str) -> Option<&'t str> {
        let starts: Vec<usize> = word_starts(text);
        let word = |back: usize| -> String {
            let Some(k) = starts.len().checked_sub(back) else {
                return String::new();
            };
            let end = starts.get(k + 1).copied().unwrap_or(text.len());
            trimmed(&text[starts[k]..end]).to_lowercase()
        };
        let before = |back: usize| &text[..starts[starts.len() - back]];
        let (last, second, third) = (word(1), word(2), word(3));
        // The first word is always left for the name.
        let room = starts.len().saturating_sub(1);
        if room >= 3
            && second == "and"
            && (third == "left" && last == "right" || third == "right" && last == "left")
        {
            self.give_side(Side::Both);
            return Some(before(3));
        }
        if room >= 2 {
            match (second.as_str(), last.as_str()) {
                ("both" | "each", "side" | "sides") => {
                    self.give_side(Side::Both);
                    return Some(before(2));
                }
                ("left", "side") => {
                    self.give_side(Side::Left);
                    return Some(before(2));
                }
                ("right", "side") => {
                    self.give_side(Side::Right);
                    return Some(before(2));
                }
                (
                    n,
                    "rep" | "reps" | "repetition" | "repetitions" | "times" | "breath" | "breaths"
                    | "second" | "seconds",
                ) if number(n).is_some() => {
                    self.give_repetitions(number(n));
                    return Some(before(2));
                }
                (n, "round" | "rounds") if number(n).is_some() => {
                    self.twice |= self.rounds.is_some();
                    self.rounds = number(n);
                    return Some(before(2));
                }
                ("x" | "\u{d7}", n) if number(n).is_some() => {
                    self.give_repetitions(number(n));
                    return Some(before(2));
                }
                _ => {}
            }
        }
        if room < 1 {
            return None;
        }
        match last.as_str() {
            "left" => self.give_side(Side::Left),
            "right" => self.give_side(Side::Right),
            n => {
                let bare = n.trim_matches(['x', '\u{d7}']);
                let given = number(bare)?;
                self.give_repetitions(Some(given));
            }
        }
        Some(before(1))
    }

    fn give_side(&mut self, side: Side) {
        self.twice |= self.side.is_some();
        self.side = Some(side);
    }

    fn give_repetitions(&mut self, repetitions: Option<u32>) {
        self.twice |= self.repetitions.is_some();
        self.repetitions = repetitions;
    }
}

/// A whole number; one too great to be held counts as the greatest, so that it is refused as a number and not as a name.
fn number(word: &str) -> Option<u32> {
    let digits = !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    digits.then(|| word.parse().unwrap_or(u32::MAX))
}

/// Where each word begins, in bytes.
fn word_starts(text: &str) -> Vec<usize> {
    let mut starts = Vec::new();
    let mut inside = false;
    for (at, c) in text.char_indices() {
        if c.is_whitespace() {
            inside = false;
        } else if !inside {
            inside = true;
            starts.push(at);
        }
    }
    starts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, Option<u32>, Option<u32>, Option<Side>) {
        let l = line(text, |name| name == "Elephant, left");
        (l.name, l.repetitions, l.rounds, l.side)
    }

    #[test]
    fn repetitions_sides_and_rounds_stand_after_the_name_in_any_order() {
        let name = |n: &str| n.to_owned();
        assert_eq!(read("Swan"), (name("Swan"), None, None, None));
        for text in ["Swan x 6", "Swan x6", "Swan 6 reps", "Swan (6)", "Swan, 6x"] {
            assert_eq!(read(text), (name("Swan"), Some(6), None, None), "{text}");
        }
        assert_eq!(
            read("Side splits 8 reps, left and right"),
            (name("Side splits"), Some(8), None, Some(Side::Both))
        );
        assert_eq!(
            read("Scooter, 2 rounds, left"),
            (name("Scooter"), None, Some(2), Some(Side::Left))
        );
    }

    #[test]
    fn a_known_name_is_left_whole_and_something_is_always_left_for_the_name() {
        assert_eq!(read("Elephant, left x 3").0, "Elephant, left");
        assert_eq!(read("left"), ("left".to_owned(), None, None, None));
    }

    #[test]
    fn what_is_given_twice_is_marked_and_a_number_too_great_is_still_a_number() {
        for (text, twice) in [
            ("Swan x 4 x 8", true),
            ("Swan, left, right", true),
            ("Swan, 2 rounds, 3 rounds", true),
            ("Swan x 4, 2 rounds, left", false),
        ] {
            assert_eq!(line(text, |_| false).twice, twice, "{text}");
        }
        assert_eq!(read("Swan x 99999999999").1, Some(u32::MAX));
    }
}
