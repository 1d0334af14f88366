//! A walk over a TOML text that keeps places: typed getters that note every mistake and go on, and unknown keys with the nearest known one.
//!
//! It is used for apparatus files, catalogues and briefs. A [`Table`] remembers which keys were asked for; [`Table::finish`] then reports
//! every other key. Getters return `None` both for a missing and for a wrong value: the mistake is in the log either way.

use std::ops::RangeInclusive;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::{Code, Diagnostic};
use crate::model::date::{Date, NoDate};
use crate::read::enough::ends_at;
use crate::read::measured::{too_large, too_long};
use crate::read::names;
use crate::read::slips::slips_of;
use crate::sizes::{NAME_LETTERS, TEXT_BYTES};
use crate::source::{Source, Span};

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

/// A parsed text; its tables borrow from it.
pub struct Document<'a> {
    source: &'a Arc<Source>,
    root: Spanned<DeTable<'a>>,
    refused: bool,
}

impl<'a> Document<'a> {
    /// Parses a text; every slip of the form goes to `log`, and what could be read is kept. A text that is too large is refused: then nothing
    /// of it is kept, and nothing is missed in it.
    pub fn parse(source: &'a Arc<Source>, log: &mut Vec<Diagnostic>) -> Self {
        if let Some(long) = TEXT_BYTES.refused_text(source) {
            log.push(long);
            return Self::nothing(source);
        }
        let (root, errors) = DeTable::parse_recoverable(&source.text);
        if !slips_of(source, &errors, log) {
            return Self::nothing(source);
        }
        Self::of(source, root, log)
    }

    /// Tables that were put together from a text of another form, each value with its place in it. What is too large is refused, as in [`Document::parse`].
    pub fn of(
        source: &'a Arc<Source>,
        root: Spanned<DeTable<'a>>,
        log: &mut Vec<Diagnostic>,
    ) -> Self {
        if let Some(large) = too_large(source, root.get_ref()) {
            log.push(large);
            return Self::nothing(source);
        }
        Self {
            source,
            root,
            refused: false,
        }
    }

    fn nothing(source: &'a Arc<Source>) -> Self {
        Self {
            source,
            root: Spanned::new(0..0, DeTable::new()),
            refused: true,
        }
    }

    /// Whether it was refused as a whole.
    pub fn is_refused(&self) -> bool {
        self.refused
    }

    /// The outermost table; `what` names it in messages ("a brief").
    pub fn table(&self, what: &str) -> Table<'_> {
        Table {
            source: self.source,
            table: self.root.get_ref(),
            span: Span::new(self.source, 0..0),
            asked: Vec::new(),
            what: what.to_owned(),
            refused: self.refused,
        }
    }
}

/// One value, not yet taken for what it should be.
#[derive(Clone, Copy)]
pub struct Item<'a> {
    source: &'a Arc<Source>,
    value: &'a Spanned<DeValue<'a>>,
}

impl<'a> Item<'a> {
    /// Where it stands.
    pub fn span(&self) -> Span {
        Span::new(self.source, self.value.span())
    }

    /// Whether it is a text.
    pub fn is_text(&self) -> bool {
        self.value.get_ref().is_str()
    }

    /// Whether it is a number, whole or not.
    pub fn is_number(&self) -> bool {
        self.value.get_ref().is_integer() || self.value.get_ref().is_float()
    }

    /// Whether it is true or false.
    pub fn is_truth(&self) -> bool {
        self.value.get_ref().is_bool()
    }

    /// Whether it is a list.
    pub fn is_list(&self) -> bool {
        self.value.get_ref().is_array()
    }

    /// Whether it is a table.
    pub fn is_table(&self) -> bool {
        self.value.get_ref().is_table()
    }

    /// Notes that something else was expected here: "a text", "a number".
    pub fn wrong_type(&self, expected: &str, log: &mut Vec<Diagnostic>) {
        let found = match self.value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Float(_) if expected == "a whole number" => "a number with a fraction",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let mend = match self.value.get_ref() {
            DeValue::String(text)
                if expected.ends_with("number") && text.trim().parse::<f64>().is_ok() =>
            {
                "remove the quotation marks".to_owned()
            }
            DeValue::String(_) | DeValue::Array(_) | DeValue::Table(_) | DeValue::Boolean(_) => {
                format!("write {expected}")
            }
            _ if expected == "a text" => "put it in quotation marks".to_owned(),
            _ => format!("write {expected}"),
        };
        log.push(Diagnostic::mistake(
            Code::WrongType,
            self.span(),
            format!("{expected} belongs here, but it is {found}"),
            format!("should be {expected}"),
            mend,
        ));
    }

    /// A text.
    pub fn text(&self, log: &mut Vec<Diagnostic>) -> Option<At<String>> {
        if let DeValue::String(s) = self.value.get_ref() {
            return Some(At {
                value: s.as_ref().to_owned(),
                span: self.span(),
            });
        }
        self.wrong_type("a text", log);
        None
    }

    /// A text that names something, or a line of a list: no longer than those are.
    pub fn name(&self, log: &mut Vec<Diagnostic>) -> Option<At<String>> {
        let text = self.text(log)?;
        let at = text.span.bytes.clone();
        let long = too_long(self.source, &text.value, "this name", at, NAME_LETTERS);
        let fits = long.is_none();
        log.extend(long);
        fits.then_some(text)
    }

    /// A date, bare or as a text.
    pub fn date(&self, log: &mut Vec<Diagnostic>) -> Option<Date> {
        let span = self.span();
        let written = match self.value.get_ref() {
            DeValue::String(text) => text,
            DeValue::Datetime(_) => span.text(),
            _ => {
                self.wrong_type("a date such as 2026-03-14", log);
                return None;
            }
        };
        let wrong = match written.parse() {
            Ok(date) => return Some(date),
            Err(wrong) => wrong,
        };
        let mend = match &wrong {
            NoDate::Zone(zone) => format!("remove `{zone}`"),
            NoDate::Time(_) => "write a time from 00:00 to 23:59, as in 2026-03-14T12:30".into(),
            _ => "write a day such as 2026-03-14, with its time 2026-03-14T12:30".into(),
        };
        // The parser's own word on a bare one says less.
        log.retain(|d| d.code != Code::Syntax || d.labels.first().is_none_or(|l| l.span != span));
        let message = wrong.to_string();
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            span,
            message,
            "here",
            mend,
        ));
        None
    }

    /// True or false.
    pub fn truth(&self, log: &mut Vec<Diagnostic>) -> Option<bool> {
        let found = self.value.get_ref().as_bool();
        if found.is_none() {
            self.wrong_type("true or false", log);
        }
        found
    }

    /// A number inside `range` (both ends allowed).
    pub fn number(&self, range: RangeInclusive<f64>, log: &mut Vec<Diagnostic>) -> Option<At<f64>> {
        let value = match self.value.get_ref() {
            DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix())
                .ok()
                .map(|whole| whole as f64),
            DeValue::Float(f) => f.as_str().parse::<f64>().ok().filter(|v| v.is_finite()),
            _ => {
                self.wrong_type("a number", log);
                return None;
            }
        };
        match value {
            Some(value) if range.contains(&value) => Some(At {
                value,
                span: self.span(),
            }),
            _ => {
                self.out_of_range(*range.start(), *range.end(), log);
                None
            }
        }
    }

    /// A whole number inside `range`.
    pub fn whole(&self, range: RangeInclusive<u32>, log: &mut Vec<Diagnostic>) -> Option<At<u32>> {
        let DeValue::Integer(i) = self.value.get_ref() else {
            self.wrong_type("a whole number", log);
            return None;
        };
        match u32::from_str_radix(i.as_str(), i.radix()) {
            Ok(value) if range.contains(&value) => Some(At {
                value,
                span: self.span(),
            }),
            _ => {
                self.out_of_range(f64::from(*range.start()), f64::from(*range.end()), log);
                None
            }
        }
    }

    fn out_of_range(&self, from: f64, to: f64, log: &mut Vec<Diagnostic>) {
        let allowed = if to >= 1.0e9 || to == f64::from(u32::MAX) {
            format!("{from} or more")
        } else {
            format!("{from} to {to}")
        };
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            self.span(),
            format!("`{}` is out of range", self.span().text()),
            format!("allowed: {allowed}"),
            format!("write a number, {allowed}"),
        ));
    }

    /// One word of a closed list, without regard to case, hyphens and plurals; the nearest is offered for another.
    pub fn word<T: Copy>(
        &self,
        what: &str,
        words: &[(&str, T)],
        log: &mut Vec<Diagnostic>,
    ) -> Option<At<T>> {
        let text = self.text(log)?;
        let folded = names::fold(&text.value);
        if let Some((_, value)) = words.iter().find(|(w, _)| names::fold(w) == folded) {
            return Some(At {
                value: *value,
                span: text.span,
            });
        }
        let known: Vec<&str> = words.iter().map(|(w, _)| *w).collect();
        log.push(unknown_word(what, &text, &known));
        None
    }

    /// The values of a list; a single value counts as a list of one.
    pub fn one_or_more(&self) -> Vec<Item<'a>> {
        match self.value.get_ref() {
            DeValue::Array(values) => values
                .iter()
                .map(|value| Item {
                    source: self.source,
                    value,
                })
                .collect(),
            _ => vec![*self],
        }
    }

    /// The values of a list.
    pub fn list(&self, log: &mut Vec<Diagnostic>) -> Option<Vec<Item<'a>>> {
        if self.is_list() {
            return Some(self.one_or_more());
        }
        self.wrong_type("a list in square brackets", log);
        None
    }

    /// A table; `what` names it in messages.
    pub fn table(&self, what: &str, log: &mut Vec<Diagnostic>) -> Option<Table<'a>> {
        if let DeValue::Table(table) = self.value.get_ref() {
            return Some(Table {
                source: self.source,
                table,
                span: self.span(),
                asked: Vec::new(),
                what: what.to_owned(),
                refused: false,
            });
        }
        self.wrong_type("a table such as { key = value }", log);
        None
    }
}

/// How many known words are listed where none is near.
const LISTED: usize = 24;

/// The mistake of a word that is not one of those known, with the nearest offered.
pub fn unknown_word(what: &str, text: &At<String>, known: &[&str]) -> Diagnostic {
    let mut each: Vec<&str> = Vec::new();
    for word in known {
        if !each.contains(word) {
            each.push(word);
        }
    }
    let near = names::nearest(&text.value, &each);
    let mend = match near.as_slice() {
        [] if each.len() > LISTED => format!(
            "write one of {} that are known, such as {}",
            each.len(),
            each[..LISTED].join("; ")
        ),
        [] => format!("write one of: {}", each.join(", ")),
        near => format!("did you mean {}?", names::either(near)),
    };
    Diagnostic::mistake(
        Code::UnknownName,
        text.span.clone(),
        format!("there is no {what} `{}`", text.value),
        "not known",
        mend,
    )
}

/// A table, with the keys that were asked for so far.
pub struct Table<'a> {
    source: &'a Arc<Source>,
    table: &'a DeTable<'a>,
    span: Span,
    asked: Vec<String>,
    what: String,
    /// Whether it stands for a text that was refused, in which nothing is missed.
    refused: bool,
}

impl<'a> Table<'a> {
    /// Where it stands (for one with a heading: the heading).
    pub fn span(&self) -> Span {
        self.span.clone()
    }

    /// The text that it is part of.
    pub fn source(&self) -> &'a Arc<Source> {
        self.source
    }

    /// The value of a key, if it is there. The key counts as known from now on.
    pub fn get(&mut self, key: &str) -> Option<Item<'a>> {
        if !self.asked.iter().any(|k| k == key) {
            self.asked.push(key.to_owned());
        }
        self.table.get(key).map(|value| Item {
            source: self.source,
            value,
        })
    }

    /// Whether a key is there; it does not count as known by this.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The keys that are there; none counts as known by this.
    pub fn keys(&self) -> Vec<&'a str> {
        let keys = self.table.iter().map(|(key, _)| key.get_ref().as_ref());
        keys.collect()
    }

    /// The values that a key has: those of its list, or the one; none if it is not there. It does not count as known by this.
    pub fn values(&self, key: &str) -> Vec<Item<'a>> {
        let value = self.table.get(key).map(|value| Item {
            source: self.source,
            value,
        });
        value.map_or_else(Vec::new, |item| item.one_or_more())
    }

    /// The value of a key that must be there.
    pub fn require(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Option<Item<'a>> {
        let found = self.get(key);
        if found.is_none() && !self.refused {
            log.push(Diagnostic::mistake(
                Code::MissingKey,
                self.span.clone(),
                format!("{} has no `{key}`", self.what),
                format!("`{key}` is missing"),
                format!("add `{key} = ...` to it"),
            ));
        }
        found
    }

    /// All keys with their values in the order of the file; all count as known. For tables whose keys are names.
    pub fn entries(&mut self) -> Vec<(At<String>, Item<'a>)> {
        let mut entries: Vec<_> = self
            .table
            .iter()
            .map(|(key, value)| {
                (
                    At {
                        value: key.get_ref().as_ref().to_owned(),
                        span: Span::new(self.source, key.span()),
                    },
                    Item {
                        source: self.source,
                        value,
                    },
                )
            })
            .collect();
        entries.sort_by_key(|(key, _)| key.span.bytes.start);
        self.asked
            .extend(entries.iter().map(|(k, _)| k.value.clone()));
        entries
    }

    /// A text, if the key is there.
    pub fn text(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Option<At<String>> {
        self.get(key)?.text(log)
    }

    /// A text that names something, if the key is there.
    pub fn name(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Option<At<String>> {
        self.get(key)?.name(log)
    }

    /// Texts: a list of texts or a single one; empty if the key is not there.
    pub fn texts(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Vec<At<String>> {
        self.get(key).map_or_else(Vec::new, |item| {
            item.one_or_more()
                .iter()
                .filter_map(|i| i.text(log))
                .collect()
        })
    }

    /// The same where each names something.
    pub fn names(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Vec<At<String>> {
        let items = self.get(key).map_or_else(Vec::new, |i| i.one_or_more());
        items.iter().filter_map(|i| i.name(log)).collect()
    }

    /// A number, if the key is there.
    pub fn number(
        &mut self,
        key: &str,
        range: RangeInclusive<f64>,
        log: &mut Vec<Diagnostic>,
    ) -> Option<At<f64>> {
        self.get(key)?.number(range, log)
    }

    /// A whole number, if the key is there.
    pub fn whole(
        &mut self,
        key: &str,
        range: RangeInclusive<u32>,
        log: &mut Vec<Diagnostic>,
    ) -> Option<At<u32>> {
        self.get(key)?.whole(range, log)
    }

    /// True or false, if the key is there.
    pub fn truth(&mut self, key: &str, log: &mut Vec<Diagnostic>) -> Option<bool> {
        self.get(key)?.truth(log)
    }

    /// Tables under `[[key]]`, or one under `[key]`; empty if the key is not there.
    pub fn tables(&mut self, key: &str, what: &str, log: &mut Vec<Diagnostic>) -> Vec<Table<'a>> {
        self.get(key).map_or_else(Vec::new, |item| {
            item.one_or_more()
                .iter()
                .filter_map(|i| i.table(what, log))
                .collect()
        })
    }

    /// Reports every key that nobody asked for, with the nearest that is known here.
    pub fn finish(self, log: &mut Vec<Diagnostic>) {
        let known: Vec<&str> = self.asked.iter().map(String::as_str).collect();
        for (key, _) in self.table.iter() {
            let name = key.get_ref().as_ref();
            if known.contains(&name) {
                continue;
            }
            if ends_at(|| Span::new(self.source, key.span()), log) {
                return;
            }
            let near = names::nearest(name, &known);
            let mend = if near.is_empty() {
                format!("known here: {}", known.join(", "))
            } else {
                format!("did you mean {}?", names::either(&near))
            };
            log.push(Diagnostic::mistake(
                Code::UnknownKey,
                Span::new(self.source, key.span()),
                format!("the key `{name}` means nothing in {}", self.what),
                "unknown key",
                mend,
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: "t.toml".into(),
            text: text.into(),
        })
    }

    #[test]
    fn an_unknown_key_is_reported_with_the_nearest_known_one() {
        let s = source("minuets = 50\n");
        let mut log = Vec::new();
        let doc = Document::parse(&s, &mut log);
        let mut t = doc.table("a brief");
        assert!(t.get("minutes").is_none());
        t.finish(&mut log);
        assert_eq!(log.len(), 1);
        assert_eq!(log[0].code, Code::UnknownKey);
        assert_eq!(log[0].mend, "did you mean `minutes`?");
        assert_eq!(log[0].labels[0].span.text(), "minuets");
    }

    #[test]
    fn every_wrong_value_is_reported_and_the_rest_is_still_read() {
        let s = source("a = \"5\"\nb = -1\nc = 3\n");
        let mut log = Vec::new();
        let doc = Document::parse(&s, &mut log);
        let mut t = doc.table("a test");
        assert!(t.number("a", 0.0..=9.0, &mut log).is_none());
        assert!(t.whole("b", 0..=9, &mut log).is_none());
        assert_eq!(t.whole("c", 0..=9, &mut log).map(|v| v.value), Some(3));
        let codes: Vec<Code> = log.iter().map(|d| d.code).collect();
        assert_eq!(codes, [Code::WrongType, Code::OutOfRange]);
    }

    #[test]
    fn what_is_no_date_is_told_once_and_at_its_place_bare_or_in_quotation_marks() {
        for (written, why, mend) in [
            ("2026-02-30", "February 2026 has 28 days", "2026-03-14"),
            ("\"2026-02-30\"", "February 2026 has 28 days", "2026-03-14"),
            ("2026-3-12", "`2026-3-12` is no date", "2026-03-14"),
            ("0000-01-01", "no year 0", "2026-03-14"),
            ("12:30:00", "`12:30:00` is no date", "2026-03-14"),
            ("\"Tuesday\"", "`Tuesday` is no date", "2026-03-14"),
            ("2026-03-12T25:00", "`25:00` is no time of day", "23:59"),
            ("2026-03-12 12:30:00Z", "clock on the studio's wall", "`Z`"),
            ("20260312", "a date such as 2026-03-14", "2026-03-14"),
        ] {
            let s = source(&format!("date = {written} # here\n"));
            let mut log = Vec::new();
            let doc = Document::parse(&s, &mut log);
            let mut t = doc.table("a brief");
            let found = t.get("date").and_then(|item| item.date(&mut log));
            assert_eq!((found, log.len()), (None, 1), "{log:#?}");
            assert!(log[0].message.contains(why), "{log:#?}");
            assert!(log[0].mend.contains(mend), "{log:#?}");
            assert_eq!(log[0].labels[0].span.text(), written);
        }
    }

    #[test]
    fn slips_of_the_form_are_all_reported_at_their_place() {
        let s = source("a = \"open\nb = 2\nb = 3\nc = 4\n");
        let mut log = Vec::new();
        let doc = Document::parse(&s, &mut log);
        assert!(log.len() >= 2, "{log:?}");
        assert!(log.iter().all(|d| d.code == Code::Syntax));
        assert_eq!(
            doc.table("a test")
                .whole("c", 0..=9, &mut log)
                .map(|v| v.value),
            Some(4)
        );
    }
}
