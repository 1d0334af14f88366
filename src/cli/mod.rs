//! The command line: the only place that touches files, terminal, environment.

mod args;
mod check;
mod export;
mod inputs;
mod list;
mod outputs;
mod plan;
mod search;
mod solve;

use std::process::ExitCode;

use clap::Parser;

use crate::diagnostic::Diagnostic;
use args::{Args, Command};
use outputs::Voice;

/// The answer is no, or not settled, or something that must hold is broken.
const NO: u8 = 1;
/// Bad input or bad usage.
const BAD_INPUT: u8 = 2;
/// Somebody asked it to stop.
const INTERRUPTED: u8 = 130;

/// How a command ended after printing its answer.
enum End {
    /// Done.
    Done,
    /// The answer is no, or not settled.
    No,
    /// Interrupted; the best so far is printed.
    Interrupted,
    /// The search and its check disagreed.
    Bug(String),
}

/// Why a command printed no answer.
enum Refusal {
    /// Mistakes in files.
    Mistakes(Vec<Diagnostic>),
    /// Something else, in one sentence.
    Usage(String),
    /// The answer could not be written.
    Output(std::io::Error),
}

impl From<Diagnostic> for Refusal {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Mistakes(vec![diagnostic])
    }
}

impl From<std::io::Error> for Refusal {
    fn from(e: std::io::Error) -> Self {
        Self::Output(e)
    }
}

/// Runs the program. Exit codes: 0 done, 1 the answer is no or not settled, 2 bad input or usage, 130 interrupted.
pub fn main() -> ExitCode {
    let args = Args::parse();
    let voice = Voice {
        colour: args.color,
        quiet: args.quiet,
    };
    let ended = match &args.command {
        Command::Plan(args) => plan::run(args, voice),
        Command::Check(args) => check::run(args, voice),
        Command::List(args) => list::list(args, voice),
        Command::Show(args) => list::show(args, voice),
        Command::Export(args) => export::run(args, voice),
        Command::Solve(args) => solve::run(args, voice),
    };
    match ended {
        Ok(End::Done) => ExitCode::SUCCESS,
        Ok(End::No) => ExitCode::from(NO),
        Ok(End::Interrupted) => ExitCode::from(INTERRUPTED),
        Ok(End::Bug(text)) => {
            voice.complain(&format!(
                "this is a bug: the plan did not agree with its own check; please report it with your file. {text}"
            ));
            ExitCode::from(NO)
        }
        Err(Refusal::Mistakes(diagnostics)) => {
            voice.diagnostics(&diagnostics);
            ExitCode::from(BAD_INPUT)
        }
        Err(Refusal::Usage(text)) => {
            voice.complain(&text);
            ExitCode::from(BAD_INPUT)
        }
        Err(Refusal::Output(e)) => {
            voice.complain(&format!("the answer could not be written: {e}"));
            ExitCode::from(BAD_INPUT)
        }
    }
}
