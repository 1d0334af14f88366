//! Which files of one's own are in force, and from where: `files --json`.

use serde::Serialize;

use crate::exchange::version::{VERSION, Version};
use crate::report::own_files;

/// Files of one's own: what `files --json` prints, nearest first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Files {
    /// The version of this format.
    pub segue_files: Version,
    /// Id of the machine of a class that names none.
    pub default_machine: String,
    /// Where files may lie.
    pub places: Vec<Shelf>,
}

impl Files {
    /// These places, nearest first.
    pub fn new(shelves: &[own_files::Shelf], default_machine: &str) -> Self {
        Self {
            segue_files: VERSION,
            default_machine: default_machine.to_owned(),
            places: shelves.iter().map(Shelf::from).collect(),
        }
    }
}

/// A place where files may lie.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Shelf {
    /// Which place it is.
    pub place: String,
    /// None for what comes with segue.
    pub folder: Option<String>,
    /// Whether the folder is there.
    pub there: bool,
    /// What lies in it.
    pub files: Vec<ShelfFile>,
}

impl From<&own_files::Shelf> for Shelf {
    fn from(shelf: &own_files::Shelf) -> Self {
        Self {
            place: shelf.what.to_owned(),
            folder: shelf.folder.clone(),
            there: shelf.there,
            files: shelf.files.iter().map(ShelfFile::from).collect(),
        }
    }
}

/// A file of one's own.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct ShelfFile {
    /// Its name.
    pub file: String,
    /// The folder for its kind: `apparatus`, `catalogue`, `blocks` or `labels`.
    pub kind: String,
    /// What it gives.
    pub gives: Vec<Given>,
}

impl From<&own_files::ShelfFile> for ShelfFile {
    fn from(file: &own_files::ShelfFile) -> Self {
        Self {
            file: file.name.clone(),
            kind: file.kind.to_owned(),
            gives: file.gives.iter().map(Given::from).collect(),
        }
    }
}

/// One thing that a file gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Given {
    /// What it is, in words.
    pub gives: String,
    /// Whether nothing nearer stands in its place.
    pub in_force: bool,
}

impl From<&own_files::Given> for Given {
    fn from(given: &own_files::Given) -> Self {
        Self {
            gives: given.says.clone(),
            in_force: given.in_force,
        }
    }
}
