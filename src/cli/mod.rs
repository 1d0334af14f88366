//! The command line: the only place that touches files, terminal, environment.

mod args;
mod solve;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};

/// Bad input or bad usage.
const BAD_INPUT: u8 = 2;

/// Runs the program. Exit codes: 0 done, 1 the answer is no or not settled, 2 bad input or usage, 130 interrupted.
pub fn main() -> ExitCode {
    match Args::parse().command {
        Command::Solve(args) => solve::run(&args),
    }
}
