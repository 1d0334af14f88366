//! `segue plan`: a class in, its run sheet out.

use std::path::{Path, PathBuf};
use std::time::Duration;

use super::args::Plan;
use super::ending::{End, Refusal};
use super::inputs;
use super::outputs::{Document, Files};
use super::own;
use super::search::patient;
use super::voice::Voice;
use crate::answer::{Answer, Prepared, Texts, plan, prepare};
use crate::diagnostic::Diagnostic;
use crate::explain::machines::{Comparison, compare};
use crate::explain::verdict::{Verdict, sentence, verdict};
use crate::report::json::{indented, plan::Plan as Report};
use crate::report::timeline::strip;
use crate::report::{compared, section, sheet, terminal};
use crate::score::Evaluation;
use crate::search::budget::Limits;
use crate::search::outcome::Ended;

/// A teacher waits no longer for a plan, unless told otherwise; what is not settled then is said on the sheet.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);
/// Letters of the longest title of a document that names all its classes.
const LONGEST_TITLE: usize = 60;

/// A class with its answer.
struct Planned {
    answer: Answer,
    sheet: sheet::Sheet,
    report: Report,
}

/// Reads, plans, prints.
///
/// # Errors
/// Mistakes in the files or in the usage; those of all classes at once.
pub fn run(args: &Plan, voice: Voice) -> Result<End, Refusal> {
    let files = Files::of(&args.paper)?;
    if args.briefs.len() > 1 {
        files.hold_several()?;
    }
    let read: Vec<&Path> = args.briefs.iter().map(PathBuf::as_path).collect();
    files.spare(&read)?;
    let classes = texts(args, &files)?;
    let limits = patient(&args.search, PATIENCE)?;
    let mut planned = Vec::new();
    for read in classes {
        if limits.cancelled() && !planned.is_empty() {
            break;
        }
        planned.push(class(read, args, &limits, voice)?);
    }
    let as_json = || match (&planned[..], args.briefs.len()) {
        ([one], 1) => indented(&one.report),
        (all, _) => indented(&all.iter().map(|p| &p.report).collect::<Vec<_>>()),
    };
    // Without an order there is nothing to teach from, and so nothing in a file.
    let taught: Vec<&Planned> = planned.iter().filter(|p| p.answer.best.is_some()).collect();
    let written = (!files.none() && !taught.is_empty()).then(|| {
        let sheets: Vec<sheet::Sheet> = taught.iter().map(|p| p.sheet.clone()).collect();
        files.write(&Document {
            title: &together(&sheets),
            sheets: &sheets,
            json: &as_json,
            timelines: &|| taught.iter().map(|p| strip(&p.answer)).collect(),
        })
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
            (1, _) => "without an order no file is written".to_owned(),
            (_, n) => without_order(&planned, n),
        });
    }
    if let Some(Err(why)) = written {
        return Err(Refusal::Usage(why));
    }
    let mut worst = End::Done;
    for one in &planned {
        let end = end_of(&one.answer)?;
        if end.weight() > worst.weight() {
            worst = end;
        }
    }
    Ok(worst)
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

/// A class that was read; prepared unless it is none on its own machine.
type Read = (Texts, Option<Prepared>);

/// All classes. What is wrong with any of them is told before the first is planned.
fn texts(args: &Plan, files: &Files) -> Result<Vec<Read>, Refusal> {
    let mut classes = Vec::new();
    let mut mistakes: Vec<Diagnostic> = Vec::new();
    for path in &args.briefs {
        let read = own::texts(path, args.own.models.as_deref()).and_then(|texts| {
            let prepared = match prepare(&texts) {
                Ok(prepared) => {
                    files.fit(prepared.brief.date.as_deref())?;
                    Some(prepared)
                }
                // With another machine the class need not be one on its own.
                Err(_) if args.apparatus.is_some() => None,
                Err(more) => return Err(Refusal::Mistakes(more)),
            };
            Ok((texts, prepared))
        });
        match read {
            Ok(read) => classes.push(read),
            Err(Refusal::Mistakes(more)) => {
                // What is wrong with the files of one's own is told once.
                let new: Vec<Diagnostic> =
                    more.into_iter().filter(|d| !mistakes.contains(d)).collect();
                mistakes.extend(new);
            }
            Err(other) => return Err(other),
        }
    }
    if mistakes.is_empty() {
        Ok(classes)
    } else {
        Err(Refusal::Mistakes(mistakes))
    }
}

/// Plans one class.
fn class(
    (mut texts, prepared): Read,
    args: &Plan,
    limits: &Limits,
    voice: Voice,
) -> Result<Planned, Refusal> {
    let (answer, other) = match (&args.apparatus, prepared) {
        (None, Some(prepared)) => (found(&prepared, limits, voice), Other::None),
        (None, None) => (planned(&texts, limits, voice)?, Other::None),
        (Some(file), _) => on_another(&mut texts, file, limits, voice)?,
    };
    voice.diagnostics(&answer.notes);
    let compared = match &other {
        Other::Compared(c, _) => Some(c),
        Other::None | Other::Unplanned(_) => None,
    };
    let report = Report::new(&answer, compared);
    let mut sheet = sheet::sheet(&answer);
    match &other {
        Other::None => {}
        Other::Compared(c, open) => {
            let mut section = compared::comparison(c);
            let heed = |text: &String| section::Line::toned(section::Tone::Heed, text);
            section.lines.extend(open.as_ref().map(heed));
            sheet.after.push(section);
        }
        Other::Unplanned(why) => section::push(
            &mut sheet.after,
            "What changed with the machine",
            vec![section::Line::plain(why.as_str())],
        ),
    }
    Ok(Planned {
        answer,
        sheet,
        report,
    })
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
fn shown(
    planned: &[Planned],
    written: Option<&Result<Vec<String>, String>>,
    args: &Plan,
    voice: Voice,
) -> String {
    let look = terminal::Look {
        columns: voice.columns(),
        teaching: args.cues,
    };
    let names = match written {
        Some(Ok(names)) => Some(&names[..]),
        // A plan that could not be written is printed, so that it is not lost.
        Some(Err(_)) | None => None,
    };
    let last = planned.iter().rposition(|p| p.answer.best.is_some());
    let texts: Vec<String> = (planned.iter().enumerate())
        .map(|(k, p)| match names {
            Some(names) if p.answer.best.is_some() => {
                let here = if Some(k) == last { names } else { &[] };
                terminal::sheet(&opening(&p.sheet, here), look)
            }
            Some(_) | None => terminal::sheet(&p.sheet, look),
        })
        .collect();
    texts.join("\n\n")
}

/// The opening lines of a sheet, and where all of it was written.
pub(super) fn opening(whole: &sheet::Sheet, names: &[String]) -> sheet::Sheet {
    let lines = names.iter().map(section::Line::plain).collect();
    let mut written = Vec::new();
    section::push(&mut written, "Written", lines);
    sheet::Sheet {
        before: Vec::new(),
        rows: Vec::new(),
        after: written,
        ..whole.clone()
    }
}

/// Prints the sheet of an answer, and says how that ends.
///
/// # Errors
/// What kept it from being written.
pub(super) fn print(answer: &Answer, as_json: bool, voice: Voice) -> Result<End, Refusal> {
    voice.diagnostics(&answer.notes);
    let text = if as_json {
        indented(&Report::new(answer, None))
    } else {
        let look = terminal::Look {
            columns: voice.columns(),
            teaching: false,
        };
        terminal::sheet(&sheet::sheet(answer), look)
    };
    voice.answer(&text)?;
    end_of(answer)
}

/// How the program ends after an answer was printed.
pub(super) fn end_of(answer: &Answer) -> Result<End, Refusal> {
    let outcome = &answer.outcome;
    match (outcome.ended, &outcome.disagreement) {
        (Ended::Refused, Some(why)) => Err(Refusal::Usage(why.clone())),
        (_, Some(bug)) => Ok(End::Bug(bug.clone())),
        (Ended::Cancelled, None) => Ok(End::Interrupted),
        (_, None) if answer.best.is_some() => Ok(End::Done),
        (_, None) => Ok(End::No),
    }
}

/// What is known about the machine that the class was written for.
enum Other {
    /// No other machine was asked for.
    None,
    /// What changed, and how sure the order on the machine of the class is where it is not known to be the best.
    Compared(Comparison, Option<String>),
    /// Why it cannot be compared.
    Unplanned(String),
}

fn planned(texts: &Texts, limits: &Limits, voice: Voice) -> Result<Answer, Refusal> {
    let prepared = prepare(texts).map_err(Refusal::Mistakes)?;
    Ok(found(&prepared, limits, voice))
}

fn found(prepared: &Prepared, limits: &Limits, voice: Voice) -> Answer {
    let line = voice.progress();
    plan(prepared, limits, &mut |news| line.show(news))
}

/// The class on the machine of a file, and what changed against its own.
fn on_another(
    texts: &mut Texts,
    file: &Path,
    limits: &Limits,
    voice: Voice,
) -> Result<(Answer, Other), Refusal> {
    let machine = inputs::machine(file).map_err(Refusal::Mistakes)?;
    // The machine of the file may carry the id of a machine that is known; the class is read for its own before it comes in.
    let own = prepare(texts);
    let id = machine.id.clone();
    texts.known.apparatus.retain(|m| m.id != id);
    texts.known.apparatus.push(machine);
    texts.apparatus = Some(id);
    // What was asked for comes first, in case there is no time for the other.
    let answer = planned(texts, limits, voice)?;
    let other = match (&own, &answer.best) {
        (Ok(own), Some(_)) if limits.cancelled() => Other::Unplanned(format!(
            "It was interrupted before the class was planned on {}, so there is nothing to compare.",
            own.compiled.apparatus.name
        )),
        (Ok(own), Some(here)) => beside(&found(own, limits, voice), (&answer, here)),
        (Err(mistakes), _) => Other::Unplanned(format!(
            "The class cannot be planned on its own machine: {}.",
            mistakes
                .iter()
                .filter(|d| d.is_mistake())
                .map(|d| d.message.clone())
                .collect::<Vec<_>>()
                .join("; ")
        )),
        (Ok(_), None) => {
            Other::Unplanned("Without an order here there is nothing to compare.".into())
        }
    };
    Ok((answer, other))
}

/// The class on its own machine beside the class here.
fn beside(own: &Answer, (answer, here): (&Answer, &Evaluation)) -> Other {
    let sure = verdict(&own.compiled, &own.outcome);
    let said = format!("On {}: {}", own.compiled.apparatus.name, sentence(&sure));
    let Some(there) = &own.best else {
        return Other::Unplanned(format!("{said} So there is nothing to compare."));
    };
    let open = (sure != Verdict::Best).then_some(said);
    Other::Compared(
        compare((&own.compiled, there), (&answer.compiled, here)),
        open,
    )
}
