//! Run sheets as files: all refusals before the search begins; written beside and renamed, so that no file is ever half written.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use super::args::Paper;
use super::ending::Refusal;
use crate::model::date::Date;
use crate::page::format::{Density, FileFormat};
use crate::session::render::{Document, render};

/// The files that were asked for, each with its form.
pub(super) struct Files {
    wanted: Vec<(PathBuf, FileFormat)>,
    force: bool,
    density: Density,
}

impl Files {
    /// The files, if all of them can be written as far as can be told now.
    ///
    /// # Errors
    /// Everything that speaks against it, all at once.
    pub(super) fn new(asked: &[PathBuf], force: bool, density: Density) -> Result<Self, Refusal> {
        let mut wrong = Vec::new();
        let mut wanted: Vec<(PathBuf, FileFormat)> = Vec::new();
        for file in asked {
            let shown = file.display();
            match FileFormat::of(file) {
                None => wrong.push(format!(
                    "{shown}: the ending says what is written; it must be {}",
                    FileFormat::endings(|_| true)
                )),
                Some(_) if wanted.iter().any(|(f, _)| f == file) => {
                    wrong.push(format!("{shown} is named twice"));
                }
                Some(form) => wanted.push((file.clone(), form)),
            }
            if file.is_dir() {
                wrong.push(format!("{shown} is a folder"));
            } else if file.exists() && !force {
                wrong.push(format!(
                    "{shown} is there already; with --force it is overwritten"
                ));
            }
            if !folder(file).is_dir() {
                wrong.push(format!(
                    "{shown}: there is no folder {}",
                    folder(file).display()
                ));
            }
        }
        if wrong.is_empty() {
            Ok(Self {
                wanted,
                force,
                density,
            })
        } else {
            Err(Refusal::Usage(wrong.join("\n       ")))
        }
    }

    /// The same, from the command line.
    ///
    /// # Errors
    /// As [`Files::new`].
    pub(super) fn of(paper: &Paper) -> Result<Self, Refusal> {
        let density = if paper.glance {
            Density::Glance
        } else {
            Density::Full
        };
        Self::new(&paper.out, paper.force, density)
    }

    /// Refuses to write over a class that is read, even where files may be overwritten.
    ///
    /// # Errors
    /// Each file that is one.
    pub(super) fn spare(&self, classes: &[&Path]) -> Result<(), Refusal> {
        let real: Vec<PathBuf> = classes
            .iter()
            .filter_map(|c| c.canonicalize().ok())
            .collect();
        let is_class = |file: &Path| file.canonicalize().is_ok_and(|f| real.contains(&f));
        let wrong: Vec<String> = (self.wanted.iter())
            .filter(|(file, _)| is_class(file))
            .map(|(file, _)| {
                format!(
                    "{} is the class itself; write to another file",
                    file.display()
                )
            })
            .collect();
        all_well(&wrong)
    }

    /// Whether no file was asked for.
    pub(super) fn none(&self) -> bool {
        self.wanted.is_empty()
    }

    /// Refuses a calendar of a class without a date.
    ///
    /// # Errors
    /// What the brief lacks.
    pub(super) fn fit(&self, date: Option<Date>) -> Result<(), Refusal> {
        let calendar = self.wanted.iter().find(|(_, f)| *f == FileFormat::Calendar);
        match (calendar, date) {
            (Some((file, _)), None) => Err(Refusal::Usage(format!(
                "{}: a calendar needs to know when the class is; write `date = 2026-03-12` or `date = 2026-03-12T12:30:00` in the class",
                file.display()
            ))),
            (Some(_), Some(_)) | (None, _) => Ok(()),
        }
    }

    /// Refuses pictures, where only a part of a class is there to be drawn.
    ///
    /// # Errors
    /// The first of them.
    pub(super) fn hold_no_picture(&self) -> Result<(), Refusal> {
        match self
            .wanted
            .iter()
            .find(|(_, form)| *form == FileFormat::Picture)
        {
            Some((file, _)) => Err(Refusal::Usage(format!(
                "{}: a picture shows a whole class, not the rest of one",
                file.display()
            ))),
            None => Ok(()),
        }
    }

    /// Refuses forms that hold one class alone.
    ///
    /// # Errors
    /// Each file of such a form.
    pub(super) fn hold_several(&self) -> Result<(), Refusal> {
        let alone = self.wanted.iter().filter(|(_, form)| !form.holds_several());
        let wrong: Vec<String> = alone
            .map(|(file, _)| {
                format!(
                    "{}: this form holds one class; several go into {}",
                    file.display(),
                    FileFormat::endings(FileFormat::holds_several)
                )
            })
            .collect();
        all_well(&wrong)
    }

    /// Writes them all. Names what was written.
    ///
    /// # Errors
    /// Each file that could not be written, and why; the others are written.
    pub(super) fn write(&self, document: &Document<'_>) -> Result<Vec<String>, String> {
        let (mut names, mut wrong) = (Vec::new(), Vec::new());
        for (file, form) in &self.wanted {
            let shown = file.display();
            let written = render(document, *form, self.density).and_then(|drawn| {
                put(file, &drawn.bytes, self.force)?;
                Ok(drawn.lacking)
            });
            match written {
                Ok(lacking) if lacking.is_empty() => names.push(shown.to_string()),
                Ok(lacking) => names.push(format!(
                    "{shown} (a sign stands for letters that its face lacks: {})",
                    lacking.iter().collect::<String>()
                )),
                Err(why) => wrong.push(format!("{shown} could not be written: {why}")),
            }
        }
        if wrong.is_empty() {
            Ok(names)
        } else {
            Err(wrong.join("\n       "))
        }
    }
}

/// All that is wrong with what was asked, in one refusal.
fn all_well(wrong: &[String]) -> Result<(), Refusal> {
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(Refusal::Usage(wrong.join("\n       ")))
    }
}

/// Writes a file beside its place and renames it there.
pub(super) fn put(file: &Path, bytes: &[u8], force: bool) -> Result<(), String> {
    let mut making = tempfile::Builder::new();
    making.prefix(".segue-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file: what the user's mask leaves of it.
        making.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut beside = making
        .tempfile_in(folder(file))
        .map_err(|e| e.to_string())?;
    beside.write_all(bytes).map_err(|e| e.to_string())?;
    let put = if force {
        beside.persist(file)
    } else {
        beside.persist_noclobber(file)
    };
    put.map(|_| ()).map_err(|e| e.error.to_string())
}

/// The folder that a file stands in.
fn folder(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    }
}
