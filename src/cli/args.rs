//! What the command line takes.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

/// Finds the order and the set-ups of a class with the fewest change-overs and the least lost time.
#[derive(Debug, Parser)]
#[command(
    version,
    before_help = "Examples:\n  segue solve problem.json\n  segue solve problem.json --seconds 10 --json"
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Solve a compiled problem (a problem file).
    Solve(Solve),
}

/// Solve a compiled problem.
#[derive(Debug, clap::Args)]
pub struct Solve {
    /// The problem file, or - for standard input.
    pub file: PathBuf,
    /// Stop after so many seconds with the best found so far.
    #[arg(long, value_name = "T")]
    pub seconds: Option<f64>,
    /// Print the solution file instead of a short summary.
    #[arg(long)]
    pub json: bool,
}
