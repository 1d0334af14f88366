//! `segue solve`: a problem file in, its solution out.

use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;

use super::args::Solve;
use super::ending::{End, Refusal};
use super::inputs;
use super::outputs::Voice;
use super::search::limits;
use crate::exchange::{problem_file, solution_file, tsplib};
use crate::problem::Problem;
use crate::report::{section::Section, solved, terminal};
use crate::score::evaluate;
use crate::search::outcome::Ended;
use crate::search::solve;
use crate::source::Source;

/// Reads, solves, prints.
///
/// # Errors
/// Mistakes in the file or in the usage, or a problem that is too large.
pub fn run(args: &Solve, voice: Voice) -> Result<End, Refusal> {
    let limits = limits(&args.search, voice).map_err(Refusal::Usage)?;
    let source = inputs::text(&args.file)?;
    let problem = problem_of(&args.file, &source)?;
    let line = voice.progress();
    let outcome = solve(&problem, &limits, &mut |news| line.show(news));
    drop(line);
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
    voice.answer(&text)?;
    Ok(match (&outcome.disagreement, outcome.ended) {
        (Some(bug), _) => End::Bug(bug.clone()),
        (None, Ended::Cancelled) => End::Interrupted,
        (None, _) if outcome.plan.is_some() => End::Done,
        (None, _) => End::No,
    })
}

/// The problem in a text: a sequential ordering problem by the ending `.sop` or by its first word, else a problem file.
fn problem_of(path: &Path, source: &Arc<Source>) -> Result<Problem, Refusal> {
    let ending = path.extension().and_then(OsStr::to_str);
    if ending == Some("sop") || ending != Some("json") && tsplib::recognises(&source.text) {
        return tsplib::read(source).map_err(Refusal::Mistakes);
    }
    problem_file::read(&source.text).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|m| format!("{}: {m}", source.name))
            .collect();
        let brief = !source.text.trim_start().starts_with(['{', '[']);
        let hint = if brief {
            "\nsegue: a brief or a list is planned with `segue plan FILE`"
        } else {
            ""
        };
        Refusal::Usage(lines.join("\nsegue: ") + hint)
    })
}
