//! Explanations and trials as a stranger runs them: what they print for people and for programs, and how they end.

use std::path::PathBuf;
use std::process::{Command, Output};

use assert_cmd::prelude::*;

fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .env_remove("COLUMNS")
        .args(args)
        .output()
        .expect("the program runs")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the answer is text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the complaint is text")
}

fn scenario(name: &str) -> String {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "scenarios", name]
        .iter()
        .collect();
    path.display().to_string()
}

/// Two steps, each before the other, and a limit on the time that has nothing to do with it.
const CIRCLE: &str = r#"{
  "segue_problem": 1, "title": "a circle", "facets": [],
  "postures": { "names": ["p"], "path": [[0]] },
  "start": { "setup": [], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 1 },
  "steps": [
    { "id": "a", "side": "both", "duration": 10, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null },
    { "id": "b", "side": "both", "duration": 10, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null }
  ],
  "demands": [
    { "kind": "fits", "total": 100, "weight": null },
    { "kind": "precede", "a": 0, "b": 1, "weight": null },
    { "kind": "precede", "a": 1, "b": 0, "weight": 5 },
    { "kind": "precede", "a": 1, "b": 0, "weight": null }
  ]
}"#;

#[test]
fn a_problem_without_an_order_names_the_demands_that_cannot_hold_together() {
    let file = tempfile::NamedTempFile::with_suffix(".json").expect("a file can be made");
    std::fs::write(file.path(), CIRCLE).expect("the file can be written");
    let path = file.path().to_str().expect("the path is text");
    let said = run(&["solve", path]);
    assert_eq!(said.status.code(), Some(1), "{}", err(&said));
    for words in [
        "cannot hold together",
        "Demand 1 (precede): a before b",
        "Demand 3",
    ] {
        assert!(out(&said).contains(words), "{words}\n{}", out(&said));
    }
    assert!(!out(&said).contains("Demand 0"), "{}", out(&said));
    let mut lines = Vec::new();
    for args in [&["solve", path, "--json"][..], &["solve", path, "--lines"]] {
        let made = run(args);
        let solution: serde_json::Value =
            serde_json::from_str(&out(&made)).expect("the answer is JSON");
        lines.push(solution["conflict"].clone());
    }
    assert_eq!(
        lines,
        [serde_json::json!([1, 3]), serde_json::json!([1, 3])]
    );
}

#[test]
fn a_search_that_ran_out_does_not_call_a_class_impossible() {
    let file = tempfile::NamedTempFile::with_suffix(".json").expect("a file can be made");
    std::fs::write(file.path(), CIRCLE).expect("the file can be written");
    let path = file.path().to_str().expect("the path is text");
    let said = run(&["plan", &scenario("cannot-be.toml"), "--seconds", "0"]);
    assert!(!out(&said).contains("There is no order"), "{}", out(&said));
    assert!(
        out(&said).contains("not known whether there is one"),
        "{}",
        out(&said)
    );
    assert_eq!(
        run(&["solve", path, "--seconds", "0"]).status.code(),
        Some(1)
    );
}

#[test]
fn an_explanation_for_programs_has_what_the_words_say() {
    let made = run(&["explain", &scenario("quick-six.toml"), "--json"]);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let found: serde_json::Value = serde_json::from_str(&out(&made)).expect("the answer is JSON");
    assert_eq!(found["segue_explain"], 1);
    let list = |key: &str| found[key].as_array().expect("a list").clone();
    let stops = list("transitions")
        .iter()
        .filter(|t| t["stop"] == true)
        .count();
    assert_eq!(
        Some(stops),
        found["plan"]["class"]["stops"].as_u64().map(|n| n as usize)
    );
    for rule in list("rules") {
        let (least, most) = (
            &rule["costs_at_least_seconds"],
            &rule["costs_at_most_seconds"],
        );
        assert_eq!(least, most, "a small class is settled: {rule}");
    }
    let order = found["plan"]["solution"]["order"]
        .as_array()
        .expect("an order")
        .len();
    assert!(list("other_places").len() <= order && list("other_places").len() > 3);
}

#[test]
fn an_impossible_class_says_what_would_help_for_programs_too() {
    let made = run(&["explain", &scenario("cannot-be.toml"), "--json"]);
    assert_eq!(made.status.code(), Some(1), "{}", err(&made));
    let found: serde_json::Value = serde_json::from_str(&out(&made)).expect("the answer is JSON");
    let plan = &found["plan"];
    assert_eq!(plan["conflict"]["settled"], true);
    assert_eq!(plan["conflict"]["rules"].as_array().map(Vec::len), Some(2));
    let help = plan["changes"]["would_help"].as_array().expect("changes");
    assert!(help.len() >= 2, "{help:?}");
}

#[test]
fn a_trial_needs_something_to_try_and_names_that_are_known() {
    let nothing = run(&["try", &scenario("quick-six.toml")]);
    assert_eq!(nothing.status.code(), Some(2));
    assert!(err(&nothing).contains("--without"), "{}", err(&nothing));
    let unknown = run(&[
        "try",
        &scenario("quick-six.toml"),
        "--without",
        "Mermaids and more",
    ]);
    assert_eq!(unknown.status.code(), Some(2), "{}", err(&unknown));
    let other = run(&["try", &scenario("quick-six.toml"), "--without", "Hundred"]);
    assert!(err(&other).contains("not on the list"), "{}", err(&other));
}

#[test]
fn a_trial_says_the_same_for_programs_and_leaves_the_class_as_it_is() {
    let args = [
        "try",
        &scenario("quick-six.toml"),
        "--without",
        "Elephant",
        "--json",
    ];
    let made = run(&args);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let found: serde_json::Value = serde_json::from_str(&out(&made)).expect("the answer is JSON");
    let of = |when: &str| found[when]["class"]["stops"].as_i64().expect("a number");
    assert_eq!(
        found["difference"]["stops"].as_i64(),
        Some(of("after") - of("before"))
    );
    let alone = run(&["plan", &scenario("quick-six.toml"), "--json"]);
    let plan: serde_json::Value = serde_json::from_str(&out(&alone)).expect("the answer is JSON");
    assert_eq!(
        plan["solution"]["order"],
        found["before"]["solution"]["order"]
    );
}

#[test]
fn every_stop_of_packed_noon_says_what_changes_and_for_whom() {
    let made = run(&[
        "explain",
        &scenario("packed-noon.toml"),
        "--json",
        "--nodes",
        "30000",
    ]);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let found: serde_json::Value = serde_json::from_str(&out(&made)).expect("the answer is JSON");
    let transitions = found["transitions"].as_array().expect("transitions");
    let stops: Vec<_> = transitions.iter().filter(|t| t["stop"] == true).collect();
    assert!(stops.len() > 2, "{}", stops.len());
    for stop in stops {
        let changes = stop["changes"].as_array().expect("changes");
        let halting =
            |c: &&serde_json::Value| ["springs", "box"].contains(&c["what"].as_str().unwrap_or(""));
        assert!(changes.iter().any(|c| halting(&c)), "{stop}");
        for change in changes {
            assert_ne!(change["from"], change["to"], "{stop}");
            let last = stop["to"].is_null();
            assert_eq!(change["needed_by"].is_null(), last, "{stop}");
        }
    }
}
