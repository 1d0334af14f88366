//! The interface for programs that embed segue: what the crate names at its root is all that somebody needs to speak to a session.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeSet;
use std::fs;

/// Names of the language and its library.
const RUST: [&str; 11] = [
    "Arc", "BTreeSet", "Err", "FnMut", "Fn", "Into", "Option", "Result", "Self", "String", "Vec",
];
/// What an answer holds beside what it says, for those who work on segue. Fields of these types are not promised.
const INNER: [&str; 10] = [
    "Begun",
    "Brief",
    "Comparison",
    "Compiled",
    "Conflict",
    "Curve",
    "Explanation",
    "Fewest",
    "Late",
    "Relaxations",
];

/// Names that `src/lib.rs` re-exports, as they are called where they stand.
fn facade() -> BTreeSet<String> {
    let lib = fs::read_to_string("src/lib.rs").unwrap();
    let uses = lib.split("pub use ").skip(1);
    uses.map(|rest| rest.split(';').next().unwrap())
        .flat_map(|path| match path.split_once('{') {
            Some((_, group)) => group.trim_end().trim_end_matches('}').split(',').collect(),
            None => vec![path.rsplit("::").next().unwrap()],
        })
        .filter_map(|name| name.split_whitespace().next())
        .map(str::to_owned)
        .collect()
}

/// The code of the files of a folder, without comments and tests.
fn code(folder: &str) -> Vec<String> {
    let mut files: Vec<_> = (fs::read_dir(folder).unwrap())
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    (files.iter())
        .map(|file| {
            let text = fs::read_to_string(file).unwrap();
            let code = text.lines().take_while(|line| line.trim() != "mod tests {");
            code.map(|line| line.split("//").next().unwrap().to_owned() + "\n")
                .collect()
        })
        .collect()
}

/// The types that a stretch of code names: words with a capital.
fn types(code: &str) -> BTreeSet<String> {
    (code.split(|c: char| !c.is_alphanumeric() && c != '_'))
        .filter(|word| word.len() > 1 && word.starts_with(char::is_uppercase))
        .filter(|word| !RUST.contains(word))
        .map(str::to_owned)
        .collect()
}

/// What stands in code from each mark up to its end.
fn stretches<'a>(code: &'a str, mark: &str, end: &[char]) -> Vec<&'a str> {
    code.split(mark)
        .skip(1)
        .map(|rest| rest.split(end).next().unwrap())
        .collect()
}

#[test]
fn whatever_a_session_takes_and_gives_back_is_named_at_the_root() {
    let facade = facade();
    let mut methods = 0;
    let mut missing = BTreeSet::new();
    for code in code("src/session") {
        // Methods stand in an `impl` block, functions for the house alone do not.
        for signature in stretches(&code, "\n    pub fn ", &['{']) {
            missing.extend(types(signature).difference(&facade).cloned());
            methods += 1;
        }
    }
    assert!(methods > 12, "only {methods} methods were found");
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_answer_is_named_at_the_root_and_so_is_what_it_holds() {
    let facade = facade();
    let mut missing = BTreeSet::new();
    let mut held = BTreeSet::new();
    for code in code("src/answer") {
        for head in ["\npub struct ", "\npub enum "] {
            for body in stretches(&code, head, &[';']) {
                let (name, rest) = body.split_once(" {").unwrap();
                let body = rest.split("\n}").next().unwrap();
                missing.extend(types(name).difference(&facade).cloned());
                // A field has its type after a colon, a variant in brackets.
                for (open, end) in [(": ", ",\n"), ("(", ")")] {
                    for rest in body.split(open).skip(1) {
                        held.extend(types(rest.split(end).next().unwrap()));
                    }
                }
            }
        }
    }
    let inner: BTreeSet<String> = INNER.map(str::to_owned).into();
    let unknown: Vec<_> = held.difference(&facade).collect();
    let unknown: Vec<_> = unknown
        .into_iter()
        .filter(|t| !inner.contains(*t))
        .collect();
    assert!(
        missing.is_empty() && unknown.is_empty(),
        "{missing:?} {unknown:?}"
    );
    // What no answer holds any longer need not be excused.
    assert!(inner.is_subset(&held), "{:?}", inner.difference(&held));
    assert!(inner.is_disjoint(&facade));
}
