//! A class as a table out of a spreadsheet to a [`Brief`]: one row a movement, below one row of headings.
//!
//! Headings are the keys that a line of a list takes in a brief, and the facets of the machines; above the headings may stand what holds for the class, a key and its
//! value a row. All of it is put together as the tables that a brief in TOML would have given, each value where it stands in the
//! spreadsheet: so the reader is the same, and so is what it says of a mistake.

pub(in crate::read) mod cells;

use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use crate::brief::Brief;
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::problem::step::Side;
use crate::read::brief::{Known, class};
use crate::read::enough::ends_at;
use crate::read::list::line::line;
use crate::read::measured::too_long;
use crate::read::names;
use crate::read::slips::sort_by_place;
use crate::read::spanned::{At, Document, unknown_word};
use crate::read::table::cells::{Cell, Rows, rows};
use crate::sizes::{COLUMNS, NAME_LETTERS, ROWS, TEXT_BYTES};
use crate::source::{Source, Span};

/// The heading that must be there.
const MOVEMENT: &str = "movement";
/// What a heading may say, as the key that it stands for.
const HEADINGS: [(&str, &str); 10] = [
    (MOVEMENT, MOVEMENT),
    ("side", "side"),
    ("repetitions", "repetitions"),
    ("reps", "repetitions"),
    ("rounds", "rounds"),
    ("springs", "springs"),
    ("teach", "teach"),
    ("or", "or"),
    ("block", BLOCK),
    ("facets", "facets"),
];
const BLOCK: &str = "block";
/// Keys of a row and of the class whose values are numbers where they look like one.
const NUMBERS: [&str; 8] = [
    "repetitions",
    "rounds",
    "springs",
    "teach",
    "minutes",
    "room",
    "variation",
    "breathers",
];
/// Keys of the class that take as many values as there are.
const MANY: [&str; 1] = ["conditions"];
/// Stands between several movements or values in one cell.
const OR: &str = " or ";

/// Whether a text that came without a name is such a table: its first line with a word in it has the heading `movement` among others.
pub fn is_one(text: &str) -> bool {
    let first = text.lines().find(|l| l.chars().any(char::is_alphanumeric));
    first.is_some_and(|line| {
        let mut cells = line.split(['\t', ';', ',']).peekable();
        let several = cells.clone().count() > 1;
        several && cells.any(|c| is_heading(c.trim().trim_matches('"')))
    })
}

fn is_heading(cell: &str) -> bool {
    names::fold(cell) == names::fold(MOVEMENT)
}

/// Reads such a table. `apparatus`: plan on this machine, whatever the table says.
pub fn spreadsheet(source: &Arc<Source>, known: &Known, apparatus: Option<&str>) -> Read<Brief> {
    let mut log = Vec::new();
    if let Some(long) = TEXT_BYTES.refused_text(source) {
        return Read {
            value: None,
            diagnostics: vec![long],
        };
    }
    let rows = rows(source, is_heading, &mut log);
    if let Some(large) = too_large(source, &rows) {
        return Read {
            value: None,
            diagnostics: vec![large],
        };
    }
    let root = Tables {
        source,
        known,
        log: &mut log,
    }
    .root(&rows);
    let document = Document::of(source, root, &mut log);
    let value = class(&document, source, known, apparatus, &mut log);
    sort_by_place(&mut log);
    Read {
        value,
        diagnostics: log,
    }
}

/// The refusal of a table with more rows or columns than any that is read.
fn too_large(source: &Arc<Source>, rows: &Rows) -> Option<Diagnostic> {
    let at = |cell: &Cell| Span::new(source, cell.bytes.clone());
    if let Some(row) = rows.get(ROWS.most) {
        return Some(ROWS.refused("the table", rows.len(), at(&row[0])));
    }
    let wide = rows.iter().find(|row| COLUMNS.is_less_than(row.len()))?;
    Some(COLUMNS.refused("this row", wide.len(), at(&wide[COLUMNS.most])))
}

/// A value of TOML with its place.
type Value<'c> = Spanned<DeValue<'c>>;

struct Tables<'l> {
    source: &'l Arc<Source>,
    known: &'l Known,
    log: &'l mut Vec<Diagnostic>,
}

/// What a column holds.
enum Column {
    /// The value of a key.
    Key(&'static str),
    /// The value of a facet.
    Facet(String),
    /// The teacher's notes.
    Passed,
}

/// The blocks that rows name, and where each stands among them by its folded name.
#[derive(Default)]
struct Blocks<'c> {
    all: Vec<Named<'c>>,
    by_name: HashMap<String, usize>,
}

/// A block as its rows name it.
struct Named<'c> {
    name: String,
    table: DeTable<'c>,
    list: DeArray<'c>,
    series: bool,
    rounds: Option<u32>,
    span: Range<usize>,
}

impl Tables<'_> {
    fn root<'c>(&mut self, rows: &'c Rows) -> Spanned<DeTable<'c>> {
        let mut root = DeTable::new();
        let whole = 0..self.source.text.len();
        let headings = rows
            .iter()
            .position(|row| row.iter().any(|cell| is_heading(&cell.text)));
        let Some(headings) = headings else {
            self.log.push(Diagnostic::mistake(
                Code::MissingKey,
                self.at(0..self.source.text.lines().next().map_or(0, str::len)),
                format!("there is no heading `{MOVEMENT}`"),
                "no row of headings",
                "write a row of headings above the movements, such as: movement, side, repetitions, springs",
            ));
            return Spanned::new(whole, root);
        };
        for row in &rows[..headings] {
            self.setting(row, &mut root);
        }
        let columns = self.columns(&rows[headings]);
        let mut list = DeArray::new();
        let mut blocks = Blocks::default();
        for row in &rows[headings + 1..] {
            let place = row[0].bytes.clone();
            if ends_at(|| Span::new(self.source, place), self.log) {
                return Spanned::new(whole, root);
            }
            self.row(row, &columns, &mut list, &mut blocks);
        }
        if list.is_empty() && self.log.is_empty() {
            self.log.push(Diagnostic::mistake(
                Code::EmptyList,
                self.at(whole.end..whole.end),
                "there is nothing below the headings",
                "no movement here",
                "write one movement a row",
            ));
        }
        put(&mut root, "list", whole.clone(), DeValue::Array(list));
        let (mut plain, mut series) = (DeArray::new(), DeArray::new());
        for mut block in blocks.all {
            let span = block.span.clone();
            put(
                &mut block.table,
                "list",
                span.clone(),
                DeValue::Array(block.list),
            );
            let all = if block.series {
                &mut series
            } else {
                &mut plain
            };
            all.push(Spanned::new(span, DeValue::Table(block.table)));
        }
        for (key, all) in [(BLOCK, plain), ("series", series)] {
            if !all.is_empty() {
                put(&mut root, key, whole.clone(), DeValue::Array(all));
            }
        }
        Spanned::new(whole, root)
    }

    fn at(&self, bytes: Range<usize>) -> Span {
        Span::new(self.source, bytes)
    }

    fn word(&self, cell: &Cell) -> At<String> {
        At {
            value: cell.text.clone(),
            span: self.at(cell.bytes.clone()),
        }
    }

    /// A row above the headings: a key of the class, and its value.
    fn setting<'c>(&mut self, row: &'c [Cell], root: &mut DeTable<'c>) {
        let [key, values @ ..] = row else { return };
        let mut values = values.iter().filter(|c| !c.text.is_empty()).peekable();
        let Some(first) = values.peek().copied() else {
            // A heading for people: "Classes of March".
            self.log.push(Diagnostic::note(
                Code::Assumed,
                self.at(key.bytes.clone()),
                format!(
                    "`{}` stands above the headings with nothing beside it: it is ignored",
                    key.text
                ),
                "ignored",
            ));
            return;
        };
        let name = key.text.to_lowercase().replace([' ', '-'], "_");
        if root.contains_key(name.as_str()) {
            self.log.push(Diagnostic::mistake(
                Code::Duplicate,
                self.at(key.bytes.clone()),
                format!("`{}` appears above the headings twice", key.text),
                "the second",
                "keep one of the two",
            ));
            return;
        }
        let value = if MANY.contains(&name.as_str()) {
            let mut all = DeArray::new();
            for cell in values {
                all.push(text(cell));
            }
            DeValue::Array(all)
        } else {
            values.next();
            self.no_more(values);
            value(&name, first)
        };
        let key = Spanned::new(key.bytes.clone(), Cow::Owned(name));
        root.insert(key, Spanned::new(first.bytes.clone(), value));
    }

    /// Cells below no heading.
    fn no_more<'c>(&mut self, cells: impl Iterator<Item = &'c Cell>) {
        for cell in cells.filter(|c| !c.text.is_empty()) {
            self.log.push(Diagnostic::mistake(
                Code::OutOfRange,
                self.at(cell.bytes.clone()),
                format!("`{}` stands in a column that has no heading", cell.text),
                "one cell too many",
                "give the column a heading; or put the cell before it in quotation marks, if they are one",
            ));
        }
    }

    fn columns(&mut self, row: &[Cell]) -> Vec<Column> {
        let facets: Vec<(&str, &str)> = (self.known.apparatus.iter())
            .flat_map(|m| &m.facets)
            .flat_map(|f| {
                [
                    (f.key.as_str(), f.key.as_str()),
                    (f.name.as_str(), f.key.as_str()),
                ]
            })
            .collect();
        let mut columns = Vec::new();
        for (k, cell) in row.iter().enumerate() {
            let folded = names::fold(&cell.text);
            let is = |(name, _): &&(&str, &str)| names::fold(name) == folded;
            let key = HEADINGS
                .iter()
                .find(|(name, _)| names::fold(name) == folded);
            columns.push(match (key, facets.iter().find(is)) {
                _ if cell.text.is_empty() || cell.text.starts_with('#') => Column::Passed,
                (Some((_, key)), _) => Column::Key(key),
                (None, Some((_, facet))) => Column::Facet((*facet).to_owned()),
                (None, None) => {
                    let mut known: Vec<&str> = HEADINGS.iter().map(|(name, _)| *name).collect();
                    known.extend(facets.iter().map(|(name, _)| *name));
                    known.dedup();
                    let mut mistake = unknown_word("heading", &self.word(cell), &known);
                    mistake
                        .mend
                        .push_str("; a column of your own begins with #");
                    self.log.push(mistake);
                    Column::Passed
                }
            });
            let same = columns[..k].iter().any(|c| match (c, &columns[k]) {
                (Column::Key(a), Column::Key(b)) => a == b,
                (Column::Facet(a), Column::Facet(b)) => a == b,
                _ => false,
            });
            if same {
                self.log.push(Diagnostic::mistake(
                    Code::Duplicate,
                    self.at(cell.bytes.clone()),
                    format!("there are two columns `{}`", cell.text),
                    "the second",
                    "keep one of the two, or begin its heading with #",
                ));
                columns[k] = Column::Passed;
            }
        }
        columns
    }

    fn row<'c>(
        &mut self,
        row: &'c [Cell],
        columns: &[Column],
        list: &mut DeArray<'c>,
        blocks: &mut Blocks<'c>,
    ) {
        self.no_more(row.iter().skip(columns.len()));
        let span = row[0].bytes.start..row[row.len() - 1].bytes.end;
        let (mut table, mut facets) = (DeTable::new(), DeTable::new());
        let mut block = None;
        for (cell, column) in row.iter().zip(columns) {
            if cell.text.is_empty() {
                continue;
            }
            match column {
                Column::Passed => {}
                Column::Key(BLOCK) => block = Some(cell),
                Column::Key("or") => {
                    put(
                        &mut table,
                        "or",
                        cell.bytes.clone(),
                        DeValue::Array(several(cell)),
                    );
                }
                Column::Key(key) => {
                    put(&mut table, key, cell.bytes.clone(), value(key, cell));
                }
                Column::Facet(facet) => {
                    let key = Spanned::new(cell.bytes.clone(), Cow::Owned(facet.clone()));
                    let value = Spanned::new(cell.bytes.clone(), DeValue::Array(several(cell)));
                    facets.insert(key, value);
                }
            }
        }
        if !facets.is_empty() {
            put(&mut table, "facets", span.clone(), DeValue::Table(facets));
        }
        if !table.contains_key(MOVEMENT) {
            if !table.is_empty() || block.is_some() {
                self.log.push(Diagnostic::mistake(
                    Code::MissingKey,
                    self.at(span),
                    "this row names no movement",
                    format!("nothing below the heading `{MOVEMENT}`"),
                    "write the movement, or remove the row",
                ));
            }
            return;
        }
        let line = Spanned::new(span, DeValue::Table(table));
        match block.and_then(|cell| self.block(cell, list, blocks)) {
            Some(b) => blocks.all[b].list.push(line),
            None => list.push(line),
        }
    }

    /// The block that a cell names; the list of the class gets it where its first row stands. Written as in a plain list: "Arms, 2 rounds", "Hips, both sides".
    fn block<'c>(
        &mut self,
        cell: &'c Cell,
        list: &mut DeArray<'c>,
        blocks: &mut Blocks<'c>,
    ) -> Option<usize> {
        let span = cell.bytes.clone();
        let whose = "this name";
        if let Some(long) = too_long(self.source, &cell.text, whose, span.clone(), NAME_LETTERS) {
            self.log.push(long);
            return None;
        }
        let said = line(&cell.text, |_| false);
        let series = said.side.as_ref().is_some_and(|s| s.value == Side::Both);
        let rounds = said.rounds.as_ref().map(|r| r.value);
        let one_side = said.side.is_some() && !series;
        if said.name.is_empty() || one_side || said.repetitions.is_some() {
            self.log.push(Diagnostic::mistake(
                Code::OutOfRange,
                self.at(span),
                format!("`{}` is not the name of a block", cell.text),
                "not a block",
                "write a name, with \"2 rounds\" or \"both sides\" after it if it is so",
            ));
            return None;
        }
        let folded = names::fold(&said.name);
        if let Some(&b) = blocks.by_name.get(&folded) {
            let first = &blocks.all[b];
            let more = said.side.is_some() || rounds.is_some();
            if more && (series != first.series || rounds != first.rounds) {
                let mistake = Diagnostic::mistake(
                    Code::Duplicate,
                    self.at(span),
                    format!(
                        "the block `{}` is another one here than in its first row",
                        first.name
                    ),
                    "another one",
                    "write the same in all its rows, or its name alone from the second on",
                );
                self.log
                    .push(mistake.and(self.at(first.span.clone()), "the first"));
            }
            return Some(b);
        }
        let mut table = DeTable::new();
        let name = DeValue::String(Cow::Owned(said.name.clone()));
        put(&mut table, "name", span.clone(), name);
        if let Some(rounds) = &said.rounds {
            let digits = cell.text[rounds.at.clone()]
                .split_whitespace()
                .next()
                .unwrap_or_default();
            let whole = DeValue::parse(digits).map(Spanned::into_inner);
            let at = span.start + rounds.at.start..span.start + rounds.at.end;
            let rounds = whole.unwrap_or(DeValue::String(Cow::Borrowed(digits)));
            put(&mut table, "rounds", at, rounds);
        }
        list.push(Spanned::new(
            span.clone(),
            DeValue::String(Cow::Owned(said.name.clone())),
        ));
        blocks.by_name.insert(folded, blocks.all.len());
        blocks.all.push(Named {
            name: said.name,
            table,
            list: DeArray::new(),
            series,
            rounds,
            span,
        });
        Some(blocks.all.len() - 1)
    }
}

fn put<'c>(table: &mut DeTable<'c>, key: &'static str, at: Range<usize>, value: DeValue<'c>) {
    table.insert(
        Spanned::new(at.clone(), Cow::Borrowed(key)),
        Spanned::new(at, value),
    );
}

fn text(cell: &Cell) -> Value<'_> {
    Spanned::new(
        cell.bytes.clone(),
        DeValue::String(Cow::Borrowed(&cell.text)),
    )
}

/// The value of a key: a number where one belongs and stands, else the text.
fn value<'c>(key: &str, cell: &'c Cell) -> DeValue<'c> {
    let written = cell.number.as_ref().filter(|_| NUMBERS.contains(&key));
    let read = written.and_then(|text| DeValue::parse(text).ok());
    match read.map(Spanned::into_inner) {
        Some(value) if value.is_integer() || value.is_float() => value,
        Some(_) | None => DeValue::String(Cow::Borrowed(&cell.text)),
    }
}

/// The texts of a cell that holds several, each where it stands.
fn several(cell: &Cell) -> DeArray<'_> {
    let mut all = DeArray::new();
    let mut from = 0;
    for part in cell.text.split(OR) {
        let start = cell.bytes.start + from + (part.len() - part.trim_start().len());
        let part_at = start..start + part.trim().len();
        all.push(Spanned::new(
            part_at,
            DeValue::String(Cow::Borrowed(part.trim())),
        ));
        from += part.len() + OR.len();
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;

    fn read(text: &str) -> Read<Brief> {
        let models = models(&[]);
        let known = Known {
            catalogue: models.catalogue,
            apparatus: models.apparatus,
            kept_blocks: Vec::new(),
        };
        let source = Arc::new(Source {
            name: "lists/my-noon.csv".into(),
            text: text.into(),
        });
        spreadsheet(&source, &known, None)
    }

    #[test]
    fn what_stands_above_the_headings_holds_for_the_class_and_each_row_is_a_line() {
        let found = read(
            "title;Noon\nminutes;47,5\nroom;8\ndate;2026-03-12\nconditions;wrist pain;knee pain\n\n\
             movement;side;reps;springs;block;#mine;or\n\
             Swan;;4;1,5;;good;\n\
             Scooter, left;;;1 sun;;;\n\
             Hug, kneeling;;;;\"Arms, 2 rounds\";;\n\
             Side splits;;8;;Hips, both sides;;Standing front splits or Elephant\n\
             Kneeling arm circle;;;;Arms;;\n",
        );
        assert_eq!(found.diagnostics, []);
        let brief = found.value.expect("a class");
        assert_eq!((brief.title.as_str(), brief.room), ("Noon", 8));
        assert_eq!(brief.minutes, Some(47.5));
        assert_eq!(brief.date, "2026-03-12".parse().ok());
        assert_eq!(brief.conditions.len(), 2);
        let lines: Vec<_> = (brief.entries.iter())
            .map(|e| (e.movement.as_str(), e.repetitions, e.side, e.block))
            .collect();
        assert_eq!(lines[0], ("swan", Some(4), None, None));
        assert_eq!(lines[1], ("scooter", None, Some(Side::Left), None));
        assert_eq!((lines[2].0, lines[2].3), ("kneeling-hug", Some(0)));
        assert_eq!((lines[3].0, lines[3].3), ("kneeling-arm-circles", Some(0)));
        assert_eq!((lines[4].0, lines[4].3), ("side-splits", Some(1)));
        assert_eq!(brief.entries[4].instead.len(), 2);
        let blocks: Vec<_> = (brief.blocks.iter())
            .map(|b| (b.name.as_str(), b.series, b.rounds))
            .collect();
        assert_eq!(blocks, [("Arms", false, 2), ("Hips", true, 1)]);
        assert!(brief.entries[0].springs.is_some());
    }

    #[test]
    fn every_mistake_is_told_at_its_line_and_column() {
        let found = read(
            "minuets,50\n\
             movement,reps,sprngs,box\n\
             Swam,4,,\n\
             Elephant,many,,\n\
             Scooter,8,,wobbly\n\
             ,3,,\n\
             Mermaid,2,,,left\n",
        );
        let day = read("date,2026-02-30\nmovement,reps\nSwan,4\n");
        let day: Vec<&str> = (day.diagnostics.iter())
            .map(|d| d.labels[0].span.text())
            .collect();
        assert_eq!(day, ["2026-02-30"]);
        let told: Vec<(usize, Code)> = (found.diagnostics.iter())
            .map(|d| (d.labels[0].span.line(), d.code))
            .collect();
        let text = |k: usize| found.diagnostics[k].labels[0].span.text().to_owned();
        assert_eq!(
            told,
            [
                (1, Code::UnknownKey),
                (2, Code::UnknownName),
                (3, Code::UnknownMovement),
                (4, Code::WrongType),
                (5, Code::UnknownName),
                (6, Code::MissingKey),
                (7, Code::OutOfRange),
            ],
            "{:?}",
            found.diagnostics
        );
        assert_eq!(
            [text(0), text(1), text(2), text(3)],
            ["minuets", "sprngs", "Swam", "many"]
        );
        assert_eq!([text(4), text(6)], ["wobbly", "left"]);
        assert!(found.diagnostics[1].mend.contains("`springs`"));
    }

    #[test]
    fn without_headings_it_says_what_to_write() {
        let found = read("Swan,4\nElephant,8\n");
        assert_eq!(found.diagnostics[0].code, Code::MissingKey);
        assert!(found.diagnostics[0].mend.contains("movement, side"));
        let none = read("movement,side\n");
        assert_eq!(none.diagnostics[0].code, Code::EmptyList);
    }

    #[test]
    fn a_table_is_known_by_its_headings() {
        assert!(is_one("movement;side\nSwan;\n"));
        assert!(is_one("\"Movement\",\"Side\"\n"));
        assert!(!is_one("Movement\nSwan, left\n"));
        assert!(!is_one("Swan, left\nMermaid\n"));
    }
}
