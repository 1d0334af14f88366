//! A plain list (one movement a line) to a [`Brief`].
//!
//! A line holds a name with optional repetitions, side and rounds; `#` begins a comment. A line that ends in a colon opens a block
//! under that name ("Arms:"), a series where it says "both sides" ("Hip series, both sides:"); an empty line, a line of dashes or the
//! next such line closes it. A dash, a star, a box to tick or a number with a point before a line is ignored. A block or series of the
//! teacher's own that is kept by name stands where a line names it, outside of other blocks.

pub(in crate::read) mod limits;
pub mod line;
pub(in crate::read) mod not_a_movement;

use std::collections::HashSet;
use std::sync::Arc;

use crate::brief::{Block, Brief};
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::problem::step::Side;
use crate::read::brief::list::Lists;
use crate::read::brief::{Known, blank, machine};
use crate::read::enough::{ended, ends_at};
use crate::read::list::limits::{only_rounds, part};
use crate::read::list::line::{Line, line};
use crate::read::machine::springs::Machines;
use crate::read::measured::{beyond, too_long};
use crate::read::slips::sort_by_place;
use crate::read::spanned::{At, Document};
use crate::sizes::{BLOCKS, LINES, NAME_LETTERS, TEXT_BYTES};
use crate::source::{Source, Span};

/// Reads a plain list. `apparatus`: plan on this machine instead of the first that is known.
pub fn quick_list(source: &Arc<Source>, known: &Known, apparatus: Option<&str>) -> Read<Brief> {
    if let Some(large) = too_large(source) {
        return Read {
            value: None,
            diagnostics: vec![large],
        };
    }
    let mut log = Vec::new();
    let mut class = blank(source, known);
    class.apparatus = machine(known, apparatus, None, &mut log);
    let catalogue = known.catalogue.clone();
    // Kept springs are written for the machine that a brief has unasked.
    let own = machine(known, None, None, &mut Vec::new());
    let of = |id: &str| known.apparatus.iter().find(|m| m.id == id);
    let springs_on = of(&class.apparatus)
        .zip(of(&own))
        .map(|(on, written_for)| Machines { on, written_for });
    let kept: Vec<(usize, Document<'_>)> = (known.kept_blocks.iter().enumerate())
        .flat_map(|(k, files)| files.iter().map(move |s| (k + 1, s)))
        .map(|(away, s)| (away, Document::parse(s, &mut log)))
        .collect();
    let mut lists = Lists::new(&catalogue, &known.apparatus, springs_on);
    for (away, file) in &kept {
        let mut table = file.table("a file of blocks");
        lists.define(&mut table, *away, &mut log);
        table.finish(&mut log);
    }
    let mut open: Option<usize> = None;
    // Blocks that a heading of this list opened.
    let mut headings: Vec<usize> = Vec::new();
    for said in lines(source) {
        let Said::Words(text) = said else {
            open = None;
            continue;
        };
        if ends_at(|| text.span.clone(), &mut log) {
            break;
        }
        let at = text.span.bytes.clone();
        if let Some(long) = too_long(source, &text.value, "this line", at, NAME_LETTERS) {
            log.push(long);
            continue;
        }
        if is_heading(&text) {
            open = heading_block(&text, &mut lists, &mut log);
            headings.extend(open);
            continue;
        }
        lists.text(&text, open, &mut log);
    }
    if ended(&log) {
        sort_by_place(&mut log);
        return Read {
            value: None,
            diagnostics: log,
        };
    }
    let filled: HashSet<usize> = lists.entries.iter().filter_map(|e| e.block).collect();
    let headings: HashSet<usize> = headings.into_iter().collect();
    for (b, block) in lists.blocks.iter().enumerate() {
        if block.series && headings.contains(&b) {
            lists.one_sided(b, &mut log);
        }
        let read = !log.iter().any(Diagnostic::is_mistake);
        if read && !filled.contains(&b) {
            log.push(Diagnostic::mistake(
                Code::EmptyList,
                block.span.clone(),
                format!("the block `{}` has nothing on its list", block.name),
                "no movement here",
                "write its movements on the lines below, with no empty line between",
            ));
        }
    }
    if lists.entries.is_empty() && !log.iter().any(Diagnostic::is_mistake) {
        log.push(Diagnostic::mistake(
            Code::EmptyList,
            class.span.clone(),
            "there is nothing on the list",
            "no movement here",
            "write one movement a line",
        ));
    }
    (class.entries, class.blocks) = (lists.entries, lists.blocks);
    sort_by_place(&mut log);
    Read {
        value: Some(class),
        diagnostics: log,
    }
}

/// What a line comes to.
enum Said {
    /// A heading, or a line of the list, without marks and remarks.
    Words(At<String>),
    /// Nothing: it closes a block.
    Nothing,
}

/// The lines of a list, those with a remark alone left out: they close nothing.
fn lines(source: &Arc<Source>) -> impl Iterator<Item = Said> {
    let mut start = 0;
    source.text.split_inclusive('\n').filter_map(move |whole| {
        let from = start;
        start += whole.len();
        let said = whole.split('#').next().unwrap_or("");
        if !said.chars().any(char::is_alphanumeric) && !said.trim().ends_with(':') {
            return (!whole.contains('#')).then_some(Said::Nothing);
        }
        let text = unmarked(said.trim());
        let at = from + (text.as_ptr() as usize - whole.as_ptr() as usize);
        let span = Span::new(source, at..at + text.len());
        Some(Said::Words(At {
            value: text.to_owned(),
            span,
        }))
    })
}

fn is_heading(text: &At<String>) -> bool {
    text.value.ends_with([':', '\u{ff1a}'])
}

/// The refusal of a list with more of something than any class has.
fn too_large(source: &Arc<Source>) -> Option<Diagnostic> {
    if let Some(long) = TEXT_BYTES.refused_text(source) {
        return Some(long);
    }
    let said = lines(source).filter_map(|said| match said {
        Said::Words(text) => Some(text),
        Said::Nothing => None,
    });
    let (headings, lines): (Vec<_>, Vec<_>) = said.partition(is_heading);
    [(BLOCKS, headings), (LINES, lines)]
        .into_iter()
        .find_map(|(most, all)| {
            let places = all.into_iter().map(|text| text.span);
            beyond(most, "the class", places.collect())
        })
}

/// The line without a mark of a list before it: `- `, `* `, `3. `, `3) `, and a box to tick: `[ ] `, `[x] `.
fn unmarked(text: &str) -> &str {
    let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let text = match text[digits..].strip_prefix(['.', ')']) {
        Some(rest) if digits > 0 => rest.trim_start(),
        _ => match text.strip_prefix(['-', '*', '\u{2022}', '\u{2013}']) {
            Some(rest) => rest.trim_start(),
            None => text,
        },
    };
    for ticked in ["[ ]", "[x]", "[X]"] {
        if let Some(rest) = text.strip_prefix(ticked) {
            return rest.trim_start();
        }
    }
    text
}

/// Opens the block of a heading, or says why it cannot.
fn heading_block(
    heading: &At<String>,
    lists: &mut Lists<'_, '_>,
    log: &mut Vec<Diagnostic>,
) -> Option<usize> {
    let said = line(&heading.value, |_| false);
    let name = part(heading, &said.at);
    if said.name.is_empty() {
        log.push(Diagnostic::mistake(
            Code::MissingKey,
            name,
            "this heading has no name",
            "no name before the colon",
            "write a name before the colon, or remove the line",
        ));
        return None;
    }
    if let Some(movement) = lists.names.find(&said.name) {
        log.push(Diagnostic::mistake(
            Code::Duplicate,
            name.clone(),
            format!(
                "`{}` is the name of a movement, and a colon makes it the heading of a block",
                movement.name
            ),
            "a movement too",
            "remove the colon, or give the block another name",
        ));
    }
    if let Some(first) = lists.block_named(&said.name) {
        log.push(
            Diagnostic::mistake(
                Code::Duplicate,
                name,
                format!("there are two blocks `{}`", said.name),
                "the second",
                "give one of them another name",
            )
            .and(lists.blocks[first].span.clone(), "the first"),
        );
        return Some(first);
    }
    let series = said.side.as_ref().is_some_and(|s| s.value == Side::Both);
    let without_sides = Line {
        side: said.side.clone().filter(|s| s.value != Side::Both),
        ..said.clone()
    };
    only_rounds(&without_sides, heading, log);
    Some(lists.open(Block {
        name: said.name,
        ordered: series,
        series,
        rounds: said.rounds.map_or(1, |r| r.value),
        span: name,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;

    fn source(name: &str, text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: name.into(),
            text: text.into(),
        })
    }

    fn read(text: &str) -> Read<Brief> {
        read_with(text, "")
    }

    /// A list read beside a file of kept blocks.
    fn read_with(text: &str, kept: &str) -> Read<Brief> {
        let models = models(&[]);
        let known = Known {
            catalogue: models.catalogue,
            apparatus: models.apparatus,
            kept_blocks: vec![vec![source("blocks/mine.toml", kept)]],
        };
        quick_list(&source("lists/my-noon.txt", text), &known, None)
    }

    const KEPT: &str = "[[series]]\nname = \"Hip series\"\nlist = [\"scooter\", \"side splits\"]\n\n\
        [[block]]\nname = \"Bar work\"\nlist = [{ movement = \"elephant\", springs = \"1 heavy\" }, \"swan x 4\"]\n";

    #[test]
    fn a_kept_block_stands_where_a_line_names_it() {
        let found = read_with("swan\nhip-series, 2 rounds\n\n[ ] Bar work\n", KEPT);
        assert_eq!(found.diagnostics, []);
        let brief = found.value.expect("a class");
        let names: Vec<&str> = brief.entries.iter().map(|e| e.movement.as_str()).collect();
        assert_eq!(
            names,
            ["swan", "scooter", "side-splits", "elephant", "swan"]
        );
        let blocks: Vec<_> = brief
            .blocks
            .iter()
            .map(|b| (b.name.as_str(), b.series, b.rounds))
            .collect();
        assert_eq!(blocks, [("Hip series", true, 2), ("Bar work", false, 1)]);
        assert!(brief.entries[3].springs.is_some());
    }

    #[test]
    fn a_kept_block_inside_another_named_twice_or_with_a_slip_is_told() {
        let told: Vec<(usize, String)> = read_with(
            "Arms:\nhug, kneeling\nHip series\n\nBar work\nBar work\nHip series, left\n",
            KEPT,
        )
        .diagnostics
        .iter()
        .map(|d| (d.labels[0].span.line(), d.message.clone()))
        .collect();
        assert_eq!(told.len(), 3, "{told:?}");
        assert_eq!(told[0], (3, "a block cannot stand inside a block".into()));
        assert_eq!(told[1].0, 6);
        assert_eq!(
            told[2],
            (7, "the block `Hip series` takes no side here".into())
        );
        let slip = read_with("swan\n", "[[block]]\nname = \"x\"\nlits = [\"swan\"]\n").diagnostics;
        assert_eq!(slip[0].labels[0].span.source.name, "blocks/mine.toml");
        assert!(slip.iter().any(|d| d.code == Code::UnknownKey));
    }

    #[test]
    fn names_repetitions_sides_blocks_and_series_are_read() {
        let found = read(
            "# noon\n- swan x 4\n2. Scooter, left\n\nArms:\nhug, kneeling\nkneeling arm circle 6 reps # slow\n\n\
             Hips, both sides:\nside splits\nscooter\n\nElephants\n",
        );
        assert_eq!(found.diagnostics, []);
        let brief = found.value.expect("a class");
        assert_eq!(brief.title, "my noon");
        let lines: Vec<_> = brief
            .entries
            .iter()
            .map(|e| (e.movement.as_str(), e.repetitions, e.side, e.block))
            .collect();
        assert_eq!(lines[0], ("swan", Some(4), None, None));
        assert_eq!(lines[1], ("scooter", None, Some(Side::Left), None));
        assert_eq!(lines[3].1, Some(6));
        assert_eq!(lines[3].3, Some(0));
        assert_eq!(lines[5], ("scooter", None, None, Some(1)));
        assert_eq!(lines[6], ("elephant", None, None, None));
        assert!(brief.blocks[1].series && !brief.blocks[0].series);
        assert_eq!(brief.entries[0].span.text(), "swan x 4");
        assert_eq!(brief.entries[0].span.line(), 2);
    }

    #[test]
    fn lines_of_marks_and_boxes_to_tick_are_passed_over_and_a_line_of_marks_closes_a_block() {
        let found = read("[x] swan\nArms:\n- [ ] hug, kneeling\n-----\nelephant\n***\n");
        assert_eq!(found.diagnostics, []);
        let brief = found.value.expect("a class");
        let blocks: Vec<Option<usize>> = brief.entries.iter().map(|e| e.block).collect();
        assert_eq!(blocks, [None, Some(0), None]);
    }

    #[test]
    fn every_unknown_name_is_reported_with_likely_ones() {
        let found = read("swam\nelephunt\n");
        assert_eq!(found.diagnostics.len(), 2);
        assert!(found.diagnostics[0].mend.contains("`Swan`"));
        assert!(found.diagnostics[1].mend.contains("`Elephant`"));
        let codes: Vec<Code> = read("# nothing\n")
            .diagnostics
            .iter()
            .map(|d| d.code)
            .collect();
        assert_eq!(codes, [Code::EmptyList]);
    }
}
