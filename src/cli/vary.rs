//! `segue vary`: a class in, a week of different classes from the same list out.

use super::args::Vary;
use super::ending::{End, Refusal};
use super::inputs;
use super::outputs::Voice;
use super::plan::{PATIENCE, print};
use super::search::patient;
use crate::answer::{choice, plan, prepare};
use crate::report::{terminal, varied, varied_json};
use crate::week::vary::{List, Wish, vary_any};

/// Reads, plans, varies, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Vary, voice: Voice) -> Result<End, Refusal> {
    let texts = inputs::class_and_own(&args.brief, args.own.models.as_deref())?;
    let limits = patient(&args.search, PATIENCE, voice)?;
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
    let Ok(week) = week else {
        // There is no order: `plan` says why.
        let answer = plan(&prepared, &limits, &mut |news| line.show(news));
        drop(line);
        return print(&answer, args.json, voice);
    };
    drop(line);
    voice.diagnostics(&prepared.notes);
    let text = if args.json {
        format!("{:#}\n", varied_json::week(&choice, &week, &wish))
    } else {
        let look = terminal::Look {
            columns: voice.columns(),
            teaching: args.cues,
        };
        let mut texts = vec![terminal::sheet(
            &varied::summary(&choice, &week, &wish),
            look,
        )];
        texts.extend(
            (0..week.classes.len())
                .map(|k| terminal::sheet(&varied::of_class(&choice, &week, k), look)),
        );
        texts.join("\n\n")
    };
    voice.answer(&text)?;
    Ok(if week.short.is_some() {
        End::No
    } else {
        End::Done
    })
}
