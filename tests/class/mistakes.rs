//! Every kind of broken input is refused with its place and a remedy, all mistakes of a file at once.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

use segue::answer::class::{ClassFormat, Text};
use segue::diagnostic::{Code, Diagnostic};
use segue::read::built_in::{Group, models};
use segue::report::mistakes::{Paint, draw};
use segue::session::Session;
use segue::session::studio::Studio;
use segue::source::Source;

/// File, then each mistake in the order of the file: its kind, its line, words of its remedy.
type Expected = (&'static str, &'static [(Code, usize, &'static str)]);

const EXPECTED: &[Expected] = &[
    (
        "bare-text.toml",
        &[(Code::Syntax, 1, "put quotation marks round a text")],
    ),
    (
        "end-and-costs.toml",
        &[
            (Code::OutOfRange, 3, "take 2 at most"),
            (Code::UnknownName, 4, "`on your side`"),
            (Code::UnknownName, 5, "`high`"),
            (Code::OutOfRange, 7, "0 to 3600"),
            (Code::UnknownKey, 8, "`off_load`"),
            (Code::OutOfRange, 10, "0 to 6"),
            (Code::OutOfRange, 11, "done once"),
            (Code::UnknownMovement, 11, "segue list"),
        ],
    ),
    (
        "instead.toml",
        &[
            (Code::OutOfRange, 4, "name another movement"),
            (Code::Duplicate, 4, "not on the list"),
            (Code::UnknownMovement, 5, "`Plank hold`"),
            (Code::OutOfRange, 6, "remove the side"),
            (Code::UnknownMovement, 7, "`Swan`"),
            (Code::OutOfRange, 7, "name another movement"),
        ],
    ),
    (
        "more-than-a-name.txt",
        &[
            (Code::UnknownMovement, 1, "one movement a line"),
            (Code::UnknownMovement, 2, "one movement a line"),
            (Code::UnknownMovement, 3, "one movement a line"),
            (Code::UnknownMovement, 4, "one whole number"),
            (Code::UnknownMovement, 5, "one whole number"),
            (Code::UnknownMovement, 6, "one whole number"),
            (Code::UnknownMovement, 8, "one whole number"),
            (Code::UnknownMovement, 9, "Hundred, 2 rounds"),
            (Code::UnknownMovement, 10, "Swan x 6"),
        ],
    ),
    (
        "own-movement.toml",
        &[
            (Code::UnknownMovement, 4, "`Face-down press`"),
            (Code::MissingKey, 5, "add `like"),
            (Code::UnknownName, 10, "{ from = 2, to = 3, prefer = 2.5 }"),
            (Code::OutOfRange, 11, "1 to 15"),
            (Code::UnknownName, 12, "back bend"),
            (Code::UnknownName, 13, "flexion"),
            (Code::UnknownName, 14, "calves"),
        ],
    ),
    (
        "rules-of-one.toml",
        &[
            (Code::OutOfRange, 2, "two different movements"),
            (Code::OutOfRange, 7, "write at most 1"),
        ],
    ),
    (
        "values.toml",
        &[
            (Code::WrongType, 1, "the name of a movement"),
            (Code::MissingKey, 1, "`movement = ...`"),
            (Code::UnknownKey, 1, "movement"),
            (Code::UnknownKey, 1, "`repetitions`"),
            (Code::Duplicate, 1, "remove it after the name"),
            (Code::WrongType, 2, "write a number"),
            (Code::WrongType, 3, "write a whole number"),
            (Code::UnknownName, 4, "`harbour`"),
        ],
    ),
    (
        "circle-among-others.toml",
        &[
            (Code::UnknownKey, 1, "`minutes`"),
            (Code::Circle, 5, "remove one of these orders"),
            (Code::Circle, 12, "two different movements"),
        ],
    ),
    (
        "circle.toml",
        &[(Code::Circle, 3, "remove one of these orders")],
    ),
    ("duplicate.toml", &[(Code::Duplicate, 1, "`rounds = 2`")]),
    (
        "empty-list.toml",
        &[(Code::EmptyList, 1, "at least one movement")],
    ),
    (
        "like-circle.toml",
        &[
            (Code::Circle, 5, "like a movement of the catalogue"),
            (Code::Circle, 9, "like a movement of the catalogue"),
        ],
    ),
    (
        "lines.txt",
        &[
            (Code::UnknownMovement, 1, "`Swan`"),
            (Code::UnknownMovement, 2, "segue list"),
            (Code::UnknownMovement, 3, "`conditions = [\"wrist pain\"]`"),
            (Code::UnknownMovement, 4, "`minutes = 50`"),
            (Code::OutOfRange, 5, "`Hundred x 3`"),
            (Code::OutOfRange, 6, "`Elephant x 30`"),
            (Code::UnknownMovement, 8, "end the line with a colon"),
            (Code::Duplicate, 9, "3 rounds"),
            (Code::UnknownMovement, 11, "in a brief"),
            (Code::Duplicate, 12, "remove the colon"),
            (Code::OutOfRange, 14, "2 rounds"),
            (Code::OutOfRange, 14, "1 to 20"),
            (Code::OutOfRange, 17, "make it a block"),
            (Code::Duplicate, 20, "in its heading"),
        ],
    ),
    (
        "many.toml",
        &[
            (Code::UnknownKey, 1, "`minutes`"),
            (Code::WrongType, 2, "a whole number"),
            (Code::UnknownMovement, 3, "`Elephant`"),
            (Code::OutOfRange, 3, "remove the side"),
            (Code::UnknownName, 6, "must, prefer, off"),
        ],
    ),
    (
        "missing-key.toml",
        &[(Code::MissingKey, 3, "`later = ...`")],
    ),
    (
        "no-setup.toml",
        &[(Code::NoSetup, 2, "plan on another machine")],
    ),
    (
        "no-such-day.toml",
        &[
            (Code::OutOfRange, 1, "1 to 200"),
            (Code::OutOfRange, 2, "a day such as 2026-03-14"),
        ],
    ),
    (
        "not-on-list.toml",
        &[(Code::NotOnList, 4, "put it on the list")],
    ),
    (
        "out-of-range.toml",
        &[
            (Code::OutOfRange, 1, "1 to 200"),
            (Code::OutOfRange, 2, "1 to 600"),
        ],
    ),
    (
        "plain.txt",
        &[
            (Code::OutOfRange, 1, "1 to 600"),
            (Code::UnknownMovement, 4, "`Hug, seated`"),
        ],
    ),
    (
        "series-without-sides.toml",
        &[
            (Code::OutOfRange, 4, "make it a block"),
            (Code::Duplicate, 8, "another name"),
        ],
    ),
    (
        "springs.toml",
        &[
            (Code::UnknownName, 3, "`sun`"),
            (Code::OutOfRange, 4, "take 2 at most"),
            (Code::OutOfRange, 5, "the nearest loads are 1 and 1.5"),
        ],
    ),
    ("syntax.toml", &[(Code::Syntax, 1, "quotation mark")]),
    (
        "time-zone.toml",
        &[(Code::OutOfRange, 2, "remove `+01:00`")],
    ),
    (
        "twice.toml",
        &[
            (Code::Duplicate, 1, "one number of repetitions"),
            (Code::OutOfRange, 1, "1 to 600"),
            (Code::OutOfRange, 4, "remove the number"),
        ],
    ),
    (
        "unequal-sides.toml",
        &[(Code::UnequalSides, 1, "same number")],
    ),
    (
        "together.toml",
        &[
            (Code::UnknownKey, 2, "`minutes`"),
            (Code::NoSetup, 4, "plan on another machine"),
            (Code::UnknownMovement, 5, "`Swan`"),
            (Code::UnequalSides, 6, "same number"),
            (Code::Circle, 16, "remove one of these orders"),
            (Code::NotOnList, 19, "put it on the list"),
        ],
    ),
    ("unknown-key.toml", &[(Code::UnknownKey, 2, "`minutes`")]),
    (
        "unknown-movement.toml",
        &[(Code::UnknownMovement, 3, "`Elephant, flat back`")],
    ),
    (
        "unknown-name.toml",
        &[
            (Code::UnknownName, 1, "`harbour`"),
            (Code::UnknownName, 2, "`high`"),
        ],
    ),
    (
        "wrong-type.toml",
        &[(Code::WrongType, 1, "quotation marks")],
    ),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/mistakes")
}

/// What comes with the program.
static STUDIO: LazyLock<Studio> = LazyLock::new(Studio::built_in);

/// All mistakes of a file, of reading and of compiling.
fn mistakes(name: &str) -> Vec<Diagnostic> {
    let format = match name.ends_with(".txt") {
        true => ClassFormat::List,
        false => ClassFormat::Brief,
    };
    let text = fs::read_to_string(folder().join(name)).unwrap();
    let read = Session::open(&STUDIO, Text::new(name, &text, format), None);
    let mut found = read.err().unwrap_or_default();
    found.sort_by_key(|d| d.labels[0].span.bytes.start);
    found
}

#[test]
fn each_broken_file_is_refused_with_every_place_and_a_remedy() {
    for (name, expected) in EXPECTED {
        let found = mistakes(name);
        let told: Vec<(Code, usize, &str)> = found
            .iter()
            .map(|d| (d.code, d.labels[0].span.line(), d.mend.as_str()))
            .collect();
        assert_eq!(told.len(), expected.len(), "{name}: {told:#?}");
        for (got, wanted) in told.iter().zip(*expected) {
            assert_eq!((got.0, got.1), (wanted.0, wanted.1), "{name}: {told:#?}");
            assert!(got.2.contains(wanted.2), "{name}: {told:#?}");
            assert!(!got.2.is_empty(), "{name}: {told:#?}");
        }
    }
}

#[test]
fn each_broken_file_is_drawn_with_its_line_and_a_caret() {
    for (name, expected) in EXPECTED {
        let drawn = draw(&mistakes(name), Paint::Plain, 80);
        for (_, line, _) in *expected {
            assert!(drawn.contains(&format!("{name}:{line}:")), "{drawn}");
        }
        assert!(drawn.contains('^'), "{drawn}");
    }
}

#[test]
fn all_that_is_wrong_with_a_catalogue_of_ones_own_is_told_at_its_place() {
    let shipped = include_str!("../../models/catalogue/rest-and-closing.toml");
    let text = shipped
        .replace("id = \"rest-fold\"", "id = \"mine\"")
        .replace("name = \"Child's pose\"", "name = \"Mine\"");
    let one = &text[..text.find("\"knees-to-chest\"").unwrap()];
    let one = one[..one.rfind("[[movement]]").unwrap()]
        .replace("posture = \"sitting back", "posture = \"siting bak")
        .replace("facets = {}", "facets = { boks = \"none\", bar = \"hih\" }")
        .replace("effort = 1.5", "effort = \"low\"")
        .replace("\"warm-up\", \"main\"", "\"start\", \"mian\"")
        .replace("prepared_by = []", "prepared_by = [\"swam\", \"mine\"]");
    let own = Arc::new(Source {
        name: "mine.toml".into(),
        text: one,
    });
    let found = models(&[Group {
        catalogue: vec![own],
        ..Group::default()
    }])
    .diagnostics;
    let marked: Vec<&str> = found.iter().map(|d| d.labels[0].span.text()).collect();
    assert_eq!(
        marked,
        [
            "\"siting bak on the heels\"",
            "boks",
            "\"hih\"",
            "\"low\"",
            "\"start\"",
            "\"mian\"",
            "\"swam\"",
        ]
    );
    assert!(found.iter().all(|d| !d.mend.is_empty()));
}

#[test]
fn preparations_in_a_circle_are_told_with_each_of_them() {
    let shipped = include_str!("../../models/catalogue/rest-and-closing.toml");
    let end = shipped.find("id = \"seated-forward-fold\"").unwrap();
    let two = shipped[..shipped[..end].rfind("[[movement]]").unwrap()]
        .replacen("prepared_by = []", "prepared_by = [\"second\"]", 1)
        .replace("prepared_by = []", "prepared_by = [\"first\"]")
        .replace("\"rest-fold\"", "\"first\"")
        .replace("\"Child's pose\"", "\"First\"")
        .replace("\"knees-to-chest\"", "\"second\"")
        .replace("\"Knees to the chest\"", "\"Second\"");
    let own = Arc::new(Source {
        name: "mine.toml".into(),
        text: two,
    });
    let found = models(&[Group {
        catalogue: vec![own],
        ..Group::default()
    }])
    .diagnostics;
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].code, Code::Circle);
    assert_eq!(found[0].labels.len(), 2);
}

/// What a drawing marks, line by line: the letters above each caret, tabs and wide letters taken as they are drawn.
fn marked(drawn: &str) -> Vec<String> {
    let lines: Vec<&str> = drawn.lines().collect();
    let mut found = Vec::new();
    for two in lines.windows(2) {
        let (Some((_, text)), Some((_, marks))) =
            (two[0].split_once(" | "), two[1].split_once(" | "))
        else {
            continue;
        };
        let (Some(from), Some(to)) = (marks.find('^'), marks.rfind('^')) else {
            continue;
        };
        let mut column = 0;
        let above = text.chars().filter(|&c| {
            let here = column;
            column += unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
            from <= here && here <= to
        });
        found.push(above.collect());
    }
    found
}

#[test]
fn the_carets_stand_under_what_is_wrong_after_tabs_and_under_wide_letters_too() {
    assert_eq!(
        marked(&draw(&mistakes("lines.txt"), Paint::Plain, 80)),
        [
            "swam",
            "滑板",
            "wrist pain",
            "50 min",
            "30 s",
            "2 min",
            "Warm-up",
            "x 10",
            "minutes =",
            "Scooter",
            "x 3",
            "30 rounds",
            "Both arms",
            "Arms"
        ]
    );
}

#[test]
fn every_fixture_is_expected() {
    let mut files: Vec<String> = fs::read_dir(folder())
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    let mut expected: Vec<&str> = EXPECTED.iter().map(|(name, _)| *name).collect();
    expected.sort_unstable();
    assert_eq!(files, expected);
}
