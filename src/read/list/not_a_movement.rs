//! Lines that name no movement: what they seem to be instead, and where that belongs.

use std::ops::Range;

use crate::diagnostic::{Code, Diagnostic};
use crate::read::brief::heard;
use crate::read::index::Names;
use crate::read::list::limits::part;
use crate::read::list::line::line;
use crate::read::names;
use crate::read::spanned::At;

/// Words for the parts of a class, as they stand above a list.
const PARTS: &[&str] = &[
    "warm up",
    "main",
    "main part",
    "cool down",
    "opening",
    "closing",
    "stretch",
    "stretches",
];

/// Keys of a brief, as they may stand above a list with a colon.
const KEYS: &[&str] = &[
    "title",
    "date",
    "minutes",
    "time",
    "room",
    "apparatus",
    "machine",
    "priority",
    "length",
];
/// Numbers in words, as they may stand after a name.
const NUMBERS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twelve",
    "once", "twice",
];

/// The mistake of a line that begins with the name of a movement and goes on with something else: with another movement, or with what
/// may not stand there. `None` if its beginning is no movement or, with `strange` false (some name comes near to the whole), what
/// follows holds no number.
pub fn more_than_a_name(
    movements: &Names<'_>,
    text: &At<String>,
    at: &Range<usize>,
    strange: bool,
) -> Option<Diagnostic> {
    let said = &text.value[at.clone()];
    let known = |name: &str| movements.find(&line(name, |_| false).name).is_some();
    if let Some((number, name)) = said.split_once(char::is_whitespace)
        && number
            .trim_matches(['x', 'X', '\u{d7}'])
            .parse::<u32>()
            .is_ok()
    {
        let name = name.trim_start_matches(|c: char| c.is_whitespace() || "xX\u{d7}".contains(c));
        if known(name) {
            return Some(Diagnostic::mistake(
                Code::UnknownMovement,
                part(text, &(at.start..at.start + number.len())),
                format!(
                    "a number stands before the name `{name}`, and it may mean repetitions or rounds"
                ),
                "before the name",
                format!(
                    "write it after the name: \"{name} x 6\" for repetitions, \"{name}, 2 rounds\" for rounds"
                ),
            ));
        }
    }
    // No prefix longer than the longest name can be one: a long line of something else is soon done with.
    let longest = movements.index.longest();
    let (name, rest) = said
        .char_indices()
        .filter(|(_, c)| !c.is_alphanumeric())
        .map(|(k, _)| (said.split_at(k), names::fold(&said[..k])))
        .take_while(|(_, fold)| fold.len() <= longest)
        .filter(|(_, fold)| movements.index.is_name(fold))
        .last()?
        .0;
    let name = name.trim_end_matches(|c: char| !c.is_alphanumeric());
    let lead = |c: char| !c.is_alphanumeric();
    let more = rest.trim_matches(lead);
    let from = at.start + said.len() - rest.trim_start_matches(lead).len();
    let span = part(text, &(from..from + more.len()));
    if known(more) || ends_in_a_movement(more, &known) {
        return Some(Diagnostic::mistake(
            Code::UnknownMovement,
            span,
            format!("more than one movement stands on this line: `{more}` comes after `{name}`"),
            "another movement",
            "write one movement a line, or one in each pair of quotation marks",
        ));
    }
    let words = names::words(more);
    let number =
        |w: &String| w.chars().any(|c| c.is_ascii_digit()) || NUMBERS.contains(&w.as_str());
    (strange || words.iter().any(number)).then(|| {
        Diagnostic::mistake(
            Code::UnknownMovement,
            span,
            format!("`{more}` after `{name}` is not understood"),
            "not a number, a side or rounds",
            format!(
                "after a name may stand one whole number (\"x 6\", \"30 s\"), rounds (\"2 rounds\") and a side (\"left\"); all else is for a \
                 brief, as in {{ movement = \"{name}\", springs = \"1 heavy\" }}"
            ),
        )
    })
}

/// Whether what stands after the first mark of a list or the first space is a movement at last.
fn ends_in_a_movement(said: &str, known: &impl Fn(&str) -> bool) -> bool {
    said.split([';', ',', '>', '+', '/'])
        .map(|piece| piece.trim_matches(|c: char| !c.is_alphanumeric()))
        .filter(|piece| !piece.is_empty())
        .all(known)
}

/// The mistake of a line of the list whose name is not known; `near`: movements that come near, nearest first.
pub fn not_a_movement(name: &At<String>, near: &[&str]) -> Diagnostic {
    let said = name.value.as_str();
    let mistake = |message: String, label: &str, mend: String| {
        Diagnostic::mistake(
            Code::UnknownMovement,
            name.span.clone(),
            message,
            label,
            mend,
        )
    };
    if said.is_empty() {
        return mistake(
            "there is no name on this line".to_owned(),
            "no movement here",
            "write the name of a movement, or remove the line".to_owned(),
        );
    }
    if let Some(condition) = heard::exactly(said) {
        return mistake(
            format!("`{said}` is a condition of a person, not a movement"),
            "a condition",
            format!(
                "remove it from the list and write `conditions = [\"{}\"]` in a brief (a .toml file)",
                condition.name
            ),
        );
    }
    if let Some(key) = figure(said) {
        return mistake(
            format!("`{said}` describes the class and names no movement"),
            "not a movement",
            format!("remove it from the list and write `{key}` in a brief (a .toml file)"),
        );
    }
    let key = match said.split_once('=') {
        Some((key, _)) => Some(key.trim()),
        None => said
            .split_once(':')
            .map(|(key, _)| key.trim())
            .filter(|key| {
                let key = names::fold(key);
                KEYS.iter().any(|k| names::fold(k) == key)
            }),
    };
    if let Some(key) = key {
        return mistake(
            format!("`{key}` is a key of a brief, not a movement"),
            "not a movement",
            "remove it from the list and write it in a brief (a .toml file)".to_owned(),
        );
    }
    let folded = names::fold(said);
    if PARTS.iter().any(|p| names::fold(p) == folded) {
        return mistake(
            format!("`{said}` is a part of the class, not a movement"),
            "not a movement",
            "remove it (each movement knows where in a class it may stand), or end the line with a colon to make it the heading of a block"
                .to_owned(),
        );
    }
    if near.is_empty() {
        let condition = heard::near(said);
        let or = match condition.as_slice() {
            [] => "add a movement of your own with `like` in a brief".to_owned(),
            near => format!(
                "if you mean a person's condition, write it in a brief: {}",
                names::either(near)
            ),
        };
        return mistake(
            format!("there is no movement `{said}`"),
            "not known",
            format!("look for it with `segue list`, or {or}"),
        );
    }
    mistake(
        format!("there is no movement `{said}`"),
        "not known",
        format!("did you mean {}?", names::either(near)),
    )
}

/// The key of a brief for a line such as "50 min", "10 people", "room of 8".
fn figure(said: &str) -> Option<String> {
    let words = names::words(said);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let number = |word: &str| word.parse::<u32>().ok();
    let (n, what) = match words.as_slice() {
        [n, what] => (number(n)?, *what),
        [what, "of" | "for", n] => (number(n)?, *what),
        _ => return None,
    };
    match what {
        "min" | "minute" => Some(format!("minutes = {n}")),
        "h" | "hour" => Some(format!("minutes = {}", n.saturating_mul(60))),
        "people" | "person" | "client" | "machine" | "room" | "class" => {
            Some(format!("room = {n}"))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{Source, Span};
    use std::sync::Arc;

    #[test]
    fn what_stands_on_a_list_and_is_no_movement_is_told_where_it_belongs() {
        for (said, remedy) in [
            ("wrist pain", "conditions = [\"wrist pain\"]"),
            ("50 min", "minutes = 50"),
            ("1 hour", "minutes = 60"),
            ("10 people", "room = 10"),
            ("room of 8", "room = 8"),
            ("minutes = 50", "in a brief"),
            ("Warm-up", "end the line with a colon"),
            ("", "the name of a movement"),
            ("hopscotch", "`segue list`"),
        ] {
            let source = Arc::new(Source {
                name: "l.txt".into(),
                text: said.into(),
            });
            let at = At {
                value: said.to_owned(),
                span: Span::new(&source, 0..said.len()),
            };
            let mistake = not_a_movement(&at, &[]);
            assert!(mistake.mend.contains(remedy), "{said}: {}", mistake.mend);
        }
    }
}
