//! `segue check`: orders as they were written, audited.

use super::args::Check;
use super::ending::Refusal;
use super::own;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::report::drawn::Drawn;
use crate::report::json::{self, check::Check as Report};
use crate::report::{audit, terminal};
use crate::search::budget::Limits;
use crate::session::Session;

/// Reads and audits each class. All are read before the first is printed, so that every mistake is told at once.
///
/// # Errors
/// Mistakes in the files.
pub fn run(args: &Check, voice: Voice) -> Result<Ending, Refusal> {
    let sessions = own::sessions(&args.briefs, args.own.models.as_deref(), |studio, text| {
        Session::open(studio, text, None).map_err(Refusal::Mistakes)
    })?;
    let mut kept = true;
    let mut settled = true;
    let mut texts = Vec::new();
    for session in &sessions {
        let class = &session.class;
        voice.diagnostics(&class.notes);
        let Some(order) = session.as_given(&Limits::default()) else {
            voice.diagnostics(&[session.not_judged()]);
            settled = false;
            continue;
        };
        kept &= order.found.broken.is_empty();
        texts.push(if args.json {
            json::line(&Report::new(class, &order))
        } else {
            terminal::audit(&audit::audit(class, &order), voice.columns())
        });
    }
    voice.answer(&Drawn::joined(&texts, if args.json { 0 } else { 2 }))?;
    Ok(if kept && settled {
        Ending::Done
    } else {
        Ending::No
    })
}
