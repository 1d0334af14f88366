//! `segue keep`: her own order in, the few moves that save most of it and how far it can be kept out.

use super::args::Keep;
use super::ending::Refusal;
use super::own;
use super::plan::{PATIENCE, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::kept::{Kept, Pairs};
use crate::explain::verdict::why;
use crate::report::json::indented;
use crate::report::json::own_order::Keep as Report;
use crate::report::{own_order, terminal};
use crate::search::budget::Limits;
use crate::search::outcome::Ended;
use crate::session::Session;

/// Reads, plans, compares, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Keep, voice: Voice) -> Result<Ending, Refusal> {
    let limits = patient(&args.search, PATIENCE)?;
    let session = own::session(&args.brief, args.own.models.as_deref())?;
    if let Some(least) = args.pairs {
        return pairs(&session, usize::from(least), args, &limits, voice);
    }
    let line = voice.progress();
    let kept = session.keep(&limits, &mut |news| line.show(news));
    drop(line);
    let found = match kept {
        Kept::Looked(found) => found,
        Kept::Nothing(answer) => return print(&answer, args.json, voice),
    };
    voice.diagnostics(&session.class.notes);
    let text = if args.json {
        indented(&Report::new(&session.class, &found))
    } else {
        let look = terminal::Look {
            columns: voice.columns(),
            teaching: false,
        };
        terminal::sheet(&own_order::own_order(&found), look)
    };
    voice.answer(&text)?;
    Ok(found.ending())
}

/// The run sheet of the best order that keeps so many pairs.
fn pairs(
    session: &Session,
    least: usize,
    args: &Keep,
    limits: &Limits,
    voice: Voice,
) -> Result<Ending, Refusal> {
    let line = voice.progress();
    let found = session.keep_pairs(least, limits, &mut |news| line.show(news));
    drop(line);
    match found {
        Pairs::Planned(answer) => print(&answer, args.json, voice),
        Pairs::Has(pairs) => {
            voice.complain(&format!(
                "your order has {pairs} pairs of neighbours, so none can keep {least}"
            ));
            Ok(Ending::No)
        }
        Pairs::Nothing(outcome) => {
            voice.complain(&if outcome.proven() {
                format!(
                    "no order that keeps {least} neighbours of yours keeps all that has to hold"
                )
            } else {
                format!(
                    "no order that keeps {least} neighbours of yours was found, and it is not known whether there is one; stopped before it was settled, {}",
                    why(outcome.ended)
                )
            });
            Ok(match outcome.ended {
                Ended::Cancelled => Ending::Interrupted,
                Ended::Proof | Ended::Time | Ended::Nodes | Ended::Memory | Ended::Refused => {
                    Ending::No
                }
            })
        }
    }
}
