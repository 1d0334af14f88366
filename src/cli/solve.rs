//! `segue solve`: a problem file in, its solution out.

<<<<<<< HEAD
use super::args::Solve;
use super::inputs;
use super::outputs::Voice;
use super::search::limits;
use super::{End, Refusal};
=======
use std::io::Write;
use std::process::ExitCode;
use std::time::Duration;

use super::args::Solve;
use super::inputs::{interrupt, read, refuse};
>>>>>>> brief2
use crate::exchange::{problem_file, solution_file};
use crate::report::{sheet::Section, solved, terminal};
use crate::score::evaluate;
use crate::search::outcome::Ended;
use crate::search::solve;

/// Reads, solves, prints.
<<<<<<< HEAD
///
/// # Errors
/// Mistakes in the file or in the usage, or a problem that is too large.
pub fn run(args: &Solve, voice: Voice) -> Result<End, Refusal> {
    let limits = limits(&args.search, voice).map_err(Refusal::Usage)?;
    let source = inputs::text(&args.file)?;
    let problem = problem_file::read(&source.text).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|m| format!("{}: {m}", source.name))
            .collect();
        Refusal::Usage(lines.join("\nsegue: "))
    })?;
    let line = voice.progress();
    let outcome = solve(&problem, &limits, &mut |news| line.show(news));
    drop(line);
=======
pub fn run(args: &Solve) -> ExitCode {
    let name = args.file.display();
    let time = match args.seconds.map(Duration::try_from_secs_f64).transpose() {
        Ok(time) => time,
        Err(e) => {
            return refuse(&format!(
                "--seconds: {e}; give a number of seconds such as 10"
            ));
        }
    };
    let text = match read(&args.file) {
        Ok(text) => text,
        Err(e) => return refuse(&format!("{name}: cannot be read: {e}")),
    };
    let problem = match problem_file::read(&text) {
        Ok(problem) => problem,
        Err(mistakes) => {
            return refuse(
                &mistakes
                    .iter()
                    .map(|m| format!("{name}: {m}"))
                    .collect::<Vec<_>>()
                    .join("\n"),
            );
        }
    };
    let cancel = interrupt();
    let limits = Limits {
        time,
        cancel: Some(cancel),
        ..Limits::default()
    };
    let outcome = solve(&problem, &limits, &mut |_| {});
>>>>>>> brief2
    let judged = outcome
        .plan
        .as_ref()
        .map(|p| evaluate(&problem, &p.order, &p.setups));
    if let (Ended::Refused, Some(why)) = (outcome.ended, &outcome.disagreement) {
        return Err(Refusal::Usage(why.clone()));
    }
    let text = if args.json {
        format!("{}\n", solution_file::write(&outcome, judged.as_ref()))
    } else {
        let section = Section {
            heading: problem.title.clone(),
            lines: solved::summary(&problem, &outcome, judged.as_ref()),
        };
        let drawn = terminal::sections(&[section], voice.columns());
        drawn.trim_start_matches('\n').to_owned()
    };
<<<<<<< HEAD
    voice.answer(&text)?;
    Ok(match (&outcome.disagreement, outcome.ended) {
        (Some(bug), _) => End::Bug(bug.clone()),
        (None, Ended::Cancelled) => End::Interrupted,
        (None, _) if outcome.plan.is_some() => End::Done,
        (None, _) => End::No,
    })
=======
    // A closed pipe is no error: whoever reads has seen enough.
    let _ = std::io::stdout().write_all(text.as_bytes());
    if let Some(bug) = &outcome.disagreement {
        return refuse(bug);
    }
    match outcome.ended {
        Ended::Cancelled => ExitCode::from(130),
        _ if outcome.plan.is_some() => ExitCode::SUCCESS,
        _ => ExitCode::from(1),
    }
}

fn summary(outcome: &Outcome) -> String {
    match &outcome.plan {
        Some(plan) if outcome.proven() => {
            format!("score {}, proven: no better plan exists", plan.score)
        }
        Some(plan) => format!(
            "score {}, no plan scores less than {}",
            plan.score,
            outcome.bound.unwrap_or(0)
        ),
        None if outcome.proven() => "no order exists".to_owned(),
        None => "nothing found in the time".to_owned(),
    }
>>>>>>> brief2
}
