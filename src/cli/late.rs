//! `segue late`: a class that has begun in, the rest that fits the minutes out.

use super::args::Late;
use super::ending::Refusal;
use super::outputs::Files;
use super::own;
use super::plan::{PATIENCE, detail_of, on_screen, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::rest::{Remaining, RestOfClass};
use crate::explain::verdict::why;
use crate::report::json::indented;
use crate::report::json::rest::Late as Report;
use crate::report::rest;
use crate::search::outcome::Outcome;
use crate::session::late::hundredths;
use crate::session::render::Document;

/// Reads, plans, plans the rest, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Late, voice: Voice) -> Result<Ending, Refusal> {
    let files = Files::of(&args.paper, voice)?;
    files.hold_no_picture()?;
    files.spare(&[&args.brief])?;
    let limits = patient(&args.search, PATIENCE)?;
    let session = own::session(&args.brief, args.own.models.as_deref())?;
    files.fit(session.class.brief.date)?;
    let line = voice.progress();
    let (from, left) = (usize::from(args.from), hundredths(args.left));
    let remaining = session.late(from, left, &limits, &mut |news| line.show(news));
    drop(line);
    let found = match &remaining {
        Remaining::Found(found) => found,
        Remaining::NoPlan(answer) => return print(answer, args.json, voice),
        Remaining::Steps(steps) => {
            return Err(Refusal::Usage(format!(
                "--from: the run sheet has movements 1 to {steps}; give the number of the one that comes next"
            )));
        }
        Remaining::Nothing(outcome) => {
            voice.diagnostics(&session.class.notes);
            nothing_left(outcome, voice);
            return Ok(remaining.ending());
        }
    };
    voice.diagnostics(&session.class.notes);
    let RestOfClass { begun, late } = &**found;
    let as_json = || indented(&Report::new(&session.class, begun, late));
    let drawn = rest::rest(&session.class, begun, late);
    let written = (!files.none()).then(|| {
        let document = Document {
            title: &drawn.title,
            sheets: std::slice::from_ref(&drawn),
            json: &as_json,
            timelines: &Vec::new,
        };
        files.write(&document, limits.cancelled())
    });
    let text = if args.json {
        as_json()
    } else {
        voice.sheet(
            &on_screen(&drawn, written.as_ref(), true),
            detail_of(args.cues),
        )
    };
    voice.answer(&text)?;
    if let Some(written) = written {
        written.told(voice)?;
    }
    Ok(remaining.ending())
}

/// Without an order of what is left: whether there is none, or none was found.
fn nothing_left(outcome: &Outcome, voice: Voice) {
    match (&outcome.disagreement, outcome.proven()) {
        (Some(_), _) => {}
        (None, true) => voice.complain("no order of what is left keeps what has to hold"),
        (None, false) => voice.complain(&format!(
            "no order of what is left was found, and it is not known whether there is one; stopped before it was settled, {}",
            why(outcome.ended)
        )),
    }
}
