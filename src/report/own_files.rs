//! The user's files on paper: place by place, what each file gives and what a nearer file overrides.

use super::section::{Line, Section};
use crate::lesson::wording::capital;

/// A place where files are looked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shelf {
    /// What it is.
    pub what: &'static str,
    /// Its folder; none for what comes with segue.
    pub folder: Option<String>,
    /// Whether the folder is there.
    pub there: bool,
    /// Its files.
    pub files: Vec<ShelfFile>,
}

/// A file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfFile {
    /// Its name.
    pub name: String,
    /// What kind of file it is: the name of the folder.
    pub kind: &'static str,
    /// What it gives.
    pub gives: Vec<Given>,
}

/// Something that a file gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// What it is.
    pub says: String,
    /// Whether nothing nearer overrides it.
    pub in_force: bool,
}

/// Up to this many movements of a file are named.
const NAMED: usize = 5;

/// The places as sections, in the order given. `default`: id of the machine of a class that names none.
pub fn sections(shelves: &[Shelf], default: &str) -> Vec<Section> {
    let mut sections: Vec<Section> = shelves.iter().map(section).collect();
    sections.push(Section {
        heading: "What applies".into(),
        lines: vec![
            Line::plain(format!(
                "A class that names no machine is planned on {default}."
            )),
            Line::plain("Nearer files (above) override farther ones with the same id or name."),
        ],
    });
    sections
}

fn section(shelf: &Shelf) -> Section {
    let heading = match &shelf.folder {
        Some(folder) => format!("{}: {folder}", capital(shelf.what)),
        None => capital(shelf.what),
    };
    let mut lines: Vec<Line> = shelf.files.iter().map(file).collect();
    if lines.is_empty() {
        lines.push(Line::plain(if shelf.there {
            "No files in its folders apparatus, catalogue, blocks and labels."
        } else {
            "There is no such folder."
        }));
    }
    Section { heading, lines }
}

fn file(file: &ShelfFile) -> Line {
    let in_force: Vec<&str> = (file.gives.iter())
        .filter(|g| g.in_force)
        .map(|g| g.says.as_str())
        .collect();
    let said = if file.kind == "catalogue" && in_force.len() > NAMED {
        format!("{} movements", in_force.len())
    } else if in_force.is_empty() {
        "nothing that applies".to_owned()
    } else {
        in_force.join("; ")
    };
    let mut line = Line::plain(format!("{}: {said}", file.name));
    line.under = (file.gives.iter())
        .filter(|g| !g.in_force)
        .map(|g| format!("{}: overridden by a nearer file", g.says))
        .collect();
    line
}
