//! The command line: the only place that touches files, terminal, environment.

mod args;
mod batch;
mod check;
mod ending;
mod explain;
mod export;
mod guide;
mod inputs;
mod interrupt;
mod keep;
mod late;
mod list;
mod new;
mod outputs;
mod own;
mod own_files;
mod plan;
mod problems;
mod schema;
mod search;
mod solve;
mod try_out;
mod vary;
mod voice;

use std::env;
use std::process::ExitCode;

use clap::Parser;

use crate::answer::ending::Ending;
use crate::harmless::spelt;
use args::{Args, Command};
use ending::{BAD_INPUT, Refusal, code};
use voice::Voice;

/// Runs the program. Exit codes: 0 done, 1 the answer is no or not settled, 2 bad input or usage, 130 interrupted.
pub fn main() -> ExitCode {
    let args = arguments();
    let voice = Voice {
        colour: args.color,
        quiet: args.quiet,
    };
    voice::log(args.verbose, voice);
    if searches(&args.command) {
        interrupt::listen(voice);
    }
    let ended = match &args.command {
        Command::Plan(args) => plan::run(args, voice),
        Command::Vary(args) => vary::run(args, voice),
        Command::Keep(args) => keep::run(args, voice),
        Command::Late(args) => late::run(args, voice),
        Command::Explain(args) => explain::run(args, voice),
        Command::Try(args) => try_out::run(args, voice),
        Command::Check(args) => check::run(args, voice),
        Command::List(args) => list::list(args, voice),
        Command::Show(args) => list::show(args, voice),
        Command::Files(args) => own_files::run(args, voice),
        Command::Export(args) => export::run(args, voice),
        Command::Solve(args) => solve::run(args, voice),
        Command::Schema(args) => schema::run(args, voice),
        Command::Guide(args) => guide::run(args, voice),
        Command::New(args) => new::brief(args, voice),
        Command::Completions(args) => new::completions(args, voice),
        Command::Manual => new::manual(voice),
    };
    match ended {
        Ok(ending) => {
            match &ending {
                Ending::Bug(text) => voice.complain(&format!(
                    "this is a bug: the plan failed its own check; please report it with your file. {text}"
                )),
                Ending::Refused(why) => voice.complain_of(&why.lines().collect::<Vec<_>>()),
                Ending::Done | Ending::No | Ending::Interrupted => {}
            }
            ExitCode::from(code(&ending))
        }
        Err(Refusal::Mistakes(diagnostics)) => {
            voice.diagnostics(&diagnostics);
            ExitCode::from(BAD_INPUT)
        }
        Err(Refusal::Usage(text)) => {
            voice.complain(&text);
            ExitCode::from(BAD_INPUT)
        }
        Err(Refusal::Several(lines)) => {
            voice.complain_of(&lines);
            ExitCode::from(BAD_INPUT)
        }
        Err(Refusal::Output(e)) => {
            voice.complain(&format!("the answer could not be written: {e}"));
            ExitCode::from(BAD_INPUT)
        }
    }
}

/// The arguments. What is wrong with them is told, and the program ends.
fn arguments() -> Args {
    Args::try_parse().unwrap_or_else(|refused| {
        // What is told quotes them: it is told of arguments in which all is spelt that steers a terminal. Those that are right when spelt were no UTF-8, and that is told
        // without quoting.
        let spelt = env::args_os().map(|arg| spelt(&arg.to_string_lossy()));
        let told = Args::try_parse_from(spelt).err().unwrap_or(refused);
        told.exit()
    })
}

/// Whether a command searches, and has a best so far to print when it is interrupted. The others are over at once.
fn searches(command: &Command) -> bool {
    match command {
        Command::Plan(_)
        | Command::Vary(_)
        | Command::Keep(_)
        | Command::Late(_)
        | Command::Explain(_)
        | Command::Try(_)
        | Command::Solve(_) => true,
        Command::Check(_)
        | Command::List(_)
        | Command::Show(_)
        | Command::Files(_)
        | Command::Export(_)
        | Command::Schema(_)
        | Command::Guide(_)
        | Command::New(_)
        | Command::Completions(_)
        | Command::Manual => false,
    }
}
