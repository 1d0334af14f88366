//! The command line: the only place that touches files, terminal, environment.

use std::process::ExitCode;

/// Runs the program.
pub fn main() -> ExitCode {
    ExitCode::from(2)
}
