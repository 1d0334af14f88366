//! `segue vary`: a class in, a week of different classes from the same list out.

use super::args::Vary;
use super::ending::Refusal;
use super::outputs::{Files, Written};
use super::own;
use super::plan::{PATIENCE, detail_of, name_files, print};
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
    let files = Files::of(&args.paper, voice)?;
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
        let document = Document {
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
        };
        files.write(&document, limits.cancelled())
    });
    let text = if args.json {
        as_json()
    } else {
        if let Some(written) = &written {
            name_files(&mut sheets[0], written);
        }
        // Classes that are in no file are printed, so that they are not lost.
        let on_paper = written.as_ref().is_some_and(Written::all_well);
        let printed = if on_paper { &sheets[..1] } else { &sheets };
        let texts: Vec<Drawn> = printed.iter().map(|s| voice.sheet(s, detail)).collect();
        Drawn::joined(&texts, 2)
    };
    voice.answer(&text)?;
    if let Some(written) = written {
        written.told(voice)?;
    }
    Ok(found.ending())
}
