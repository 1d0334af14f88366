//! `segue vary`: a class in, a week of different classes from the same list out.

use super::args::Vary;
use super::ending::Refusal;
use super::outputs::Files;
use super::own;
use super::plan::{PATIENCE, detail_of, opening, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::answer::varied::{Variants, Varied};
use crate::orders::vary::Wish;
use crate::report::drawn::Drawn;
use crate::report::json::indented;
use crate::report::json::varied::Vary as Report;
use crate::report::timeline::{Timeline, timeline};
use crate::report::varied;
use crate::session::render::Document;

/// Reads, plans, varies, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Vary, voice: Voice) -> Result<Ending, Refusal> {
    let files = Files::of(&args.paper)?;
    files.hold_several()?;
    files.spare(&[&args.brief])?;
    let limits = patient(&args.search, PATIENCE)?;
    let session = own::session(&args.brief, args.own.models.as_deref())?;
    let wish = Wish {
        count: usize::from(args.count),
        within: args.within,
        apart: usize::from(args.apart),
        opener: args.other_start,
        closer: args.other_end,
    };
    let line = voice.progress();
    let swaps = usize::from(args.swaps);
    let found = session.vary(&wish, swaps, &limits, &mut |news| line.show(news));
    drop(line);
    let found = match found {
        Variants::Found(found) => found,
        Variants::NoPlan(answer) => return print(&answer, args.json, voice),
    };
    let Varied { choice, week, wish } = &*found;
    voice.diagnostics(&session.class.notes);
    let as_json = || indented(&Report::new(choice, week, wish));
    let mut sheets = vec![varied::summary(choice, week, wish)];
    sheets.extend((0..week.classes.len()).map(|k| varied::of_class(choice, week, k)));
    let detail = detail_of(args.cues);
    let written = (!files.none()).then(|| {
        let mut on_paper = sheets.clone();
        on_paper[0].title = "The classes side by side".into();
        files.write(&Document {
            title: &sheets[0].title,
            sheets: &on_paper,
            json: &as_json,
            timelines: &|| {
                let of_class = |k: usize| {
                    let class = &choice.lists[week.lists[k]].class;
                    let drawn = timeline(&class.brief, &class.compiled, &week.classes[k]);
                    let title = sheets[k + 1].title.clone();
                    Some(Timeline { title, ..drawn })
                };
                // The first sheet says how the classes differ.
                let classes = (0..week.classes.len()).map(of_class);
                std::iter::once(None).chain(classes).collect()
            },
        })
    });
    let text = match &written {
        _ if args.json => as_json(),
        Some(Ok(names)) => {
            let mut first = opening(&sheets[0], names);
            first.after.splice(0..0, sheets[0].after.clone());
            voice.sheet(&first, detail)
        }
        // Classes that could not be written are printed, so that they are not lost.
        Some(Err(_)) | None => {
            let texts: Vec<Drawn> = sheets.iter().map(|s| voice.sheet(s, detail)).collect();
            Drawn::joined(&texts, 2)
        }
    };
    voice.answer(&text)?;
    if let Some(Err(why)) = written {
        return Err(Refusal::Several(why));
    }
    Ok(found.ending())
}
