//! `segue keep`: the order as written in; the few moves that improve it most, and how far it can be kept, out.

use super::args::Keep;
use super::ending::Refusal;
use super::own;
use super::plan::{PATIENCE, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::kept::{Kept, Pairs};
use crate::explain::verdict::why;
use crate::report::detail::Detail;
use crate::report::json::indented;
use crate::report::json::own_order::Keep as Report;
use crate::report::own_order;
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
        voice.sheet(&own_order::own_order(&found), Detail::Screen)
    };
    voice.answer(&text)?;
    Ok(found.ending())
}

/// The run sheet of the best order that keeps at least as many pairs as asked.
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
                "your order has {pairs} pairs of neighbours, so no order can keep {least}"
            ));
            Ok(Ending::No)
        }
        Pairs::Nothing(outcome) => {
            voice.complain(&if outcome.proven() {
                format!(
                    "no order keeps {least} of your pairs of neighbours and everything that has to hold"
                )
            } else {
                format!(
                    "no order that keeps {least} of your pairs of neighbours was found, and it is not known whether there is one; stopped before it was settled, {}",
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
