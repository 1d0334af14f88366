//! What the command line takes.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

/// Turns a loose list of movements into a class that flows: the order and the set-ups with the fewest change-overs and the least lost time.
#[derive(Debug, Parser)]
#[command(
    name = "segue",
    version,
    before_help = "Examples:\n  segue plan scenarios/packed-noon.toml\n  segue check my-class.toml",
    after_help = "Exit codes: 0 done; 1 the answer is no, or not settled, or (check) something that has to hold is broken; 2 bad input or usage; 130 interrupted, with the best so far printed."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Whether to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
    /// Say nothing on the way.
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Log what is done on standard error; twice, every step of the search.
    #[arg(short, long, global = true, action = clap::ArgAction::Count, conflicts_with = "quiet")]
    pub verbose: u8,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal that can show it, unless NO_COLOR is set.
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
    /// Say why the best order is as it is, and where there is none, why not and what would help.
    Explain(Explain),
    /// See what a change would do, with the class before and after.
    Try(Try),
    /// Make several classes from the same list, all nearly as good as the best, as different as can be.
    Vary(Vary),
    /// See which few moves make your own order better, and how far it can be kept at what price.
    Keep(Keep),
    /// Plan the rest of a class that has begun and is late, and see what could be cut.
    Late(Late),
    /// Audit an order as it was written.
    Check(Check),
    /// List the movements that are known.
    List(List),
    /// Show all that is known about one movement.
    Show(Show),
    /// Show which files of your own are in force for a class, and where they are looked for.
    Files(InForce),
    /// Write a class as a problem for other programs.
    Export(Export),
    /// Solve a problem file.
    Solve(Solve),
    /// Write a brief to start from, with remarks on what can be said.
    New(New),
    /// Print a JSON Schema, by which editors complete and check what you write and programs know what is printed.
    Schema(Schema),
    /// Print a chapter of the guide.
    Guide(Guide),
    /// Print what a shell needs to complete commands and options.
    Completions(Completions),
    /// Print the manual page.
    #[command(before_help = "Examples:\n  segue manual > segue.1\n  segue manual | man -l -")]
    Manual,
}

/// Write a brief to start from, with remarks on what can be said.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue new thursday.toml\n  segue new")]
pub struct New {
    /// The file to write; without one it is printed.
    pub file: Option<PathBuf>,
    /// Overwrite a file that is there already.
    #[arg(long)]
    pub force: bool,
}

/// Show which files of your own are in force, from near to far.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue files\n  segue files classes/thursday.toml --json")]
pub struct InForce {
    /// A class; without one, the folder that you work in stands for the one that it is in.
    pub class: Option<PathBuf>,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Print a JSON Schema, by which editors complete and check what you write and programs know what is printed.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue schema\n  segue schema brief > brief.schema.json")]
pub struct Schema {
    /// Of what; without it, which there are is listed.
    pub name: Option<String>,
}

/// Print a chapter of the guide.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue guide\n  segue guide brief")]
pub struct Guide {
    /// The chapter; without it, all are listed.
    pub name: Option<String>,
}

/// Print what a shell needs to complete commands and options.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue completions bash > ~/.local/share/bash-completion/completions/segue\n  segue completions fish > ~/.config/fish/completions/segue.fish"
)]
pub struct Completions {
    /// The shell.
    pub shell: clap_complete::Shell,
}

/// Movements and machines of one's own.
#[derive(Debug, Clone, clap::Args)]
pub struct Own {
    /// A folder with files of your own: `catalogue/*.toml`, `apparatus/*.toml`, `blocks/*.toml`, `labels/*.toml`; nearer than those that are found without it, see `segue files`.
    #[arg(long, value_name = "DIR")]
    pub models: Option<PathBuf>,
}

/// Limits of a search.
#[derive(Debug, Clone, clap::Args)]
pub struct Search {
    /// Stop after so many seconds with the best found so far; where neither this nor `--nodes` is given, `plan`, `try`, `vary`, `keep` and `late` stop after 60, `explain` after 30.
    #[arg(long, value_name = "T")]
    pub seconds: Option<f64>,
    /// Use at most so many megabytes.
    #[arg(long, value_name = "MB", value_parser = clap::value_parser!(u64).range(16..))]
    pub memory: Option<u64>,
    /// Stop after looking at so many beginnings of an order: the same on every machine.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub nodes: Option<u64>,
    /// Seed for what is drawn at random.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub seed: u64,
    /// Use so many threads. Of several files so many are solved at a time, and share the memory; for one, the others look for better
    /// plans, and the plan need not be the same each time.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1024))]
    pub threads: u32,
}

/// Run sheets as files.
#[derive(Debug, Clone, clap::Args)]
pub struct Paper {
    /// Write the run sheet (of several classes all of them, with a list of contents) to this file too; its ending chooses the form: .html (to read and print), .pdf (to mail and print), .svg (a picture), .md, .csv, .json, .ics. May be given many times.
    #[arg(long, value_name = "FILE")]
    pub out: Vec<PathBuf>,
    /// Overwrite files that are there already.
    #[arg(long, requires = "out")]
    pub force: bool,
    /// Write only what is wanted at a glance, on one page, instead of all that a substitute needs.
    #[arg(long, requires = "out")]
    pub glance: bool,
}

/// Put a class in order and print its run sheet.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue plan scenarios/packed-noon.toml\n  segue plan monday.toml thursday.toml --out week.pdf"
)]
pub struct Plan {
    /// The class, or several: briefs (.toml), tables (.csv), plain lists, or - for standard input. With `--out` several stand in one document, with a list of contents.
    #[arg(required = true, value_name = "BRIEF")]
    pub briefs: Vec<PathBuf>,
    /// Plan on the machine in this file instead, and say what changes.
    #[arg(long, value_name = "FILE")]
    pub apparatus: Option<PathBuf>,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Say under each movement how it is done.
    #[arg(long)]
    pub cues: bool,
    /// Files of run sheets.
    #[command(flatten)]
    pub paper: Paper,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Say why the best order is as it is: what each rule costs, what each transition is for, where else each movement could stand.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue explain scenarios/packed-noon.toml\n  segue explain scenarios/cannot-be.toml"
)]
pub struct Explain {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// See what a change would do, with the class before and after. The file stays as it is.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue try my-class.toml --without Mermaid --minutes 45\n  segue try my-class.toml --with \"Elephant x 5\" --springs Scooter \"1 sun\"\n  segue try my-class.toml --first Hundred \"Long stretch\""
)]
pub struct Try {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// Leave this movement, block or series out; may be given many times.
    #[arg(long, value_name = "NAME")]
    pub without: Vec<String>,
    /// Add this movement, as on a list ("Elephant x 5"); may be given many times.
    #[arg(long, value_name = "LINE")]
    pub with: Vec<String>,
    /// So many minutes.
    #[arg(long, value_name = "N", value_parser = minutes)]
    pub minutes: Option<f64>,
    /// Do this movement on these springs, written as in a brief; may be given many times.
    #[arg(long, num_args = 2, value_names = ["NAME", "SPRINGS"])]
    pub springs: Vec<String>,
    /// Do the first before the second: movements, blocks or series; may be given many times.
    #[arg(long, num_args = 2, value_names = ["NAME", "NAME"])]
    pub first: Vec<String>,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Minutes of a class, as in a brief.
fn minutes(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(n) if (1.0..=600.0).contains(&n) => Ok(n),
        Ok(_) | Err(_) => Err("a number from 1 to 600".to_owned()),
    }
}

/// Make several classes from the same list, all nearly as good as the best, as different as can be.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue vary my-class.toml --count 3\n  segue vary my-class.toml --count 5 --within 5 --apart 6 --seed 2"
)]
pub struct Vary {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// So many classes, 1 to 99.
    #[arg(long, value_name = "K", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=99))]
    pub count: u8,
    /// Each at most so many percent worse than the best order, stops and wishes counted in.
    #[arg(long, value_name = "PERCENT", default_value = "10", value_parser = percent)]
    pub within: i64,
    /// Any two with at least so many neighbours that differ.
    #[arg(long, value_name = "PAIRS", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..))]
    pub apart: u8,
    /// In each at most so many movements swapped for others that the brief allows in their place (`or`).
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub swaps: u8,
    /// No two begin with the same movement.
    #[arg(long)]
    pub other_start: bool,
    /// No two end with the same movement.
    #[arg(long)]
    pub other_end: bool,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Say under each movement how it is done.
    #[arg(long)]
    pub cues: bool,
    /// Files of run sheets.
    #[command(flatten)]
    pub paper: Paper,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// See which few moves make your own order better, and how far it can be kept at what price.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue keep my-class.toml\n  segue keep my-class.toml --pairs 9"
)]
pub struct Keep {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// Print the run sheet of the best order that keeps at least so many pairs of neighbours of your own.
    #[arg(long, value_name = "N")]
    pub pairs: Option<u16>,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Print everything as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Plan the rest of a class that has begun and is late, and see what could be cut.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue late my-class.toml --from 11 --left 22\n  segue late my-class.toml --from 8 --left 30 --json"
)]
pub struct Late {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// Number of the step that comes next, as on the run sheet of `plan`; those before it are done.
    #[arg(long, value_name = "STEP", value_parser = clap::value_parser!(u16).range(1..))]
    pub from: u16,
    /// Minutes that are left.
    #[arg(long, value_name = "MINUTES", value_parser = minutes_left)]
    pub left: f64,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Say under each movement how it is done.
    #[arg(long)]
    pub cues: bool,
    /// Files of run sheets.
    #[command(flatten)]
    pub paper: Paper,
    /// Print everything as JSON.
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

/// Audit an order as it was written.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue check my-class.toml\n  segue check monday.toml thursday.toml --json"
)]
pub struct Check {
    /// The classes: briefs (.toml), plain lists, or - for standard input.
    #[arg(required = true, value_name = "BRIEF")]
    pub briefs: Vec<PathBuf>,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Print everything as JSON, one line for each class.
    #[arg(long)]
    pub json: bool,
}

/// List the movements that are known.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue list --phase warm-up --level 1\n  segue list --spine flexion --box none"
)]
pub struct List {
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
    /// Only those that may stand in this phase.
    #[arg(long, value_enum)]
    pub phase: Option<PhaseWord>,
    /// Only those that load this region ("wrists", "hamstrings").
    #[arg(long)]
    pub region: Option<String>,
    /// Only those whose best load lies in this range of load units ("1..2", "1.5").
    #[arg(long, value_name = "FROM..TO")]
    pub load: Option<String>,
    /// Only those that use this box ("long", "short"), or none.
    #[arg(long = "box", value_name = "BOX")]
    pub box_: Option<String>,
    /// Only those of this level, 1 to 3.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=3))]
    pub level: Option<u8>,
    /// Only those with this action of the spine.
    #[arg(long, value_enum)]
    pub spine: Option<SpineWord>,
    /// Only those with this caution ("wrist load"), or `none`.
    #[arg(long)]
    pub caution: Option<String>,
    /// Print as JSON.
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

/// Show all that is known about one movement.
#[derive(Debug, clap::Args)]
#[command(before_help = "Examples:\n  segue show swan\n  segue show \"short spine\"")]
pub struct Show {
    /// Its id or one of its names.
    pub id: String,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
}

/// Write a class as a problem for other programs.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue export my-class.toml > problem.json\n  segue export my-class.toml --format dot | dot -Tsvg > class.svg"
)]
pub struct Export {
    /// The class: a brief (.toml), a table (.csv), a plain list, or - for standard input.
    pub brief: PathBuf,
    /// A problem file, or the graph of change-overs.
    #[arg(long, value_enum, default_value_t = Format::Json)]
    pub format: Format,
    /// Files of one's own.
    #[command(flatten)]
    pub own: Own,
}

/// What to export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// The problem file.
    Json,
    /// The graph of change-overs for Graphviz: a node for each step, an edge with seconds for each change-over.
    Dot,
}

/// Solve a problem file.
#[derive(Debug, clap::Args)]
#[command(
    before_help = "Examples:\n  segue solve problem.json\n  segue solve problem.json --seconds 10 --json\n  segue solve problem.json --method mip\n  segue solve ESC07.sop\n  segue solve problems/*.json --seconds 60 --threads 2"
)]
pub struct Solve {
    /// Problem files (.sop of TSPLIB or SOPLIB as well), or - for standard input.
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How: by the search, or as a mixed-integer model, which shares no code with it and is for short lists.
    #[arg(long, value_enum, default_value_t = Method::Search)]
    pub method: Method,
    /// Limits.
    #[command(flatten)]
    pub search: Search,
    /// Where there is no order, don't look for the demands that cannot hold together.
    #[arg(long)]
    pub no_conflict: bool,
    /// Print the solution file instead of a short summary.
    #[arg(long)]
    pub json: bool,
    /// Print one line of JSON for each file as it is solved, and a summary on standard error; so it is with several files.
    #[arg(long)]
    pub lines: bool,
}

/// How a problem is solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Method {
    /// The search.
    Search,
    /// A mixed-integer model: a second opinion on short lists without `fatigue`. It keeps to --seconds, and an interrupt ends it at once.
    Mip,
}
