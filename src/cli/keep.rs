//! `segue keep`: her own order in, the few moves that save most of it and how far it can be kept out.

use super::args::Keep;
use super::ending::{End, Refusal};
use super::own;
use super::plan::{PATIENCE, print};
use super::search::patient;
use super::voice::Voice;
use crate::answer::{Answer, AsGiven, Prepared, concluded, plan, prepare};
use crate::explain::verdict::why;
use crate::orders::moves::fewest_moves;
use crate::orders::nearest::{keeping, nearest_from};
use crate::problem::without::without;
use crate::report::json::indented;
use crate::report::json::own_order::Keep as Report;
use crate::report::own_order::OwnOrder;
use crate::report::{own_order, terminal};
use crate::score::evaluate;
use crate::search::budget::Limits;
use crate::search::outcome::{Plan, Progress};
use crate::search::solve;

/// Reads, plans, compares, prints.
///
/// # Errors
/// Mistakes in the files or in the usage.
pub fn run(args: &Keep, voice: Voice) -> Result<End, Refusal> {
    let texts = own::texts(&args.brief, args.own.models.as_deref())?;
    let limits = patient(&args.search, PATIENCE)?;
    let prepared = prepare(&texts).map_err(Refusal::Mistakes)?;
    if let Some(least) = args.pairs {
        return keep(&prepared, usize::from(least), args, &limits, voice);
    }
    let line = voice.progress();
    let answer = plan(&prepared, &limits, &mut |news| line.show(news));
    let (Some(best), Some(own)) = (answer.outcome.plan.clone(), answer.as_given.clone()) else {
        drop(line);
        return print(&answer, args.json, voice);
    };
    let found = look(&prepared, answer, &best, own, &limits, &mut |news| {
        line.show(news);
    });
    drop(line);
    voice.diagnostics(&prepared.notes);
    let text = if args.json {
        indented(&Report::new(&prepared, &found))
    } else {
        let look = terminal::Look {
            columns: voice.columns(),
            teaching: false,
        };
        terminal::sheet(&own_order::own_order(&found), look)
    };
    voice.answer(&text)?;
    Ok(End::Done)
}

fn look(
    prepared: &Prepared,
    answer: Answer,
    best: &Plan,
    own: AsGiven,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> OwnOrder {
    let problem = &prepared.compiled.problem;
    let order = own.found.timeline.order.clone();
    // Half of the time for each.
    let limits = &Limits {
        time: limits.time.map(|t| t / 2),
        ..limits.clone()
    };
    let proven = answer.outcome.proven();
    let curve = nearest_from(problem, &order, (best, proven), limits, progress);
    // Without the rests, which no move puts in; they stand last, so that the numbers stay.
    let rests: Vec<bool> = problem.steps.iter().map(|s| s.optional.is_some()).collect();
    let (bare, _) = without(problem, &rests);
    let before = evaluate(&bare, &order, &own.found.timeline.setups);
    let mut moves = fewest_moves(&bare, &order, &before, limits, &mut |_| {
        progress(&Progress {
            phase: "moves in your order",
            ..Progress::default()
        });
    });
    for best in &mut moves.best {
        let timeline = &best.found.timeline;
        best.found = evaluate(problem, &timeline.order, &timeline.setups);
    }
    OwnOrder {
        answer,
        own,
        moves,
        curve,
        interrupted: limits.cancelled(),
    }
}

/// The run sheet of the best order that keeps so many pairs.
fn keep(
    prepared: &Prepared,
    least: usize,
    args: &Keep,
    limits: &Limits,
    voice: Voice,
) -> Result<End, Refusal> {
    let problem = &prepared.compiled.problem;
    let order: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let pairs = order.len().saturating_sub(1);
    if least > pairs {
        voice.complain(&format!(
            "your order has {pairs} pairs of neighbours, so none can keep {least}"
        ));
        return Ok(End::No);
    }
    let asked = keeping(problem, &order, least);
    let line = voice.progress();
    let outcome = solve(&asked, limits, &mut |news| line.show(news));
    drop(line);
    if outcome.plan.is_none() && outcome.disagreement.is_none() {
        voice.complain(&if outcome.proven() {
            format!("no order that keeps {least} neighbours of yours keeps all that has to hold")
        } else {
            format!(
                "no order that keeps {least} neighbours of yours was found, and it is not known whether there is one; stopped before it was settled, {}",
                why(outcome.ended)
            )
        });
        return Ok(End::No);
    }
    let answer = Answer {
        keeps: Some(least),
        ..concluded(prepared, outcome, limits)
    };
    print(&answer, args.json, voice)
}
