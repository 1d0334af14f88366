//! A binary by itself, since signals at moments that count want both cores: every command that searches, interrupted at whatever moment or stopped
//! by its limits, says how far it came and never what is not so.
//!
//! The moments are drawn anew in each run; what is found wrong names the seed, and `SEGUE_SEED=N` draws the same ones again.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::io::{BufRead, BufReader, Read, Write};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, mpsc};
use std::thread;
use std::time::{Duration, SystemTime};

use assert_cmd::prelude::*;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use serde_json::Value;

const SIX: &str = "scenarios/quick-six.toml";
const NOON: &str = "scenarios/packed-noon.toml";
/// How often each command is asked on each class; twice as often those that go on after a first plan.
const INTERRUPTS: usize = 2;
const LIMITS: usize = 1;
const GO_ON: [&str; 3] = ["vary", "keep", "late"];
/// Programs at a time.
const AT_A_TIME: usize = 3;
/// What is said of a class that has no order, and is false of all of these.
const FALSE: [&str; 6] = [
    "There is no order",
    "classes have no order",
    "No order exists",
    "no order of what is left keeps",
    "no order keeps 3 of your pairs of neighbours",
    "cannot hold together",
];

/// What a program said, and how it ended.
struct Said {
    args: Vec<String>,
    code: Option<i32>,
    out: String,
    err: String,
}

fn segue(args: &[String]) -> Command {
    let mut command = Command::cargo_bin("segue").expect("the program is built with its tests");
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .env("NO_COLOR", "1")
        .env("COLUMNS", "80")
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Runs it with what it does told on standard error; `signal`: so long after its first word there it is asked to stop, and then fed with `input`.
fn run(args: &[String], signal: Option<Duration>, input: &str) -> Said {
    let told = [args, &["-v".to_owned()]].concat();
    let mut child = segue(&told).spawn().expect("the program starts");
    let (mut stdin, mut stdout, stderr) = (
        child.stdin.take().expect("piped"),
        child.stdout.take().expect("piped"),
        child.stderr.take().expect("piped"),
    );
    let out = thread::spawn(move || {
        let mut text = String::new();
        stdout.read_to_string(&mut text).expect("text");
        text
    });
    let (begins, begun) = mpsc::channel();
    let err = thread::spawn(move || {
        let mut lines = BufReader::new(stderr);
        let mut text = String::new();
        lines.read_line(&mut text).expect("text");
        // Nobody may wait for it.
        let _ = begins.send(());
        lines.read_to_string(&mut text).expect("text");
        text
    });
    if let Some(delay) = signal {
        // Where it is gone before its first word, there is nobody to ask.
        let _ = begun.recv();
        thread::sleep(delay);
        if child.try_wait().expect("it can be waited for").is_none() {
            Command::new("kill")
                .args(["-INT", &child.id().to_string()])
                .stderr(Stdio::null())
                .status()
                .expect("kill runs");
        }
    }
    // The program may be gone before it reads.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    let status = child.wait().expect("the program ends");
    Said {
        args: args.to_vec(),
        code: status.code(),
        out: out.join().expect("read"),
        err: err.join().expect("read"),
    }
}

/// A class of some fifty steps: every fourth movement that is known, in a plain list.
fn long_class(folder: &tempfile::TempDir) -> String {
    let known = run(&["list", "--json"].map(str::to_owned), None, "");
    let known: Value = serde_json::from_str(&known.out).expect("it is JSON");
    let movements = known["movements"].as_array().expect("a list");
    let names = movements.iter().step_by(4).map(|m| m["name"].as_str());
    let names: Vec<&str> = names.map(|name| name.expect("a name")).collect();
    let path = folder.path().join("long.txt");
    std::fs::write(&path, names.join("\n")).expect("it can be written");
    path.display().to_string()
}

/// Every command that searches, on a class; `problem` is the class as a problem file.
fn commands(class: &str, problem: &str, out: &str) -> Vec<Vec<String>> {
    let machine = "models/apparatus/lantern.toml";
    [
        &["plan", class][..],
        &["plan", class, SIX],
        &["plan", class, "--apparatus", machine],
        &["plan", class, "--out", out, "--force"],
        &["explain", class],
        &["try", class, "--with", "Snake"],
        &["vary", class, "--count", "3"],
        &["keep", class],
        &["keep", class, "--pairs", "3"],
        &["late", class, "--from", "3", "--left", "6"],
        &["solve", problem],
        &["solve", problem, problem, "--lines"],
    ]
    .iter()
    .map(|args| args.iter().map(|&arg| arg.to_owned()).collect())
    .collect()
}

/// A number from `low` to `high`, its order of magnitude by chance.
fn drawn(rng: &mut ChaCha8Rng, low: f64, high: f64) -> f64 {
    rng.random_range(low.ln()..high.ln()).exp()
}

fn seed() -> u64 {
    let asked = std::env::var("SEGUE_SEED").ok();
    asked.and_then(|seed| seed.parse().ok()).unwrap_or_else(|| {
        let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
        now.expect("the clock is set").subsec_nanos().into()
    })
}

/// What is wrong with what was said of a class that has an order, asked to stop by a `signal` or stopped by its limits.
fn wrong(said: &Said, signal: bool) -> Option<String> {
    let both = format!("{}\n{}", said.out, said.err);
    let has = |words: &[&'static str]| -> Option<&'static str> {
        words.iter().copied().find(|&it| both.contains(it))
    };
    let interrupted = said.code == Some(130);
    // Cuts that do not help, fewer classes than asked; within a limit, an order that was not found.
    let may_be_no = !signal || ["late", "vary"].contains(&said.args[0].as_str());
    let over = said.code == Some(0) || said.code == Some(1) && may_be_no;
    // The long class is never over before the signal.
    let endless = signal && said.args.iter().any(|arg| arg.contains("long."));
    let ends_well = interrupted && signal || over && !endless;
    if !ends_well || both.contains("panicked") {
        return Some("it ends as it may not".to_owned());
    }
    if let Some(falsehood) = has(&FALSE) {
        return Some(format!("it says \"{falsehood}\""));
    }
    if said.out.trim().is_empty() && has(&["interrupted", "was found"]).is_none() {
        return Some("it says nothing".to_owned());
    }
    if interrupted
        && let Some(time) = has(&["settled in the time", "allow more with", "allow more time"])
    {
        return Some(format!("it was interrupted and says \"{time}\""));
    }
    let json = said
        .args
        .iter()
        .any(|arg| arg == "--json" || arg == "--lines");
    let told = if json {
        "\"interrupted\": true"
    } else {
        "interrupted"
    };
    if said.out.to_lowercase().contains(told) && !interrupted {
        return Some("it says that it was interrupted, and ends as if it were not".to_owned());
    }
    let mut values = serde_json::Deserializer::from_str(&said.out).into_iter::<Value>();
    (json && values.any(|value| value.is_err())).then(|| "that is no JSON".to_owned())
}

/// Runs all of these, some at a time, and tells what is wrong with any.
fn none_is_wrong(runs: &[(Vec<String>, Option<Duration>)], seed: u64) {
    let next = AtomicUsize::new(0);
    let found = Mutex::new(Vec::new());
    let interrupted = AtomicUsize::new(0);
    thread::scope(|scope| {
        for _ in 0..AT_A_TIME {
            scope.spawn(|| {
                while let Some((args, signal)) = runs.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let said = run(args, *signal, "");
                    interrupted.fetch_add((said.code == Some(130)).into(), Ordering::Relaxed);
                    if let Some(what) = wrong(&said, signal.is_some()) {
                        found.lock().unwrap().push(format!(
                            "{}, {signal:?}: {what}; ends with {:?}:\n{}\n{}",
                            args.join(" "),
                            said.code,
                            said.out.lines().take(12).collect::<Vec<_>>().join("\n"),
                            said.err
                        ));
                    }
                }
            });
        }
    });
    let found = found.into_inner().unwrap();
    let (all, cut) = (runs.len(), interrupted.into_inner());
    assert!(
        found.is_empty(),
        "seed {seed}: {} of {all} runs, {cut} of them interrupted:\n\n{}",
        found.len(),
        found.join("\n\n")
    );
    let asked = runs.iter().any(|(_, signal)| signal.is_some());
    assert!(
        !asked || cut > 0,
        "seed {seed}: no signal was heard in time"
    );
}

/// The classes: a short one, a full one, and one of some fifty steps that no search settles soon; each as a brief and as a problem file.
fn classes(folder: &tempfile::TempDir) -> Vec<[String; 2]> {
    let long = long_class(folder);
    (["six", "noon", "long"].into_iter())
        .zip([SIX, NOON, &long])
        .map(|(name, class)| {
            let problem = run(&["export", class].map(str::to_owned), None, "").out;
            let path = folder.path().join(format!("{name}.json"));
            std::fs::write(&path, problem).expect("it can be written");
            [class.to_owned(), path.display().to_string()]
        })
        .collect()
}

/// What every command is asked on every class, with and without `--json`; each into a file of its own.
fn questions(folder: &tempfile::TempDir, rng: &mut ChaCha8Rng, times: usize) -> Vec<Vec<String>> {
    let mut all = Vec::new();
    for [class, problem] in classes(folder) {
        for turn in 0..2 * times {
            let page: PathBuf = folder.path().join(format!("page-{}.md", all.len()));
            for mut args in commands(&class, &problem, &page.display().to_string()) {
                if turn >= times && !GO_ON.contains(&args[0].as_str()) {
                    continue;
                }
                if rng.random_bool(0.5) && !args.contains(&"--lines".to_owned()) {
                    args.push("--json".to_owned());
                }
                all.push(args);
            }
        }
    }
    all
}

#[test]
fn an_interrupt_at_any_moment_ends_in_the_best_so_far_and_in_no_falsehood() {
    let folder = tempfile::tempdir().expect("a folder");
    let seed = seed();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let runs: Vec<_> = (questions(&folder, &mut rng, INTERRUPTS).into_iter())
        .map(|args| {
            let delay = Duration::from_secs_f64(drawn(&mut rng, 0.005, 1.2));
            (args, Some(delay))
        })
        .collect();
    none_is_wrong(&runs, seed);
}

#[test]
fn a_search_out_of_nodes_or_time_says_what_it_found_and_no_falsehood() {
    let folder = tempfile::tempdir().expect("a folder");
    let seed = seed();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let runs: Vec<_> = (questions(&folder, &mut rng, LIMITS).into_iter())
        .map(|mut args| {
            args.extend(if rng.random_bool(0.7) {
                let nodes = drawn(&mut rng, 1.0, 20_000.0);
                ["--nodes".to_owned(), format!("{nodes:.0}")]
            } else {
                let seconds = drawn(&mut rng, 0.001, 0.2);
                ["--seconds".to_owned(), format!("{seconds:.3}")]
            });
            (args, None)
        })
        .collect();
    none_is_wrong(&runs, seed);
}

#[test]
fn a_command_that_was_over_before_the_signal_says_what_it_always_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let problem = folder.path().join("six.json");
    let problem = problem.display().to_string();
    let exported = run(&["export", SIX].map(str::to_owned), None, "").out;
    std::fs::write(&problem, exported).expect("it can be written");
    let out = folder.path().join("six.md");
    let seed = seed();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    for args in commands(SIX, &problem, &out.display().to_string()) {
        // It tells how long it took.
        if args[0] == "solve" {
            continue;
        }
        let whole = run(&args, None, "");
        let delay = Duration::from_secs_f64(drawn(&mut rng, 0.05, 1.0));
        let said = run(&args, Some(delay), "");
        if said.code != Some(130) {
            assert_eq!(
                (said.code, &said.out),
                (whole.code, &whole.out),
                "seed {seed}: {args:?}"
            );
        }
    }
}

#[test]
fn what_is_called_the_best_when_it_is_interrupted_is_the_best() {
    let seed = seed();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let args = ["plan", NOON, "--json"].map(str::to_owned);
    let read = |said: &Said| -> Value { serde_json::from_str(&said.out).expect("it is JSON") };
    let whole = read(&run(&args, None, ""));
    assert_eq!(whole["answer"], "best");
    let best = whole["solution"]["score"].as_i64().expect("a score");
    for _ in 0..6 {
        let delay = Duration::from_secs_f64(drawn(&mut rng, 0.05, 3.0));
        let said = run(&args, Some(delay), "");
        if said.out.is_empty() {
            continue;
        }
        let plan = read(&said);
        let (answer, solution) = (&plan["answer"], &plan["solution"]);
        let why = format!("seed {seed}, {delay:?}: {answer}, {solution}");
        assert!(
            solution["score"].as_i64().is_none_or(|s| s >= best),
            "{why}"
        );
        assert!(
            solution["bound"].as_i64().is_none_or(|b| b <= best),
            "{why}"
        );
        assert_ne!(answer, "impossible", "{why}");
        if answer == "best" {
            assert_eq!(solution["score"], best, "{why}");
        }
    }
}

#[test]
fn an_interrupt_while_the_class_is_read_is_answered_at_once() {
    for command in ["plan", "explain", "vary", "keep"] {
        let said = run(
            &[command, "-"].map(str::to_owned),
            Some(Duration::ZERO),
            "Swan\n",
        );
        assert_eq!(said.code, Some(130), "{command}: {}", said.err);
        assert_eq!(said.out, "", "{command}");
        assert!(
            said.err.contains("interrupted before there was an order"),
            "{}",
            said.err
        );
    }
}

#[test]
fn a_class_without_an_order_is_called_so_or_open_when_it_is_interrupted() {
    let seed = seed();
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let args = ["plan", "scenarios/cannot-be.toml"].map(str::to_owned);
    for _ in 0..4 {
        let delay = Duration::from_secs_f64(drawn(&mut rng, 0.000_5, 0.3));
        let said = run(&args, Some(delay), "");
        let both = format!("{}{}", said.out, said.err);
        let answers = [
            "There is no order",
            "not known whether there is one",
            "interrupted before",
        ];
        assert!(
            answers.iter().any(|words| both.contains(words)),
            "seed {seed}, {delay:?}: {both}"
        );
        assert!(
            [Some(1), Some(130)].contains(&said.code),
            "seed {seed}, {delay:?}: {:?}",
            said.code
        );
    }
}
