//! `segue solve FILES...`: many problems, one line of JSON for each as it is done, a summary at the end.
//!
//! Nothing is kept between two problems, so that any job runner may spread the files over machines instead.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::args::Solve;
use super::ending::Refusal;
use super::inputs;
use super::problems::{conflict, name_conflict, problem_of};
use super::search::{heed, limits_of, solve, time_of};
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::exchange::solution_file;
use crate::report::json;
use crate::report::json::solved::Solved;
use crate::report::mistakes::{Paint, draw};
use crate::score::evaluate;
use crate::search::budget::{DEFAULT_MEMORY, Limits, moment};
use crate::search::outcome::Ended;

/// What has come of the files so far.
#[derive(Debug, Default)]
struct Tally {
    proven: usize,
    impossible: usize,
    open: usize,
    nothing: usize,
    refused: usize,
    interrupted: bool,
    bug: Option<String>,
    /// Seconds in all, the longest, and whose it was.
    seconds: f64,
    longest: (f64, String),
    /// The answer could not be written.
    unwritten: Option<std::io::Error>,
}

/// Solves all files, `--threads` of them at a time; each gets its share of the memory.
///
/// # Errors
/// A limit that makes no sense; files that could not be read (those that could are solved).
pub fn run(args: &Solve, voice: Voice) -> Result<Ending, Refusal> {
    let mut limits = limits_of(args.method, &args.search).map_err(Refusal::Usage)?;
    heed(args.method);
    // Each problem has the seconds for itself.
    let time = time_of(&args.search).map_err(Refusal::Usage)?;
    let threads = usize::try_from(limits.workers()).unwrap_or(1);
    let threads = threads.min(args.files.len()).max(1);
    limits.threads = 1;
    let memory = limits.memory.unwrap_or(DEFAULT_MEMORY);
    limits.memory = Some(memory / threads as u64);
    let next = AtomicUsize::new(0);
    let tally = Mutex::new(Tally::default());
    let work = || {
        while let Some(file) = args.files.get(next.fetch_add(1, Ordering::Relaxed)) {
            if limits.cancelled() {
                tally.lock().expect("no thread panics").interrupted = true;
                return;
            }
            let limits = Limits {
                until: time.and_then(moment),
                ..limits.clone()
            };
            let line = solved(file, args, &limits, &tally);
            let mut tally = tally.lock().expect("no thread panics");
            if let Err(e) = voice.answer(&json::line(&line)) {
                tally.unwritten.get_or_insert(e);
                return;
            }
        }
    };
    thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(work);
        }
    });
    let tally = tally.into_inner().expect("no thread panics");
    if let Some(e) = tally.unwritten {
        return Err(Refusal::Output(e));
    }
    if !voice.quiet {
        voice.complain(&summary(&args.files, &tally));
    }
    Ok(match tally {
        Tally { bug: Some(bug), .. } => Ending::Bug(bug),
        _ if tally.refused > 0 => {
            return Err(Refusal::Usage(format!(
                "not read: {} of {} files; their lines say why",
                tally.refused,
                args.files.len()
            )));
        }
        _ if tally.interrupted => Ending::Interrupted,
        _ if tally.impossible + tally.nothing > 0 => Ending::No,
        _ => Ending::Done,
    })
}

/// The line of one file.
fn solved(file: &Path, args: &Solve, limits: &Limits, tally: &Mutex<Tally>) -> Solved {
    let name = file.display().to_string();
    let problem = inputs::problem(file).map_err(Refusal::from);
    let problem = match problem.and_then(|source| problem_of(file, &source)) {
        Ok(problem) => problem,
        Err(refusal) => {
            tally.lock().expect("no thread panics").refused += 1;
            return Solved::refused(name, told(refusal));
        }
    };
    let outcome = solve(args.method, &problem, limits, &mut |_| {});
    let conflict = conflict(&problem, limits, &outcome, !args.no_conflict);
    let mut tally = tally.lock().expect("no thread panics");
    if let (Ended::Refused, Some(why)) = (outcome.ended, &outcome.disagreement) {
        tally.refused += 1;
        return Solved::refused(name, why.clone());
    }
    let judged = outcome
        .plan
        .as_ref()
        .map(|p| evaluate(&problem, &p.order, &p.setups));
    let mut solution = solution_file::write(&outcome, judged.as_ref());
    name_conflict(&mut solution, conflict.as_ref());
    let line = Solved::of(name.clone(), solution, &outcome);
    tally.seconds += outcome.seconds;
    if outcome.seconds > tally.longest.0 {
        tally.longest = (outcome.seconds, name);
    }
    tally.interrupted |= outcome.ended == Ended::Cancelled;
    match (&outcome.plan, outcome.proven()) {
        (Some(_), true) => tally.proven += 1,
        (None, true) => tally.impossible += 1,
        (Some(_), false) => tally.open += 1,
        (None, false) => tally.nothing += 1,
    }
    if let Some(bug) = outcome.disagreement {
        tally.bug.get_or_insert(bug);
    }
    line
}

/// Why a file was refused, as text.
fn told(refusal: Refusal) -> String {
    match refusal {
        Refusal::Mistakes(diagnostics) => draw(&diagnostics, Paint::Plain, 80).trim().to_owned(),
        Refusal::Usage(text) => text,
        Refusal::Several(lines) => lines.join("\n"),
        Refusal::Output(e) => e.to_string(),
    }
}

fn summary(files: &[PathBuf], tally: &Tally) -> String {
    let mut parts = vec![format!(
        "{} problems: {} proven best, {} proven to have no order, {} with an order and a bound, {} with none found",
        files.len(),
        tally.proven,
        tally.impossible,
        tally.open,
        tally.nothing
    )];
    if tally.refused > 0 {
        parts.push(format!("{} not read", tally.refused));
    }
    let begun = tally.proven + tally.impossible + tally.open + tally.nothing + tally.refused;
    if begun < files.len() {
        parts.push(format!("{} not begun", files.len() - begun));
    }
    parts.push(format!("{:.2} s of search", tally.seconds));
    if tally.longest.0 > 0.0 {
        parts.push(format!(
            "the longest {:.2} s ({})",
            tally.longest.0, tally.longest.1
        ));
    }
    if let Some(megabytes) = peak_memory() {
        parts.push(format!("at most {megabytes} MB of memory"));
    }
    parts.join("; ")
}

/// The most memory that the program has had, where the system tells it in the way of Linux.
fn peak_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kilobytes / 1024)
}
