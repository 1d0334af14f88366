//! Run sheets as files: all refusals before the search begins; written beside and renamed, so that no file is ever half written.

use std::collections::HashSet;
use std::io::Write as _;
use std::path::{Component, Path, PathBuf};

use super::args::Paper;
use super::ending::Refusal;
use super::voice::Voice;
use crate::model::date::Date;
use crate::page::format::{Density, FileFormat};
use crate::session::render::{Document, render};

/// The files that were asked for, each with its form.
pub(super) struct Files {
    wanted: Vec<(PathBuf, FileFormat)>,
    force: bool,
    density: Density,
}

/// What came of writing them.
#[derive(Debug, Default)]
pub(super) struct Written {
    /// What was written.
    pub(super) names: Vec<String>,
    /// What was there already and is left as it was, since the plan was interrupted.
    pub(super) kept: Vec<String>,
    /// What could not be written, and why.
    pub(super) wrong: Vec<String>,
}

impl Written {
    /// Whether a sheet is in a file, and nothing that was asked for is missing.
    pub(super) fn all_well(&self) -> bool {
        self.wrong.is_empty() && !self.names.is_empty()
    }

    /// Says what was left as it was.
    ///
    /// # Errors
    /// What could not be written.
    pub(super) fn told(self, voice: Voice) -> Result<(), Refusal> {
        for kept in self.kept {
            voice.complain(&kept);
        }
        all_well(self.wrong)
    }
}

impl Files {
    /// The files, if they can be written as far as can be told now. Where a folder is not there the others are written all the same, and
    /// that is said before a search begins.
    ///
    /// # Errors
    /// Everything that speaks against it, all at once.
    pub(super) fn of(paper: &Paper, voice: Voice) -> Result<Self, Refusal> {
        let (mut wrong, mut lost) = (Vec::new(), Vec::new());
        let mut wanted: Vec<(PathBuf, FileFormat)> = Vec::new();
        let mut places = HashSet::new();
        for file in &paper.out {
            let shown = file.display();
            match FileFormat::of(file) {
                None => wrong.push(format!(
                    "{shown}: the ending sets the format; it must be {}",
                    FileFormat::endings(|_| true)
                )),
                Some(_) if !places.insert(place(file)) => {
                    wrong.push(format!("{shown} is named twice"));
                }
                Some(form) => wanted.push((file.clone(), form)),
            }
            match there(file) {
                There::File if !paper.force => {
                    wrong.push(format!("{shown} already exists; --force overwrites it"));
                }
                There::Other(what) => wrong.push(format!("{shown} {what}")),
                There::Nothing if !folder(file).is_dir() => lost.push(no_folder(file)),
                There::File | There::Nothing => {}
            }
        }
        if !wrong.is_empty() || (lost.len() == paper.out.len() && !lost.is_empty()) {
            wrong.append(&mut lost);
            return Err(Refusal::Several(wrong));
        }
        for lost in lost {
            voice.complain(&format!("{lost}; the others are written"));
        }
        Ok(Self {
            wanted,
            force: paper.force,
            density: if paper.glance {
                Density::Glance
            } else {
                Density::Full
            },
        })
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
        all_well(wrong)
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
        all_well(wrong)
    }

    /// Writes those that can be written. `interrupted`: the plan is not what would have come of it, so that no file that is there already
    /// gives way to it.
    pub(super) fn write(&self, document: &Document<'_>, interrupted: bool) -> Written {
        let mut written = Written::default();
        for (file, form) in &self.wanted {
            let shown = file.display();
            if interrupted && there(file) == There::File {
                written.kept.push(format!(
                    "{shown} is left as it was, since the plan was interrupted"
                ));
                continue;
            }
            let put = render(document, *form, self.density).and_then(|drawn| {
                put(file, &drawn.bytes, self.force)?;
                Ok(drawn.lacking)
            });
            match put {
                Ok(lacking) if lacking.is_empty() => written.names.push(shown.to_string()),
                Ok(lacking) => written.names.push(format!(
                    "{shown} (letters missing from its font are replaced by a sign: {})",
                    lacking
                        .iter()
                        .map(char::to_string)
                        .collect::<Vec<_>>()
                        .join(" ")
                )),
                Err(why) => written
                    .wrong
                    .push(format!("{shown} could not be written: {why}")),
            }
        }
        written
    }
}

/// All that is wrong with what was asked, in one refusal.
fn all_well(wrong: Vec<String>) -> Result<(), Refusal> {
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(Refusal::Several(wrong))
    }
}

/// What stands at a place already.
#[derive(Debug, PartialEq, Eq)]
enum There {
    /// Nothing.
    Nothing,
    /// A file, or a link to one.
    File,
    /// What nothing can be written to: what it is, as a sentence goes on.
    Other(String),
}

fn there(file: &Path) -> There {
    match std::fs::metadata(file) {
        Ok(about) if about.is_file() => There::File,
        Ok(about) if about.is_dir() => There::Other("is a folder".to_owned()),
        Ok(_) => There::Other(
            "is a pipe or a device, and a run sheet goes into a file; to pass it on, print it: segue plan CLASS | ..."
                .to_owned(),
        ),
        Err(_) => match std::fs::read_link(file) {
            Ok(target) => There::Other(format!("is a link to {}, which is not there", target.display())),
            Err(_) => There::Nothing,
        },
    }
}

/// One name for each place, however it is written.
fn place(file: &Path) -> PathBuf {
    let whole = file.canonicalize().ok();
    let in_folder = || {
        let name = file.file_name()?;
        Some(folder(file).canonicalize().ok()?.join(name))
    };
    // Where not even the folder is there, at least `.` and `..` are no difference.
    whole.or_else(in_folder).unwrap_or_else(|| {
        let mut plain = PathBuf::new();
        for part in file.components() {
            match part {
                Component::CurDir => {}
                Component::ParentDir if plain.file_name().is_some() => {
                    plain.pop();
                }
                _ => plain.push(part),
            }
        }
        plain
    })
}

fn no_folder(file: &Path) -> String {
    format!(
        "{} cannot be written: there is no folder {}",
        file.display(),
        folder(file).display()
    )
}

/// Writes a file beside its place and renames it there. A link stays one: what it leads to is written.
///
/// # Errors
/// Why it could not be written, as a sentence goes on. Then nothing is left of it.
pub(super) fn put(file: &Path, bytes: &[u8], force: bool) -> Result<(), String> {
    if let There::Other(what) = there(file) {
        return Err(format!("it {what}"));
    }
    if !folder(file).is_dir() {
        return Err(format!("there is no folder {}", folder(file).display()));
    }
    let real = file.canonicalize().unwrap_or_else(|_| file.to_owned());
    within_the_longest(bytes)?;
    let mut making = tempfile::Builder::new();
    making.prefix(".segue-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file: what the user's mask leaves of it.
        making.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut beside = making
        .tempfile_in(folder(&real))
        .map_err(|e| e.to_string())?;
    beside.write_all(bytes).map_err(|e| e.to_string())?;
    if let Ok(before) = std::fs::metadata(&real) {
        // Who may read it does not change with what stands in it.
        let kept = beside.as_file().set_permissions(before.permissions());
        kept.map_err(|e| e.to_string())?;
    }
    let put = if force {
        beside.persist(&real)
    } else {
        beside.persist_noclobber(&real)
    };
    put.map(|_| ()).map_err(|e| e.error.to_string())
}

/// Whether a file of this length may be written at all: where it may not, the system ends a program that tries, in the middle of a file.
fn within_the_longest(bytes: &[u8]) -> Result<(), String> {
    #[cfg(unix)]
    {
        use rustix::process::{Resource, getrlimit};
        let longest = getrlimit(Resource::Fsize).current;
        if let Some(longest) = longest.filter(|&most| bytes.len() as u64 > most) {
            return Err(format!(
                "it has {} bytes, and this system allows files of at most {longest} (ulimit -f)",
                bytes.len()
            ));
        }
    }
    Ok(())
}

/// The folder that a file stands in.
fn folder(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    }
}
