//! Changes to the text of a brief that the teacher could type: one setting, one line of the list. What changes is looked up in the parsed
//! text and replaced in the text as it stands, so that all else is left as it was written. Whether the text is still a brief, and what it
//! then means, is for its reader to say.

use std::ops::Range;
use std::slice;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::source::Span;

/// What to type: lines of a text that become other lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The first line that changes, from 1; where lines are only added, the line before which they stand.
    pub line: usize,
    /// The lines as they were; empty where lines are only added.
    pub was: Vec<String>,
    /// The lines as they become; empty where lines are only taken out.
    pub becomes: Vec<String>,
    /// Whether the lines are added at the end of the text.
    pub at_end: bool,
}

impl Change {
    /// What leads from one text to another.
    pub fn between(old: &str, new: &str) -> Self {
        let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
        let alike = |pairs: &mut dyn Iterator<Item = (&&str, &&str)>| {
            pairs.take_while(|(a, b)| a == b).count()
        };
        let head = alike(&mut old.iter().zip(&new));
        let tail = alike(&mut old[head..].iter().rev().zip(new[head..].iter().rev()));
        let own = |lines: &[&str]| lines.iter().map(|&l| l.to_owned()).collect();
        Self {
            line: head + 1,
            was: own(&old[head..old.len() - tail]),
            becomes: own(&new[head..new.len() - tail]),
            at_end: head == old.len(),
        }
    }
}

/// The text with a stretch of it replaced.
fn replaced(text: &str, at: Range<usize>, by: &str) -> String {
    let mut new = text.to_owned();
    new.replace_range(at, by);
    new
}

/// The whole lines on which a stretch of the text stands, with their ends.
fn lines(text: &str, at: Range<usize>) -> Range<usize> {
    let start = text[..at.start].rfind('\n').map_or(0, |n| n + 1);
    let length = text[at.end..].find('\n').map(|n| n + 1);
    start..length.map_or(text.len(), |n| at.end + n)
}

/// What ends the last line of a text, if nothing does.
fn line_break(text: &str) -> &'static str {
    if text.ends_with('\n') { "" } else { "\n" }
}

/// A table of the parsed text, and where its keys are written.
struct Place<'t> {
    text: &'t str,
    keys: &'t DeTable<'t>,
    /// The heading or the braces that hold them; `None`: the text itself.
    holder: Option<Range<usize>>,
    /// What stands before each of them in there: `rules.warm_up.`, or nothing.
    path: String,
}

impl<'t> Place<'t> {
    /// The table that stands at `at`, anywhere in this one.
    fn find(&self, at: &Range<usize>) -> Option<Self> {
        self.keys.iter().find_map(|(key, value)| {
            let rows = value.get_ref().as_array();
            let rows = rows.map_or(slice::from_ref(value), |rows| rows);
            rows.iter().find_map(|row| {
                let mut place = Self {
                    keys: row.get_ref().as_table()?,
                    holder: Some(row.span()),
                    path: String::new(),
                    ..*self
                };
                // A table that only dots make has the place of its name.
                if !self.text[row.span()].starts_with(['[', '{']) {
                    place.holder.clone_from(&self.holder);
                    place.path = format!("{}{}.", self.path, &self.text[key.span()]);
                }
                if row.span() == *at {
                    return Some(place);
                }
                place.find(at)
            })
        })
    }

    /// The text with a key set: where it is written, else before all others.
    fn with(&self, key: &str, value: &str) -> String {
        let text = self.text;
        if let Some(old) = self.keys.get(key) {
            return replaced(text, old.span(), value);
        }
        let (at, before, after) = match self.holder.clone() {
            None => {
                let first = self.keys.keys().map(|key| key.span().start).min();
                let first = first.unwrap_or_default();
                (lines(text, first..first).start, "", "\n")
            }
            Some(braces) if text[braces.clone()].starts_with('{') => {
                let empty = text[braces.start + 1..braces.end - 1].trim().is_empty();
                (braces.start + 1, " ", if empty { " " } else { "," })
            }
            Some(heading) => {
                let below = lines(text, heading).end;
                (below, line_break(&text[..below]), "\n")
            }
        };
        let entry = format!("{before}{}{key} = {value}{after}", self.path);
        replaced(text, at..at, &entry)
    }
}

/// What `change` makes of the outermost table; `None` also where the text is not well formed.
fn edited(text: &str, change: impl FnOnce(Place<'_>) -> Option<String>) -> Option<String> {
    let root = DeTable::parse(text).ok()?;
    change(Place {
        text,
        keys: root.get_ref(),
        holder: None,
        path: String::new(),
    })
}

/// The text with `key = value` set for the whole class.
pub fn at_top(text: &str, key: &str, value: &str) -> Option<String> {
    edited(text, |root| Some(root.with(key, value)))
}

/// The text with `key = value` set in a rule. `span`: where the rule is written (a word or a table), `None` where it holds unasked;
/// `name`: its key under `[rules]`.
pub fn in_rule(
    text: &str,
    span: Option<&Span>,
    name: &str,
    key: &str,
    value: &str,
) -> Option<String> {
    edited(text, |root| {
        let Some(span) = span else {
            return Some(unasked(&root, name, key, value));
        };
        if let Some(table) = root.find(&span.bytes) {
            return Some(table.with(key, value));
        }
        let written = text.get(span.bytes.clone())?;
        let becomes = if key == "need" {
            value.to_owned()
        } else {
            format!("{{ need = {written}, {key} = {value} }}")
        };
        Some(replaced(text, span.bytes.clone(), &becomes))
    })
}

/// The text with a setting of a rule that is not written anywhere.
fn unasked(root: &Place<'_>, name: &str, key: &str, value: &str) -> String {
    let rules = root.keys.get("rules").map(Spanned::span);
    let rules = rules.filter(|at| root.text[at.clone()].starts_with(['[', '{']));
    match rules.and_then(|at| root.find(&at)) {
        Some(rules) if key == "need" => rules.with(name, value),
        Some(rules) => rules.with(&format!("{name}.{key}"), value),
        None => {
            let gap = line_break(root.text);
            format!("{}{gap}\n[rules.{name}]\n{key} = {value}\n", root.text)
        }
    }
}

/// The text with a setting of the short rests.
pub fn in_breathers(text: &str, span: Option<&Span>, copies: u32) -> Option<String> {
    let value = copies.to_string();
    let table = |span: &Span| {
        edited(text, |root| {
            Some(root.find(&span.bytes)?.with("copies", &value))
        })
    };
    span.and_then(table)
        .or_else(|| at_top(text, "breathers", &value))
}

type Lines<'t> = &'t [Spanned<DeValue<'t>>];

/// The lines among which one of the list stands, and which of them it is. `entry`: where its movement is named.
fn line_of<'t>(table: &'t DeTable<'t>, entry: &Range<usize>) -> Option<(Lines<'t>, usize)> {
    table.values().find_map(|value| {
        let rows = match value.get_ref() {
            DeValue::Array(rows) => rows,
            DeValue::Table(_) => slice::from_ref(value),
            _ => return None,
        };
        let names = |row: &Spanned<DeValue<'_>>| {
            let table = row.get_ref().as_table();
            let named = table.and_then(|table| table.get("movement"));
            named.unwrap_or(row).span() == *entry
        };
        let inside = || (rows.iter()).find_map(|row| line_of(row.get_ref().as_table()?, entry));
        let here = rows.iter().position(names).map(|k| (rows, k));
        here.or_else(inside)
    })
}

/// The text with a setting of a line of the list that is a table. `entry`: where its movement is named.
pub fn in_entry(text: &str, entry: &Span, key: &str, value: &str) -> Option<String> {
    edited(text, |root| {
        let (rows, k) = line_of(root.keys, &entry.bytes)?;
        Some(root.find(&rows[k].span())?.with(key, value))
    })
}

/// The text without a line of the list, with its comma, and with its remark where nothing else is left on its line.
pub fn without_entry(text: &str, entry: &Span) -> Option<String> {
    edited(text, |root| {
        let (rows, k) = line_of(root.keys, &entry.bytes)?;
        let at = rows[k].span();
        if text[at.clone()].starts_with('[') {
            return Some(replaced(text, lines(text, at.start..end(&rows[k])), ""));
        }
        // The last one leaves its comma, if it has one, to the one before it.
        let beside = (k + 1 == rows.len()).then(|| k.checked_sub(1)).flatten();
        let beside = beside.map(|k| rows[k].span().end);
        let beside = beside.filter(|&before| !text[before..at.start].contains('\n'));
        let (from, kept, to) = match (beside, comma(text, at.end)) {
            (Some(before), _) => (before, "", at.end),
            (None, Some(comma)) => (at.start, &text[at.end..comma], comma + 1),
            (None, None) => (at.start, "", at.end),
        };
        let whole = lines(text, from..to);
        let left = [&text[whole.start..from], kept, &text[to..whole.end]].concat();
        if left.trim().is_empty() || left.trim().starts_with('#') {
            return Some(replaced(text, whole, ""));
        }
        let to = to + usize::from(text[to..].starts_with(' '));
        Some(replaced(text, from..to, kept))
    })
}

/// Where a value ends, with all that is in it.
fn end(value: &Spanned<DeValue<'_>>) -> usize {
    let inside = value.get_ref().as_table().into_iter();
    let inside = inside.flat_map(|table| table.values()).map(end).max();
    inside.unwrap_or(0).max(value.span().end)
}

/// Where the comma after a value is, remarks passed over.
fn comma(text: &str, from: usize) -> Option<usize> {
    let mut rest = text[from..].trim_start();
    while rest.starts_with('#') {
        rest = rest.split_once('\n')?.1.trim_start();
    }
    rest.starts_with(',').then(|| text.len() - rest.len())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::source::Source;

    const BRIEF: &str = "# a class\nminutes = 30 # at most\nlist = [\"Swan\", \"Scooter\",\n  { movement = \"Elephant\", springs = \"1 sun\" }, # last\n]\n\n[rules]\nrecovery = \"must\"\n\n[[rules.pinned]] # here\nwhat = \"Swan\"\n";

    fn span(of: &str) -> Span {
        let source = Arc::new(Source {
            name: "a.toml".into(),
            text: BRIEF.into(),
        });
        let from = BRIEF.find(of).expect("it stands in the brief");
        Span::new(&source, from..from + of.len())
    }

    fn change(new: Option<String>) -> (usize, Vec<String>, Vec<String>) {
        let change = Change::between(BRIEF, &new.expect("it can be changed"));
        (change.line, change.was, change.becomes)
    }

    fn lines(of: &[&str]) -> Vec<String> {
        of.iter().map(|&l| l.to_owned()).collect()
    }

    #[test]
    fn a_rule_is_set_where_it_is_written() {
        let word = in_rule(BRIEF, Some(&span("\"must\"")), "recovery", "seconds", "40");
        let becomes = "recovery = { need = \"must\", seconds = 40 }";
        assert_eq!(
            change(word),
            (8, lines(&["recovery = \"must\""]), lines(&[becomes]))
        );
        let heading = in_rule(
            BRIEF,
            Some(&span("[[rules.pinned]]")),
            "pinned",
            "need",
            "\"prefer\"",
        );
        assert_eq!(
            change(heading),
            (11, lines(&[]), lines(&["need = \"prefer\""]))
        );
        let heading = in_rule(
            BRIEF,
            Some(&span("[[rules.pinned]]")),
            "pinned",
            "what",
            "\"Scooter\"",
        );
        let becomes = lines(&["what = \"Scooter\""]);
        assert_eq!(change(heading), (11, lines(&["what = \"Swan\""]), becomes));
        let unasked = in_rule(BRIEF, None, "fits", "need", "\"prefer\"");
        assert_eq!(
            change(unasked),
            (8, lines(&[]), lines(&["fits = \"prefer\""]))
        );
    }

    #[test]
    fn a_key_of_the_class_is_changed_or_put_before_the_first() {
        let known = at_top(BRIEF, "minutes", "31");
        let was = lines(&["minutes = 30 # at most"]);
        assert_eq!(change(known), (2, was, lines(&["minutes = 31 # at most"])));
        let new = at_top(BRIEF, "length", "\"short\"");
        assert_eq!(change(new), (2, lines(&[]), lines(&["length = \"short\""])));
    }

    #[test]
    fn a_line_of_the_list_goes_with_its_comma_and_its_remark() {
        let table = without_entry(BRIEF, &span("\"Elephant\""));
        let was = "  { movement = \"Elephant\", springs = \"1 sun\" }, # last";
        assert_eq!(change(table), (4, lines(&[was]), lines(&[])));
        let among = without_entry(BRIEF, &span("\"Swan\""));
        let was = "list = [\"Swan\", \"Scooter\",";
        assert_eq!(
            change(among),
            (3, lines(&[was]), lines(&["list = [\"Scooter\","]))
        );
        let springs = in_entry(BRIEF, &span("\"Elephant\""), "springs", "\"any\"");
        let becomes = "  { movement = \"Elephant\", springs = \"any\" }, # last";
        assert_eq!(change(springs).2, lines(&[becomes]));
    }
}
