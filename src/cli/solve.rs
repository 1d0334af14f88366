//! `segue solve`: a problem file in, its solution out.

use super::args::Solve;
use super::batch;
use super::ending::Refusal;
use super::inputs;
use super::problems::{conflict, name_conflict, problem_of};
use super::search::{heed, limits_of, solve};
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::exchange::solution_file;
use crate::report::json;
use crate::report::{section::Section, solved, terminal};
use crate::score::evaluate;
use crate::search::outcome::Ended;

/// Reads, solves, prints.
///
/// # Errors
/// Mistakes in the file or in the usage, or a problem that is too large.
pub fn run(args: &Solve, voice: Voice) -> Result<Ending, Refusal> {
    let [file] = &args.files[..] else {
        return batch::run(args, voice);
    };
    if args.lines {
        return batch::run(args, voice);
    }
    let limits = limits_of(args.method, &args.search).map_err(Refusal::Usage)?;
    heed(args.method);
    let source = inputs::problem(file)?;
    let problem = problem_of(file, &source)?;
    let line = voice.progress();
    let outcome = solve(args.method, &problem, &limits, &mut |news| {
        line.show(news);
    });
    drop(line);
    let conflict = conflict(&problem, &limits, &outcome, !args.no_conflict);
    let judged = outcome
        .plan
        .as_ref()
        .map(|p| evaluate(&problem, &p.order, &p.setups));
    if let (Ended::Refused, Some(why)) = (outcome.ended, &outcome.disagreement) {
        return Ok(Ending::Refused(why.clone()));
    }
    let text = if args.json {
        let mut solution = solution_file::write(&outcome, judged.as_ref());
        name_conflict(&mut solution, conflict.as_ref());
        json::line(&solution)
    } else {
        let section = Section {
            heading: problem.title.clone(),
            lines: solved::summary(&problem, &outcome, judged.as_ref(), conflict.as_ref()),
        };
        terminal::sections(&[section], voice.columns()).alone()
    };
    voice.answer(&text)?;
    Ok(match (&outcome.disagreement, outcome.ended) {
        (Some(bug), _) => Ending::Bug(bug.clone()),
        (None, Ended::Cancelled) => Ending::Interrupted,
        (None, _) if outcome.plan.is_some() => Ending::Done,
        (None, _) => Ending::No,
    })
}
