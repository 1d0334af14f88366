//! `segue plan`: a class in, its run sheet out.

use std::path::Path;
use std::time::Duration;

use super::args::Plan;
use super::ending::{End, Refusal};
use super::files::{Document, Files};
use super::inputs;
use super::outputs::Voice;
use super::own;
use super::search::patient;
use crate::answer::{Answer, Texts, plan, prepare};
use crate::explain::machines::{Comparison, compare};
use crate::report::strip::strip;
use crate::report::{compared, json, section, sheet, terminal};
use crate::search::budget::Limits;
use crate::search::outcome::Ended;

/// A teacher waits no longer for a plan, unless told otherwise; what is not settled then is said on the sheet.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);

/// Reads, plans, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Plan, voice: Voice) -> Result<End, Refusal> {
    let files = Files::of(&args.paper)?;
    let mut texts = own::texts(&args.brief, args.own.models.as_deref())?;
    if !files.none() {
        // What is wrong with the class itself is said below.
        if let Ok(prepared) = prepare(&texts) {
            files.fit(prepared.brief.date.as_deref())?;
        }
    }
    let limits = patient(&args.search, PATIENCE, voice)?;
    let (answer, other) = match &args.apparatus {
        None => (planned(&texts, &limits, voice)?, Other::None),
        Some(file) => on_another(&mut texts, file, &limits, voice)?,
    };
    voice.diagnostics(&answer.notes);
    let compared = match &other {
        Other::Compared(c) => Some(c),
        Other::None | Other::Unplanned(_) => None,
    };
    let as_json = || format!("{:#}\n", json::plan(&answer, compared));
    let mut drawn = sheet::sheet(&answer);
    match &other {
        Other::None => {}
        Other::Compared(c) => drawn.after.push(compared::comparison(c)),
        Other::Unplanned(why) => section::push(
            &mut drawn.after,
            "What changed with the machine",
            vec![section::Line::plain(why.as_str())],
        ),
    }
    let look = terminal::Look {
        columns: voice.columns(),
        teaching: args.cues,
    };
    // Without an order there is nothing to teach from, and so no file.
    let written = if files.none() || answer.best.is_none() {
        None
    } else {
        Some(files.write(&Document {
            title: &drawn.title,
            sheets: std::slice::from_ref(&drawn),
            json: &as_json,
            strips: &|| vec![strip(&answer)],
        }))
    };
    let shown = match &written {
        Some(Ok(names)) => terminal::sheet(&opening(&drawn, names), look),
        // A plan that could not be written is printed, so that it is not lost.
        Some(Err(_)) | None => terminal::sheet(&drawn, look),
    };
    let text = if args.json { as_json() } else { shown };
    voice.answer(&text)?;
    match written {
        Some(Err(why)) => Err(Refusal::Usage(why)),
        Some(Ok(_)) => end_of(&answer),
        None => {
            if !files.none() {
                voice.complain("without an order no file is written");
            }
            end_of(&answer)
        }
    }
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
        format!("{:#}\n", json::plan(answer, None))
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
    /// What changed.
    Compared(Comparison),
    /// Why it cannot be compared.
    Unplanned(String),
}

fn planned(texts: &Texts, limits: &Limits, voice: Voice) -> Result<Answer, Refusal> {
    let prepared = prepare(texts).map_err(Refusal::Mistakes)?;
    let line = voice.progress();
    Ok(plan(&prepared, limits, &mut |news| line.show(news)))
}

/// The class on the machine of a file, and what changed against its own.
fn on_another(
    texts: &mut Texts,
    file: &Path,
    limits: &Limits,
    voice: Voice,
) -> Result<(Answer, Other), Refusal> {
    let machine = inputs::machine(file).map_err(Refusal::Mistakes)?;
    // The machine of the file may carry the id of a machine that is known; the class's own machine is planned before it comes in.
    let own = prepare(texts).map(|prepared| {
        let line = voice.progress();
        plan(&prepared, limits, &mut |news| line.show(news))
    });
    let id = machine.id.clone();
    texts.known.apparatus.retain(|m| m.id != id);
    texts.known.apparatus.push(machine);
    texts.apparatus = Some(id);
    let answer = planned(texts, limits, voice)?;
    let other = match (&own, &answer.best) {
        (Ok(own), Some(here)) => match &own.best {
            Some(there) => {
                Other::Compared(compare((&own.compiled, there), (&answer.compiled, here)))
            }
            None => Other::Unplanned(format!(
                "No order was found on {}, so there is nothing to compare.",
                own.compiled.apparatus.name
            )),
        },
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
            Other::Unplanned("No order was found here, so there is nothing to compare.".into())
        }
    };
    Ok((answer, other))
}
