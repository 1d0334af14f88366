//! One movement from its table.
//!
//! It serves the teacher's own movements too: with a base, every key not given is taken from there.

use crate::diagnostic::Diagnostic;
use crate::model::caution::Caution;
use crate::model::movement::{BodyNotes, Layer, MoreSprings, Movement, Sides, SpringNeed};
use crate::read::catalogue::fields::{
    MORE, PHASES, SIDES, body_notes, every, facet_needs, plain_text, plain_texts, region_loads,
    repetitions, spine_actions, spring_need, words,
};
use crate::read::names;
use crate::read::spanned::{At, Item, Table};

/// A movement as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadMovement {
    /// The movement. The names of other movements in it are as written: [`resolve_links`](super::resolve_links) turns them into ids.
    pub movement: Movement,
    /// Keys that were not given and so come from the base, in the order of the file format; empty without a base.
    pub taken_over: Vec<String>,
    /// Whether all of it could be read. Where not, it serves to find what else is wrong and for nothing more.
    pub whole: bool,
}

/// A field that is required without a base and taken over with one.
struct Fields<'t, 'a, 'b> {
    table: &'t mut Table<'a>,
    base: Option<&'b Movement>,
    taken_over: Vec<String>,
}

impl Fields<'_, '_, '_> {
    fn field<T>(
        &mut self,
        key: &str,
        from_base: impl Fn(&Movement) -> T,
        log: &mut Vec<Diagnostic>,
        read: impl Fn(Item<'_>, &mut Vec<Diagnostic>) -> Option<T>,
    ) -> Option<T> {
        match self.base {
            None => read(self.table.require(key, log)?, log),
            Some(base) => match self.table.get(key) {
                Some(item) => read(item, log),
                None => {
                    self.taken_over.push(key.to_owned());
                    Some(from_base(base))
                }
            },
        }
    }
}

/// Reads one movement from its table. `base`: the movement that it is like; every key not given is taken from there, except `id`
/// (made from the name), `other_names` and the links to easier and harder options. The caller calls [`Table::finish`].
/// `None` if it has no name; the log says what else is missing or wrong.
pub fn movement(
    table: &mut Table<'_>,
    base: Option<&Movement>,
    family: &str,
    log: &mut Vec<Diagnostic>,
) -> Option<ReadMovement> {
    let name = table.require("name", log).and_then(|i| i.name(log));
    let id = match base {
        None => table.require("id", log).and_then(|i| i.name(log)),
        Some(_) => table.name("id", log).or_else(|| {
            name.as_ref().map(|n| At {
                value: names::words(&n.value).join("-"),
                span: n.span.clone(),
            })
        }),
    };
    let other_names = table.names("other_names", log);
    let (start_given, end_given) = (table.name("start", log), table.name("end", log));
    let mut f = Fields {
        table,
        base,
        taken_over: Vec::new(),
    };
    let how = f.field("how", |b| b.how.clone(), log, plain_text);
    let cues = f.field("cues", |b| b.cues.clone(), log, plain_texts);
    let notes = f.field("notes", |b| b.notes.clone(), log, body_notes);
    let (start, end) = match (start_given, end_given) {
        (Some(s), Some(e)) => {
            f.table.get("posture");
            (Some(s.value), Some(e.value))
        }
        (s, e) => {
            let both = f.field(
                "posture",
                |b| (b.start.clone(), b.end.clone()),
                log,
                |i, log| i.text(log).map(|t| (t.value.clone(), t.value)),
            );
            match both {
                Some((a, b)) => (
                    Some(s.map_or(a, |s| s.value)),
                    Some(e.map_or(b, |e| e.value)),
                ),
                None => (None, None),
            }
        }
    };
    let sides = f.field(
        "sides",
        |b| b.sides,
        log,
        |i, log| i.word("way of the sides", SIDES, log).map(|w| w.value),
    );
    let springs = f.field("springs", |b| b.springs.clone(), log, spring_need);
    let more_springs = f.field(
        "more_springs",
        |b| b.more_springs,
        log,
        |i, log| i.word("effect of more springs", MORE, log).map(|w| w.value),
    );
    let more_springs_note = f.field(
        "more_springs_note",
        |b| b.more_springs_note.clone(),
        log,
        plain_text,
    );
    let facets = f.field("facets", |b| b.facets.clone(), log, facet_needs);
    let layers = layers(&mut f, log);
    let teach = f.field(
        "teach",
        |b| b.teach,
        log,
        |i, log| i.number(0.0..=600.0, log).map(|n| n.value),
    );
    let teach_again = f.field(
        "teach_again",
        |b| b.teach_again,
        log,
        |i, log| i.number(0.0..=600.0, log).map(|n| n.value),
    );
    let loads = f.field("loads", |b| b.loads.clone(), log, region_loads);
    let spine = f.field("spine", |b| b.spine.clone(), log, spine_actions);
    let effort = f.field(
        "effort",
        |b| b.effort,
        log,
        |i, log| i.number(1.0..=15.0, log).map(|n| n.value),
    );
    let level = f.field(
        "level",
        |b| b.level,
        log,
        |i, log| i.whole(1..=3, log).map(|n| n.value as u8),
    );
    let phases = f.field(
        "phases",
        |b| b.phases.clone(),
        log,
        |i, log| words(i, "phase", PHASES, log).filter(|p| !p.is_empty()),
    );
    let prepared_by = f.field("prepared_by", |b| b.prepared_by.clone(), log, plain_texts);
    let cautions = f.field(
        "cautions",
        |b| b.cautions.clone(),
        log,
        |i, log| words(i, "caution", Caution::WORDS, log),
    );
    let rest = f.field("rest", |b| b.rest, log, |i, log| i.truth(log));
    let taken_over = f.taken_over;
    let texts = |list: Vec<At<String>>| list.into_iter().map(|t| t.value).collect::<Vec<_>>();
    let easier = texts(table.names("easier", log));
    let harder = texts(table.names("harder", log));
    let name = name?;
    let mut whole = true;
    let w = &mut whole;
    let movement = Movement {
        id: read_or(id.map(|i| i.value), names::words(&name.value).join("-"), w),
        span: name.span.clone(),
        name: name.value,
        other_names: texts(other_names),
        family: family.to_owned(),
        how: read_or(how, String::new(), w),
        cues: read_or(cues, Vec::new(), w),
        notes: read_or(notes, BodyNotes::default(), w),
        layers: read_or(layers, Vec::new(), w),
        start: read_or(start, String::new(), w),
        end: read_or(end, String::new(), w),
        sides: read_or(sides, Sides::Both, w),
        springs: read_or(springs, SpringNeed::Any { free: false }, w),
        more_springs: read_or(more_springs, MoreSprings::Neither, w),
        more_springs_note: read_or(more_springs_note, String::new(), w),
        facets: read_or(facets, Vec::new(), w),
        teach: read_or(teach, 0.0, w),
        teach_again: read_or(teach_again, 0.0, w),
        loads: read_or(loads, Vec::new(), w),
        spine: read_or(spine, Vec::new(), w),
        effort: read_or(effort, 1.0, w),
        level: read_or(level, 1, w),
        phases: read_or(phases, Vec::new(), w),
        prepared_by: read_or(prepared_by, Vec::new(), w),
        easier,
        harder,
        cautions: read_or(cautions, Vec::new(), w),
        rest: read_or(rest, false, w),
    };
    Some(ReadMovement {
        movement,
        taken_over,
        whole,
    })
}

/// What was read, else a stand-in: the movement is then not whole.
fn read_or<T>(found: Option<T>, other: T, whole: &mut bool) -> T {
    *whole &= found.is_some();
    found.unwrap_or(other)
}

/// `[[movement.layer]]`, or `repetitions` alone for a single layer of the full form.
fn layers(f: &mut Fields<'_, '_, '_>, log: &mut Vec<Diagnostic>) -> Option<Vec<Layer>> {
    if f.table.has("layer") {
        f.table.get("repetitions");
        let tables = f.table.tables("layer", "a [[movement.layer]]", log);
        return every(tables.into_iter().map(|t| layer(t, log)));
    }
    f.table.get("layer");
    f.field(
        "repetitions",
        |b| b.layers.clone(),
        log,
        |i, log| {
            repetitions(i, log).map(|repetitions| {
                vec![Layer {
                    name: "full form".to_owned(),
                    repetitions,
                    offered: false,
                    grip: None,
                    level: None,
                    loads: Vec::new(),
                }]
            })
        },
    )
}

fn layer(mut t: Table<'_>, log: &mut Vec<Diagnostic>) -> Option<Layer> {
    let name = t.require("name", log).and_then(|i| i.text(log));
    let repetitions = t
        .require("repetitions", log)
        .and_then(|i| repetitions(i, log));
    let offered = t.truth("offered", log).unwrap_or(false);
    let grip = t.text("grip", log).map(|g| g.value);
    let level = t.whole("level", 1..=3, log).map(|l| l.value as u8);
    let loads = match t.get("loads") {
        Some(i) => region_loads(i, log)?,
        None => Vec::new(),
    };
    t.finish(log);
    Some(Layer {
        name: name?.value,
        repetitions: repetitions?,
        offered,
        grip,
        level,
        loads,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::spanned::Document;
    use crate::source::Source;
    use std::sync::Arc;

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: "own.toml".into(),
            text: text.into(),
        })
    }

    #[test]
    fn a_movement_like_another_takes_over_every_field_not_given_and_says_which() {
        let known = crate::read::built_in::models(&[]).catalogue;
        let base = crate::read::index::Names::of(&known).find("prone press");
        let base = base.expect("a movement");
        let s = source(
            "name = \"Prone press, slow\"\nteach = 20\nrepetitions = { fewest = 2, usual = 3, most = 4, seconds = 9 }\n",
        );
        let mut log = Vec::new();
        let document = Document::parse(&s, &mut log);
        let mut table = document.table("a movement of your own");
        let read = movement(&mut table, Some(base), "own", &mut log).expect("a movement");
        table.finish(&mut log);
        assert_eq!(log, []);
        assert_eq!(read.movement.id, "prone-press-slow");
        assert_eq!(read.movement.springs, base.springs);
        assert_eq!(read.movement.start, base.start);
        assert_eq!(read.movement.teach, 20.0);
        assert_eq!(read.movement.layers[0].repetitions.usual, 3);
        assert!(read.taken_over.contains(&"springs".to_owned()));
        assert!(!read.taken_over.contains(&"teach".to_owned()));
    }
}
