//! Lines that name no movement: what they seem to be instead, and where that belongs.

use super::names;
use super::table::At;
use crate::diagnostic::{Code, Diagnostic};

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
            "write the name of a movement, or take the line away".to_owned(),
        );
    }
    if let Ok(condition) = names::condition(said) {
        return mistake(
            format!("`{said}` is a condition of a person, not a movement"),
            "a condition",
            format!(
                "take it off the list and write `conditions = [\"{}\"]` in a brief (a .toml file)",
                condition.name
            ),
        );
    }
    if let Some(key) = figure(said) {
        return mistake(
            format!("`{said}` says how the class is to be, and names no movement"),
            "not a movement",
            format!("take it off the list and write `{key}` in a brief (a .toml file)"),
        );
    }
    if let Some((key, _)) = said.split_once('=') {
        return mistake(
            format!("`{}` is a key of a brief, not a movement", key.trim()),
            "not a movement",
            "take it off the list and write it in a brief (a .toml file)".to_owned(),
        );
    }
    let folded = names::fold(said);
    if PARTS.iter().any(|p| names::fold(p) == folded) {
        return mistake(
            format!("`{said}` is a part of the class, not a movement"),
            "not a movement",
            "take it away (each movement knows where in a class it may stand), or end the line with a colon to make it the heading of a block"
                .to_owned(),
        );
    }
    if near.is_empty() {
        let condition = names::condition(said).err().unwrap_or_default();
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
