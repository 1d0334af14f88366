//! `segue try`: a class and a change in, what the change does out.

use super::args::Try;
use super::ending::Refusal;
use super::own;
use super::plan::PATIENCE;
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::tried::Wanted;
use crate::lesson::wording::capital;
use crate::report::json::indented;
use crate::report::json::tried::Try as Report;
use crate::report::{eased, terminal, tried};

/// Reads, plans twice, compares, prints.
///
/// # Errors
/// Mistakes in the files, in the changes or in the usage.
pub fn run(args: &Try, voice: Voice) -> Result<Ending, Refusal> {
    let pairs = |words: &[String]| -> Vec<(String, String)> {
        (words.chunks_exact(2))
            .map(|pair| (pair[0].clone(), pair[1].clone()))
            .collect()
    };
    let wanted = Wanted {
        without: args.without.clone(),
        with: args.with.clone(),
        minutes: args.minutes,
        springs: pairs(&args.springs),
        before: pairs(&args.first),
    };
    if wanted.is_empty() {
        return Err(Refusal::Usage(
            "say what to try: --without, --with, --minutes, --springs or --first; see segue try --help".into(),
        ));
    }
    let limits = patient(&args.search, PATIENCE)?;
    let session = own::session(&args.brief, args.own.models.as_deref())?;
    let line = voice.progress();
    let found = session.try_out(&wanted, &limits, &mut |news| line.show(news));
    drop(line);
    let found = found.map_err(Refusal::Mistakes)?;
    voice.diagnostics(&found.before.notes);
    let text = if args.json {
        indented(&Report::new(&found))
    } else {
        let columns = voice.columns();
        let title = format!(
            "{}: {}\n",
            capital(&found.before.brief.title),
            tried::wanted(&wanted).join(", ")
        );
        let mut text = title + &terminal::sections(&tried::sections(&found), columns);
        if let Some(picture) = tried::picture(&found) {
            text.push_str(&terminal::picture(&picture, columns));
        }
        if let Some(conflict) = &found.after.conflict {
            let interrupted = found.after.interrupted;
            let sections = eased::sections(&found.after.compiled, conflict, None, interrupted);
            text.push_str(&terminal::sections(&sections, columns));
        }
        text
    };
    voice.answer(&text)?;
    Ok(found.ending())
}
