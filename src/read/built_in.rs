//! The apparatus and catalogue files that the program carries with it: the texts under `models/`, embedded when it is built.

use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic, Read};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::Movement;
use crate::read::brief::own::known_to_machines;
use crate::read::catalogue::movements;
use crate::read::labels::labels;
use crate::read::machine::{apparatus, id_place};
use crate::read::names::fold;
use crate::read::side_by_side::side_by_side;
use crate::read::slips::sort_by_place;
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
    "catalogue/abdominals-and-arms.toml",
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
    /// The machines that could be read; the first is the default: the first of the nearest group that has any.
    pub apparatus: Vec<Apparatus>,
    /// The file of each machine.
    pub apparatus_files: Vec<Arc<Source>>,
    /// The movements.
    pub catalogue: Catalogue,
    /// Everything that was noticed, apparatus files first.
    pub diagnostics: Vec<Diagnostic>,
}

/// Files of the user's own that are found in one place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Group {
    /// Machines.
    pub apparatus: Vec<Arc<Source>>,
    /// Movements.
    pub catalogue: Vec<Arc<Source>>,
    /// Blocks and series kept by name; they are read with the class.
    pub blocks: Vec<Arc<Source>>,
    /// Labels of springs.
    pub labels: Vec<Arc<Source>>,
}

impl Group {
    /// Its files, kind by kind.
    pub fn files(&self) -> [(&'static str, &Vec<Arc<Source>>); 4] {
        [
            ("apparatus", &self.apparatus),
            ("catalogue", &self.catalogue),
            ("blocks", &self.blocks),
            ("labels", &self.labels),
        ]
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.files().iter().all(|(_, files)| files.is_empty())
    }
}

/// Reads the built-in files, then the groups of the user's own, the nearest last. What has the id of something in a group before it takes its
/// place; inside a group, and by another id, a name stands once: a second is refused with both places.
pub fn models(groups: &[Group]) -> Models {
    let mut diagnostics = Vec::new();
    let machines = Machines::of(groups, &mut diagnostics);
    let mut all = vec![catalogue_sources()];
    all.extend(groups.iter().map(|g| g.catalogue.clone()));
    let mut log = Vec::new();
    let movements = movements(&all, &mut log);
    let own = |m: &&Movement| {
        let files = all[1..].iter().flatten();
        files.into_iter().any(|s| Arc::ptr_eq(s, &m.span.source))
    };
    let whole = movements.whole.iter();
    for movement in whole.chain(&movements.broken).filter(own) {
        known_to_machines(movement, &machines.read, &mut log);
    }
    sort_by_place(&mut log);
    diagnostics.extend(log);
    Models {
        apparatus: machines.read,
        apparatus_files: machines.files,
        catalogue: movements.whole,
        diagnostics,
    }
}

/// Machines as they are read, each with its file and the number of its group.
#[derive(Default)]
struct Machines {
    read: Vec<Apparatus>,
    files: Vec<Arc<Source>>,
    groups: Vec<usize>,
}

impl Machines {
    /// The built-in ones, then those of the groups.
    fn of(groups: &[Group], log: &mut Vec<Diagnostic>) -> Self {
        let shipped = apparatus_sources();
        let own = groups.iter().flat_map(|group| &group.apparatus);
        let files: Vec<&Arc<Source>> = shipped.iter().chain(own).collect();
        let mut read = side_by_side(&files, |source| apparatus(source)).into_iter();
        let mut machines = Self::default();
        for (source, read) in shipped.iter().zip(&mut read) {
            machines.add(source, read, 0, log);
        }
        for (g, group) in groups.iter().enumerate() {
            for (source, read) in group.apparatus.iter().zip(&mut read) {
                machines.add(source, read, g + 1, log);
            }
            labels(&group.labels, &mut machines.read, log);
        }
        machines.nearest_first();
        machines
    }

    fn add(
        &mut self,
        source: &Arc<Source>,
        read: Read<Apparatus>,
        group: usize,
        log: &mut Vec<Diagnostic>,
    ) {
        log.extend(read.diagnostics);
        let Some(machine) = read.value else { return };
        let (id, name) = (fold(&machine.id), fold(&machine.name));
        let each = self.read.iter().zip(&self.groups);
        let replaced = each
            .clone()
            .position(|(m, &g)| fold(&m.id) == id && g < group);
        let clash = each.enumerate().position(|(k, (m, _))| {
            Some(k) != replaced && (fold(&m.id) == id || fold(&m.name) == name)
        });
        match (clash, replaced) {
            (Some(first), _) => log.push(
                Diagnostic::mistake(
                    Code::Duplicate,
                    id_place(source),
                    format!("there are two machines `{}`", machine.id),
                    "the second",
                    "give one of them another id and name; a nearer machine overrides a farther one with the same id (`segue files` shows which)",
                )
                .and(id_place(&self.files[first]), "the first"),
            ),
            (None, Some(k)) => {
                self.read[k] = machine;
                self.files[k] = Arc::clone(source);
                self.groups[k] = group;
            }
            (None, None) => {
                self.read.push(machine);
                self.files.push(Arc::clone(source));
                self.groups.push(group);
            }
        }
    }

    /// The first machine of the nearest group that has any becomes the default.
    fn nearest_first(&mut self) {
        let Some(nearest) = self.groups.iter().max() else {
            return;
        };
        let first = self.groups.iter().position(|g| g == nearest).unwrap_or(0);
        self.read[..=first].rotate_right(1);
        self.files[..=first].rotate_right(1);
        self.groups[..=first].rotate_right(1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(name: &str, text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: name.into(),
            text: text.into(),
        })
    }

    fn machine(name: &str, id: &str) -> Arc<Source> {
        let text = APPARATUS[1]
            .1
            .replace("id = \"orchard\"", &format!("id = \"{id}\""));
        source(name, &text)
    }

    #[test]
    fn what_is_nearer_takes_the_place_of_what_has_its_id_and_comes_first() {
        let far = Group {
            apparatus: vec![machine("far", "orchard")],
            ..Group::default()
        };
        let read = models(std::slice::from_ref(&far));
        assert_eq!(read.diagnostics, []);
        assert_eq!(read.apparatus.len(), APPARATUS.len());
        assert_eq!(read.apparatus[0].id, "orchard");
        assert_eq!(read.apparatus_files[0].name, "far");
        let near = Group {
            apparatus: vec![machine("near", "orchard")],
            ..Group::default()
        };
        let read = models(&[far.clone(), near]);
        assert_eq!(read.apparatus_files[0].name, "near");
        // The same name under another id, and the same id twice in one place, are slips.
        for group in [
            Group {
                apparatus: vec![machine("other", "attic")],
                ..Group::default()
            },
            Group {
                apparatus: vec![machine("a", "orchard"), machine("b", "orchard")],
                ..Group::default()
            },
        ] {
            let told = models(&[group]).diagnostics;
            assert_eq!(told.len(), 1, "{told:?}");
            assert_eq!(told[0].code, Code::Duplicate);
        }
    }

    #[test]
    fn a_movement_of_ones_own_takes_the_place_of_the_one_with_its_id_and_is_found_by_both_names() {
        let shipped = catalogue_sources();
        let family = shipped
            .iter()
            .find(|s| s.text.contains("id = \"elephant\""));
        let family = family.expect("there is an elephant");
        let rename = |text: &str| text.replace("name = \"Elephant\"", "name = \"Our elephant\"");
        let group = Group {
            catalogue: vec![source("own", &rename(&family.text))],
            ..Group::default()
        };
        let read = models(&[group]);
        assert_eq!(read.diagnostics, []);
        let elephant = read.catalogue.get("elephant").expect("it is there");
        assert_eq!(elephant.name, "Our elephant");
        assert_eq!(elephant.span.source.name, "own");
        let names = crate::read::index::Names::of(&read.catalogue);
        assert_eq!(
            names.find("Elephant").map(|m| m.id.as_str()),
            Some("elephant")
        );
    }

    #[test]
    fn labels_change_what_springs_are_called_on_machines_from_as_far() {
        let group = |labels: &str| Group {
            labels: vec![source("labels.toml", labels)],
            ..Group::default()
        };
        let label = |models: &Models, class: &str| {
            let harbour = models.apparatus.iter().find(|m| m.id == "harbour");
            let classes = &harbour.expect("it is there").springs.classes;
            classes
                .iter()
                .find(|c| c.name == class)
                .map(|c| c.label.clone())
        };
        let far = group("[harbour]\nheavy = \"brick\"\nmedium = \"plank\"\n");
        let near = group("[harbour]\nheavy = \"wall\"\n");
        let read = models(&[far, near]);
        assert_eq!(read.diagnostics, []);
        assert_eq!(label(&read, "heavy").as_deref(), Some("wall"));
        assert_eq!(label(&read, "medium").as_deref(), Some("plank"));
        let told = models(&[group("[harbor]\nheavy = \"a\"\n[lantern]\nhevy = \"b\"\n")]);
        assert_eq!(told.diagnostics.len(), 2, "{:?}", told.diagnostics);
        assert!(told.diagnostics[0].mend.contains("`harbour`"));
        let twice = models(&[group("[harbour]\nheavy = \"x\"\nmedium = \"x\"\n")]);
        assert_eq!(twice.diagnostics[0].code, Code::Duplicate);
    }
}
