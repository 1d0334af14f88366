//! Catalogue files to movements. The keys are listed in DEVELOPERS.md and shown by the files under `models/catalogue`.
//!
//! The movement reader serves the teacher's own movements too: with a base, every key that she does not give is taken from there.

use std::sync::Arc;

use super::names;
use super::table::{At, Document, Item, Table, sort_by_place, unknown_word};
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::model::catalogue::Catalogue;
use crate::model::caution::Caution;
use crate::model::movement::{
    BodyNotes, FacetNeed, Layer, LoadSide, MoreSprings, Movement, Phase, RegionLoad, RepUnit,
    Repetitions, Sides, Spine, SpringNeed,
};
use crate::model::region::REGIONS;
use crate::source::{Source, Span};

/// Words for the ways of the sides.
const SIDES: &[(&str, Sides)] = &[
    ("both", Sides::Both),
    ("alternating", Sides::Alternating),
    ("each", Sides::Each),
];
/// Words for the phases.
pub const PHASES: &[(&str, Phase)] = &[
    ("warm-up", Phase::WarmUp),
    ("main", Phase::Main),
    ("cool-down", Phase::CoolDown),
];
/// Words for the actions of the spine.
pub const SPINES: &[(&str, Spine)] = &[
    ("flexion", Spine::Flexion),
    ("extension", Spine::Extension),
    ("rotation", Spine::Rotation),
    ("side bend", Spine::SideBend),
];
const MORE: &[(&str, MoreSprings)] = &[
    ("harder", MoreSprings::Harder),
    ("steadier", MoreSprings::Steadier),
    ("both", MoreSprings::Both),
    ("neither", MoreSprings::Neither),
];
const UNITS: &[(&str, RepUnit)] = &[
    ("repetitions", RepUnit::Repetition),
    ("breaths", RepUnit::Breath),
    ("seconds", RepUnit::Second),
];
const LOAD_SIDES: &[(&str, LoadSide)] = &[
    ("working", LoadSide::Working),
    ("other", LoadSide::Other),
    ("both", LoadSide::Both),
];

/// A movement as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadMovement {
    /// The movement. The names of other movements in it are as written: [`resolve_links`] turns them into ids.
    pub movement: Movement,
    /// Keys that were not given and so come from the base, in the order of the file format; empty without a base.
    pub taken_over: Vec<String>,
}

/// Reads all files of a catalogue together: ids are unique across them, names of other movements resolve across them.
/// The value holds every movement that could be read.
pub fn catalogue(sources: &[Arc<Source>]) -> Read<Catalogue> {
    let mut log = Vec::new();
    let mut all = Catalogue::default();
    for source in sources {
        let document = Document::parse(source, &mut log);
        let mut root = document.table("a catalogue file");
        let family = root
            .require("family", &mut log)
            .and_then(|i| i.text(&mut log))
            .map_or_else(String::new, |f| f.value);
        for mut table in root.tables("movement", "a [[movement]]", &mut log) {
            let read = movement(&mut table, None, &family, &mut log);
            table.finish(&mut log);
            if let Some(read) = read {
                add(&mut all, read.movement, &mut log);
            }
        }
        root.finish(&mut log);
    }
    let known = all.clone();
    for m in &mut all.movements {
        resolve_links(m, &known, &mut log);
    }
    sort_by_place(&mut log);
    Read {
        value: Some(all),
        diagnostics: log,
    }
}

/// Adds a movement unless its id or name is taken.
fn add(all: &mut Catalogue, new: Movement, log: &mut Vec<Diagnostic>) {
    let clash = all.movements.iter().find(|m| {
        names::fold(&m.id) == names::fold(&new.id) || names::fold(&m.name) == names::fold(&new.name)
    });
    if let Some(old) = clash {
        log.push(
            Diagnostic::mistake(
                Code::Duplicate,
                new.span.clone(),
                format!("there are two movements `{}`", new.name),
                "the second",
                "give one of them another id and name",
            )
            .and(old.span.clone(), "the first"),
        );
        return;
    }
    all.movements.push(new);
}

/// Turns the names in `prepared_by`, `easier` and `harder` into ids; a name that is not known goes to the log and is left out.
pub fn resolve_links(m: &mut Movement, known: &Catalogue, log: &mut Vec<Diagnostic>) {
    let span = m.span.clone();
    for links in [&mut m.prepared_by, &mut m.easier, &mut m.harder] {
        links.retain_mut(|name| match names::movement(known, name) {
            Ok(found) => {
                *name = found.id.clone();
                true
            }
            Err(near) => {
                let mend = if near.is_empty() {
                    "name a movement of the catalogue".to_owned()
                } else {
                    format!("did you mean {}?", names::either(&near))
                };
                log.push(Diagnostic::mistake(
                    Code::UnknownMovement,
                    span.clone(),
                    format!("the catalogue has no movement `{name}`"),
                    "names it",
                    mend,
                ));
                false
            }
        });
    }
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
/// `None` if a needed field is missing or wrong; the log says which.
pub fn movement(
    table: &mut Table<'_>,
    base: Option<&Movement>,
    family: &str,
    log: &mut Vec<Diagnostic>,
) -> Option<ReadMovement> {
    let name = table.require("name", log).and_then(|i| i.text(log));
    let id = match base {
        None => table.require("id", log).and_then(|i| i.text(log)),
        Some(_) => table.text("id", log).or_else(|| {
            name.as_ref().map(|n| At {
                value: names::words(&n.value).join("-"),
                span: n.span.clone(),
            })
        }),
    };
    let other_names = table.texts("other_names", log);
    let (start_given, end_given) = (table.text("start", log), table.text("end", log));
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
    let easier = texts(table.texts("easier", log));
    let harder = texts(table.texts("harder", log));
    let name = name?;
    Some(ReadMovement {
        movement: Movement {
            id: id?.value,
            span: name.span.clone(),
            name: name.value,
            other_names: texts(other_names),
            family: family.to_owned(),
            how: how?,
            cues: cues?,
            notes: notes?,
            layers: layers?,
            start: start?,
            end: end?,
            sides: sides?,
            springs: springs?,
            more_springs: more_springs?,
            more_springs_note: more_springs_note?,
            facets: facets?,
            teach: teach?,
            teach_again: teach_again?,
            loads: loads?,
            spine: spine?,
            effort: effort?,
            level: level?,
            phases: phases?,
            prepared_by: prepared_by?,
            easier,
            harder,
            cautions: cautions?,
            rest: rest?,
        },
        taken_over,
    })
}

fn plain_text(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<String> {
    item.text(log).map(|t| t.value)
}

fn plain_texts(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<String>> {
    item.one_or_more()
        .iter()
        .map(|i| plain_text(*i, log))
        .collect()
}

fn words<T: Copy>(
    item: Item<'_>,
    what: &str,
    known: &[(&str, T)],
    log: &mut Vec<Diagnostic>,
) -> Option<Vec<T>> {
    item.one_or_more()
        .iter()
        .map(|i| i.word(what, known, log).map(|w| w.value))
        .collect()
}

fn body_notes(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<BodyNotes> {
    let mut table = item.table("the notes", log)?;
    let mut note = |key: &str| table.text(key, log).map_or_else(String::new, |t| t.value);
    let notes = BodyNotes {
        tall: note("tall"),
        short: note("short"),
        long_ropes: note("long_ropes"),
        short_ropes: note("short_ropes"),
        contact: note("contact"),
    };
    table.finish(log);
    Some(notes)
}

/// Springs: `"any"`, `"free"` (also none), `"locked"`, `{ from, to, prefer }` in load units, or a list of `{ class = count }`, the
/// first preferred.
pub fn spring_need(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<SpringNeed> {
    if item.is_text() {
        let words = [("any", 0_u8), ("free", 1), ("locked", 2)];
        let word = item.word("word for springs", &words, log);
        if let (None, Some(mistake)) = (&word, log.last_mut()) {
            "write any, free or locked, a load as `{ from = 2, to = 3, prefer = 2.5 }`, or springs as `{ heavy = 1, light = 1 }`"
                .clone_into(&mut mistake.mend);
        }
        return word.map(|w| match w.value {
            0 => SpringNeed::Any { free: false },
            1 => SpringNeed::Any { free: true },
            _ => SpringNeed::Locked,
        });
    }
    if item.is_list() {
        let sets: Option<Vec<Vec<(String, u32)>>> = item
            .one_or_more()
            .iter()
            .map(|set| spring_counts(*set, log))
            .collect();
        return sets.filter(|s| !s.is_empty()).map(SpringNeed::Sets);
    }
    let mut table = item.table("the springs", log)?;
    let load = 0.0..=20.0;
    if !["from", "to", "prefer"].iter().any(|k| table.has(k)) {
        return spring_counts(item, log).map(|set| SpringNeed::Sets(vec![set]));
    }
    let from = table
        .require("from", log)
        .and_then(|i| i.number(load.clone(), log));
    let to = table
        .require("to", log)
        .and_then(|i| i.number(load.clone(), log));
    let prefer = table
        .require("prefer", log)
        .and_then(|i| i.number(load, log));
    table.finish(log);
    let (from, to, prefer) = (from?.value, to?.value, prefer?.value);
    if !(from <= prefer && prefer <= to) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            item.span(),
            format!("the preferred load {prefer} does not lie between {from} and {to}"),
            "from, then prefer, then to",
            "write `from` no greater than `prefer` and `prefer` no greater than `to`",
        ));
        return None;
    }
    Some(SpringNeed::Range { from, to, prefer })
}

/// `{ heavy = 1, light = 2 }`: counts by class.
pub fn spring_counts(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<(String, u32)>> {
    let mut table = item.table("a set of springs", log)?;
    table
        .entries()
        .into_iter()
        .map(|(class, count)| count.whole(0..=9, log).map(|n| (class.value, n.value)))
        .collect()
}

/// `{ bar = "high", head = ["up", "down"] }`: the first value is preferred.
pub fn facet_needs(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<FacetNeed>> {
    let mut table = item.table("the facets", log)?;
    table
        .entries()
        .into_iter()
        .map(|(facet, values)| {
            plain_texts(values, log).map(|allowed| FacetNeed {
                facet: facet.value,
                allowed,
            })
        })
        .collect()
}

/// `{ quadriceps = 0.4, wrists = { fraction = 0.5, on = "other" } }`.
fn region_loads(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<RegionLoad>> {
    let mut table = item.table("the loads", log)?;
    table
        .entries()
        .into_iter()
        .map(|(region, load)| {
            if !REGIONS.iter().any(|r| r.name == region.value) {
                let known: Vec<&str> = REGIONS.iter().map(|r| r.name).collect();
                log.push(unknown_word("region of the body", &region, &known));
                return None;
            }
            let (fraction, on) = if load.is_table() {
                let mut t = load.table("a load", log)?;
                let fraction = t.require("fraction", log)?.number(0.0..=1.0, log);
                let on = match t.get("on") {
                    Some(i) => i.word("side of a load", LOAD_SIDES, log)?.value,
                    None => LoadSide::Working,
                };
                t.finish(log);
                (fraction?, on)
            } else {
                (load.number(0.0..=1.0, log)?, LoadSide::Working)
            };
            Some(RegionLoad {
                region: region.value,
                fraction: fraction.value,
                on,
            })
        })
        .collect()
}

/// `{ flexion = 2, "side bend" = 1 }`: degrees 1 to 3; none named is a neutral spine.
fn spine_actions(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<(Spine, u8)>> {
    let mut table = item.table("the spine", log)?;
    table
        .entries()
        .into_iter()
        .map(|(action, degree)| {
            let folded = names::fold(&action.value);
            let Some((_, spine)) = SPINES.iter().find(|(w, _)| names::fold(w) == folded) else {
                let known: Vec<&str> = SPINES.iter().map(|(w, _)| *w).collect();
                log.push(unknown_word("action of the spine", &action, &known));
                return None;
            };
            degree.whole(1..=3, log).map(|d| (*spine, d.value as u8))
        })
        .collect()
}

/// `{ fewest, usual, most, seconds, unit, each_way }`.
pub fn repetitions(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Repetitions> {
    let place: Span = item.span();
    let mut t = item.table("the repetitions", log)?;
    let many = 1..=600;
    let fewest = t
        .require("fewest", log)
        .and_then(|i| i.whole(many.clone(), log));
    let usual = t
        .require("usual", log)
        .and_then(|i| i.whole(many.clone(), log));
    let most = t.require("most", log).and_then(|i| i.whole(many, log));
    let seconds = t
        .require("seconds", log)
        .and_then(|i| i.number(0.1..=600.0, log));
    let unit = match t.get("unit") {
        Some(i) => i.word("unit", UNITS, log).map(|u| u.value),
        None => Some(RepUnit::Repetition),
    };
    let each_way = t.truth("each_way", log).unwrap_or(false);
    t.finish(log);
    let (fewest, usual, most) = (fewest?.value, usual?.value, most?.value);
    if !(fewest <= usual && usual <= most) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            place,
            format!("fewest {fewest}, usual {usual} and most {most} do not rise"),
            "out of order",
            "write them so that each is at least the one before",
        ));
        return None;
    }
    Some(Repetitions {
        fewest,
        usual,
        most,
        unit: unit?,
        seconds: seconds?.value,
        each_way,
    })
}

/// `[[movement.layer]]`, or `repetitions` alone for a single layer of the full form.
fn layers(f: &mut Fields<'_, '_, '_>, log: &mut Vec<Diagnostic>) -> Option<Vec<Layer>> {
    if f.table.has("layer") {
        f.table.get("repetitions");
        let tables = f.table.tables("layer", "a [[movement.layer]]", log);
        return tables.into_iter().map(|t| layer(t, log)).collect();
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

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: "own.toml".into(),
            text: text.into(),
        })
    }

    #[test]
    fn a_movement_like_another_takes_over_every_field_not_given_and_says_which() {
        let known = crate::read::built_in::models(&[], &[]).catalogue;
        let base = names::movement(&known, "prone press").expect("a movement");
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

    #[test]
    fn without_a_base_every_missing_key_is_named_at_once() {
        let s = source("family = \"own\"\n[[movement]]\nid = \"x\"\nname = \"X\"\n");
        let read = catalogue(std::slice::from_ref(&s));
        let missing = read
            .diagnostics
            .iter()
            .filter(|d| d.code == Code::MissingKey)
            .count();
        assert!(missing > 15, "{missing}");
        assert_eq!(read.value.map(|c| c.movements.len()), Some(0));
    }

    #[test]
    fn loads_out_of_range_springs_out_of_order_and_unknown_regions_are_refused() {
        let s = source(
            "a = { quadricep = 0.4 }\nb = { wrists = 1.4 }\nc = { from = 2, to = 1, prefer = 1.5 }\nd = \"sliding\"\n",
        );
        let mut log = Vec::new();
        let document = Document::parse(&s, &mut log);
        let mut t = document.table("a test");
        let mut item = |key: &str| t.get(key).expect("the key");
        assert!(region_loads(item("a"), &mut log).is_none());
        assert!(region_loads(item("b"), &mut log).is_none());
        assert!(spring_need(item("c"), &mut log).is_none());
        assert!(spring_need(item("d"), &mut log).is_none());
        let codes: Vec<Code> = log.iter().map(|d| d.code).collect();
        assert_eq!(
            codes,
            [
                Code::UnknownName,
                Code::OutOfRange,
                Code::OutOfRange,
                Code::UnknownName
            ]
        );
        assert_eq!(log[0].mend, "did you mean `quadriceps`?");
    }
}
