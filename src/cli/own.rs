//! Files of the user's own: where they are looked for, the nearest winning.
//!
//! From far to near: what comes with segue; the user's folder (`segue` in the folder for settings: `$XDG_CONFIG_HOME`, else `~/.config`, and what stands for it on other
//! systems); the folder `segue` beside the class; the folder of `--models`. Each may hold `apparatus`, `catalogue`, `blocks` and `labels`.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use etcetera::{BaseStrategy as _, choose_base_strategy};

use super::ending::Refusal;
use super::inputs::{STANDARD_INPUT, class, text};
use super::interrupt;
use crate::answer::class::Text;
use crate::diagnostic::{Code, Diagnostic};
use crate::read::brief::Known;
use crate::read::built_in::{self, Group};
use crate::session::Session;
use crate::session::studio::Studio;
use crate::source::Source;

/// The name of the folder, in the user's settings and beside a class.
const FOLDER: &str = "segue";

/// A place with files of the user's own.
#[derive(Debug, Clone)]
pub(super) struct Place {
    /// What it is, for people.
    pub(super) what: &'static str,
    /// Its folder, whether it is there or not.
    pub(super) folder: PathBuf,
    /// What was found in it.
    pub(super) files: Group,
}

/// Movements, machines and blocks, with what was noticed while they were read.
pub(super) struct Models {
    /// What a brief is read against.
    pub(super) known: Known,
    /// The file of each machine.
    pub(super) apparatus_files: Vec<Arc<Source>>,
    /// Notes; a mistake ends the work.
    pub(super) diagnostics: Vec<Diagnostic>,
}

impl Models {
    /// What is known, if there is no mistake.
    ///
    /// # Errors
    /// All that was noticed.
    pub(super) fn sound(self) -> Result<Known, Refusal> {
        if self.diagnostics.iter().any(Diagnostic::is_mistake) {
            return Err(Refusal::Mistakes(self.diagnostics));
        }
        Ok(self.known)
    }
}

/// The places for a class, from far to near, and what could not be read in them. Without a class (and for one on standard input) the
/// folder that one works in stands for the one beside it.
pub(super) fn places(asked: Option<&Path>, class: Option<&Path>) -> (Vec<Place>, Vec<Diagnostic>) {
    let mut log = Vec::new();
    let settings = choose_base_strategy().ok();
    let users = settings.map(|s| s.config_dir().join(FOLDER));
    let class = class.filter(|c| c.as_os_str() != STANDARD_INPUT);
    let beside = class.and_then(Path::parent).unwrap_or(Path::new(""));
    let mut found = Vec::new();
    let wanted = [
        ("your folder", users),
        ("beside the class", Some(beside.join(FOLDER))),
        ("given with --models", asked.map(Path::to_owned)),
    ];
    for (what, folder) in wanted {
        let Some(folder) = folder else { continue };
        // A folder that is two of these is the nearer one.
        if let Ok(same) = folder.canonicalize() {
            found.retain(|p: &Place| p.folder.canonicalize().ok().as_ref() != Some(&same));
        }
        let mut of = |kind: &str| texts_in(&folder.join(kind), &mut log);
        let files = Group {
            apparatus: of("apparatus"),
            catalogue: of("catalogue"),
            blocks: of("blocks"),
            labels: of("labels"),
        };
        let n: usize = files.files().iter().map(|(_, files)| files.len()).sum();
        tracing::info!(place = what, folder = ?folder, files = n, "searched for own files");
        found.push(Place {
            what,
            folder,
            files,
        });
    }
    if let Some(asked) = asked
        && log.is_empty()
        && found.last().is_some_and(|place| place.files.is_empty())
    {
        log.push(Diagnostic::nowhere(
            Code::Unreadable,
            format!("{} holds no files of your own", asked.display()),
            "put .toml files in its folders `catalogue`, `apparatus`, `blocks` or `labels`",
        ));
    }
    (found, log)
}

/// What is known with the files of these places.
pub(super) fn models(places: &[Place]) -> Models {
    let groups: Vec<Group> = places.iter().map(|p| p.files.clone()).collect();
    let read = built_in::models(&groups);
    // Blocks are looked up from near to far.
    let kept_blocks = groups.into_iter().rev().map(|g| g.blocks).collect();
    Models {
        known: Known {
            catalogue: read.catalogue,
            apparatus: read.apparatus,
            kept_blocks,
        },
        apparatus_files: read.apparatus_files,
        diagnostics: read.diagnostics,
    }
}

/// What is known for a class.
///
/// # Errors
/// Everything that is wrong with the files.
pub(super) fn known(asked: Option<&Path>, class: Option<&Path>) -> Result<Known, Refusal> {
    let (places, mut log) = places(asked, class);
    let mut models = models(&places);
    log.append(&mut models.diagnostics);
    models.diagnostics = log;
    models.sound()
}

/// The class of a file.
///
/// # Errors
/// Mistakes in the models or in the class, or the file cannot be read.
pub(super) fn session(path: &Path, asked: Option<&Path>) -> Result<Session, Refusal> {
    let studio = Studio::new(known(asked, Some(path))?);
    let text = Arc::new(class(path)?);
    let session = Session::open(&studio, text, None).map_err(Refusal::Mistakes)?;
    interrupt::heed();
    Ok(session)
}

/// The classes of several files, each by `open`. What is wrong with any of them is told before anything is done with the first, and what is
/// known in one folder is read once.
///
/// # Errors
/// The mistakes of all, or the first other refusal.
pub(super) fn sessions<T>(
    paths: &[PathBuf],
    asked: Option<&Path>,
    open: impl Fn(&Studio, Arc<Text>) -> Result<T, Refusal>,
) -> Result<Vec<T>, Refusal> {
    let mut studios: Vec<(Option<&Path>, Studio)> = Vec::new();
    let mut opened = Vec::new();
    let mut mistakes: Vec<Diagnostic> = Vec::new();
    for path in paths {
        let folder = path.parent();
        let mut read = || {
            let known_here = studios.iter().find(|(of, _)| *of == folder);
            let studio = match known_here {
                Some((_, studio)) => studio.clone(),
                None => {
                    let studio = Studio::new(known(asked, Some(path))?);
                    studios.push((folder, studio.clone()));
                    studio
                }
            };
            open(&studio, Arc::new(class(path)?))
        };
        match read() {
            Ok(one) => opened.push(one),
            Err(Refusal::Mistakes(more)) => {
                // Mistakes in the user's files are told once.
                let new: Vec<Diagnostic> =
                    more.into_iter().filter(|d| !mistakes.contains(d)).collect();
                mistakes.extend(new);
            }
            Err(other) => return Err(other),
        }
    }
    if mistakes.is_empty() {
        interrupt::heed();
        Ok(opened)
    } else {
        Err(Refusal::Mistakes(mistakes))
    }
}

/// All .toml files of a folder, by name; none if there is no such folder.
fn texts_in(folder: &Path, diagnostics: &mut Vec<Diagnostic>) -> Vec<Arc<Source>> {
    if !folder.exists() {
        return Vec::new();
    }
    let listed = std::fs::read_dir(folder).and_then(Iterator::collect::<Result<Vec<_>, _>>);
    let mut paths: Vec<PathBuf> = match listed {
        Ok(entries) => entries.into_iter().map(|e| e.path()).collect(),
        Err(e) => {
            diagnostics.push(Diagnostic::nowhere(
                Code::Unreadable,
                format!("{} cannot be read: {e}", folder.display()),
                "check that it is a folder and that you may read it",
            ));
            return Vec::new();
        }
    };
    paths.retain(|p| p.extension() == Some(OsStr::new("toml")));
    paths.sort();
    let mut sources = Vec::new();
    for path in paths {
        match text(&path) {
            Ok(source) => sources.push(source),
            Err(d) => diagnostics.push(d),
        }
    }
    sources
}
