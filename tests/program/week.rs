//! `vary`, `keep` and `late` as a stranger runs them. `SEGUE_BLESS=1 cargo test --test program week` writes the golden texts anew.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use serde_json::Value;

fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .args(args)
        .arg("-q")
        .output()
        .expect("the program runs")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the answer is text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the complaint is text")
}

fn json(args: &[&str]) -> Value {
    let made = run(args);
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    serde_json::from_str(&out(&made)).expect("it is JSON")
}

const SIX: &str = "scenarios/quick-six.toml";

#[test]
fn each_golden_text_is_what_is_printed() {
    let bless = std::env::var_os("SEGUE_BLESS").is_some();
    let mut wrong = Vec::new();
    for (name, args) in [
        ("vary-quick-six", &["vary", SIX][..]),
        (
            "vary-two-other-starts",
            &[
                "vary",
                SIX,
                "--count",
                "2",
                "--other-start",
                "--within",
                "50",
            ],
        ),
        ("keep-quick-six", &["keep", SIX]),
        ("keep-pairs-quick-six", &["keep", SIX, "--pairs", "5"]),
        (
            "late-fits",
            &[
                "late",
                "scenarios/two-series.toml",
                "--from",
                "5",
                "--left",
                "30",
            ],
        ),
        (
            "late-cut",
            &[
                "late",
                "scenarios/tight-rest.toml",
                "--from",
                "3",
                "--left",
                "6",
            ],
        ),
    ] {
        let text = out(&run(args));
        assert!(!text.is_empty(), "{name}: nothing printed");
        let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/golden/week")
            .join(name)
            .with_extension("txt");
        if bless {
            std::fs::create_dir_all(path.parent().expect("it stands in a folder"))
                .and_then(|()| std::fs::write(&path, &text))
                .expect("the golden text can be written");
        } else if std::fs::read_to_string(&path).unwrap_or_default() != text {
            wrong.push(format!("{name} is now\n{text}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "texts have changed; if they should, run with SEGUE_BLESS=1 and read the difference\n{}",
        wrong.join("\n")
    );
}

#[test]
fn a_week_in_json_is_within_the_percentage_and_the_same_again() {
    let args = [
        "vary", SIX, "--count", "4", "--within", "20", "--apart", "2", "--seed", "7", "--json",
    ];
    let week = json(&args);
    assert_eq!(week, json(&args));
    assert_eq!(week["segue_vary"], 1);
    let best = week["best"]["score"].as_i64().expect("a score");
    let classes = week["classes"].as_array().expect("classes");
    assert_eq!(classes.len(), 4);
    for class in classes {
        let score = class["order"]["score"].as_i64().expect("a score");
        assert!(
            best <= score && score <= best + best / 5,
            "{score} beside {best}"
        );
        assert_eq!(
            class["order"]["broken_musts"].as_array().map(Vec::len),
            Some(0)
        );
        assert!(
            class["class"]["rows"]
                .as_array()
                .is_some_and(|r| r.len() > 5)
        );
    }
    for i in 0..4 {
        for j in 0..i {
            assert!(week["pairs_apart"][i][j].as_u64() >= Some(2));
            assert_eq!(week["turned"][i][j], week["turned"][j][i]);
        }
    }
}

#[test]
fn more_classes_than_there_are_are_refused_with_the_reason() {
    let made = run(&["vary", SIX, "--count", "9", "--within", "0"]);
    assert_eq!(made.status.code(), Some(1));
    let said = out(&made);
    assert!(
        said.contains("Not 9: it is proven that there are no more."),
        "{said}"
    );
}

#[test]
fn a_class_without_an_order_has_no_week_and_the_sheet_says_why() {
    for command in ["vary", "keep"] {
        let made = run(&[command, "scenarios/cannot-be.toml"]);
        assert_eq!(made.status.code(), Some(1), "{command}");
        assert!(out(&made).contains("There is no order"), "{}", out(&made));
    }
}

#[test]
fn bad_figures_are_refused_with_what_to_give() {
    for (args, said) in [
        (&["vary", SIX, "--within=-3"][..], "percentage"),
        (&["vary", SIX, "--count", "0"], "--count"),
        (
            &["late", SIX, "--from", "99", "--left", "5"],
            "has movements 1 to",
        ),
        (&["late", SIX, "--from", "2", "--left", "soon"], "minutes"),
    ] {
        let made = run(args);
        assert_eq!(made.status.code(), Some(2), "{args:?}");
        assert!(err(&made).contains(said), "{args:?}: {}", err(&made));
    }
}

#[test]
fn the_rest_of_a_late_class_fits_and_says_what_each_cut_saves() {
    let class = "scenarios/tight-rest.toml";
    let plan = json(&["plan", class, "--json"]);
    let rows = plan["class"]["rows"].as_array().expect("rows");
    let over = plan["class"]["finish_seconds"].as_f64().expect("an end");
    let done = rows[1]["end"].as_f64().expect("an end");
    // A minute less than what is planned for the rest.
    let left = format!("{:.2}", (over - done) / 60.0 - 1.0);
    let late = json(&["late", class, "--from", "3", "--left", &left, "--json"]);
    assert_eq!(late["fits"], false);
    let cuts = late["cuts"].as_array().expect("cuts");
    assert!(!cuts.is_empty());
    for cut in cuts {
        assert!(cut["to_spare_seconds"].as_f64() >= Some(0.0), "{cut}");
        assert!(cut["saves_seconds"].as_f64() >= Some(59.0), "{cut}");
        assert!(cut["beside_whole"]["stops"].as_i64() <= Some(0), "{cut}");
    }
    let rest = late["rest"]["rows"].as_array().expect("rows");
    assert_eq!(rest[0]["place"], 3);
    assert!(rest.len() < rows.len() - 2);
}

#[test]
fn a_point_of_the_curve_is_the_run_sheet_that_keeps_as_many() {
    let keep = json(&["keep", SIX, "--json"]);
    let points = keep["points"].as_array().expect("points");
    assert!(points.len() > 1);
    for point in points {
        let kept = point["kept"].to_string();
        let sheet = json(&["keep", SIX, "--pairs", &kept, "--json"]);
        assert_eq!(
            sheet["solution"]["score"], point["order"]["score"],
            "{kept}"
        );
    }
    let scores: Vec<i64> = (points.iter())
        .filter_map(|p| p["order"]["score"].as_i64())
        .collect();
    assert!(scores.is_sorted(), "{scores:?}");
}

/// The class says which movements may stand for which; a swapped class is planned and scored as what it is.
#[test]
fn swaps_keep_to_what_the_brief_allows() {
    let calm = "scenarios/calm-evening.toml";
    let made = |swaps: &str, seed: &str| {
        json(&[
            "vary", calm, "--count", "4", "--swaps", swaps, "--seed", seed, "--json",
        ])
    };
    let none = made("0", "1");
    let classes = |week: &Value| week["classes"].as_array().cloned().expect("classes");
    assert!((classes(&none).iter()).all(|c| c["swapped"] == serde_json::json!([])));
    assert_eq!(none["lists"]["ways"], 1);
    let week = made("1", "1");
    assert_eq!(week["lists"]["ways"], 4);
    let allowed = [
        ("Leg circles, feet in straps", "Openings, feet in straps"),
        ("Leg circles, feet in straps", "Beats, feet in straps"),
        ("Seated side stretch", "Seated forward fold"),
    ];
    let mut swapped = 0;
    for class in classes(&week) {
        let swaps = class["swapped"].as_array().expect("a list");
        assert!(swaps.len() <= 1, "{swaps:?}");
        let rows = class["class"].to_string();
        for swap in swaps {
            let (out, into) = (swap["out"].as_str(), swap["into"].as_str());
            let pair = (out.expect("a name"), into.expect("a name"));
            assert!(allowed.contains(&pair), "{pair:?}");
            assert!(rows.contains(pair.1) && !rows.contains(pair.0), "{pair:?}");
            swapped += 1;
        }
        assert!(class["order"]["score"].as_f64() <= week["highest_score"].as_f64());
    }
    assert!(swapped > 0);
    let least = |week: &Value| week["least"]["pairs"].as_i64().expect("a number");
    assert!(least(&week) >= least(&none));
    assert_eq!(made("1", "1"), week, "the same seed gives the same week");
    let text = out(&run(&[
        "vary", calm, "--count", "4", "--swaps", "1", "--seed", "1",
    ]));
    assert!(text.contains(" instead of "), "{text}");
}
