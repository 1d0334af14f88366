//! `segue plan`: a class in, its run sheet out.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use super::args::Plan;
use super::ending::Refusal;
use super::inputs;
use super::outputs::{Files, Written};
use super::own;
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::machines::Own;
use crate::answer::planned::Answer;
use crate::diagnostic::Diagnostic;
use crate::report::detail::Detail;
use crate::report::drawn::Drawn;
use crate::report::json::{indented, plan::Plan as Report};
use crate::report::timeline::{Timeline, timeline};
use crate::report::{compared, section, sheet};
use crate::search::budget::Limits;
use crate::search::outcome::Progress;
use crate::session::Session;
use crate::session::render::Document;

/// A teacher waits no longer for a plan, unless told otherwise; what is not settled then is said on the sheet.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);
/// Letters of the longest title of a document that names all its classes.
const LONGEST_TITLE: usize = 60;

/// A class with its answer.
struct Planned {
    answer: Answer,
    sheet: sheet::Sheet,
    report: Report,
    ending: Ending,
}

/// Reads, plans, prints.
///
/// # Errors
/// Mistakes in the files or in the usage; those of all classes at once.
pub fn run(args: &Plan, voice: Voice) -> Result<Ending, Refusal> {
    let files = Files::of(&args.paper, voice)?;
    if args.briefs.len() > 1 {
        files.hold_several()?;
    }
    let read: Vec<&Path> = args.briefs.iter().map(PathBuf::as_path).collect();
    files.spare(&read)?;
    let limits = patient(&args.search, PATIENCE)?;
    let classes = self::read(args, &files)?;
    let mut planned = Vec::new();
    for (k, read) in classes.iter().enumerate() {
        if limits.cancelled() && !planned.is_empty() {
            break;
        }
        let left = u32::try_from(classes.len() - k).unwrap_or(u32::MAX);
        planned.push(class(read, &limits.share_of_time(left), voice));
    }
    let as_json = || match (&planned[..], args.briefs.len()) {
        ([one], 1) => indented(&one.report),
        (all, _) => indented(&all.iter().map(|p| &p.report).collect::<Vec<_>>()),
    };
    // Without an order there is nothing to teach from, and so nothing in a file.
    let taught: Vec<&Planned> = planned.iter().filter(|p| p.answer.best.is_some()).collect();
    let written = (!files.none() && !taught.is_empty()).then(|| {
        let sheets: Vec<sheet::Sheet> = taught.iter().map(|p| p.sheet.clone()).collect();
        let document = Document {
            title: &together(&sheets),
            sheets: &sheets,
            json: &as_json,
            timelines: &|| taught.iter().map(|p| drawn(&p.answer)).collect(),
        };
        files.write(&document, limits.cancelled())
    });
    let text = if args.json {
        as_json()
    } else {
        shown(&planned, written.as_ref(), args, voice)
    };
    voice.answer(&text)?;
    if planned.len() < args.briefs.len() {
        voice.complain(&format!(
            "interrupted before {} of {} classes were planned",
            args.briefs.len() - planned.len(),
            args.briefs.len()
        ));
    }
    if !files.none() && taught.len() < planned.len() {
        voice.complain(&match (args.briefs.len(), taught.len()) {
            (1, _) => "no order, so no file is written".to_owned(),
            (_, n) => without_order(&planned, n),
        });
    }
    if let Some(written) = written {
        written.told(voice)?;
    }
    let endings = planned.into_iter().map(|one| one.ending);
    Ok(endings.fold(Ending::Done, Ending::worse))
}

/// The timeline of an answer that has an order.
fn drawn(answer: &Answer) -> Option<Timeline> {
    let best = answer.best.as_ref()?;
    Some(timeline(&answer.brief, &answer.compiled, best))
}

/// Of several classes those that are in no file.
fn without_order(planned: &[Planned], taught: usize) -> String {
    let (missing, all) = (planned.len() - taught, planned.len());
    let none = |p: &&Planned| p.answer.best.is_none();
    if (planned.iter().filter(none)).all(|p| p.answer.outcome.proven()) {
        format!("{missing} of {all} classes have no order and are in no file")
    } else {
        format!("no order was found for {missing} of {all} classes, which are in no file")
    }
}

/// A class that was read, and the same on the machine that was asked for.
enum Read {
    /// On its own machine.
    Own(Session),
    /// On another; it need not be a class on its own.
    Other(Session, Box<Result<Session, Vec<Diagnostic>>>),
}

/// All classes. What is wrong with any of them is told before the first is planned.
fn read(args: &Plan, files: &Files) -> Result<Vec<Read>, Refusal> {
    let machine = (args.apparatus.as_deref())
        .map(inputs::machine)
        .transpose()
        .map_err(Refusal::Mistakes)?;
    own::sessions(&args.briefs, args.own.models.as_deref(), |studio, text| {
        let own = Session::open(studio, Arc::clone(&text), None);
        if let Ok(own) = &own {
            files.fit(own.class.brief.date)?;
        }
        match &machine {
            None => own.map(Read::Own).map_err(Refusal::Mistakes),
            // The class is read for its own machine before this one, which may carry its id, comes in.
            Some(machine) => {
                let studio = studio.with_machine(machine.clone());
                let there = Session::open(&studio, text, Some(&machine.id));
                there
                    .map(|there| Read::Other(there, Box::new(own)))
                    .map_err(Refusal::Mistakes)
            }
        }
    })
}

/// Plans one class.
fn class(read: &Read, limits: &Limits, voice: Voice) -> Planned {
    let line = voice.progress();
    let mut show = |news: &Progress| line.show(news);
    let (answer, own, ending) = match read {
        Read::Own(session) => {
            let answer = session.plan(limits, &mut show);
            let ending = answer.ending();
            (answer, None, ending)
        }
        Read::Other(session, own) => {
            let moved = session.beside_its_own(own, limits, &mut show);
            let ending = moved.ending();
            (moved.answer, Some(moved.own), ending)
        }
    };
    drop(line);
    voice.diagnostics(&answer.notes);
    let compared = match &own {
        Some(Own::Compared(_, made)) => Some(&**made),
        Some(Own::Nothing(_) | Own::NoClass(_) | Own::NotAsked | Own::NotBegun(_)) | None => None,
    };
    let report = Report::new(&answer, compared);
    let mut sheet = sheet::sheet(&answer);
    if let Some(own) = &own {
        let section = compared::beside_its_own(own);
        section::push(&mut sheet.after, &section.heading, section.lines);
    }
    Planned {
        answer,
        sheet,
        report,
        ending,
    }
}

/// What a document of these classes is called.
fn together(sheets: &[sheet::Sheet]) -> String {
    let titles: Vec<&str> = sheets.iter().map(|s| s.title.as_str()).collect();
    let all = titles.join(", ");
    if all.chars().count() <= LONGEST_TITLE {
        all
    } else {
        format!("{} classes", titles.len())
    }
}

/// The sheets as text; of those that stand in a file only how they open, and where they are.
fn shown(planned: &[Planned], written: Option<&Written>, args: &Plan, voice: Voice) -> Drawn {
    let detail = detail_of(args.cues);
    let last = planned.iter().rposition(|p| p.answer.best.is_some());
    let texts: Vec<Drawn> = (planned.iter().enumerate())
        .map(|(k, p)| {
            let written = written.filter(|_| p.answer.best.is_some());
            voice.sheet(&on_screen(&p.sheet, written, Some(k) == last), detail)
        })
        .collect();
    Drawn::joined(&texts, 2)
}

/// A sheet as it is printed: only how it opens where all of it is in a file, and the whole where a file was asked for in vain, so that a plan
/// is not lost. `names`: whether the files are named here.
pub(super) fn on_screen(
    whole: &sheet::Sheet,
    written: Option<&Written>,
    names: bool,
) -> sheet::Sheet {
    let mut shown = whole.clone();
    if written.is_some_and(Written::all_well) {
        (shown.before, shown.rows, shown.after) = (Vec::new(), Vec::new(), Vec::new());
    }
    if let (Some(written), true) = (written, names) {
        name_files(&mut shown, written);
    }
    shown
}

/// Names the files that were written at the end of a sheet.
pub(super) fn name_files(sheet: &mut sheet::Sheet, written: &Written) {
    let lines = written.names.iter().map(section::Line::plain).collect();
    section::push(&mut sheet.after, "Written", lines);
}

/// How much of a sheet is printed.
pub(super) fn detail_of(cues: bool) -> Detail {
    if cues { Detail::Cues } else { Detail::Screen }
}

/// Prints the sheet of an answer, and says how that ends.
///
/// # Errors
/// What kept it from being written.
pub(super) fn print(answer: &Answer, as_json: bool, voice: Voice) -> Result<Ending, Refusal> {
    voice.diagnostics(&answer.notes);
    let text = if as_json {
        indented(&Report::new(answer, None))
    } else {
        voice.sheet(&sheet::sheet(answer), Detail::Screen)
    };
    voice.answer(&text)?;
    Ok(answer.ending())
}
