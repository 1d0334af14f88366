//! How long the engine takes on the small problems under `tests/data/problems` and on the scenarios: to the proof, to the first plan,
//! to read and compile, to start. What is measured and how to run it stands in `benches/README.md`.

use std::fmt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

use divan::Bencher;
use segue::answer::class::{ClassFormat, Text};
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::search::budget::Limits;
use segue::search::solve;
use segue::session::Session;
use segue::session::studio::Studio;

fn main() {
    divan::main();
}

/// A file that something is measured on, shown by the name of its file.
struct File(PathBuf);

impl fmt::Display for File {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let stem = self.0.file_stem().unwrap_or_default();
        f.write_str(&stem.to_string_lossy())
    }
}

fn files(folder: &str, endings: &[&str]) -> Vec<File> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("the folder can be listed").path())
        .filter(|path| {
            endings
                .iter()
                .any(|e| path.extension().is_some_and(|x| x == *e))
        })
        .collect();
    found.sort();
    found.into_iter().map(File).collect()
}

fn problems() -> Vec<File> {
    files("tests/data/problems", &["json"])
}

fn scenarios() -> Vec<File> {
    files("scenarios", &["toml", "txt"])
}

fn text(file: &File) -> String {
    std::fs::read_to_string(&file.0).expect("the file is text")
}

fn written(file: &File) -> Arc<Text> {
    let format = if file.0.extension().is_some_and(|e| e == "toml") {
        ClassFormat::Brief
    } else {
        ClassFormat::List
    };
    Arc::new(Text::new(&file.to_string(), &text(file), format))
}

fn opened(studio: &Studio, text: &Arc<Text>) -> Session {
    Session::open(studio, Arc::clone(text), None)
        .unwrap_or_else(|mistakes| panic!("a scenario has mistakes: {mistakes:?}"))
}

fn problem(file: &File) -> Problem {
    problem_file::read(&text(file)).expect("a problem of the tests is well formed")
}

/// Solves to the end. A run that does not end in its proof would be measured for something else, so it stops the bench.
fn to_the_proof(problem: &Problem) {
    let outcome = solve(problem, &Limits::default(), &mut |_| {});
    assert!(outcome.proven(), "{}: not proven", problem.title);
}

/// Solves until there is a plan, or to the end where there is none.
fn to_the_first_plan(problem: &Problem) {
    let limits = Limits::default();
    let outcome = solve(problem, &limits, &mut |news| {
        if news.score.is_some() {
            limits.stop.ask();
        }
    });
    assert!(
        outcome.plan.is_some() || outcome.proven(),
        "{}: no plan and no end",
        problem.title
    );
}

/// Seconds from a problem to the best plan with its proof, or to the proof that there is none.
#[divan::bench_group(sample_count = 10, sample_size = 1, max_time = 30)]
mod proof {
    use super::*;

    #[divan::bench(args = problems())]
    fn shared(bencher: Bencher, file: &File) {
        let problem = problem(file);
        bencher.bench_local(|| to_the_proof(&problem));
    }

    #[divan::bench(args = scenarios())]
    fn scenario(bencher: Bencher, file: &File) {
        let prepared = opened(&Studio::built_in(), &written(file)).class;
        bencher.bench_local(|| to_the_proof(&prepared.compiled.problem));
    }
}

/// Seconds to the first plan that could be printed.
#[divan::bench_group(sample_count = 10, sample_size = 1, max_time = 30)]
mod first_plan {
    use super::*;

    #[divan::bench(args = problems())]
    fn shared(bencher: Bencher, file: &File) {
        let problem = problem(file);
        bencher.bench_local(|| to_the_first_plan(&problem));
    }

    #[divan::bench(args = scenarios())]
    fn scenario(bencher: Bencher, file: &File) {
        let prepared = opened(&Studio::built_in(), &written(file)).class;
        bencher.bench_local(|| to_the_first_plan(&prepared.compiled.problem));
    }
}

/// Seconds before the search begins.
#[divan::bench_group(sample_count = 20, sample_size = 1)]
mod before_the_search {
    use super::*;

    /// All that is built in: three machines and the catalogue.
    #[divan::bench]
    fn models(bencher: Bencher) {
        bencher.bench_local(Studio::built_in);
    }

    /// A class read and compiled, the models given.
    #[divan::bench(args = scenarios())]
    fn scenario(bencher: Bencher, file: &File) {
        let (studio, text) = (Studio::built_in(), written(file));
        bencher.bench_local(|| opened(&studio, &text));
    }
}

/// Seconds from the start of the program to its end, with all that it reads and prints.
#[divan::bench_group(sample_count = 20, sample_size = 1)]
mod program {
    use super::*;

    fn run(args: &[&str]) {
        let ended = Command::new(env!("CARGO_BIN_EXE_segue"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(args)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .expect("the program runs");
        assert!(ended.success(), "{args:?}");
    }

    /// Nothing but the models.
    #[divan::bench]
    fn show(bencher: Bencher) {
        bencher.bench_local(|| run(&["show", "swan"]));
    }

    /// A small list, planned and printed.
    #[divan::bench]
    fn small_list(bencher: Bencher) {
        bencher.bench_local(|| run(&["plan", "-q", "scenarios/quick-six.toml"]));
    }
}
