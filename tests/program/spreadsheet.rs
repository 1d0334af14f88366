//! Classes out of a spreadsheet: read in every encoding that one writes, planned as the same class in TOML, and told what is wrong by line and column.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use assert_cmd::prelude::*;

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(folder)
        .env("COLUMNS", "100")
        .env("NO_COLOR", "1")
        .args(args)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

const TABLE: &str = "title;Six in spring\nminutes;20\nroom;4\nfirst_side;right\n\
    movement;side;repetitions;springs;block;foot bar\n\
    Footwork on the heels;;8;;;\n\
    Mermaid;;;1 sun;;\n\
    Scooter;;;;;high\n\
    Elephant;;6;1,5;;\n\
    Hug, kneeling;;;;Arms;\n\
    Kneeling arm circle;;;;Arms;\n";

const BRIEF: &str = r#"title = "Six in spring"
minutes = 20
room = 4
first_side = "right"
list = [
  { movement = "Footwork on the heels", repetitions = 8 },
  { movement = "Mermaid", springs = "1 sun" },
  { movement = "Scooter", facets = { foot_bar = "high" } },
  { movement = "Elephant", repetitions = 6, springs = 1.5 },
  "Arms",
]
[[block]]
name = "Arms"
list = ["Hug, kneeling", "Kneeling arm circle"]
"#;

#[test]
fn a_table_is_the_same_class_as_a_brief_that_says_the_same() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("six.csv"), TABLE).unwrap();
    let facet = if run(folder.path(), &["check", "six.csv"]).status.success() {
        BRIEF.replace("foot_bar", &facet_key())
    } else {
        panic!(
            "{}",
            text(&run(folder.path(), &["check", "six.csv"]).stderr)
        );
    };
    fs::write(folder.path().join("six.toml"), facet).unwrap();
    let problem = |file: &str| {
        let made = run(folder.path(), &["export", file]);
        assert!(made.status.success(), "{}", text(&made.stderr));
        text(&made.stdout)
    };
    assert_eq!(problem("six.csv"), problem("six.toml"));
    let planned = run(folder.path(), &["-q", "plan", "six.csv"]);
    assert!(planned.status.success(), "{}", text(&planned.stderr));
    assert!(text(&planned.stdout).contains("Six in spring"));
}

/// The key of the facet with the name "foot bar" on the first machine.
fn facet_key() -> String {
    let machine = concat!(env!("CARGO_MANIFEST_DIR"), "/models/apparatus/harbour.toml");
    let machine = fs::read_to_string(machine).unwrap();
    let name = machine.find("\"foot bar\"").unwrap();
    let key = machine[..name].rfind("key = \"").unwrap() + 7;
    let rest = &machine[key..];
    rest[..rest.find('"').unwrap()].to_owned()
}

/// The bytes that spreadsheets write, made by the encoders of the encoding standard's reference crate where it has them.
#[test]
fn every_encoding_of_spreadsheets_is_read_and_a_guess_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let table = TABLE.replace("Six in spring", "Sechs im M\u{e4}rz");
    let (latin, _, lossy) = encoding_rs::WINDOWS_1252.encode(&table);
    assert!(!lossy);
    let utf16: Vec<u8> = std::iter::once(0xfeff)
        .chain(table.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    for (bytes, guessed) in [
        (table.clone().into_bytes(), ""),
        ([b"\xef\xbb\xbf", table.as_bytes()].concat(), ""),
        (table.replace('\n', "\r\n").into_bytes(), ""),
        (format!("sep=;\r\n{table}").into_bytes(), ""),
        (latin.into_owned(), "windows-1252"),
        (utf16, "UTF-16LE"),
    ] {
        fs::write(folder.path().join("t.csv"), &bytes).unwrap();
        let planned = run(folder.path(), &["plan", "t.csv"]);
        let said = text(&planned.stderr);
        assert!(planned.status.success(), "{said}");
        assert!(
            text(&planned.stdout).starts_with("Sechs im M\u{e4}rz"),
            "{guessed}"
        );
        assert_eq!(
            said.contains("it was read as"),
            !guessed.is_empty(),
            "{said}"
        );
        assert!(said.contains(guessed), "{said}");
    }
}

#[test]
fn mistakes_have_the_line_and_column_of_the_spreadsheet() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("t.csv"),
        "\u{feff}movement,repetitions\r\nSwan,4\r\n\"Elephunt\",ten\r\n",
    )
    .unwrap();
    let checked = run(folder.path(), &["check", "t.csv"]);
    assert_eq!(checked.status.code(), Some(2));
    let shown = text(&checked.stdout) + &text(&checked.stderr);
    assert!(shown.contains("t.csv:3:2"), "{shown}");
    assert!(shown.contains("t.csv:3:12"), "{shown}");
    assert!(shown.contains("`Elephant`"), "{shown}");
}

#[test]
fn a_table_may_come_on_standard_input() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("list");
    fs::write(&table, "movement,repetitions\nSwan,4\nElephant,\n").unwrap();
    let planned = Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .args(["-q", "plan", "-"])
        .stdin(fs::File::open(&table).unwrap())
        .output()
        .unwrap();
    assert!(planned.status.success(), "{}", text(&planned.stderr));
    assert!(text(&planned.stdout).contains("Elephant"));
}
