//! Run sheets of the scenarios as golden text. `SEGUE_BLESS=1 cargo test --test program golden` writes them anew; read the difference.

use std::path::{Path, PathBuf};
use std::process::Command;

use assert_cmd::prelude::*;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The scenarios, by name.
fn scenarios() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder("scenarios"))
        .expect("the scenarios are there")
        .map(|entry| entry.expect("the folder can be listed").path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml" || e == "txt"))
        .collect();
    found.sort();
    found
}

/// Scenarios whose proof takes a debug build too long; release builds, which the README's test command makes, judge their sheets too.
const LARGE: [&str; 1] = ["packed-noon"];

/// What the program prints.
fn printed(args: &[&str]) -> String {
    let made = Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .args(args)
        .output()
        .expect("the program runs");
    let text = String::from_utf8(made.stdout).expect("the answer is text");
    assert!(!text.is_empty(), "{args:?}: nothing printed");
    text
}

/// What differs between a golden file and what was printed; with `SEGUE_BLESS` the file is written anew.
fn difference(golden: &Path, text: &str) -> Option<String> {
    if std::env::var_os("SEGUE_BLESS").is_some() {
        std::fs::create_dir_all(golden.parent().expect("it stands in a folder"))
            .and_then(|()| std::fs::write(golden, text))
            .expect("the golden file can be written");
        return None;
    }
    let expected = std::fs::read_to_string(golden).unwrap_or_default();
    if expected == text {
        return None;
    }
    let line = expected
        .lines()
        .zip(text.lines())
        .position(|(a, b)| a != b)
        .map_or(expected.lines().count().min(text.lines().count()), |n| n);
    Some(format!(
        "{}, line {}:\n  was {:?}\n  is  {:?}",
        golden.display(),
        line + 1,
        expected.lines().nth(line),
        text.lines().nth(line)
    ))
}

fn all_as_before(wrong: &[String]) {
    assert!(
        wrong.is_empty(),
        "sheets have changed; if they should, run with SEGUE_BLESS=1 and read the difference\n{}",
        wrong.join("\n")
    );
}

#[test]
fn each_scenario_prints_its_sheet() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for scenario in scenarios() {
        let stem = scenario
            .file_stem()
            .expect("a scenario has a name")
            .to_string_lossy()
            .into_owned();
        if cfg!(debug_assertions) && LARGE.contains(&stem.as_str()) {
            continue;
        }
        seen += 1;
        let path = scenario.to_str().expect("the path is text");
        let sheet = printed(&["plan", "-q", path]);
        let golden = folder("tests/golden/sheets").join(format!("{stem}.txt"));
        wrong.extend(difference(&golden, &sheet));
    }
    assert!(seen > 0, "there is no scenario to print");
    all_as_before(&wrong);
}

/// Explanations and trials of classes that are settled in no time, by the name of their golden file.
const EXPLAINED: &[(&str, &[&str])] = &[
    (
        "explain-quick-six",
        &["explain", "scenarios/quick-six.toml"],
    ),
    (
        "explain-tight-rest",
        &["explain", "scenarios/tight-rest.toml"],
    ),
    (
        "explain-two-series",
        &["explain", "scenarios/two-series.toml"],
    ),
    (
        "explain-cannot-be",
        &["explain", "scenarios/cannot-be.toml"],
    ),
    (
        "try-without-and-with",
        &[
            "try",
            "scenarios/quick-six.toml",
            "--without",
            "Mermaid",
            "--with",
            "Hundred",
        ],
    ),
    (
        "try-springs-and-first",
        &[
            "try",
            "scenarios/quick-six.toml",
            "--springs",
            "Scooter",
            "1 leaf",
            "--first",
            "Elephant",
            "Swan",
        ],
    ),
    (
        "try-too-short",
        &["try", "scenarios/quick-six.toml", "--minutes", "5"],
    ),
];

#[test]
fn each_explanation_and_each_trial_reads_as_before() {
    let mut wrong = Vec::new();
    for (name, args) in EXPLAINED {
        let text = printed(&[&["-q"], *args].concat());
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
        let golden = folder("tests/golden/explained").join(format!("{name}.txt"));
        wrong.extend(difference(&golden, &text));
    }
    all_as_before(&wrong);
}
