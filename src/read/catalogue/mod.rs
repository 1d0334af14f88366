//! Catalogue files to movements. The keys are listed in `src/guide/own.md` and shown by the files under `models/catalogue`.

pub(in crate::read) mod circle;
pub(in crate::read) mod fields;
pub(in crate::read) mod movement;

use std::collections::HashMap;
use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic, Read};
use crate::model::catalogue::Catalogue;
use crate::model::movement::Movement;
use crate::read::catalogue::circle::{Held, circles};
use crate::read::catalogue::movement::{ReadMovement, movement};
use crate::read::enough::ends_at;
use crate::read::index::Names;
use crate::read::names;
use crate::read::side_by_side::side_by_side;
use crate::read::slips::sort_by_place;
use crate::read::spanned::Document;
use crate::rules::target::Target;
use crate::source::Source;

/// Reads all files of a catalogue together: ids are unique across them, names of other movements resolve across them.
/// The value holds every movement that could be read.
pub fn catalogue(sources: &[Arc<Source>]) -> Read<Catalogue> {
    let mut log = Vec::new();
    let all = movements(&[sources.to_vec()], &mut log);
    sort_by_place(&mut log);
    Read {
        value: Some(all.whole),
        diagnostics: log,
    }
}

/// The movements of files.
pub struct Movements {
    /// Those that could be read.
    pub whole: Catalogue,
    /// Those that could be read in part: they are known by name, so that only what is wrong with them is told.
    pub broken: Vec<Movement>,
}

/// Reads all files together, the nearest group of them last: there an id of a group before it replaces what it named. The log is not sorted.
pub fn movements(groups: &[Vec<Arc<Source>>], log: &mut Vec<Diagnostic>) -> Movements {
    let mut all = Catalogue::default();
    let mut broken = Vec::new();
    let mut taken = Vec::new();
    let files: Vec<(usize, &Arc<Source>)> = (groups.iter().enumerate())
        .flat_map(|(g, files)| files.iter().map(move |s| (g, s)))
        .collect();
    for (&(group, _), mut file) in files.iter().zip(side_by_side(&files, |f| file(f.1))) {
        log.append(&mut file.log);
        for read in file.movements {
            if read.whole {
                add(&mut all, &mut taken, read.movement, group, log);
            } else {
                broken.push(read.movement);
            }
        }
    }
    let mut known = all.clone();
    known.movements.extend(broken.iter().cloned().map(Arc::new));
    let names = Names::of(&known);
    // A copy is made of each that is known, so that all see the others as they were read.
    for m in &mut all.movements {
        resolve_links(Arc::make_mut(m), &names, log);
    }
    for m in &mut broken {
        resolve_links(m, &names, log);
    }
    log.extend(preparation_circles(&all));
    Movements { whole: all, broken }
}

/// What one file holds, before names in it are looked up.
struct File {
    movements: Vec<ReadMovement>,
    log: Vec<Diagnostic>,
}

/// Reads one file.
fn file(source: &Arc<Source>) -> File {
    let mut log = Vec::new();
    let document = Document::parse(source, &mut log);
    let mut root = document.table("a catalogue file");
    let family = root
        .require("family", &mut log)
        .and_then(|i| i.text(&mut log))
        .map_or_else(String::new, |f| f.value);
    let mut movements = Vec::new();
    for mut table in root.tables("movement", "a [[movement]]", &mut log) {
        if ends_at(|| table.span(), &mut log) {
            break;
        }
        movements.extend(movement(&mut table, None, &family, &mut log));
        table.finish(&mut log);
    }
    root.finish(&mut log);
    File { movements, log }
}

/// Preparations that lead back to where they began: no order could keep them.
pub fn preparation_circles(all: &Catalogue) -> Vec<Diagnostic> {
    let by_id: HashMap<&str, &Movement> = all.iter().map(|m| (m.id.as_str(), m)).collect();
    let mut orders = Vec::new();
    let mut found = Vec::new();
    for full in &all.movements {
        for id in &full.prepared_by {
            let Some(prep) = by_id.get(id.as_str()) else {
                continue;
            };
            if prep.id == full.id {
                found.push(Diagnostic::mistake(
                    Code::Circle,
                    full.place_of(&full.id),
                    format!("{} cannot prepare itself", full.name),
                    "this one",
                    "take it out of its own `prepared_by`",
                ));
                continue;
            }
            orders.push(Held {
                first: Target::movement(&prep.id),
                first_name: prep.name.clone(),
                later: Target::movement(&full.id),
                later_name: full.name.clone(),
                span: full.span.clone(),
            });
        }
    }
    found.extend(circles(
        &orders,
        "preparations",
        "take one of them out of `prepared_by`",
    ));
    found
}

/// Id and name of a movement in the form in which names are compared, and the group of files that it is from.
struct Folded {
    id: String,
    name: String,
    group: usize,
}

/// Adds a movement unless its id or name is taken; what has its id in a group farther away is replaced. `taken`: those of all movements
/// so far, in their order.
fn add(
    all: &mut Catalogue,
    taken: &mut Vec<Folded>,
    mut new: Movement,
    group: usize,
    log: &mut Vec<Diagnostic>,
) {
    let folded = Folded {
        id: names::fold(&new.id),
        name: names::fold(&new.name),
        group,
    };
    let replaced = (taken.iter()).position(|t| t.id == folded.id && t.group < group);
    let clash = taken
        .iter()
        .enumerate()
        .position(|(k, t)| Some(k) != replaced && (t.id == folded.id || t.name == folded.name));
    if let Some(k) = replaced
        && clash.is_none()
    {
        // What others call it stays a name of it.
        let old = &all.movements[k];
        if names::fold(&old.name) != folded.name {
            new.other_names.push(old.name.clone());
        }
        all.movements[k] = Arc::new(new);
        taken[k] = folded;
        return;
    }
    if let Some(old) = clash.map(|k| &all.movements[k]) {
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
    all.movements.push(Arc::new(new));
    taken.push(folded);
}

/// Turns the names in `prepared_by`, `easier` and `harder` into ids; a name that is not known goes to the log and is left out.
pub fn resolve_links(m: &mut Movement, known: &Names<'_>, log: &mut Vec<Diagnostic>) {
    let whole = m.clone();
    for links in [&mut m.prepared_by, &mut m.easier, &mut m.harder] {
        links.retain_mut(|name| match known.find(name).ok_or(&*name) {
            Ok(found) => {
                *name = found.id.clone();
                true
            }
            Err(name) => {
                if ends_at(|| whole.place_of(name), log) {
                    return false;
                }
                let near = known.near(name);
                let mend = if near.is_empty() {
                    "name a movement of the catalogue".to_owned()
                } else {
                    format!("did you mean {}?", names::either(&near))
                };
                log.push(Diagnostic::mistake(
                    Code::UnknownMovement,
                    whole.place_of(name),
                    format!("the catalogue has no movement `{name}`"),
                    "names it",
                    mend,
                ));
                false
            }
        });
    }
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
}
