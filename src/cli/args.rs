//! What the command line takes.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

/// Turns a list of movements into a class that flows: the order and the set-ups with the fewest change-overs and the least time lost.
#[derive(Debug, Parser)]
#[command(
    name = "segue",
    version,
    before_help = "Examples:\n  segue plan scenarios/packed-noon.toml\n  segue check my-class.toml",
    after_help = "Exit codes: 0 done; 1 the answer is no, or not settled, or (check) a must is broken; 2 mistake in a file or on the command line; 130 interrupted, with the best so far printed."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// When to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
    /// Print no progress messages.
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Log to standard error; twice (-vv), every step of the search.
    #[arg(short, long, global = true, action = clap::ArgAction::Count, conflicts_with = "quiet")]
    pub verbose: u8,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal that supports it, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Put a class in order and print its run sheet.
    Plan(Plan),
    /// Explain why the best order is best, or why no order exists and what would help.
    Explain(Explain),
    /// Preview a change, with the class before and after.
    Try(Try),
    /// Make several classes from one list, as different as possible, each nearly as good as the best.
    Vary(Vary),
    /// Show which few moves improve your own order, and what keeping more of it costs.
    Keep(Keep),
    /// Replan the rest of a class that is running late, and show what could be cut.
    Late(Late),
    /// Check classes in the order as written.
    Check(Check),
    /// List the known movements.
    List(List),
    /// Show everything known about one movement.
    Show(Show),
    /// Show which of your own files apply to a class, and where segue looks for them.
    Files(InForce),
    /// Export a class as a problem file for other programs, or as a graph.
    Export(Export),
    /// Solve problem files.
    Solve(Solve),
    /// Write a commented brief to start from.
    New(New),
    /// Print a JSON Schema of a file that segue reads or of its JSON output.
    Schema(Schema),
    /// Print a chapter of the guide.
    Guide(Guide),
    /// Print a completion script for a shell.
    Completions(Completions),
    /// Print the manual page.
    #[command(before_help = "Examples:\n  segue manual > segue.1\n  segue manual | man -l -")]
    Manual,
}

/// Write a commented brief to start from.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue new thursday.toml\n  segue new")]
pub struct New {
    /// The file to write; printed if omitted.
    pub file: Option<PathBuf>,
    /// Overwrite existing files.
    #[arg(long)]
    pub force: bool,
}

/// Show which of your own files apply to a class, and where segue looks for them.
///
/// Nearer files override farther ones; the nearest are listed first.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue files\n  segue files classes/thursday.toml --json")]
pub struct InForce {
    /// The class; if omitted, the working folder is used in place of its folder.
    pub class: Option<PathBuf>,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Print a JSON Schema of a file that segue reads or of its JSON output.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue schema\n  segue schema brief > brief.schema.json")]
pub struct Schema {
    /// Which schema; if omitted, all are listed.
    pub name: Option<String>,
}

/// Print a chapter of the guide.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue guide\n  segue guide brief")]
pub struct Guide {
    /// Which chapter; if omitted, all are listed.
    pub name: Option<String>,
}

/// Print a completion script for a shell.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue completions bash > ~/.local/share/bash-completion/completions/segue\n  segue completions fish > ~/.config/fish/completions/segue.fish"
)]
pub struct Completions {
    /// The shell.
    pub shell: clap_complete::Shell,
}

/// Your own movements, machines, blocks and labels.
#[derive(Debug, Clone, clap::Args)]
pub struct Own {
    /// Add a folder with files of your own.
    ///
    /// It holds `catalogue/*.toml`, `apparatus/*.toml`, `blocks/*.toml` or `labels/*.toml`, and overrides those found without it; see `segue files`.
    #[arg(long, value_name = "DIR")]
    pub models: Option<PathBuf>,
}

/// Limits of a search.
#[derive(Debug, Clone, clap::Args)]
pub struct Search {
    /// Stop after this time, with the best found so far.
    ///
    /// Default: 60, for `explain` 30; no limit for `solve`, nor where only `--nodes` is given.
    #[arg(long, value_name = "SECONDS")]
    pub seconds: Option<f64>,
    /// Use at most this much memory, in megabytes.
    #[arg(long, value_name = "MB", value_parser = clap::value_parser!(u64).range(16..))]
    pub memory: Option<u64>,
    /// Stop after examining this many beginnings of an order.
    ///
    /// Unlike `--seconds`, this gives the same result on every computer.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub nodes: Option<u64>,
    /// Seed for random choices.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub seed: u64,
    /// Number of threads.
    ///
    /// With several files, `solve` runs that many in parallel, and they share the memory. With one, the other threads look for better plans, and the plan may differ from run to run.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1024))]
    pub threads: u32,
}

/// Run sheets as files.
#[derive(Debug, Clone, clap::Args)]
pub struct Paper {
    /// Also write the run sheet to this file; repeatable.
    ///
    /// The ending sets the format: .html (to read and print), .pdf (to mail and print), .svg (a picture), .md, .csv, .json or .ics. Several classes go into one document, with a list of contents.
    #[arg(long, value_name = "FILE")]
    pub out: Vec<PathBuf>,
    /// Overwrite existing files.
    #[arg(long, requires = "out")]
    pub force: bool,
    /// Write a one-page summary instead of all that a substitute needs.
    #[arg(long, requires = "out")]
    pub glance: bool,
}

/// Put a class in order and print its run sheet.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue plan scenarios/packed-noon.toml\n  segue plan monday.toml thursday.toml --out week.pdf"
)]
pub struct Plan {
    /// One or more classes: briefs (.toml), tables (.csv), plain lists, or - for standard input.
    #[arg(required = true, value_name = "CLASS")]
    pub briefs: Vec<PathBuf>,
    /// Plan on the machine in this file instead, and show what changes.
    #[arg(long, value_name = "FILE")]
    pub apparatus: Option<PathBuf>,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print the cues under each movement.
    #[arg(long)]
    pub cues: bool,
    /// Files of the run sheet.
    #[command(flatten)]
    pub paper: Paper,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Explain why the best order is best, or why no order exists and what would help.
///
/// Shows what each rule costs, what each transition is for, and where else each movement could stand.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue explain scenarios/packed-noon.toml\n  segue explain scenarios/cannot-be.toml"
)]
pub struct Explain {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Preview a change, with the class before and after.
///
/// The file itself is not changed.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue try my-class.toml --without Mermaid --minutes 45\n  segue try my-class.toml --with \"Elephant x 5\" --springs Scooter \"1 sun\"\n  segue try my-class.toml --first Hundred \"Long stretch\""
)]
pub struct Try {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Leave out this movement, block or series; repeatable.
    #[arg(long, value_name = "NAME")]
    pub without: Vec<String>,
    /// Add this movement, written as on a list ("Elephant x 5"); repeatable.
    #[arg(long, value_name = "LINE")]
    pub with: Vec<String>,
    /// Minutes available for the class, 1 to 600.
    #[arg(long, value_name = "MINUTES", value_parser = minutes)]
    pub minutes: Option<f64>,
    /// Do this movement on these springs, written as in a brief; repeatable.
    #[arg(long, num_args = 2, value_names = ["NAME", "SPRINGS"])]
    pub springs: Vec<String>,
    /// Do the first before the second (movements, blocks or series); repeatable.
    #[arg(long, num_args = 2, value_names = ["NAME", "NAME"])]
    pub first: Vec<String>,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Minutes of a class, as in a brief.
fn minutes(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (1.0..=600.0).contains(&n) => Ok(n),
        Ok(_) | Err(_) => Err("give minutes from 1 to 600, such as 45".to_owned()),
    }
}

/// Make several classes from one list, as different as possible, each nearly as good as the best.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue vary my-class.toml --count 3\n  segue vary my-class.toml --count 5 --within 5 --apart 6 --seed 2"
)]
pub struct Vary {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Number of classes, 1 to 99.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=99))]
    pub count: u8,
    /// Each class at most this much worse than the best order, in percent; stops, time and rules count.
    #[arg(long, value_name = "PERCENT", default_value = "10", value_parser = percent)]
    pub within: i64,
    /// Any two classes differ in at least this many pairs of neighbours.
    #[arg(long, value_name = "PAIRS", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..))]
    pub apart: u8,
    /// Swap up to this many movements per class for alternatives in the brief (`or`).
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub swaps: u8,
    /// No two classes begin with the same movement.
    #[arg(long)]
    pub other_start: bool,
    /// No two classes end with the same movement.
    #[arg(long)]
    pub other_end: bool,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print the cues under each movement.
    #[arg(long)]
    pub cues: bool,
    /// Files of the run sheet.
    #[command(flatten)]
    pub paper: Paper,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Show which few moves improve your own order, and what keeping more of it costs.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue keep my-class.toml\n  segue keep my-class.toml --pairs 9"
)]
pub struct Keep {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Print the run sheet of the best order that keeps at least this many of your pairs of neighbours.
    #[arg(long, value_name = "N")]
    pub pairs: Option<u16>,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Replan the rest of a class that is running late, and show what could be cut.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue late my-class.toml --from 11 --left 22\n  segue late my-class.toml --from 8 --left 30 --json"
)]
pub struct Late {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Number of the next step on the run sheet of `plan`; all before it are done.
    #[arg(long, value_name = "STEP", value_parser = clap::value_parser!(u16).range(1..))]
    pub from: u16,
    /// Minutes left, 0 to 600.
    #[arg(long, value_name = "MINUTES", value_parser = minutes_left)]
    pub left: f64,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print the cues under each movement.
    #[arg(long)]
    pub cues: bool,
    /// Files of the run sheet.
    #[command(flatten)]
    pub paper: Paper,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Minutes that are left of a class.
fn minutes_left(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (0.0..=600.0).contains(&n) => Ok(n),
        Ok(_) | Err(_) => Err("give minutes from 0 to 600, such as 22 or 17.5".into()),
    }
}

/// A percentage from 0 to 1000, in hundredths of a percent.
fn percent(text: &str) -> Result<i64, String> {
    match text.trim_end_matches('%').trim().parse::<f64>() {
        Ok(p) if (0.0..=1000.0).contains(&p) => Ok((p * 100.0).round() as i64),
        Ok(_) | Err(_) => Err("give a percentage from 0 to 1000, such as 5".into()),
    }
}

/// Check classes in the order as written.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue check my-class.toml\n  segue check monday.toml thursday.toml --json"
)]
pub struct Check {
    /// One or more classes: briefs (.toml), tables (.csv), plain lists, or - for standard input.
    #[arg(required = true, value_name = "CLASS")]
    pub briefs: Vec<PathBuf>,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Print JSON instead of text.
    ///
    /// One line per class.
    #[arg(long)]
    pub json: bool,
}

/// List the known movements.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue list --phase warm-up --level 1\n  segue list --spine flexion --box none"
)]
pub struct List {
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
    /// Only movements allowed in this phase.
    #[arg(long, value_enum)]
    pub phase: Option<PhaseWord>,
    /// Only movements that load this region ("wrists", "hamstrings").
    #[arg(long)]
    pub region: Option<String>,
    /// Only movements whose best load is in this range, in load units ("1..2", "1.5").
    #[arg(long, value_name = "FROM..TO")]
    pub load: Option<String>,
    /// Only movements that use this box ("long", "short"), or `none`.
    #[arg(long = "box", value_name = "BOX")]
    pub box_: Option<String>,
    /// Only movements of this level, 1 to 3.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=3))]
    pub level: Option<u8>,
    /// Only movements with this action of the spine.
    #[arg(long, value_enum)]
    pub spine: Option<SpineWord>,
    /// Only movements with this caution ("wrist load"), or `none`.
    #[arg(long)]
    pub caution: Option<String>,
    /// Print JSON instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Phases as words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PhaseWord {
    /// Warm-up.
    WarmUp,
    /// Main part.
    Main,
    /// Cool-down.
    CoolDown,
}

/// Actions of the spine as words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SpineWord {
    /// Rounding.
    Flexion,
    /// Back bending.
    Extension,
    /// Twisting.
    Rotation,
    /// Bending to the side.
    SideBend,
    /// None of them.
    Neutral,
}

/// Show everything known about one movement.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue show swan\n  segue show \"short spine\"")]
pub struct Show {
    /// The id or one of the names of the movement.
    #[arg(value_name = "NAME")]
    pub id: String,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
}

/// Export a class as a problem file for other programs, or as a graph.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue export my-class.toml > problem.json\n  segue export my-class.toml --format dot | dot -Tsvg > class.svg"
)]
pub struct Export {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    #[arg(value_name = "CLASS")]
    pub brief: PathBuf,
    /// Format of the export.
    #[arg(long, value_enum, default_value_t = Format::Json)]
    pub format: Format,
    /// Your own files.
    #[command(flatten)]
    pub own: Own,
}

/// What to export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// The problem file.
    Json,
    /// The change-overs as a Graphviz graph: a node per step, an edge with its seconds per change-over.
    Dot,
}

/// Solve problem files.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue solve problem.json\n  segue solve problem.json --seconds 10 --json\n  segue solve problem.json --method mip\n  segue solve ESC07.sop\n  segue solve problems/*.json --seconds 60 --threads 2"
)]
pub struct Solve {
    /// Problem files (JSON, or .sop from TSPLIB and SOPLIB), or - for standard input.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How to solve.
    #[arg(long, value_enum, default_value_t = Method::Search)]
    pub method: Method,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// If no order exists, do not look for the demands that conflict.
    #[arg(long)]
    pub no_conflict: bool,
    /// Print JSON instead of text.
    ///
    /// For a single problem, the solution file.
    #[arg(long)]
    pub json: bool,
    /// Print one line of JSON per file as it is solved; implied by several files.
    ///
    /// A summary goes to standard error.
    #[arg(long)]
    pub lines: bool,
}

/// How a problem is solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Method {
    /// The search.
    Search,
    /// A mixed-integer model, which shares no code with the search: a second opinion on short lists without `fatigue`. It keeps to `--seconds`; an interrupt ends it at once.
    Mip,
}
