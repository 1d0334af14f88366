//! `segue vary`: a class in, a week of different classes from the same list out.

use super::args::Vary;
use super::ending::{End, Refusal};
use super::outputs::{Document, Files};
use super::own;
use super::plan::{PATIENCE, opening, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::{choice, concluded, prepare};
use crate::orders::vary::{List, Wish, vary_any};
use crate::report::json::indented;
use crate::report::json::varied::Vary as Report;
use crate::report::timeline::{Timeline, strip};
use crate::report::{terminal, varied};

/// Reads, plans, varies, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Vary, voice: Voice) -> Result<End, Refusal> {
    let files = Files::of(&args.paper)?;
    files.hold_several()?;
    files.spare(&[&args.brief])?;
    let texts = own::texts(&args.brief, args.own.models.as_deref())?;
    let limits = patient(&args.search, PATIENCE)?;
    let prepared = prepare(&texts).map_err(Refusal::Mistakes)?;
    let wish = Wish {
        count: usize::from(args.count),
        within: args.within,
        apart: usize::from(args.apart),
        opener: args.other_start,
        closer: args.other_end,
    };
    let line = voice.progress();
    let choice = choice(&prepared, usize::from(args.swaps), args.search.seed);
    let lists: Vec<List<'_>> = (choice.lists.iter())
        .map(|listed| List {
            problem: &listed.prepared.compiled.problem,
            names: listed.names.clone(),
        })
        .collect();
    let all = choice.lists.len() == choice.ways;
    let week = vary_any(&lists, all, &wish, &limits, &mut |news| line.show(news));
    let week = match week {
        Ok(week) => week,
        // Without an order there is nothing to vary: what `plan` says of it.
        Err(outcome) => {
            let answer = concluded(&prepared, *outcome, &limits);
            drop(line);
            return print(&answer, args.json, voice);
        }
    };
    drop(line);
    voice.diagnostics(&prepared.notes);
    let as_json = || indented(&Report::new(&choice, &week, &wish));
    let mut sheets = vec![varied::summary(&choice, &week, &wish)];
    sheets.extend((0..week.classes.len()).map(|k| varied::of_class(&choice, &week, k)));
    let look = terminal::Look {
        columns: voice.columns(),
        teaching: args.cues,
    };
    let written = (!files.none()).then(|| {
        let mut on_paper = sheets.clone();
        on_paper[0].title = "The classes side by side".into();
        files.write(&Document {
            title: &sheets[0].title,
            sheets: &on_paper,
            json: &as_json,
            timelines: &|| {
                let of_class = |k: usize| {
                    let prepared = &choice.lists[week.lists[k]].prepared;
                    let drawn = strip(&varied::answer(prepared, &week, &week.classes[k]))?;
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
            terminal::sheet(&first, look)
        }
        // Classes that could not be written are printed, so that they are not lost.
        Some(Err(_)) | None => {
            let texts: Vec<String> = sheets.iter().map(|s| terminal::sheet(s, look)).collect();
            texts.join("\n\n")
        }
    };
    voice.answer(&text)?;
    if let Some(Err(why)) = written {
        return Err(Refusal::Usage(why));
    }
    Ok(if week.short.is_some() {
        End::No
    } else {
        End::Done
    })
}
