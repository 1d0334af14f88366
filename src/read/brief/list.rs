//! The list of a brief with its blocks and series to entries.

use std::collections::HashMap;
use std::sync::Arc;

use crate::brief::{Block, Entry};
use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::{Sides, SpringNeed};
use crate::problem::step::Side;
use crate::read::brief::instead::{instead, on_the_list};
use crate::read::brief::own::check_facets;
use crate::read::catalogue::fields::facet_needs;
use crate::read::enough::ends_at;
use crate::read::index::Names;
use crate::read::list::limits::{MOST_REPETITIONS, MOST_ROUNDS, numbers, only_rounds, part, unit};
use crate::read::list::line::{Line, line};
use crate::read::list::not_a_movement::{more_than_a_name, not_a_movement};
use crate::read::machine::springs::{Machines, springs};
use crate::read::names;
use crate::read::spanned::{At, Document, Item, Table};
use crate::source::{Source, Span};

/// Words for the sides.
pub const SIDES: &[(&str, Side)] = &[
    ("left", Side::Left),
    ("right", Side::Right),
    ("both", Side::Both),
];

/// A block or series as defined, before it stands on the list.
pub struct Defined<'a> {
    block: Block,
    items: Vec<Item<'a>>,
    /// How far away it was written: 0 in the brief itself, where it stands at the end of the class if the list does not name it.
    away: usize,
    placed: Option<usize>,
}

/// Entries and blocks as they grow.
pub struct Lists<'k, 'a> {
    /// The movements that are known, by name.
    pub names: Names<'k>,
    machines: &'k [Apparatus],
    /// Where springs are read; `None` if no machine is known.
    springs_on: Option<Machines<'k>>,
    defined: Vec<Defined<'a>>,
    /// Their indices by folded name.
    defined_by: HashMap<String, usize>,
    /// The entries so far.
    pub entries: Vec<Entry>,
    /// The blocks so far.
    pub blocks: Vec<Block>,
    /// Their indices by folded name; of two of one name the first.
    blocks_by: HashMap<String, usize>,
    /// Names of the teacher's own movements that could not be read; a line that names one is not a mistake of its own.
    pub unread: Vec<String>,
    /// Names of movements that were offered for lines that could not be read: they may be on the list.
    pub offered: Vec<String>,
}

impl<'k, 'a> Lists<'k, 'a> {
    /// An empty list over a catalogue.
    pub fn new(
        catalogue: &'k Catalogue,
        machines: &'k [Apparatus],
        springs_on: Option<Machines<'k>>,
    ) -> Self {
        Self {
            names: Names::of(catalogue),
            machines,
            springs_on,
            defined: Vec::new(),
            defined_by: HashMap::new(),
            entries: Vec::new(),
            blocks: Vec::new(),
            blocks_by: HashMap::new(),
            unread: Vec::new(),
            offered: Vec::new(),
        }
    }

    /// Reads `[[block]]` and `[[series]]`. Those of the brief come first (0 `away`), then those kept ever farther away; one of a name that is taken nearer is passed over.
    pub fn define(&mut self, root: &mut Table<'a>, away: usize, log: &mut Vec<Diagnostic>) {
        for (key, what, series) in [
            ("block", "a [[block]]", false),
            ("series", "a [[series]]", true),
        ] {
            for mut t in root.tables(key, what, log) {
                let span = t.span();
                if ends_at(|| span.clone(), log) {
                    return;
                }
                let name = t.require("name", log).and_then(|i| i.name(log));
                // A free order is what a block has unless given otherwise; a series is one order done twice.
                let ordered = t.truth("ordered", log).unwrap_or(series);
                let rounds = t
                    .whole("rounds", 1..=MOST_ROUNDS, log)
                    .map_or(1, |r| r.value);
                let items = t
                    .require("list", log)
                    .and_then(|i| i.list(log))
                    .unwrap_or_default();
                if items.is_empty() && t.has("list") {
                    log.push(Diagnostic::mistake(
                        Code::EmptyList,
                        span.clone(),
                        format!("{what} has nothing on its list"),
                        "no movement here",
                        "write at least one movement",
                    ));
                }
                t.finish(log);
                let Some(name) = name else { continue };
                if let Some(movement) = self.names.find(&name.value) {
                    log.push(Diagnostic::mistake(
                        Code::Duplicate,
                        name.span.clone(),
                        format!(
                            "`{}` is the name of a movement: the list could not name the block",
                            movement.name
                        ),
                        "a movement too",
                        "give the block another name",
                    ));
                }
                let same = self.defined_as(&name.value).map(|d| &self.defined[d]);
                match same {
                    Some(first) if first.away == away => log.push(
                        Diagnostic::mistake(
                            Code::Duplicate,
                            name.span.clone(),
                            format!("there are two blocks `{}`", name.value),
                            "the second",
                            "give one of them another name",
                        )
                        .and(first.block.span.clone(), "the first"),
                    ),
                    Some(_) => {}
                    None => {
                        let folded = names::fold(&name.value);
                        self.defined_by.insert(folded, self.defined.len());
                        self.defined.push(Defined {
                            block: Block {
                                name: name.value,
                                ordered,
                                series,
                                rounds,
                                span: name.span,
                            },
                            items,
                            away,
                            placed: None,
                        });
                    }
                }
            }
        }
    }

    /// Reads the list, then the blocks of the brief that it does not name.
    pub fn read(&mut self, items: &[Item<'a>], log: &mut Vec<Diagnostic>) {
        for item in items {
            if ends_at(|| item.span(), log) {
                return;
            }
            self.item(*item, None, log);
        }
        for d in 0..self.defined.len() {
            if self.defined[d].away == 0 && self.defined[d].placed.is_none() {
                self.place(d, None, self.defined[d].block.span.clone(), log);
            }
        }
        // Of a movement that stands there more than once the first line is told.
        let lines = self.entries.iter().rev();
        let there: HashMap<&str, &Entry> = lines.map(|e| (e.movement.as_str(), e)).collect();
        for instead in self.entries.iter().flat_map(|e| &e.instead) {
            if let Some(line) = there.get(instead.movement.as_str()) {
                log.push(on_the_list(self.names.catalogue, line, instead));
            }
        }
    }

    /// The index of a block on the list by its name.
    pub fn block_named(&self, name: &str) -> Option<usize> {
        self.blocks_by.get(&names::fold(name)).copied()
    }

    /// Opens a block at this place.
    pub fn open(&mut self, block: Block) -> usize {
        let b = self.blocks.len();
        let folded = names::fold(&block.name);
        self.blocks_by.entry(folded).or_insert(b);
        self.blocks.push(block);
        b
    }

    fn defined_as(&self, name: &str) -> Option<usize> {
        self.defined_by.get(&names::fold(name)).copied()
    }

    fn place(&mut self, d: usize, rounds: Option<u32>, span: Span, log: &mut Vec<Diagnostic>) {
        if let Some(first) = self.defined[d].placed {
            let name = &self.blocks[first].name;
            log.push(Diagnostic::mistake(
                Code::Duplicate,
                span,
                format!("the block `{name}` stands on the list twice"),
                "the second time",
                "name it once, with `rounds = 2`",
            ));
            return;
        }
        let mut block = self.defined[d].block.clone();
        block.rounds = rounds.unwrap_or(block.rounds);
        let b = self.open(block);
        self.defined[d].placed = Some(b);
        for item in self.defined[d].items.clone() {
            if ends_at(|| item.span(), log) {
                return;
            }
            self.item(item, Some(b), log);
        }
        if self.blocks[b].series {
            self.one_sided(b, log);
        }
    }

    /// A series in which nothing has sides would be the same thing done twice.
    pub fn one_sided(&self, b: usize, log: &mut Vec<Diagnostic>) {
        let mut members = self
            .entries
            .iter()
            .filter(|e| e.block == Some(b))
            .peekable();
        let has_sides = |e: &Entry| {
            let movement = self.names.find(&e.movement);
            movement.is_some_and(|m| m.sides == Sides::Each)
        };
        if members.peek().is_none() || members.any(has_sides) {
            return;
        }
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            self.blocks[b].span.clone(),
            format!(
                "nothing in the series `{}` is done on one side",
                self.blocks[b].name
            ),
            "has no sides",
            "make it a block (in a brief [[block]], in a plain list without \"both sides\"), with 2 rounds if it is done twice",
        ));
    }

    fn item(&mut self, item: Item<'a>, block: Option<usize>, log: &mut Vec<Diagnostic>) {
        if item.is_table() {
            self.table(item, block, log);
        } else if item.is_text() {
            if let Some(text) = item.name(log) {
                self.text(&text, block, log);
            }
        } else {
            item.wrong_type("the name of a movement, or a table { movement = ... }", log);
        }
    }

    /// One line: a movement, or (outside of blocks) the name of a block.
    pub fn text(&mut self, text: &At<String>, block: Option<usize>, log: &mut Vec<Diagnostic>) {
        let line = self.line(&text.value);
        if self.names.find(&line.name).is_none() {
            let name = part(text, &line.at);
            match (self.defined_as(&line.name), self.block_named(&line.name)) {
                (Some(_), _) if block.is_some() => {
                    log.push(block_in_a_block(name));
                    return;
                }
                (Some(d), _) => {
                    only_rounds(&line, text, log);
                    self.place(d, line.rounds.map(|r| r.value), name, log);
                    return;
                }
                (None, Some(b)) => {
                    log.push(
                        Diagnostic::mistake(
                            Code::Duplicate,
                            name,
                            format!("the block `{}` stands on the list already", line.name),
                            "the second time",
                            "write its rounds in its heading (\"Arms, 2 rounds:\")",
                        )
                        .and(self.blocks[b].span.clone(), "the first"),
                    );
                    return;
                }
                (None, None) => {}
            }
        }
        if let Some(entry) = self.entry(&line, text, block, log) {
            self.entries.push(entry);
        }
    }

    /// A line taken apart with the names of this catalogue and of the blocks left whole.
    pub fn line(&self, text: &str) -> Line {
        line(text, |name| {
            self.names.find(name).is_some()
                || self.defined_as(name).is_some()
                || self.block_named(name).is_some()
        })
    }

    fn entry(
        &mut self,
        line: &Line,
        text: &At<String>,
        block: Option<usize>,
        log: &mut Vec<Diagnostic>,
    ) -> Option<Entry> {
        numbers(line, text, log);
        let movement = match self.names.movement(&line.name) {
            Ok(movement) => movement,
            Err(near) => {
                let name = At {
                    value: line.name.clone(),
                    span: part(text, &line.at),
                };
                self.offered.extend(near.iter().map(|&n| n.to_owned()));
                let same = |own: &String| names::fold(own) == names::fold(&line.name);
                if let Some(own) = self.unread.iter().find(|own| same(own)) {
                    self.offered.push(own.clone());
                    return None;
                }
                let mistake = more_than_a_name(&self.names, text, &line.at, near.is_empty());
                log.push(mistake.unwrap_or_else(|| not_a_movement(&name, &near)));
                return None;
            }
        };
        if let Some(repetitions) = &line.repetitions {
            unit(movement, repetitions, text, log);
        }
        let side = line.side.as_ref().filter(|s| s.value != Side::Both);
        if let Some(side) = side
            && movement.sides != Sides::Each
        {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                part(text, &side.at),
                format!("{} is not done on one side alone", movement.name),
                "has no side of its own",
                "remove the side",
            ));
        }
        Some(Entry {
            movement: movement.id.clone(),
            side: side.map(|s| s.value),
            repetitions: line.repetitions.as_ref().map(|r| r.value.number),
            springs: None,
            facets: Vec::new(),
            teach: None,
            rounds: line.rounds.as_ref().map_or(1, |r| r.value),
            block,
            instead: Vec::new(),
            span: text.span.clone(),
        })
    }

    /// `{ movement = ..., side, repetitions, springs, facets, teach, rounds, block, or }`, or `{ block = ..., rounds }`.
    fn table(&mut self, item: Item<'a>, block: Option<usize>, log: &mut Vec<Diagnostic>) {
        let Some(mut t) = item.table("a line of the list", log) else {
            return;
        };
        let span = t.span();
        let rounds = t.whole("rounds", 1..=MOST_ROUNDS, log).map(|r| r.value);
        let named = t.name("block", log);
        if !t.has("movement")
            && let Some(name) = named
        {
            t.finish(log);
            match (self.defined_as(&name.value), block) {
                (Some(d), None) => self.place(d, rounds, name.span, log),
                (Some(_), Some(_)) => log.push(block_in_a_block(name.span)),
                (None, _) => log.push(self.unknown_block(&name)),
            }
            return;
        }
        let movement = t.require("movement", log).and_then(|i| i.name(log));
        let side = t
            .get("side")
            .and_then(|i| i.word("side", SIDES, log))
            .map(|s| s.value);
        let repetitions = t
            .whole("repetitions", 1..=MOST_REPETITIONS, log)
            .map(|n| n.value);
        let preferred = movement
            .as_ref()
            .and_then(|m| self.names.find(&self.line(&m.value).name))
            .and_then(|m| match &m.springs {
                SpringNeed::Range { prefer, .. } => Some(*prefer),
                SpringNeed::Any { .. } | SpringNeed::Locked | SpringNeed::Sets(_) => None,
            });
        let asked = t.get("springs");
        let springs = asked
            .zip(self.springs_on)
            .and_then(|(item, machines)| springs(item, machines, preferred, log));
        let facets = t.get("facets").and_then(|i| facet_needs(i, log));
        let teach = t.number("teach", 0.0..=600.0, log).map(|n| n.value);
        let others: Vec<At<String>> = t.get("or").map_or_else(Vec::new, |item| {
            let each = item.one_or_more().into_iter();
            each.filter_map(|item| item.name(log)).collect()
        });
        t.finish(log);
        let Some(movement) = movement else { return };
        let block = match (block, named) {
            (Some(b), _) => Some(b),
            (None, None) => None,
            (None, Some(name)) => match self.block_named(&name.value) {
                Some(b) => Some(b),
                None => match self.defined_as(&name.value) {
                    Some(d) => {
                        self.place(d, None, name.span, log);
                        self.block_named(&name.value)
                    }
                    None => {
                        log.push(self.unknown_block(&name));
                        None
                    }
                },
            },
        };
        let line = self.line(&movement.value);
        let twice = [
            ("side", side.is_some() && line.side.is_some()),
            (
                "repetitions",
                repetitions.is_some() && line.repetitions.is_some(),
            ),
            ("rounds", rounds.is_some() && line.rounds.is_some()),
        ];
        for (key, _) in twice.iter().filter(|(_, twice)| *twice) {
            log.push(Diagnostic::mistake(
                Code::Duplicate,
                movement.span.clone(),
                format!("the name says the {key} that the key `{key}` says too"),
                "said twice",
                format!("remove it after the name, or remove the key `{key}`"),
            ));
        }
        if let Some(mut entry) = self.entry(&line, &movement, block, log) {
            entry.side = side.filter(|&s| s != Side::Both).or(entry.side);
            entry.repetitions = repetitions.or(entry.repetitions);
            entry.rounds = rounds.unwrap_or(entry.rounds);
            entry.springs = springs;
            entry.facets = facets.unwrap_or_default();
            entry.teach = teach;
            entry.instead = instead(&self.names, &entry, &others, log);
            check_facets(
                &entry.facets,
                |text| span.place_of(text).unwrap_or_else(|| span.clone()),
                self.machines,
                log,
            );
            self.entries.push(entry);
        }
    }

    fn unknown_block(&self, name: &At<String>) -> Diagnostic {
        let known: Vec<&str> = self.defined.iter().map(|d| d.block.name.as_str()).collect();
        let near = names::nearest(&name.value, &known);
        let mend = if near.is_empty() {
            "define it with [[block]] or [[series]], here or in a file of blocks".to_owned()
        } else {
            format!("did you mean {}?", names::either(&near))
        };
        Diagnostic::mistake(
            Code::UnknownName,
            name.span.clone(),
            format!("there is no block `{}`", name.value),
            "not known",
            mend,
        )
    }
}

/// Names of the blocks and series that a file of blocks defines.
pub fn names_of_blocks(source: &Arc<Source>) -> Vec<String> {
    let mut log = Vec::new();
    let document = Document::parse(source, &mut log);
    let mut root = document.table("a file of blocks");
    let mut names = Vec::new();
    for key in ["block", "series"] {
        for mut table in root.tables(key, "a block", &mut log) {
            names.extend(table.name("name", &mut log).map(|name| name.value));
        }
    }
    names
}

fn block_in_a_block(at: Span) -> Diagnostic {
    Diagnostic::mistake(
        Code::OutOfRange,
        at,
        "a block cannot stand inside a block",
        "inside another",
        "name it on the list of the class; in a plain list, after an empty line",
    )
}
