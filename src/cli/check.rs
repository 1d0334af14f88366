//! `segue check`: orders as they were written, audited.

use super::args::Check;
use super::ending::{End, Refusal};
use super::own;
use super::voice::Voice;
use crate::answer::{as_given, prepare};
use crate::diagnostic::Diagnostic;
use crate::report::json::{self, check::Check as Report};
use crate::report::{audit, terminal};
use crate::search::budget::Limits;

/// Reads and audits each class. All are read before the first is printed, so that every mistake is told at once.
///
/// # Errors
/// Mistakes in the files.
pub fn run(args: &Check, voice: Voice) -> Result<End, Refusal> {
    let mut mistakes: Vec<Diagnostic> = Vec::new();
    let mut classes = Vec::new();
    for path in &args.briefs {
        let read = match own::texts(path, args.own.models.as_deref()) {
            Ok(texts) => prepare(&texts),
            Err(Refusal::Mistakes(more)) => Err(more),
            Err(other) => return Err(other),
        };
        match read {
            Ok(prepared) => classes.push(prepared),
            // What is wrong with the files of one's own is told once.
            Err(more) => {
                let new: Vec<Diagnostic> =
                    more.into_iter().filter(|d| !mistakes.contains(d)).collect();
                mistakes.extend(new);
            }
        }
    }
    if !mistakes.is_empty() {
        return Err(Refusal::Mistakes(mistakes));
    }
    let mut kept = true;
    let mut settled = true;
    let mut texts = Vec::new();
    for prepared in &classes {
        voice.diagnostics(&prepared.notes);
        let Some(order) = as_given(&prepared.compiled.problem, &Limits::default()) else {
            voice.complain(&format!(
                "the set-ups of {} could not be worked out",
                prepared.brief.title
            ));
            settled = false;
            continue;
        };
        kept &= order.found.broken.is_empty();
        texts.push(if args.json {
            json::line(&Report::new(prepared, &order))
        } else {
            terminal::audit(&audit::audit(prepared, &order), voice.columns())
        });
    }
    voice.answer(&texts.join(if args.json { "" } else { "\n\n" }))?;
    Ok(if kept && settled { End::Done } else { End::No })
}
