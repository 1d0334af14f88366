//! `segue files`: which files of one's own are in force, and from where.

use std::sync::Arc;

use super::args::InForce;
use super::ending::Refusal;
use super::own::{self, Models, Place};
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::diagnostic::Diagnostic;
use crate::read::brief::list::names_of_blocks;
use crate::read::built_in;
use crate::read::catalogue::catalogue;
use crate::read::labels::labels_in;
use crate::read::machine::apparatus;
use crate::read::names::fold;
use crate::report::json::{indented, own_files::Files as Report};
use crate::report::own_files::{self, Given, Shelf, ShelfFile};
use crate::report::terminal;
use crate::source::Source;

/// Prints the places from near to far, with what each file gives and whether something nearer stands in its place.
///
/// # Errors
/// Everything that is wrong with the files.
pub fn run(args: &InForce, voice: Voice) -> Result<Ending, Refusal> {
    let (places, mut log) = own::places(args.own.models.as_deref(), args.class.as_deref());
    let models = own::models(&places);
    log.extend(models.diagnostics.iter().cloned());
    if log.iter().any(Diagnostic::is_mistake) {
        return Err(Refusal::Mistakes(log));
    }
    let shelves = shelves(&places, &models);
    let default = models.known.apparatus.first().map_or("", |m| m.id.as_str());
    let text = if args.json {
        indented(&Report::new(&shelves, default))
    } else {
        let sections = own_files::sections(&shelves, default);
        let text = terminal::sections(&sections, voice.columns());
        format!("{}\n", text.trim_start_matches('\n').trim_end())
    };
    voice.answer(&text)?;
    Ok(Ending::Done)
}

/// The places from near to far, what comes with segue last.
fn shelves(places: &[Place], models: &Models) -> Vec<Shelf> {
    let mut shelves: Vec<Shelf> = (places.iter().enumerate().rev())
        .map(|(k, place)| Shelf {
            what: place.what,
            folder: Some(place.folder.display().to_string()),
            there: place.folder.is_dir(),
            files: (place.files.files().into_iter())
                .flat_map(|(kind, files)| files.iter().map(move |source| (kind, source)))
                .map(|(kind, source)| ShelfFile {
                    name: source.name.clone(),
                    kind,
                    gives: gives(kind, source, &places[k + 1..], models),
                })
                .collect(),
        })
        .collect();
    let shipped = [
        ("apparatus", built_in::apparatus_sources()),
        ("catalogue", built_in::catalogue_sources()),
    ];
    shelves.push(Shelf {
        what: "with segue",
        folder: None,
        there: true,
        files: (shipped.iter())
            .flat_map(|(kind, files)| files.iter().map(move |source| (*kind, source)))
            .map(|(kind, source)| ShelfFile {
                name: source.name.clone(),
                kind,
                gives: gives(kind, source, places, models),
            })
            .collect(),
    });
    shelves
}

/// What a file gives, and whether it is in force beside what is nearer.
fn gives(kind: &str, source: &Arc<Source>, nearer: &[Place], models: &Models) -> Vec<Given> {
    // Built-in files are read anew each time; their names tell which they are.
    let same = |other: &Arc<Source>| other.name == source.name;
    match kind {
        "apparatus" => (apparatus(source).value.iter())
            .map(|m| Given {
                says: format!("machine {} ({})", m.id, m.name),
                in_force: models.apparatus_files.iter().any(same),
            })
            .collect(),
        "catalogue" => (catalogue(std::slice::from_ref(source)).value.iter())
            .flat_map(|c| &c.movements)
            .map(|m| Given {
                says: m.name.clone(),
                in_force: (models.known.catalogue.get(&m.id))
                    .is_some_and(|known| same(&known.span.source)),
            })
            .collect(),
        "blocks" => {
            let taken: Vec<String> = (nearer.iter().flat_map(|p| &p.files.blocks))
                .flat_map(names_of_blocks)
                .map(|name| fold(&name))
                .collect();
            (names_of_blocks(source).into_iter())
                .map(|name| Given {
                    in_force: !taken.contains(&fold(&name)),
                    says: format!("block {name}"),
                })
                .collect()
        }
        _ => (labels_in(source).into_iter())
            .map(|(machine, spring, label)| {
                let on = (models.known.apparatus.iter())
                    .find(|m| [&m.id, &m.name].iter().any(|n| fold(n) == fold(&machine)));
                let classes = on.map_or(&[][..], |m| &m.springs.classes);
                Given {
                    in_force: classes.iter().any(|c| c.label == label),
                    says: format!("{machine}: {spring} is called {label}"),
                }
            })
            .collect(),
    }
}
