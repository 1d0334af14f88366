//! Whether the tables of a text are of a size that is read, before anything in them is looked at.

use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::sizes::{Largest, NAME_LETTERS, TEXT_LETTERS, VALUES};
use crate::source::{Source, Span};

/// The first list, table or text of a text that is larger than any that is read.
pub fn too_large(source: &Arc<Source>, root: &DeTable<'_>) -> Option<Diagnostic> {
    let mut found = Vec::new();
    table(source, root, "the file", &mut found);
    found
        .into_iter()
        .min_by_key(|d: &Diagnostic| d.labels.first().map(|l| l.span.bytes.start))
}

/// The refusal of a text that is longer than this many letters.
pub fn too_long(
    source: &Arc<Source>,
    text: &str,
    whose: &str,
    at: Range<usize>,
    most: Largest,
) -> Option<Diagnostic> {
    // There are never more letters than bytes.
    if !most.is_less_than(text.len()) {
        return None;
    }
    let letters = text.chars().count();
    most.is_less_than(letters)
        .then(|| most.refused(whose, letters, Span::new(source, at)))
}

fn table(source: &Arc<Source>, table: &DeTable<'_>, whose: &str, found: &mut Vec<Diagnostic>) {
    if VALUES.is_less_than(table.len()) {
        let places = table.iter().map(|(key, _)| Span::new(source, key.span()));
        found.extend(beyond(VALUES, whose, places.collect()));
        return;
    }
    for (key, item) in table.iter() {
        let name = key.get_ref().as_ref();
        match too_long(source, name, "this key", key.span(), NAME_LETTERS) {
            Some(long) => found.push(long),
            None => value(source, item, &format!("`{name}`"), found),
        }
    }
}

fn value(
    source: &Arc<Source>,
    item: &Spanned<DeValue<'_>>,
    whose: &str,
    found: &mut Vec<Diagnostic>,
) {
    match item.get_ref() {
        DeValue::String(text) => {
            found.extend(too_long(source, text, whose, item.span(), TEXT_LETTERS));
        }
        DeValue::Array(values) if VALUES.is_less_than(values.len()) => {
            let places = values.iter().map(|v| Span::new(source, v.span()));
            found.extend(beyond(VALUES, whose, places.collect()));
        }
        DeValue::Array(values) => {
            for one in values {
                value(source, one, whose, found);
            }
        }
        DeValue::Table(inner) => table(source, inner, whose, found),
        DeValue::Integer(_) | DeValue::Float(_) | DeValue::Boolean(_) | DeValue::Datetime(_) => {
            let digits = item.span();
            let written = source.text.get(digits.clone()).unwrap_or("");
            found.extend(too_long(source, written, whose, digits, NAME_LETTERS));
        }
    }
}

/// The refusal of what there is of something at these places, if it is too much: at the first that is too many.
pub fn beyond(most: Largest, whose: &str, mut places: Vec<Span>) -> Option<Diagnostic> {
    if !most.is_less_than(places.len()) {
        return None;
    }
    places.sort_by_key(|span| span.bytes.start);
    Some(most.refused(whose, places.len(), places[most.most].clone()))
}
