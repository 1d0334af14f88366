//! An apparatus file to a machine. The keys are listed in `src/guide/own.md` and shown by the files under `models/apparatus`.

pub(in crate::read) mod positions;
pub mod springs;

use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic, Read};
use crate::model::apparatus::{
    Apparatus, BAR, BOX, ChangeCost, FOOT_END, FacetSpec, NOTHING, SpringSpec,
};
use crate::model::fitting::{Allowed, fitting};
use crate::model::placed::{On, Placed};
use crate::model::posture::PostureGraph;
use crate::model::springs::{NEWTONS_PER_METRE_IN_A_UNIT, SpringClass, SpringSet};
use crate::read::enough::ends_at;
use crate::read::machine::positions::{LONGEST_CHANGE, known_posture, posture_graph};
use crate::read::measured::beyond;
use crate::read::slips::sort_by_place;
use crate::read::spanned::{Document, Item, Table, unknown_word};
use crate::sizes::{FACETS, POSITIONS, SPRING_SETS};
use crate::source::{Source, Span};

/// Reads an apparatus file. The value is there only if there is no mistake.
pub fn apparatus(source: &Arc<Source>) -> Read<Apparatus> {
    let mut log = Vec::new();
    let document = Document::parse(source, &mut log);
    let mut root = document.table("an apparatus file");
    let large = too_large(&root);
    if document.is_refused() || !large.is_empty() {
        log.extend(large);
        return Read {
            value: None,
            diagnostics: log,
        };
    }
    let value = machine(&mut root, &mut log);
    root.finish(&mut log);
    sort_by_place(&mut log);
    let broken = log.iter().any(Diagnostic::is_mistake);
    Read {
        value: value.filter(|_| !broken),
        diagnostics: log,
    }
}

/// What a machine has more of than any.
fn too_large(root: &Table<'_>) -> Vec<Diagnostic> {
    let spans = |key: &str| root.values(key).iter().map(Item::span).collect();
    let positions = beyond(POSITIONS, "the machine", spans("posture"));
    let facets = beyond(FACETS, "the machine", spans("facet"));
    positions.into_iter().chain(facets).collect()
}

/// Where the id of the machine stands; the beginning of the file if it has none.
pub fn id_place(source: &Arc<Source>) -> Span {
    let mut unread = Vec::new();
    let document = Document::parse(source, &mut unread);
    let id = document.table("an apparatus file").get("id");
    id.map_or_else(|| Span::new(source, 0..0), |item| item.span())
}

fn machine(root: &mut Table<'_>, log: &mut Vec<Diagnostic>) -> Option<Apparatus> {
    let id = root.require("id", log).and_then(|i| i.name(log));
    let name = root.require("name", log).and_then(|i| i.name(log));
    let notes = root.texts("notes", log);
    let bar_locks = root.require("bar_locks", log).and_then(|i| i.truth(log));
    let start_posture = root.name("start_posture", log);
    let postures = posture_graph(root, log);
    let springs = root
        .require("springs", log)
        .and_then(|i| i.table("[springs]", log))
        .and_then(|t| spring_spec(t, &postures, log));
    let mut facets: Vec<FacetSpec> = Vec::new();
    for table in root.tables("facet", "a [[facet]]", log) {
        let place = table.span();
        if let Some(facet) = facet_spec(table, &postures, log) {
            if facets.iter().any(|f| f.key == facet.key) || facet.key == "springs" {
                log.push(Diagnostic::mistake(
                    Code::Duplicate,
                    place,
                    format!("the facet `{}` is defined twice", facet.key),
                    "second",
                    "give it another key or leave one out (the springs have their own table)",
                ));
            }
            facets.push(facet);
        }
    }
    known_needs(&facets, root, log);
    start_that_fits(&facets, root, log);
    let mut absent = Vec::new();
    if let Some(mut table) = root.get("absent").and_then(|i| i.table("[absent]", log)) {
        for (key, item) in table.entries() {
            if let Some(value) = item.text(log) {
                absent.push((key.value, value.value));
            }
        }
    }
    if let Some(start) = &start_posture {
        known_posture(&postures, start, log);
    }
    let found = Apparatus {
        id: id?.value,
        name: name?.value,
        notes: notes.into_iter().map(|n| n.value).collect(),
        bar_locks: bar_locks?,
        springs: springs?,
        facets,
        postures,
        absent,
        start_posture: start_posture.map(|s| s.value),
    };
    start_is_possible(&found, root, log);
    Some(found)
}

/// Everybody can wait where they are said to: the set-up goes with the position, and springs hold whoever waits on the carriage.
fn start_is_possible(found: &Apparatus, root: &Table<'_>, log: &mut Vec<Diagnostic>) {
    let Some(base) = &found.start_posture else {
        return;
    };
    let placed: Vec<Placed> = (found.postures.nodes_of(base).iter())
        .map(|&n| found.postures.postures[n].placed)
        .collect();
    let values: Allowed = found.facets.iter().map(|f| Some(vec![f.start])).collect();
    let load = found.springs.start.load(&found.springs.classes);
    let why = if placed.iter().any(|p| p.on != On::Floor) && load < found.springs.least_safe {
        Some("too few springs hold the carriage".to_owned())
    } else {
        fitting(found, values, &placed).err()
    };
    if let Some(why) = why {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            root.span(),
            format!("nobody can wait `{base}` at the start: {why}"),
            "in this file",
            "have everybody wait on the floor, or start with another set-up",
        ));
    }
}

/// `reach`: from where a part is changed. If nothing is said, from where usual practice lets it be.
fn reach(
    table: &mut Table<'_>,
    graph: &PostureGraph,
    usual: fn(&Placed) -> bool,
    log: &mut Vec<Diagnostic>,
) -> Vec<String> {
    if !table.has("reach") {
        let mut bases: Vec<String> = (graph.postures.iter())
            .filter(|p| usual(&p.placed))
            .map(|p| p.base.clone())
            .collect();
        bases.dedup();
        return bases;
    }
    table
        .names("reach", log)
        .into_iter()
        .filter(|name| known_posture(graph, name, log))
        .map(|name| name.value)
        .collect()
}

fn spring_spec(
    mut table: Table<'_>,
    graph: &PostureGraph,
    log: &mut Vec<Diagnostic>,
) -> Option<SpringSpec> {
    let base = table
        .require("base", log)
        .and_then(|i| i.number(0.0..=LONGEST_CHANGE, log));
    let per_spring = table
        .require("per_spring", log)
        .and_then(|i| i.number(0.0..=LONGEST_CHANGE, log));
    let least_safe = table
        .require("least_safe_load", log)
        .and_then(|i| i.number(0.0..=20.0, log));
    let stop = table.require("stop", log).and_then(|i| i.truth(log));
    let reach = reach(&mut table, graph, Placed::before_the_springs, log);
    let mut classes = Vec::new();
    for mut class in table.tables("class", "a [[springs.class]]", log) {
        let name = class.require("name", log).and_then(|i| i.name(log));
        let label = class.name("label", log);
        let count = class
            .require("count", log)
            .and_then(|i| i.whole(1..=9, log));
        let load = if class.has("newtons_per_metre") {
            class
                .number("newtons_per_metre", 1.0..=3000.0, log)
                .map(|n| n.value / NEWTONS_PER_METRE_IN_A_UNIT)
        } else {
            class
                .require("load", log)
                .and_then(|i| i.number(0.05..=10.0, log))
                .map(|n| n.value)
        };
        class.finish(log);
        if let (Some(name), Some(count), Some(load)) = (name, count, load) {
            classes.push(SpringClass {
                label: label.map_or_else(|| name.value.clone(), |l| l.value),
                name: name.value,
                count: count.value,
                load,
            });
        }
    }
    let each = classes.iter().map(|c| c.count as usize + 1);
    let sets = each.fold(1, usize::saturating_mul);
    if SPRING_SETS.is_less_than(sets) {
        log.push(SPRING_SETS.refused("the machine", sets, table.span()));
        return None;
    }
    let mut start = vec![0; classes.len()];
    if let Some(mut on) = table
        .require("start", log)
        .and_then(|i| i.table("`start` of the springs", log))
    {
        for (key, item) in on.entries() {
            match classes.iter().position(|c| c.name == key.value) {
                Some(k) => start[k] = item.whole(0..=classes[k].count, log)?.value,
                None => {
                    let known: Vec<&str> = classes.iter().map(|c| c.name.as_str()).collect();
                    log.push(unknown_word("class of springs", &key, &known));
                }
            }
        }
    }
    table.finish(log);
    Some(SpringSpec {
        classes,
        base: base?.value,
        per_spring: per_spring?.value,
        reach,
        stop: stop?,
        start: SpringSet(start),
        least_safe: least_safe?.value,
    })
}

fn facet_spec(
    mut table: Table<'_>,
    graph: &PostureGraph,
    log: &mut Vec<Diagnostic>,
) -> Option<FacetSpec> {
    let key = table.require("key", log).and_then(|i| i.name(log));
    let name = table.require("name", log).and_then(|i| i.name(log));
    let stop = table.require("stop", log).and_then(|i| i.truth(log));
    let usual = match key.as_ref().map(|k| k.value.as_str()) {
        Some(BAR) => Placed::before_the_springs,
        Some(BOX | FOOT_END) => Placed::on_the_floor,
        Some(_) | None => Placed::free,
    };
    let reach = reach(&mut table, graph, usual, log);
    let (mut values, mut labels, mut cues) = (Vec::new(), Vec::new(), Vec::new());
    let (mut off_cues, mut turn_cues, mut needs) = (Vec::new(), Vec::new(), Vec::new());
    for mut value in table.tables("value", "a [[facet.value]]", log) {
        if ends_at(|| value.span(), log) {
            return None;
        }
        let key = value.require("key", log).and_then(|i| i.name(log));
        let label = value.require("label", log).and_then(|i| i.name(log));
        let cue = value.require("cue", log).and_then(|i| i.text(log));
        let off = value.text("off_cue", log).map(|c| c.value);
        let turn = value.text("turn_cue", log).map(|c| c.value);
        let needed = needs_of(&mut value, log);
        value.finish(log);
        if let (Some(key), Some(label), Some(cue)) = (key, label, cue) {
            if values.contains(&key.value) {
                log.push(Diagnostic::mistake(
                    Code::Duplicate,
                    key.span,
                    format!("the value `{}` is defined twice", key.value),
                    "second",
                    "leave one of them out",
                ));
                continue;
            }
            values.push(key.value);
            labels.push(label.value);
            cues.push(cue.value);
            off_cues.push(off);
            turn_cues.push(turn);
            needs.push(needed);
        }
    }
    let start = table.require("start", log).and_then(|i| i.name(log));
    let change = change_cost(&mut table, values.len(), log);
    table.finish(log);
    let holds_things = key
        .as_ref()
        .is_some_and(|k| [BOX, FOOT_END].contains(&k.value.as_str()))
        || values.iter().any(|v| v == NOTHING);
    if let Some(key) = key
        .as_ref()
        .filter(|_| holds_things && values.first().is_none_or(|v| v != NOTHING))
    {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            key.span.clone(),
            format!(
                "the first value of the facet `{}` is not `{NOTHING}`",
                key.value
            ),
            "holds things",
            "write the value `none`, for nothing there, before the others",
        ));
    }
    let start = start?;
    let Some(start_index) = values.iter().position(|v| *v == start.value) else {
        let known: Vec<&str> = values.iter().map(String::as_str).collect();
        log.push(unknown_word("value", &start, &known));
        return None;
    };
    Some(FacetSpec {
        key: key?.value,
        name: name?.value,
        values,
        labels,
        cues,
        off_cues,
        turn_cues,
        needs,
        change: change?,
        reach,
        stop: stop?,
        start: start_index,
    })
}

/// The machine starts in a set-up in which every value has what it needs.
fn start_that_fits(facets: &[FacetSpec], root: &Table<'_>, log: &mut Vec<Diagnostic>) {
    for spec in facets {
        for (key, good) in &spec.needs[spec.start] {
            let other = facets.iter().find(|f| f.key == *key);
            if other.is_some_and(|f| !good.contains(&f.values[f.start])) {
                log.push(Diagnostic::mistake(
                    Code::OutOfRange,
                    root.span(),
                    format!(
                        "at the start `{}` is `{}`, which needs `{key}` at {}",
                        spec.key,
                        spec.values[spec.start],
                        good.join(" or ")
                    ),
                    "in this file",
                    "have the two facets start at values that go together",
                ));
            }
        }
    }
}

/// What a value needs of other facets must be there to be had.
fn known_needs(facets: &[FacetSpec], root: &Table<'_>, log: &mut Vec<Diagnostic>) {
    for spec in facets {
        for (key, values) in spec.needs.iter().flatten() {
            let other = facets.iter().find(|f| f.key == *key && f.key != spec.key);
            let unknown: Vec<&String> = match other {
                Some(f) => values.iter().filter(|v| !f.values.contains(v)).collect(),
                None => vec![key],
            };
            if unknown.is_empty() && !values.is_empty() {
                continue;
            }
            log.push(Diagnostic::mistake(
                Code::UnknownName,
                root.span(),
                format!(
                    "`needs` of a value of the facet `{}` asks for `{key}`, which cannot be so",
                    spec.key
                ),
                "in this file",
                "name another facet of this file and values that it has",
            ));
        }
    }
}

/// `needs = { bar = ["low"] }`: what a value needs of other facets.
fn needs_of(value: &mut Table<'_>, log: &mut Vec<Diagnostic>) -> Vec<(String, Vec<String>)> {
    let table = value
        .get("needs")
        .and_then(|i| i.table("`needs` of a value", log));
    let Some(mut table) = table else {
        return Vec::new();
    };
    let mut needs = Vec::new();
    for (key, item) in table.entries() {
        let values: Vec<String> = (item.one_or_more().iter())
            .filter_map(|i| i.text(log))
            .map(|v| v.value)
            .collect();
        needs.push((key.value, values));
    }
    needs
}

/// `change = 4` for any change, or `change = [[0, 4], [3, 0]]`, rows from, columns to.
fn change_cost(table: &mut Table<'_>, n: usize, log: &mut Vec<Diagnostic>) -> Option<ChangeCost> {
    let item = table.require("change", log)?;
    if !item.is_list() {
        return Some(ChangeCost::Flat(
            item.number(0.0..=LONGEST_CHANGE, log)?.value,
        ));
    }
    let mut matrix = Vec::new();
    for row in item.list(log)? {
        let cells = row.list(log)?;
        let numbers: Vec<f64> = cells
            .iter()
            .filter_map(|c| c.number(0.0..=LONGEST_CHANGE, log))
            .map(|c| c.value)
            .collect();
        if numbers.len() == cells.len() {
            matrix.push(numbers);
        }
    }
    let square = matrix.len() == n && matrix.iter().all(|row| row.len() == n);
    if !square || (0..n).any(|i| matrix[i][i] != 0.0) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            item.span(),
            format!("the table of change costs is not {n} by {n} with zeros from each value to itself"),
            "rows from, columns to",
            "give one row for each value and in it one number for each value, or one number for any change",
        ));
        return None;
    }
    Some(ChangeCost::Matrix(matrix))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Read<Apparatus> {
        apparatus(&Arc::new(Source {
            name: "machine.toml".into(),
            text: text.into(),
        }))
    }

    const SMALL: &str = r#"
id = "small"
name = "Small"
bar_locks = true
posture = [
  { name = "supine", on = "carriage", body = "on the back" },
  { name = "side-lying", on = "carriage", body = "on the side", sides = true },
]
move = [
  { from = "supine", to = "side-lying", seconds = 4, cue = "roll over", motions = "turn", back = 3, back_cue = "roll back" },
  { from = "side-lying", to = "side-lying", seconds = 5, cue = "turn over", turns_over = true },
]
[springs]
base = 2
per_spring = 2.5
least_safe_load = 0.5
stop = true
start = { medium = 1 }
class = [{ name = "medium", count = 2, load = 1 }, { name = "light", count = 1, load = 0.5 }]
[[facet]]
key = "bar"
name = "foot bar"
stop = false
start = "high"
reach = "supine"
change = [[0, 4], [5, 0]]
value = [{ key = "high", label = "high", cue = "up" }, { key = "low", label = "low", cue = "down" }]
[absent]
board = "off"
"#;

    #[test]
    fn a_posture_with_sides_is_two_and_moves_keep_the_side_unless_they_turn_over() {
        let found = read(SMALL);
        assert_eq!(found.diagnostics, []);
        let machine = found.value.expect("a machine");
        let graph = &machine.postures;
        assert_eq!(graph.postures.len(), 3);
        assert_eq!(graph.moves.len(), 6);
        let name = |n: usize| graph.postures[n].name.as_str();
        let over: Vec<(&str, &str)> = graph
            .moves
            .iter()
            .filter(|m| m.cue == "turn over")
            .map(|m| (name(m.from), name(m.to)))
            .collect();
        assert_eq!(
            over,
            [
                ("side-lying, left", "side-lying, right"),
                ("side-lying, right", "side-lying, left")
            ]
        );
        assert_eq!(machine.spring_sets().len(), 6);
    }

    #[test]
    fn all_mistakes_of_a_file_come_at_once_each_at_its_place() {
        let broken = SMALL
            .replace("stop = true", "stopp = true")
            .replace("reach = \"supine\"", "reach = \"supin\"")
            .replace("[[0, 4], [5, 0]]", "[[0, 4]]")
            .replace(
                "cue = \"roll over\", motions = \"turn\"",
                "cue = \"roll over\", motions = [\"kneel\", \"kneel\"]",
            )
            .replace("count = 2", "count = \"2\"");
        let found = read(&broken);
        assert_eq!(found.value, None);
        let mut codes: Vec<Code> = found.diagnostics.iter().map(|d| d.code).collect();
        codes.sort();
        for code in [
            Code::UnknownKey,
            Code::MissingKey,
            Code::UnknownName,
            Code::OutOfRange,
            Code::WrongType,
        ] {
            assert!(codes.contains(&code), "{code:?} is not among {codes:?}");
        }
        let starts: Vec<usize> = found
            .diagnostics
            .iter()
            .map(|d| d.labels[0].span.bytes.start)
            .collect();
        assert!(starts.is_sorted());
    }
}
