//! `segue solve`: a problem file in, its solution out.

use std::io::{Read, Write};
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use super::BAD_INPUT;
use super::args::Solve;
use crate::exchange::{problem_file, solution_file};
use crate::score::evaluate;
use crate::search::budget::Limits;
use crate::search::outcome::{Ended, Outcome};
use crate::search::solve;

/// Reads, solves, prints.
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
    let cancel = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&cancel);
    let heard = ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    if let Err(e) = heard {
        eprintln!("segue: an interrupt will end the program at once: {e}");
    }
    let limits = Limits {
        time,
        cancel: Some(cancel),
        ..Limits::default()
    };
    let outcome = solve(&problem, &limits, &mut |_| {});
    let judged = outcome
        .plan
        .as_ref()
        .map(|p| evaluate(&problem, &p.order, &p.setups));
    let text = if args.json {
        format!("{}\n", solution_file::write(&outcome, judged.as_ref()))
    } else {
        format!("{}\n", summary(&outcome))
    };
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

fn refuse(why: &str) -> ExitCode {
    eprintln!("{why}");
    ExitCode::from(BAD_INPUT)
}

fn read(file: &Path) -> std::io::Result<String> {
    if file.as_os_str() == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text)?;
        return Ok(text);
    }
    std::fs::read_to_string(file)
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
}
