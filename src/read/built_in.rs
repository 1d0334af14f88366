//! The apparatus and catalogue files that the program carries with it: the texts under `models/`, embedded when it is built.

use std::sync::Arc;

use super::apparatus::{apparatus, id_place};
use super::brief_own::known_to_machines;
use super::catalogue::movements;
use super::names::fold;
use super::table::sort_by_place;
use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::Movement;
use crate::source::Source;

macro_rules! shipped {
    ($($path:literal),+ $(,)?) => {
        &[$(($path, include_str!(concat!("../../models/", $path)))),+]
    };
}

/// Apparatus files with their texts; the first is the default machine.
const APPARATUS: &[(&str, &str)] = shipped!(
    "apparatus/harbour.toml",
    "apparatus/orchard.toml",
    "apparatus/lantern.toml"
);

/// Catalogue files with their texts.
const CATALOGUE: &[(&str, &str)] = shipped!(
    "catalogue/footwork.toml",
    "catalogue/bridges.toml",
    "catalogue/supine-abdominals-and-arms.toml",
    "catalogue/feet-in-straps.toml",
    "catalogue/seated.toml",
    "catalogue/kneeling.toml",
    "catalogue/long-box-lying.toml",
    "catalogue/long-box-upright.toml",
    "catalogue/short-box.toml",
    "catalogue/weight-on-the-hands.toml",
    "catalogue/standing-and-lunging.toml",
    "catalogue/jump-series.toml",
    "catalogue/rest-and-closing.toml",
);

fn sources(files: &[(&str, &str)]) -> Vec<Arc<Source>> {
    files
        .iter()
        .map(|(path, text)| {
            Arc::new(Source {
                name: format!("built in: {path}"),
                text: (*text).to_owned(),
            })
        })
        .collect()
}

/// The apparatus files that are built in; the first is the default.
pub fn apparatus_sources() -> Vec<Arc<Source>> {
    sources(APPARATUS)
}

/// The catalogue files that are built in, one for each family.
pub fn catalogue_sources() -> Vec<Arc<Source>> {
    sources(CATALOGUE)
}

/// Machines and movements from files: the built-in ones and the user's own together.
#[derive(Debug, Clone, PartialEq)]
pub struct Models {
    /// The machines that could be read, in the order of the files; the first is the default.
    pub apparatus: Vec<Apparatus>,
    /// The movements.
    pub catalogue: Catalogue,
    /// Everything that was noticed, apparatus files first.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads the built-in files, then `own_apparatus` and `own_catalogue` beside them. An id or a name stands once: a second is refused with
/// both places.
pub fn models(own_apparatus: &[Arc<Source>], own_catalogue: &[Arc<Source>]) -> Models {
    let mut machines: Vec<Apparatus> = Vec::new();
    // The source of each machine, same index.
    let mut files: Vec<Arc<Source>> = Vec::new();
    let mut diagnostics = Vec::new();
    for source in apparatus_sources().iter().chain(own_apparatus) {
        let read = apparatus(source);
        diagnostics.extend(read.diagnostics);
        let Some(machine) = read.value else { continue };
        let same = |m: &Apparatus| {
            fold(&m.id) == fold(&machine.id) || fold(&m.name) == fold(&machine.name)
        };
        match machines.iter().position(same) {
            Some(first) => diagnostics.push(
                Diagnostic::mistake(
                    Code::Duplicate,
                    id_place(source),
                    format!("there are two machines `{}`", machine.id),
                    "the second",
                    "give your machine another id and name; `--apparatus FILE` plans on a file in place of a machine of the same id",
                )
                .and(id_place(&files[first]), "the first"),
            ),
            None => {
                machines.push(machine);
                files.push(Arc::clone(source));
            }
        }
    }
    let mut all = catalogue_sources();
    all.extend_from_slice(own_catalogue);
    let mut log = Vec::new();
    let movements = movements(&all, &mut log);
    let own = |m: &&Movement| own_catalogue.iter().any(|s| Arc::ptr_eq(s, &m.span.source));
    let whole = movements.whole.movements.iter();
    for movement in whole.chain(&movements.broken).filter(own) {
        known_to_machines(movement, &machines, &mut log);
    }
    sort_by_place(&mut log);
    diagnostics.extend(log);
    Models {
        apparatus: machines,
        catalogue: movements.whole,
        diagnostics,
    }
}
