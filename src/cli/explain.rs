//! `segue explain`: a class in, the reasons for its order out.

use std::num::NonZero;
use std::thread::available_parallelism;
use std::time::Duration;

use super::args::Explain;
use super::ending::Refusal;
use super::own;
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::report::json::explained::Explain as Report;
use crate::report::json::indented;
use crate::report::{explained, sheet, terminal};

/// The plan and all its reasons take no longer, unless told otherwise; what is not settled then is said.
const PATIENCE: Duration = Duration::from_secs(30);

/// Searches at a time: they share the memory.
const MOST_THREADS: usize = 4;

/// Reads, plans, explains, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Explain, voice: Voice) -> Result<Ending, Refusal> {
    let limits = patient(&args.search, PATIENCE)?;
    let session = own::session(&args.brief, args.own.models.as_deref())?;
    let threads = available_parallelism()
        .map_or(1, NonZero::get)
        .min(MOST_THREADS);
    let line = voice.progress();
    let explained = session.explain(&limits, threads, &mut |news| line.show(news), &mut |what| {
        line.say(what);
    });
    drop(line);
    voice.diagnostics(&explained.answer.notes);
    let text = if args.json {
        indented(&Report::new(&explained))
    } else {
        let mut drawn = sheet::sheet(&explained.answer);
        if let Some(best) = &explained.answer.best {
            // The run sheet itself is the work of `plan`.
            (drawn.before, drawn.rows, drawn.reset) = (Vec::new(), Vec::new(), None);
            drawn.after = explained::sections(&explained, best);
        }
        let look = terminal::Look {
            columns: voice.columns(),
            teaching: false,
        };
        terminal::sheet(&drawn, look)
    };
    voice.answer(&text)?;
    Ok(explained.ending())
}
