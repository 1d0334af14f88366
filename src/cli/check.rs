//! `segue check`: orders as they were written, audited.

use super::args::Check;
use super::ending::{End, Refusal};
use super::inputs;
use super::outputs::Voice;
use crate::answer::{as_given, prepare};
use crate::diagnostic::Diagnostic;
use crate::report::{audit, json, terminal};

/// Reads and audits each class. All are read before the first is printed, so that every mistake is told at once.
///
/// # Errors
/// Mistakes in the files.
pub fn run(args: &Check, voice: Voice) -> Result<End, Refusal> {
    let models = inputs::models(args.own.models.as_deref());
    if models.diagnostics.iter().any(Diagnostic::is_mistake) {
        return Err(Refusal::Mistakes(models.diagnostics));
    }
    let mut mistakes = Vec::new();
    let mut classes = Vec::new();
    for path in &args.briefs {
        let prepared = inputs::class(path, models.known.clone())
            .map_err(|d| vec![d])
            .and_then(|texts| prepare(&texts));
        match prepared {
            Ok(prepared) => classes.push(prepared),
            Err(more) => mistakes.extend(more),
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
        let Some(order) = as_given(&prepared.compiled.problem) else {
            voice.complain(&format!(
                "the set-ups of {} could not be worked out",
                prepared.brief.title
            ));
            settled = false;
            continue;
        };
        kept &= order.broken.is_empty();
        texts.push(if args.json {
            format!("{}\n", json::check(prepared, &order))
        } else {
            terminal::audit(&audit::audit(prepared, &order), voice.columns())
        });
    }
    voice.answer(&texts.join(if args.json { "" } else { "\n\n" }))?;
    Ok(if kept && settled { End::Done } else { End::No })
}
