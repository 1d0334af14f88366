//! `segue late`: a class that has begun in, the rest that fits the minutes out.

use super::args::Late;
use super::ending::{End, Refusal};
use super::outputs::{Document, Files};
use super::own;
use super::plan::{PATIENCE, opening, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::{plan, prepare};
use crate::explain::verdict::why;
use crate::orders::late::{Begun, late, not_begun};
use crate::report::json::indented;
use crate::report::json::rest::Late as Report;
use crate::report::{rest, terminal};
use crate::search::outcome::Outcome;

/// Reads, plans, plans the rest, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Late, voice: Voice) -> Result<End, Refusal> {
    let files = Files::of(&args.paper)?;
    files.hold_no_picture()?;
    files.spare(&[&args.brief])?;
    let texts = own::texts(&args.brief, args.own.models.as_deref())?;
    let limits = patient(&args.search, PATIENCE)?;
    let prepared = prepare(&texts).map_err(Refusal::Mistakes)?;
    files.fit(prepared.brief.date.as_deref())?;
    let line = voice.progress();
    let answer = plan(&prepared, &limits, &mut |news| line.show(news));
    let Some(best) = &answer.best else {
        drop(line);
        return print(&answer, args.json, voice);
    };
    let steps = best.timeline.order.len();
    let from = usize::from(args.from);
    if from > steps {
        return Err(Refusal::Usage(format!(
            "--from: the run sheet has movements 1 to {steps}; give the number of the one that comes next"
        )));
    }
    let left = hundredths(args.left);
    let now = (from.checked_sub(2)).map_or(0, |k| best.timeline.end[k]);
    let behind = prepared
        .brief
        .minutes
        .map_or(0, |minutes| hundredths(minutes) - left - now);
    let done = &best.timeline.order[..from - 1];
    let begun = Begun {
        problem: &prepared.compiled.problem,
        plan: best,
        done: from - 1,
        plan_is_proven: answer.outcome.proven(),
        left,
        behind,
        movements: not_begun(&prepared.compiled, done),
    };
    let found = late(&begun, &limits, &mut |news| line.show(news));
    drop(line);
    voice.diagnostics(&prepared.notes);
    let found = match found {
        Ok(found) => found,
        Err(outcome) => return nothing_left(&outcome, voice),
    };
    let as_json = || indented(&Report::new(&prepared, &begun, &found));
    let drawn = rest::rest(&prepared, &begun, &found);
    let written = (!files.none()).then(|| {
        files.write(&Document {
            title: &drawn.title,
            sheets: std::slice::from_ref(&drawn),
            json: &as_json,
            timelines: &Vec::new,
        })
    });
    let look = terminal::Look {
        columns: voice.columns(),
        teaching: args.cues,
    };
    let text = match &written {
        _ if args.json => as_json(),
        Some(Ok(names)) => terminal::sheet(&opening(&drawn, names), look),
        // A sheet that could not be written is printed, so that it is not lost.
        Some(Err(_)) | None => terminal::sheet(&drawn, look),
    };
    voice.answer(&text)?;
    if let Some(Err(why)) = written {
        return Err(Refusal::Usage(why));
    }
    Ok(if found.fits() || !found.cuts.is_empty() {
        End::Done
    } else {
        End::No
    })
}

/// Without an order of what is left: whether there is none, or none was found.
fn nothing_left(outcome: &Outcome, voice: Voice) -> Result<End, Refusal> {
    match (&outcome.disagreement, outcome.proven()) {
        (Some(bug), _) => return Ok(End::Bug(bug.clone())),
        (None, true) => voice.complain("no order of what is left keeps what has to hold"),
        (None, false) => voice.complain(&format!(
            "no order of what is left was found, and it is not known whether there is one; stopped before it was settled, {}",
            why(outcome.ended)
        )),
    }
    Ok(End::No)
}

fn hundredths(minutes: f64) -> i64 {
    (minutes * 6_000.0).round() as i64
}
