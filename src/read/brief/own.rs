//! The teacher's own movements, `[[movement]]` in a brief: no more than a name and what it is `like`.

use std::collections::{BTreeMap, HashMap, VecDeque};
use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::{FacetNeed, Movement};
use crate::read::catalogue::movement::movement;
use crate::read::catalogue::{preparation_circles, resolve_links};
use crate::read::enough::ends_at;
use crate::read::index::{Index, Names};
use crate::read::names;
use crate::read::spanned::{At, Table, unknown_word};
use crate::source::Span;

/// The family of the teacher's own movements.
const FAMILY: &str = "own";

/// What was read of the teacher's own movements.
#[derive(Debug, Default)]
pub struct Own {
    /// What was taken over for each: "Slow press is like Prone press: taken over are ...".
    pub assumed: Vec<String>,
    /// Names of those that could not be read: the list may name them all the same.
    pub unread: Vec<String>,
}

/// A movement of the teacher's own before it is read.
struct Waiting<'a> {
    table: Table<'a>,
    like: Option<At<String>>,
}

/// Adds the teacher's own movements to the catalogue.
pub fn own_movements(
    root: &mut Table<'_>,
    catalogue: &mut Catalogue,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) -> Own {
    let tables = root.tables("movement", "a [[movement]]", log);
    let mut own = Own::default();
    if tables.is_empty() {
        return own;
    }
    let mut index = Index::of(catalogue);
    let mut ids = Vec::new();
    let mut broken = Vec::new();
    let mut ready = VecDeque::new();
    for mut table in tables {
        let like = table.name("like", log);
        ready.push_back(Waiting { table, like });
    }
    // One of the teacher's own may be like another that stands further down: it waits until that one is read.
    let mut waiting: BTreeMap<String, Vec<Waiting<'_>>> = BTreeMap::new();
    while let Some(Waiting { mut table, like }) = ready.pop_front() {
        if ends_at(|| table.span(), log) {
            return own;
        }
        let base = match &like {
            None => None,
            Some(named) => match index.find(&named.value) {
                Some(base) => Some(Arc::clone(&catalogue.movements[base])),
                None => {
                    let name = names::fold(&named.value);
                    let waits = Waiting { table, like };
                    waiting.entry(name).or_default().push(waits);
                    continue;
                }
            },
        };
        let name = table.name("name", &mut Vec::new());
        let mut found = Vec::new();
        let read = movement(&mut table, base.as_deref(), FAMILY, &mut found);
        if base.is_none() {
            without_like(&table, name.as_ref(), &mut found);
        }
        log.append(&mut found);
        table.finish(log);
        let Some(read) = read else { continue };
        if !read.whole {
            own.unread.push(read.movement.name.clone());
            known_to_machines(&read.movement, machines, log);
            broken.push(read.movement);
            continue;
        }
        if let (Some(base), false) = (&base, read.taken_over.is_empty()) {
            own.assumed
                .push(taken_over(&read.movement, base, &read.taken_over));
        }
        let names = named(&read.movement);
        if add(catalogue, &mut index, read.movement, machines, log) {
            ids.push(catalogue.movements.len() - 1);
            ready.extend(
                names
                    .iter()
                    .filter_map(|name| waiting.remove(name))
                    .flatten(),
            );
        }
    }
    let waiting = waiting.into_values().flatten().collect();
    own.unread.extend(left_over(waiting, catalogue, log));
    let mut known = catalogue.clone();
    known.movements.extend(broken.iter().cloned().map(Arc::new));
    let known = Names::of(&known);
    for m in ids {
        resolve_links(Arc::make_mut(&mut catalogue.movements[m]), &known, log);
    }
    for m in &mut broken {
        resolve_links(m, &known, log);
    }
    log.extend(preparation_circles(catalogue));
    own
}

/// What is taken over from the movement that one of her own is like.
fn taken_over(new: &Movement, base: &Movement, fields: &[String]) -> String {
    let mut keys: Vec<&str> = Vec::new();
    for key in fields {
        let word = in_words(key);
        if !keys.contains(&word) {
            keys.push(word);
        }
    }
    format!(
        "{} is like {}: taken over from there are {}",
        new.name,
        base.name,
        keys.join(", ")
    )
}

/// All that a movement goes by, folded.
fn named(movement: &Movement) -> Vec<String> {
    let own = [&movement.id, &movement.name].into_iter();
    own.chain(&movement.other_names)
        .map(|name| names::fold(name))
        .collect()
}

/// What a key of a movement holds, for the plan.
fn in_words(key: &str) -> &str {
    match key {
        "how" => "how it is done",
        "notes" => "notes for bodies and ropes",
        "posture" => "position",
        "more_springs" | "more_springs_note" => "what more springs do",
        "facets" => "the rest of the set-up",
        "teach" | "teach_again" => "time to teach it",
        "loads" => "what it loads",
        "spine" => "what the back does",
        "phases" => "where in the class it may stand",
        "prepared_by" => "preparations",
        "rest" => "whether it is a rest",
        other => other,
    }
}

/// The mistake of a movement that is like no other and does not say all by itself: one, not one for each key that is missing.
fn without_like(table: &Table<'_>, name: Option<&At<String>>, found: &mut Vec<Diagnostic>) {
    let missing = |d: &Diagnostic| d.code == Code::MissingKey;
    let Some(name) = name else { return };
    if found.iter().filter(|d| missing(d)).count() < 2 {
        return;
    }
    let keys: Vec<String> = found
        .iter()
        .filter(|d| missing(d))
        .filter_map(|d| Some(d.labels.first()?.text.split(' ').next()?.to_owned()))
        .collect();
    found.retain(|d| !missing(d));
    found.push(Diagnostic::mistake(
        Code::MissingKey,
        table.span(),
        format!(
            "`{}` does not say what movement it is like, nor all about itself",
            name.value
        ),
        "`like` is missing",
        format!(
            "add `like = \"...\"` with a movement of the catalogue (each key that you write beside it stands); without it these \
             would be needed: {}",
            keys.join(", ")
        ),
    ));
}

/// What is like nothing that is known, or like one another in a circle; gives their names.
fn left_over(
    mut waiting: Vec<Waiting<'_>>,
    catalogue: &Catalogue,
    log: &mut Vec<Diagnostic>,
) -> Vec<String> {
    let known = Names::of(catalogue);
    let names: Vec<Option<At<String>>> = (waiting.iter_mut())
        .map(|w| w.table.name("name", &mut Vec::new()))
        .collect();
    let by_name: HashMap<String, &At<String>> = (names.iter().rev().flatten())
        .map(|name| (names::fold(&name.value), name))
        .collect();
    for like in waiting.into_iter().filter_map(|w| w.like) {
        if ends_at(|| like.span.clone(), log) {
            break;
        }
        log.push(match by_name.get(&names::fold(&like.value)) {
            Some(own) => Diagnostic::mistake(
                Code::Circle,
                like.span.clone(),
                format!(
                    "`{}` is itself like a movement that cannot be read, or like this one",
                    like.value
                ),
                "leads nowhere",
                "let one of them be like a movement of the catalogue",
            )
            .and(own.span.clone(), "this one"),
            None => unknown_movement(&like, &known.near(&like.value)),
        });
    }
    names.into_iter().flatten().map(|n| n.value).collect()
}

/// The mistake of a movement that is not known.
pub fn unknown_movement(name: &At<String>, near: &[&str]) -> Diagnostic {
    let mend = if near.is_empty() {
        "look for it with `segue list`, or add a movement of your own with `like`".to_owned()
    } else {
        format!("did you mean {}?", names::either(near))
    };
    Diagnostic::mistake(
        Code::UnknownMovement,
        name.span.clone(),
        format!("there is no movement `{}`", name.value),
        "not known",
        mend,
    )
}

/// Adds a movement of the teacher's own; `false` if it may not stand beside the others.
fn add(
    catalogue: &mut Catalogue,
    index: &mut Index,
    new: Movement,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) -> bool {
    if let Some(old) = index.clash(&new).map(|k| &catalogue.movements[k]) {
        log.push(
            Diagnostic::mistake(
                Code::Duplicate,
                new.span.clone(),
                format!("there is a movement `{}` already", old.name),
                "the same name",
                "give yours another name",
            )
            .and(old.span.clone(), "this one"),
        );
        return false;
    }
    known_to_machines(&new, machines, log);
    index.add(catalogue.movements.len(), &new);
    catalogue.movements.push(Arc::new(new));
    true
}

/// Reports positions, facets and values of a movement that no machine knows.
pub fn known_to_machines(new: &Movement, machines: &[Apparatus], log: &mut Vec<Diagnostic>) {
    for base in [&new.start, &new.end] {
        // A position that could not be read is empty.
        if !base.is_empty() && !machines.iter().any(|m| m.postures.has(base)) {
            let mut known: Vec<&str> = machines
                .iter()
                .flat_map(|m| m.postures.postures.iter().map(|p| p.base.as_str()))
                .collect();
            known.sort_unstable();
            known.dedup();
            let name = At {
                value: base.clone(),
                span: new.place_of(base),
            };
            log.push(unknown_word("position", &name, &known));
            if new.start == new.end {
                break;
            }
        }
    }
    check_facets(&new.facets, |text| new.place_of(text), machines, log);
}

/// Reports facets and values that no machine knows; `place` says where a text of them stands.
pub fn check_facets(
    needs: &[FacetNeed],
    place: impl Fn(&str) -> Span,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) {
    for need in needs {
        let mut keys: Vec<&str> = Vec::new();
        let mut values: Vec<&str> = Vec::new();
        for m in machines {
            keys.extend(m.facets.iter().map(|f| f.key.as_str()));
            keys.extend(m.absent.iter().map(|(k, _)| k.as_str()));
            let here = m.facets.iter().filter(|f| f.key == need.facet);
            values.extend(here.flat_map(|f| f.values.iter().map(String::as_str)));
            let absent = m.absent.iter().filter(|(k, _)| *k == need.facet);
            values.extend(absent.map(|(_, v)| v.as_str()));
        }
        let at = |value: &str| At {
            value: value.to_owned(),
            span: place(value),
        };
        keys.sort_unstable();
        keys.dedup();
        values.sort_unstable();
        values.dedup();
        if !keys.contains(&need.facet.as_str()) {
            log.push(unknown_word("facet", &at(&need.facet), &keys));
            continue;
        }
        for value in &need.allowed {
            if !values.contains(&value.as_str()) {
                let mut mistake = unknown_word("value", &at(value), &values);
                mistake.message = format!("the facet `{}` has no value `{value}`", need.facet);
                log.push(mistake);
            }
        }
    }
}
