//! Problems in files: problem files, and sequential ordering problems; and what cannot hold together in one.

use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;

use super::ending::Refusal;
use crate::exchange::solution_file::SolutionFile;
use crate::exchange::{problem_file, tsplib};
use crate::explain::allowance::Allowance;
use crate::explain::conflict::{Conflict, conflict_of_problem};
use crate::problem::Problem;
use crate::report::mistakes::shortened;
use crate::search::budget::Limits;
use crate::search::outcome::Outcome;
use crate::sizes::{MISTAKES, PROBLEM_STEPS};
use crate::source::{Source, Span};

/// The problem in a text: a sequential ordering problem by the ending `.sop` or by its first word, else a problem file.
pub(super) fn problem_of(path: &Path, source: &Arc<Source>) -> Result<Problem, Refusal> {
    let ending = path.extension().and_then(OsStr::to_str);
    if ending == Some("sop") || ending != Some("json") && tsplib::recognises(&source.text) {
        return tsplib::read(source).map_err(Refusal::Mistakes);
    }
    let problem = problem_file::read(&source.text).map_err(|mistakes| {
        let told = mistakes.iter().take(MISTAKES);
        let mut lines: Vec<String> = told
            .map(|m| shortened(&format!("{}: {m}", source.name)).into_owned())
            .collect();
        let more = mistakes.len() - lines.len();
        if more > 0 {
            lines.push(format!("and {more} more, which are not shown"));
        }
        let brief = !source.text.trim_start().starts_with(['{', '[']);
        if brief {
            lines.push("to plan a class or a list: `segue plan FILE`".to_owned());
        }
        Refusal::Several(lines)
    })?;
    let steps = problem.steps.len();
    if PROBLEM_STEPS.is_less_than(steps) {
        let span = Span::new(source, 0..0);
        return Err(PROBLEM_STEPS.refused("the problem", steps, span).into());
    }
    Ok(problem)
}

/// What cannot hold together, where no order exists, found within what the search has left of its limits; nothing where it is not `sought`.
pub(super) fn conflict(
    problem: &Problem,
    limits: &Limits,
    outcome: &Outcome,
    sought: bool,
) -> Option<Conflict> {
    let impossible = sought && outcome.plan.is_none() && outcome.proven();
    impossible.then(|| conflict_of_problem(problem, &mut Allowance::after(limits, outcome)))
}

/// Puts a conflict into a solution file, which takes one of which no demand can be spared.
pub(super) fn name_conflict(solution: &mut SolutionFile, conflict: Option<&Conflict>) {
    if let Some(conflict) = conflict.filter(|c| c.minimal) {
        solution.name_conflict(conflict.demands.clone());
    }
}
