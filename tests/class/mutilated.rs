//! Files that something happened to are refused or read, and never a fault of the program.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use proptest::prelude::{ProptestConfig, prop_assert, proptest};
use segue::answer::class::{ClassFormat, Text};
use segue::diagnostic::Diagnostic;
use segue::exchange::{problem_file, solution_file};
use segue::report::mistakes::{Paint, draw};
use segue::session::Session;
use segue::session::studio::Studio;

static STUDIO: LazyLock<Studio> = LazyLock::new(Studio::built_in);

/// The files of a folder, by name.
fn texts(folder: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut found: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(&path).unwrap())
        })
        .collect();
    found.sort();
    found
}

/// As a spreadsheet writes it.
const TABLE: &str = "title;Noon\nminutes;47,5\nconditions;wrist pain\n\
    movement;side;reps;springs;block;foot bar;or;#mine\n\
    Swan;;4;1,5;;;;good\nScooter, left;;;1 sun;;high;;\n\
    \"Hug, kneeling\";;;;\"Arms; 2 rounds\";;;\nSide splits;;8;;Hips, both sides;;Elephant or Plank;\n\
    Kneeling arm circles;;;;Arms;;;\"\"\"so\"\" they say\"\n";

static CLASSES: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let mut found = texts("scenarios");
    found.push(("noon.csv".into(), TABLE.into()));
    found
});
static PROBLEMS: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let mut found = texts("tests/data/problems");
    found.retain(|(name, _)| name.ends_with(".json"));
    found
});

/// What is put in place of a stretch of the text.
const PUT_IN: [&str; 18] = [
    "",
    "\"",
    "[",
    "]",
    "{",
    "}",
    "=",
    "\n",
    "#",
    "0",
    "-1",
    "999999999999",
    "\u{e9}\u{3000}",
    "left",
    "must",
    ":",
    ";",
    "movement",
];

/// A text with a stretch of it replaced, at most 40 letters from some place on.
fn mutilated(text: &str, at: usize, length: usize, put_in: usize) -> String {
    let letters: Vec<char> = text.chars().collect();
    let from = at % (letters.len() + 1);
    let to = (from + length % 40).min(letters.len());
    let before: String = letters[..from].iter().collect();
    let after: String = letters[to..].iter().collect();
    before + PUT_IN[put_in % PUT_IN.len()] + &after
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_mutilated_class_is_read_or_refused_with_a_place_and_a_remedy(
        which: usize, at: usize, length: usize, put_in: usize
    ) {
        let (name, text) = &CLASSES[which % CLASSES.len()];
        let text = mutilated(text, at, length, put_in);
        let format = match name.rsplit_once('.') {
            Some((_, "txt")) => ClassFormat::List,
            Some((_, "csv")) => ClassFormat::Table,
            _ => ClassFormat::Brief,
        };
        if let Err(told) = Session::open(&STUDIO, Text::new(name, &text, format), None) {
            prop_assert!(told.iter().any(Diagnostic::is_mistake));
            for d in told.iter().filter(|d| d.is_mistake()) {
                prop_assert!(!d.labels.is_empty() && !d.mend.is_empty(), "{d:?}");
            }
            prop_assert!(draw(&told, Paint::Plain, 80).contains('^'));
        }
    }

    #[test]
    fn a_mutilated_problem_file_is_read_or_refused_in_words(
        which: usize, at: usize, length: usize, put_in: usize
    ) {
        let (_, text) = &PROBLEMS[which % PROBLEMS.len()];
        let text = mutilated(text, at, length, put_in);
        if let Err(told) = problem_file::read(&text) {
            prop_assert!(told.iter().all(|m| !m.0.is_empty()) && !told.is_empty());
        }
        prop_assert!(solution_file::read(&text).is_err());
    }
}
