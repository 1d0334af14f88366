//! Run sheets of the scenarios as golden text. `SEGUE_BLESS=1 cargo test --test golden` writes them anew; read the difference.

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

#[test]
fn each_scenario_prints_its_sheet() {
    let bless = std::env::var_os("SEGUE_BLESS").is_some();
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
        let made = Command::cargo_bin("segue")
            .expect("the program is built with its tests")
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .env("COLUMNS", "80")
            .env("NO_COLOR", "1")
            .args(["plan", "-q"])
            .arg(&scenario)
            .output()
            .expect("the program runs");
        let sheet = String::from_utf8(made.stdout).expect("the sheet is text");
        assert!(!sheet.is_empty(), "{}: nothing printed", scenario.display());
        let golden = folder("tests/golden/sheets").join(format!("{stem}.txt"));
        if bless {
            std::fs::create_dir_all(golden.parent().expect("it stands in a folder"))
                .and_then(|()| std::fs::write(&golden, &sheet))
                .expect("the golden sheet can be written");
            continue;
        }
        let expected = std::fs::read_to_string(&golden).unwrap_or_default();
        if expected != sheet {
            let line = expected
                .lines()
                .zip(sheet.lines())
                .position(|(a, b)| a != b)
                .map_or(expected.lines().count().min(sheet.lines().count()), |n| n);
            wrong.push(format!(
                "{stem}, line {}:\n  was {:?}\n  is  {:?}",
                line + 1,
                expected.lines().nth(line),
                sheet.lines().nth(line)
            ));
        }
    }
    assert!(seen > 0, "there is no scenario to print");
    assert!(
        wrong.is_empty(),
        "sheets have changed; if they should, run with SEGUE_BLESS=1 and read the difference\n{}",
        wrong.join("\n")
    );
}

/// Hands take the straps before they hang them up, and hang them up once.
#[test]
fn straps_are_hung_up_only_by_hands_that_hold_them() {
    let mut hung = 0;
    for scenario in scenarios() {
        let stem = scenario.file_stem().expect("a scenario has a name");
        let golden = folder("tests/golden/sheets")
            .join(stem)
            .with_extension("txt");
        let sheet = std::fs::read_to_string(golden).expect("the scenario has its sheet");
        let words: Vec<&str> = sheet
            .split(|c: char| c.is_whitespace() || c == '|')
            .filter(|w| !w.is_empty())
            .collect();
        let said = words.join(" ").to_lowercase();
        let mut held = false;
        let cues = [
            "take the loops",
            "take one loop",
            "take the rings",
            "hold the ropes",
        ];
        for (at, _) in said.char_indices() {
            let rest = &said[at..];
            held |= cues.iter().any(|cue| rest.starts_with(cue));
            if rest.starts_with("hang the straps") {
                assert!(held, "{}: {}", scenario.display(), &rest[..80]);
                held = false;
                hung += 1;
            }
        }
    }
    assert!(hung > 5, "{hung}");
}
