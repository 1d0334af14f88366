//! A plain list (one movement a line) to a [`Brief`].
//!
//! A line holds a name with optional repetitions, side and rounds; `#` begins a comment. A line that ends in a colon opens a block
//! under that name ("Arms:"), a series where it says "both sides" ("Hip series, both sides:"); an empty line or the next such line
//! closes it. A dash, a star or a number with a point before a line is passed over. A block or series that is kept in a file of the
//! user's own is named like a movement.

use std::sync::Arc;

use super::brief::{Known, blank, machine};
use super::brief_list::Lists;
use super::line::line;
use super::springs::Machines;
use super::table::{At, Document, sort_by_place};
use crate::brief::{Block, Brief};
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::problem::step::Side;
use crate::source::{Source, Span};

/// Reads a plain list. `apparatus`: plan on this machine instead of the first that is known.
pub fn quick_list(source: &Arc<Source>, known: &Known, apparatus: Option<&str>) -> Read<Brief> {
    let mut log = Vec::new();
    let mut class = blank(source, known);
    class.apparatus = machine(known, apparatus, None, &mut log);
    let catalogue = known.catalogue.clone();
    // Springs in kept blocks are those of the machine that is taken where nobody names one.
    let of = |id: &str| known.apparatus.iter().find(|m| m.id == id);
    let springs_on = of(&class.apparatus)
        .zip(known.apparatus.first())
        .map(|(on, written_for)| Machines { on, written_for });
    let mut lists = Lists::new(&catalogue, &known.apparatus, springs_on);
    let kept: Vec<Document<'_>> = known
        .kept_blocks
        .iter()
        .map(|s| Document::parse(s, &mut log))
        .collect();
    for file in &kept {
        let mut table = file.table("a file of blocks");
        lists.define(&mut table, false, &mut log);
        table.finish(&mut log);
    }
    let mut open: Option<usize> = None;
    let mut start = 0;
    for whole in source.text.split_inclusive('\n') {
        let from = start;
        start += whole.len();
        let said = whole.split('#').next().unwrap_or("");
        if said.trim().is_empty() {
            // A line with a comment alone closes nothing.
            if whole.trim().is_empty() {
                open = None;
            }
            continue;
        }
        let text = unmarked(said.trim());
        let at = from + (text.as_ptr() as usize - whole.as_ptr() as usize);
        let span = Span::new(source, at..at + text.len());
        if let Some(heading) = text.strip_suffix(':') {
            open = heading_block(heading, &span, &mut lists, &mut log);
            continue;
        }
        let text = At {
            value: text.to_owned(),
            span,
        };
        lists.text(&text, open, &mut log);
    }
    for (b, block) in lists.blocks.iter().enumerate() {
        let wrong = log.iter().any(Diagnostic::is_mistake);
        if !wrong && lists.entries.iter().all(|e| e.block != Some(b)) {
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

/// The line without a mark of a list before it: "- ", "* ", "3. ", "3) ".
fn unmarked(text: &str) -> &str {
    if let Some(rest) = text.strip_prefix(['-', '*', '\u{2022}']) {
        return rest.trim_start();
    }
    let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    match text[digits..].strip_prefix(['.', ')']) {
        Some(rest) if digits > 0 => rest.trim_start(),
        _ => text,
    }
}

/// Opens the block of a heading, or says why it cannot.
fn heading_block(
    heading: &str,
    span: &Span,
    lists: &mut Lists<'_, '_>,
    log: &mut Vec<Diagnostic>,
) -> Option<usize> {
    let said = line(heading, |_| false);
    if let Some(first) = lists.block_named(&said.name) {
        log.push(
            Diagnostic::mistake(
                Code::Duplicate,
                span.clone(),
                format!("there are two blocks `{}`", said.name),
                "the second",
                "give one of them another name",
            )
            .and(lists.blocks[first].span.clone(), "the first"),
        );
        return Some(first);
    }
    let series = said.side == Some(Side::Both);
    Some(lists.open(Block {
        name: said.name,
        ordered: series,
        series,
        rounds: said.rounds.unwrap_or(1).clamp(1, 20),
        span: span.clone(),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;

    fn read(text: &str) -> Read<Brief> {
        read_with(text, &[])
    }

    fn read_with(text: &str, kept: &[&str]) -> Read<Brief> {
        let models = models(&[], &[]);
        let known = Known {
            catalogue: models.catalogue,
            apparatus: models.apparatus,
            kept_blocks: kept
                .iter()
                .map(|text| {
                    Arc::new(Source {
                        name: "kept.toml".into(),
                        text: (*text).into(),
                    })
                })
                .collect(),
        };
        let source = Arc::new(Source {
            name: "lists/my-noon.txt".into(),
            text: text.into(),
        });
        quick_list(&source, &known, None)
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
    fn a_kept_series_stands_where_the_list_names_it_and_with_its_springs() {
        let kept = "[[series]]\nname = \"Hips\"\nlist = [\"Side splits x 8\", { movement = \"Scooter\", springs = \"1 sun\" }]\n";
        let found = read_with("Footwork, toes\nhips, 2 rounds\nMermaid\n", &[kept]);
        assert_eq!(found.diagnostics, []);
        let brief = found.value.expect("a class");
        let blocks: Vec<_> = brief.entries.iter().map(|e| e.block).collect();
        assert_eq!(blocks, [None, Some(0), Some(0), None]);
        assert!(brief.blocks[0].series && brief.blocks[0].rounds == 2);
        assert!(brief.entries[2].springs.is_some());
    }

    #[test]
    fn every_unknown_name_is_reported_with_likely_ones() {
        let found = read("swam\nelefant\n");
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
