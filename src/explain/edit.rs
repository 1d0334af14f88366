//! Changes to the text of a brief that the teacher could type: one setting, one line of the list. Whether the text is still a brief, and
//! what it then means, is for its reader to say.

use std::ops::Range;

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
fn replaced(text: &str, at: Range<usize>, by: &str) -> Option<String> {
    Some(format!(
        "{}{by}{}",
        text.get(..at.start)?,
        text.get(at.end..)?
    ))
}

/// The text with `key = value` set in a rule. `span`: where the rule is written (a word, a table in braces or a heading), `None` where it
/// holds unasked; `name`: its key under `[rules]`.
pub fn in_rule(
    text: &str,
    span: Option<&Span>,
    name: &str,
    key: &str,
    value: &str,
) -> Option<String> {
    let Some(span) = span else {
        return Some(unasked(text, name, key, value));
    };
    let written = text.get(span.bytes.clone())?;
    if written.starts_with('[') {
        let start = text[span.bytes.end..]
            .find('\n')
            .map_or(text.len(), |n| span.bytes.end + n + 1);
        return Some(under_heading(text, start, key, value));
    }
    if written.starts_with('{') {
        return in_braces(text, span.bytes.clone(), key, value);
    }
    let becomes = if key == "need" {
        value.to_owned()
    } else {
        format!("{{ need = {written}, {key} = {value} }}")
    };
    replaced(text, span.bytes.clone(), &becomes)
}

/// A setting of a rule that is not written anywhere.
fn unasked(text: &str, name: &str, key: &str, value: &str) -> String {
    let heading = lines(text).find(|l| text[l.clone()].trim_end().trim() == "[rules]");
    match heading {
        Some(line) if key == "need" => {
            let mut new = text.to_owned();
            new.insert_str(line.end, &format!("{name} = {value}\n"));
            new
        }
        Some(_) | None => {
            let gap = if text.ends_with('\n') { "" } else { "\n" };
            format!("{text}{gap}\n[rules.{name}]\n{key} = {value}\n")
        }
    }
}

/// The lines of a text with their ends, as stretches.
fn lines(text: &str) -> impl Iterator<Item = Range<usize>> {
    let mut from = 0;
    text.split_inclusive('\n').map(move |line| {
        let at = from..from + line.len();
        from = at.end;
        at
    })
}

/// Where the value of `key` stands in a line, without a remark after it.
fn value_in(text: &str, line: Range<usize>, key: &str) -> Option<Range<usize>> {
    let written = &text[line.clone()];
    let (left, right) = written.split_once('=')?;
    if left.trim() != key {
        return None;
    }
    let from = line.start + left.len() + 1;
    let mut quoted = false;
    let mut until = right.len();
    for (at, c) in right.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '#' if !quoted => {
                until = at;
                break;
            }
            _ => {}
        }
    }
    let value = &right[..until];
    let start = from + value.len() - value.trim_start().len();
    Some(start..start + value.trim().len())
}

/// Sets a key among the lines from `start` on, up to the next heading.
fn under_heading(text: &str, start: usize, key: &str, value: &str) -> String {
    let body = lines(text)
        .filter(|l| l.start >= start)
        .take_while(|l| !text[l.clone()].trim_start().starts_with('['));
    for line in body {
        if let Some(at) = value_in(text, line, key) {
            return replaced(text, at, value).unwrap_or_default();
        }
    }
    let mut new = text.to_owned();
    let gap = if new[..start].ends_with('\n') {
        ""
    } else {
        "\n"
    };
    new.insert_str(start, &format!("{gap}{key} = {value}\n"));
    new
}

/// Sets a key in a table in braces.
fn in_braces(text: &str, at: Range<usize>, key: &str, value: &str) -> Option<String> {
    let inside = at.start + 1..at.end.checked_sub(1)?;
    let written = text.get(inside.clone())?;
    for part in pieces(written) {
        let part = inside.start + part.start..inside.start + part.end;
        if let Some(at) = value_in(text, part, key) {
            return replaced(text, at, value);
        }
    }
    let comma = if written.trim().is_empty() { " " } else { "," };
    replaced(
        text,
        inside.start..inside.start,
        &format!(" {key} = {value}{comma}"),
    )
}

/// What stands between the commas that are in no brackets and no quotation marks.
fn pieces(written: &str) -> Vec<Range<usize>> {
    let (mut depth, mut quoted, mut from) = (0, false, 0);
    let mut found = Vec::new();
    for (at, c) in written.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '{' | '[' if !quoted => depth += 1,
            '}' | ']' if !quoted => depth -= 1,
            ',' if !quoted && depth == 0 => {
                found.push(from..at);
                from = at + 1;
            }
            _ => {}
        }
    }
    found.push(from..written.len());
    found
}

/// The text with `key = value` set for the whole class, before any heading.
pub fn at_top(text: &str, key: &str, value: &str) -> String {
    let mut first = None;
    for line in lines(text) {
        let written = text[line.clone()].trim();
        if written.starts_with('[') {
            break;
        }
        if let Some(at) = value_in(text, line.clone(), key) {
            return replaced(text, at, value).unwrap_or_default();
        }
        if first.is_none() && !written.is_empty() && !written.starts_with('#') {
            first = Some(line.start);
        }
    }
    let mut new = text.to_owned();
    new.insert_str(first.unwrap_or(0), &format!("{key} = {value}\n"));
    new
}

/// The text with a setting of the short rests.
pub fn in_breathers(text: &str, span: Option<&Span>, copies: u32) -> Option<String> {
    let value = copies.to_string();
    match span {
        None => Some(at_top(text, "breathers", &value)),
        Some(span) if text.get(span.bytes.clone())?.starts_with(['[', '{']) => {
            in_rule(text, Some(span), "", "copies", &value)
        }
        Some(span) => replaced(text, span.bytes.clone(), &value),
    }
}

/// The table in braces around a line of the list, or the line itself.
fn whole_entry(text: &str, at: &Range<usize>) -> Option<Range<usize>> {
    let before = text.get(..at.start)?;
    let open = before.rfind(['{', '}', '[', '\n'])?;
    if !before[open..].starts_with('{') {
        return Some(at.clone());
    }
    let (mut depth, mut quoted) = (0, false);
    for (k, c) in text[open..].char_indices() {
        match c {
            '"' => quoted = !quoted,
            '{' if !quoted => depth += 1,
            '}' if !quoted => {
                depth -= 1;
                if depth == 0 {
                    return Some(open..open + k + 1);
                }
            }
            _ => {}
        }
    }
    None
}

/// The text without a line of the list; what is left of its line goes too if nothing but a remark is left.
pub fn without_entry(text: &str, entry: &Span) -> Option<String> {
    let mut at = whole_entry(text, &entry.bytes)?;
    let after = &text[at.end..];
    let gap = after.len() - after.trim_start_matches([' ', '\t']).len();
    if after[gap..].starts_with(',') {
        at.end += gap + 1;
    }
    let line = lines(text).find(|l| l.contains(&at.start))?;
    let left = format!(
        "{}{}",
        &text[line.start..at.start],
        text.get(at.end..line.end)?
    );
    let left = left.trim();
    if left.is_empty() || left.starts_with('#') {
        return replaced(text, line, "");
    }
    if text[at.end..].starts_with(' ') {
        at.end += 1;
    }
    replaced(text, at, "")
}

/// The text with a setting of a line of the list, which is a table already.
pub fn in_entry(text: &str, entry: &Span, key: &str, value: &str) -> Option<String> {
    let at = whole_entry(text, &entry.bytes)?;
    if !text[at.clone()].starts_with('{') {
        return None;
    }
    in_braces(text, at, key, value)
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
        let known = Some(at_top(BRIEF, "minutes", "31"));
        let was = lines(&["minutes = 30 # at most"]);
        assert_eq!(change(known), (2, was, lines(&["minutes = 31 # at most"])));
        let new = Some(at_top(BRIEF, "length", "\"short\""));
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
