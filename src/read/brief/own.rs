//! The teacher's own movements, `[[movement]]` in a brief: no more than a name and what it is `like`.

use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::{FacetNeed, Movement};
use crate::read::catalogue::movement::movement;
use crate::read::catalogue::{preparation_circles, resolve_links};
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

/// Adds the teacher's own movements to the catalogue.
pub fn own_movements(
    root: &mut Table<'_>,
    catalogue: &mut Catalogue,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) -> Own {
    let mut waiting: Vec<(Table<'_>, Option<At<String>>)> = root
        .tables("movement", "a [[movement]]", log)
        .into_iter()
        .map(|mut t| {
            let like = t.text("like", log);
            (t, like)
        })
        .collect();
    let mut own = Own::default();
    let mut ids = Vec::new();
    let mut broken = Vec::new();
    // One of the teacher's own may be like another that stands further down, so they are read in as many rounds as it takes.
    loop {
        let before = waiting.len();
        let mut later = Vec::new();
        for (mut table, like) in waiting {
            let base = match &like {
                None => None,
                Some(like) => match names::movement(catalogue, &like.value) {
                    Ok(base) => Some(base.clone()),
                    Err(_) => {
                        later.push((table, Some(like.clone())));
                        continue;
                    }
                },
            };
            let name = table.text("name", &mut Vec::new());
            let mut found = Vec::new();
            let read = movement(&mut table, base.as_ref(), FAMILY, &mut found);
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
                let mut keys: Vec<&str> = Vec::new();
                for key in &read.taken_over {
                    let word = in_words(key);
                    if !keys.contains(&word) {
                        keys.push(word);
                    }
                }
                own.assumed.push(format!(
                    "{} is like {}: copied from it are {}",
                    read.movement.name,
                    base.name,
                    keys.join(", ")
                ));
            }
            if add(catalogue, read.movement, machines, log) {
                ids.push(catalogue.movements.len() - 1);
            }
        }
        waiting = later;
        if waiting.is_empty() || waiting.len() == before {
            break;
        }
    }
    own.unread.extend(left_over(waiting, catalogue, log));
    let mut known = catalogue.clone();
    known.movements.extend(broken.iter().cloned().map(Arc::new));
    for m in ids {
        resolve_links(Arc::make_mut(&mut catalogue.movements[m]), &known, log);
    }
    for m in &mut broken {
        resolve_links(m, &known, log);
    }
    log.extend(preparation_circles(catalogue));
    own
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
    mut waiting: Vec<(Table<'_>, Option<At<String>>)>,
    catalogue: &Catalogue,
    log: &mut Vec<Diagnostic>,
) -> Vec<String> {
    let names: Vec<Option<At<String>>> = waiting
        .iter_mut()
        .map(|(t, _)| t.text("name", &mut Vec::new()))
        .collect();
    for (_, like) in waiting {
        let Some(like) = like else { continue };
        let folded = names::fold(&like.value);
        let own = names
            .iter()
            .flatten()
            .find(|n| names::fold(&n.value) == folded);
        log.push(match own {
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
            None => unknown_movement(
                &like,
                &names::movement(catalogue, &like.value)
                    .err()
                    .unwrap_or_default(),
            ),
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
    new: Movement,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) -> bool {
    let clash = catalogue.movements.iter().find(|m| {
        names::fold(&m.id) == names::fold(&new.id) || names::fold(&m.name) == names::fold(&new.name)
    });
    if let Some(old) = clash {
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
