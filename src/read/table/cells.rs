//! A text out of a spreadsheet to rows of cells with their places (RFC 4180, and what spreadsheets make of it: semicolons or tabs
//! between the cells, a first line `sep=;`).

use std::ops::Range;
use std::sync::Arc;

use csv_core::{ReadFieldResult, ReaderBuilder};

use crate::diagnostic::{Code, Diagnostic};
use crate::source::{Source, Span};

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// What it says, without space around it. A doubled quotation mark comes out as two apostrophes, so that every byte keeps its place.
    pub text: String,
    /// The same as a number in the notation of TOML, if it is one; a decimal comma is taken for a point.
    pub number: Option<String>,
    /// Where it stands, without quotation marks.
    pub bytes: Range<usize>,
}

/// The rows that are not empty.
pub type Rows = Vec<Vec<Cell>>;

/// What may stand between cells.
const SEPARATORS: [u8; 3] = *b"\t;,";
/// Stands in no text: for a table of one column, where a comma belongs to what is said.
const NOTHING: u8 = 0x1f;

/// The rows of a text. `heading`: whether a cell is the heading of a table of this kind; the line of headings says what stands between cells.
pub fn rows(
    source: &Arc<Source>,
    heading: impl Fn(&str) -> bool,
    log: &mut Vec<Diagnostic>,
) -> Rows {
    let text = &source.text;
    let (separator, from) = match told(text) {
        Some(told) => told,
        None => (separator(text, heading), 0),
    };
    let input = text.as_bytes();
    let mut reader = ReaderBuilder::new().delimiter(separator).build();
    let mut out = vec![0; input.len() + 1];
    let mut rows = Rows::new();
    let mut row = Vec::new();
    let mut begun = from;
    let mut at = from;
    loop {
        let (result, read, _) = reader.read_field(&input[at..], &mut out);
        at += read;
        match result {
            // The end is told by reading on from nothing.
            ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
            ReadFieldResult::Field { record_end } => {
                row.push(cell(source, begun..at, separator, log));
                begun = at;
                if record_end {
                    rows.push(std::mem::take(&mut row));
                }
            }
            ReadFieldResult::End => break,
        }
    }
    rows.retain(|row| row.iter().any(|cell| !cell.text.is_empty()));
    rows
}

/// The separator that a first line `sep=;` names, and where the table begins.
fn told(text: &str) -> Option<(u8, usize)> {
    let first = text.split_inclusive('\n').next()?;
    let said = first.trim_end().strip_prefix("sep=")?;
    let [separator] = *said.as_bytes() else {
        return None;
    };
    SEPARATORS
        .contains(&separator)
        .then_some((separator, first.len()))
}

/// The separator that makes most cells of the first line with a heading; none where that is a single cell.
fn separator(text: &str, heading: impl Fn(&str) -> bool) -> u8 {
    for line in text.lines() {
        let cells = |separator: u8| {
            let cells: Vec<&str> = line.split(char::from(separator)).collect();
            let has = cells.iter().any(|c| heading(c.trim().trim_matches('"')));
            (has && cells.len() > 1).then_some((cells.len(), separator))
        };
        if let Some((_, separator)) = SEPARATORS.into_iter().filter_map(cells).max() {
            return separator;
        }
        if heading(line.trim().trim_matches('"')) {
            return NOTHING;
        }
    }
    b','
}

/// The cell in a stretch of text that may begin with the end of the line before it and ends with what parts it from the next.
fn cell(source: &Arc<Source>, at: Range<usize>, separator: u8, log: &mut Vec<Diagnostic>) -> Cell {
    let text = &source.text;
    let (mut from, mut to) = (at.start, at.end);
    from += text[from..to].len() - text[from..to].trim_start_matches(['\r', '\n']).len();
    let raw = &text[from..to];
    to -= raw.len() - raw.trim_end_matches(['\r', '\n']).len();
    if text[from..to].ends_with(char::from(separator)) {
        to -= 1;
    }
    if text[from..to].starts_with('"') {
        let rest = text[from..to].trim_end();
        if rest.len() > 1 && rest.ends_with('"') {
            to = from + rest.len() - 1;
        } else {
            log.push(Diagnostic::mistake(
                Code::Syntax,
                Span::new(source, from..from + 1),
                "this quotation mark is not closed",
                "opened here",
                "put one at the end of the cell too, or remove it",
            ));
        }
        from += 1;
    }
    let whole = &text[from..to];
    let start = from + (whole.len() - whole.trim_start().len());
    let end = start + whole.trim().len();
    let text = text[start..end].replace("\"\"", "''");
    Cell {
        number: number(&text),
        text,
        bytes: start..end,
    }
}

/// A number in the notation of TOML.
fn number(text: &str) -> Option<String> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text.strip_prefix('+').unwrap_or(text)),
    };
    let all = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let (whole, part) = match digits.split_once(['.', ',']) {
        Some((whole, part)) => (whole, Some(part)),
        None => (digits, None),
    };
    if !all(whole) || !part.is_none_or(all) {
        return None;
    }
    // TOML knows no leading zeros.
    let whole = match whole.trim_start_matches('0') {
        "" => "0",
        rest => rest,
    };
    let part = part.map_or_else(String::new, |part| format!(".{part}"));
    Some(format!("{sign}{whole}{part}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<Vec<String>>, Vec<Diagnostic>) {
        let source = Arc::new(Source {
            name: "t.csv".into(),
            text: text.into(),
        });
        let mut log = Vec::new();
        let rows = rows(&source, |cell| cell == "movement", &mut log);
        for cell in rows.iter().flatten() {
            let there = Span::new(&source, cell.bytes.clone());
            assert_eq!(there.text().replace("\"\"", "''"), cell.text);
        }
        let texts = |row: Vec<Cell>| row.into_iter().map(|c| c.text).collect();
        (rows.into_iter().map(texts).collect(), log)
    }

    /// The cells are those that the csv library reads, which knows nothing of places.
    #[test]
    fn cells_are_those_of_another_reader_and_stand_where_they_say() {
        for (separator, text) in [
            (
                b',',
                "movement,side\r\n\"Scooter, flat\", left \r\n\r\nSwan,\r\n",
            ),
            (b';', "movement;teach\nSwan;\"1,5\"\n\"two\nlines\";3"),
            (b'\t', "a\tmovement\n1\tSwan, left; slow\n"),
        ] {
            let (ours, log) = read(text);
            assert_eq!(log, []);
            let mut theirs = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .delimiter(separator)
                .from_reader(text.as_bytes());
            let theirs: Vec<Vec<String>> = theirs
                .records()
                .map(|r| {
                    r.expect("a row")
                        .iter()
                        .map(|c| c.trim().to_owned())
                        .collect()
                })
                .collect();
            assert_eq!(ours, theirs);
        }
    }

    #[test]
    fn one_column_keeps_its_commas_and_a_first_line_may_name_the_separator() {
        let (rows, _) = read("movement\nScooter, left\n");
        assert_eq!(rows[1], ["Scooter, left"]);
        let (rows, _) = read("sep=;\nmovement;side\nSwan, slow;left\n");
        assert_eq!(rows, [["movement", "side"], ["Swan, slow", "left"]]);
    }

    #[test]
    fn a_quotation_mark_that_is_not_closed_is_told() {
        let (_, log) = read("movement,side\n\"Swan,left\n");
        assert_eq!(log.len(), 1, "{log:?}");
        assert_eq!(log[0].labels[0].span.line(), 2);
        let (rows, log) = read("movement,side\n\"the \"\"big\"\" one\",left\n");
        assert_eq!(log, []);
        assert_eq!(rows[1][0], "the ''big'' one");
    }

    #[test]
    fn numbers_may_have_a_decimal_comma_and_leading_zeros() {
        for (text, is) in [
            ("8", Some("8")),
            ("08", Some("8")),
            ("1,5", Some("1.5")),
            ("-0.50", Some("-0.50")),
            ("1 sun", None),
            ("1,", None),
            ("", None),
            ("1.2.3", None),
        ] {
            assert_eq!(number(text).as_deref(), is, "{text}");
        }
    }
}
