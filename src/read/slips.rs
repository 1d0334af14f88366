//! Slips of the form in a text in TOML, in plain words.

use std::collections::HashSet;
use std::sync::Arc;

use toml::de::Error;

use crate::diagnostic::{Code, Diagnostic};
use crate::read::enough::ends_at;
use crate::source::{Source, Span};

/// Notes the slips that the parser found, in the order of the text; `false` if they are too many to go on.
pub fn slips_of(source: &Arc<Source>, errors: &[Error], log: &mut Vec<Diagnostic>) -> bool {
    let end = source.text.len();
    let places = errors.iter().map(|e| e.span().unwrap_or(end..end));
    let mut slips: Vec<_> = places.zip(errors).collect();
    slips.sort_by_key(|(bytes, _)| bytes.start);
    for (bytes, error) in slips {
        let span = Span::new(source, bytes);
        if ends_at(|| span.clone(), log) {
            return false;
        }
        let (message, mend) = plain_words(error.message());
        log.push(Diagnostic::mistake(
            Code::Syntax,
            span,
            message,
            "here",
            mend,
        ));
    }
    true
}

/// The parser's words in plain ones, with a mend.
fn plain_words(message: &str) -> (String, &'static str) {
    let m = message.to_lowercase();
    if m.contains("duplicate key") {
        (
            "the same key stands twice in one table".into(),
            "keep one of the two, or give the second table a `[[...]]` heading of its own",
        )
    } else if m.contains("must be quoted") {
        (
            "this is neither a number, true, false nor a text in quotation marks".into(),
            "put quotation marks round a text; write a number with digits and at most one point",
        )
    } else if m.contains("string") {
        (
            "a text in quotes is not closed or holds something that may not stand there".into(),
            "put a quotation mark at both ends of the text",
        )
    } else if m.contains("array") || m.contains("`]`") {
        (
            format!("a list in square brackets is not well formed ({m})"),
            "put commas between its values and `]` at its end",
        )
    } else if m.contains("inline table") || m.contains("`}`") {
        (
            format!("a table in curly braces is not well formed ({m})"),
            "write `{ key = value, key = value }`",
        )
    } else {
        (
            format!("this line is not of the form `key = value` ({m})"),
            "write `key = value`; texts stand in quotation marks",
        )
    }
}

/// Sorts diagnostics by text and place, so that they are read in the order of the file. What stands where the form has a slip is
/// told as that alone.
pub fn sort_by_place(log: &mut Vec<Diagnostic>) {
    let at = |d: &Diagnostic| {
        let span = &d.labels.first()?.span;
        let bytes = span.bytes.clone();
        Some((Arc::as_ptr(&span.source), bytes.start, bytes.end))
    };
    let slips: HashSet<_> = log
        .iter()
        .filter(|d| d.code == Code::Syntax)
        .filter_map(at)
        .collect();
    log.retain(|d| d.code != Code::WrongType || at(d).is_none_or(|place| !slips.contains(&place)));
    log.sort_by(|a, b| {
        let place = |d: &Diagnostic| {
            d.labels
                .first()
                .map(|l| (l.span.source.name.clone(), l.span.bytes.start))
        };
        place(a).cmp(&place(b))
    });
}
