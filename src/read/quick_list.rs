//! A plain list (one movement a line) to a [`Brief`].
//!
//! A line is a movement by name or id, with a number of repetitions (`x 8`, `8 times`, `8 reps`) and a side (`left`, `right`) if she
//! says; `#` begins a comment. A line that ends in a colon opens a block; with "both sides" in it, a series. The block goes on to the next
//! blank line or to the next line that opens one. Everything else is as in a brief that says nothing.

use std::sync::Arc;

use super::brief::Known;
use super::names::{either, movement};
use crate::brief::{Block, Brief, Entry, Length, Priority};
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::problem::step::Side;
use crate::rules::RuleBook;
use crate::source::{Source, Span};

/// Reads a plain list. `apparatus`: the machine, else the first that is known.
pub fn quick_list(source: &Arc<Source>, known: &Known, apparatus: Option<&str>) -> Read<Brief> {
    let mut diagnostics = Vec::new();
    let (mut entries, mut blocks): (Vec<Entry>, Vec<Block>) = (Vec::new(), Vec::new());
    let mut block = None;
    let mut at = 0;
    for line in source.text.split_inclusive('\n') {
        let begin = at;
        at += line.len();
        let said = line.split('#').next().unwrap_or("");
        let text = said.trim();
        if text.is_empty() {
            if line.trim().is_empty() {
                block = None;
            }
            continue;
        }
        let from = begin + (said.len() - said.trim_start().len());
        let span = Span::new(source, from..from + text.len());
        if let Some(name) = text.strip_suffix(':') {
            block = Some(blocks.len());
            blocks.push(Block {
                name: name.trim().to_owned(),
                ordered: false,
                series: name.to_lowercase().contains("both sides"),
                rounds: 1,
                span,
            });
            continue;
        }
        let line = Line::of(text);
        if line.repetitions.is_some_and(|n| !(1..=200).contains(&n)) {
            diagnostics.push(Diagnostic::mistake(
                Code::OutOfRange,
                span.clone(),
                "the number of repetitions must be from 1 to 200",
                "this number",
                "write a number such as 8",
            ));
        }
        match movement(&known.catalogue, line.name) {
            Ok(found) => entries.push(Entry {
                movement: found.id.clone(),
                side: line.side,
                repetitions: line.repetitions,
                springs: None,
                facets: Vec::new(),
                teach: None,
                rounds: 1,
                block,
                span,
            }),
            Err(nearest) => {
                let mend = if nearest.is_empty() {
                    "see the catalogue for the movements that are known".to_owned()
                } else {
                    format!("did you mean {}?", either(&nearest))
                };
                let message = format!("the catalogue has no movement `{}`", line.name);
                diagnostics.push(Diagnostic::mistake(
                    Code::UnknownMovement,
                    span,
                    message,
                    "not in the catalogue",
                    mend,
                ));
            }
        }
    }
    let span = Span::new(source, 0..source.text.len());
    if entries.is_empty() && diagnostics.is_empty() {
        let mend = "write one movement a line, by its name";
        diagnostics.push(Diagnostic::mistake(
            Code::EmptyList,
            span.clone(),
            "there is nothing on the list",
            "empty",
            mend,
        ));
    }
    let machine = match apparatus {
        Some(id) => known.apparatus.iter().find(|a| a.id == id),
        None => known.apparatus.first(),
    };
    if machine.is_none() {
        let ids: Vec<&str> = known.apparatus.iter().map(|a| a.id.as_str()).collect();
        let message = format!("there is no machine `{}`", apparatus.unwrap_or(""));
        let mend = format!("the machines that are known: {}", ids.join(", "));
        diagnostics.push(Diagnostic::mistake(
            Code::UnknownName,
            span.clone(),
            message,
            "planned on it",
            mend,
        ));
    }
    let value = machine.map(|machine| Brief {
        title: "Class".to_owned(),
        date: None,
        minutes: None,
        room: 1,
        variation: 0.25,
        apparatus: machine.id.clone(),
        entries,
        blocks,
        priority: Priority::default(),
        stop_seconds: 15.0,
        off_load_seconds: 15.0,
        off_value_seconds: 3.0,
        first_side: None,
        length: Length::default(),
        conditions: Vec::new(),
        end: None,
        rules: RuleBook::default(),
        catalogue: known.catalogue.clone(),
        assumed: Vec::new(),
        span,
    });
    Read { value, diagnostics }
}

/// A line taken apart.
struct Line<'a> {
    name: &'a str,
    repetitions: Option<u32>,
    side: Option<Side>,
}

impl<'a> Line<'a> {
    fn of(text: &'a str) -> Self {
        let mut line = Self {
            name: text,
            repetitions: None,
            side: None,
        };
        while line.take_side() || line.take_repetitions() {}
        line
    }

    fn take_side(&mut self) -> bool {
        let Some((head, word)) = last_word(self.name) else {
            return false;
        };
        let side = match word.to_lowercase().trim_matches(['(', ')']) {
            "left" => Side::Left,
            "right" => Side::Right,
            _ => return false,
        };
        if self.side.is_some() {
            return false;
        }
        self.side = Some(side);
        self.name = head;
        true
    }

    fn take_repetitions(&mut self) -> bool {
        let Some((mut head, word)) = last_word(self.name) else {
            return false;
        };
        let mut number = word.to_lowercase();
        if matches!(number.as_str(), "times" | "reps" | "repetitions") {
            let Some((before, word)) = last_word(head) else {
                return false;
            };
            (head, number) = (before, word.to_lowercase());
        } else if let Some(glued) = number.strip_prefix('x') {
            number = glued.to_owned();
        } else {
            match last_word(head) {
                Some((before, x)) if x.eq_ignore_ascii_case("x") => head = before,
                _ => return false,
            }
        }
        match number.parse() {
            Ok(n) if self.repetitions.is_none() => {
                self.repetitions = Some(n);
                self.name = head;
                true
            }
            _ => false,
        }
    }
}

/// The text before the last word, and the word; commas between them fall away. `None` if there is but one word.
fn last_word(text: &str) -> Option<(&str, &str)> {
    let (head, word) = text.rsplit_once(char::is_whitespace)?;
    let head = head.trim_end().trim_end_matches(',').trim_end();
    (!head.is_empty()).then_some((head, word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in;

    fn read(text: &str) -> Read<Brief> {
        let models = built_in::models(&[], &[]);
        let (apparatus, catalogue) = (models.apparatus, models.catalogue);
        let known = Known {
            catalogue,
            apparatus,
            kept_blocks: Vec::new(),
        };
        quick_list(
            &Arc::new(Source {
                name: "list".to_owned(),
                text: text.to_owned(),
            }),
            &known,
            None,
        )
    }

    #[test]
    fn names_match_whatever_their_case_with_repetitions_and_a_side() {
        let brief = read("ELEPHANT x 8\nscooter, left # slow\nFrog 6 reps\n")
            .value
            .unwrap();
        let said: Vec<_> = brief
            .entries
            .iter()
            .map(|e| (e.repetitions, e.side))
            .collect();
        assert_eq!(
            said,
            [(Some(8), None), (None, Some(Side::Left)), (Some(6), None)]
        );
    }

    #[test]
    fn a_colon_opens_a_block_and_both_sides_make_it_a_series() {
        let brief = read("Legs, both sides:\nScooter\n\nElephant\n")
            .value
            .unwrap();
        assert!(brief.blocks[0].series);
        assert_eq!(
            brief.entries.iter().map(|e| e.block).collect::<Vec<_>>(),
            [Some(0), None]
        );
    }

    #[test]
    fn every_unknown_movement_is_reported_with_its_line() {
        let read = read("Elephent\nElephant\nqqq zzz\n");
        let lines: Vec<_> = read
            .diagnostics
            .iter()
            .map(|d| (d.code, d.labels[0].span.line()))
            .collect();
        assert_eq!(
            lines,
            [(Code::UnknownMovement, 1), (Code::UnknownMovement, 3)]
        );
        assert!(
            read.diagnostics[0].mend.contains("Elephant"),
            "{}",
            read.diagnostics[0].mend
        );
    }

    #[test]
    fn an_empty_list_is_a_mistake() {
        assert_eq!(read("# nothing yet\n").diagnostics[0].code, Code::EmptyList);
    }
}
