//! The floors of the house: no import points up, and no files import one another in a circle. Code for tests alone is left out.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use petgraph::algo::tarjan_scc;
use petgraph::graphmap::DiGraphMap;

/// From the ground up: a module uses only what stands before it. The first half knows numbers alone, no word of the trade.
const FLOORS: [&str; 26] = [
    "source",
    "diagnostic",
    "harmless",
    "sizes",
    "problem",
    "score",
    "search",
    "mip",
    "exchange",
    "model",
    "spotter",
    "rules",
    "brief",
    "read",
    "compile",
    "lesson",
    "explain",
    "orders",
    "answer",
    "report",
    "page",
    "session",
    "guide",
    "cli",
    "lib",
    "main",
];

/// A file's module path (`search::track::clock`; `lib` and `main` for the roots) and its text without comments and tests.
fn modules() -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![PathBuf::from("src")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.insert(name_of(&path), code_of(&path));
            }
        }
    }
    found
}

fn name_of(path: &Path) -> String {
    let parts: Vec<&str> = (path.strip_prefix("src").unwrap().iter())
        .map(|part| part.to_str().unwrap().trim_end_matches(".rs"))
        .filter(|&part| part != "mod")
        .collect();
    parts.join("::")
}

/// The lines before the file's tests, without comments.
fn code_of(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let code: Vec<&str> = (text.lines())
        .take_while(|line| line.trim() != "mod tests {")
        .map(|line| line.split("//").next().unwrap())
        .collect();
    code.join("\n")
}

/// Every path that a text names from `crate::`, `super::` or (in a binary) `segue::` on, as it is written in full from the root.
fn named(module: &str, text: &str) -> Vec<String> {
    let mut all = Vec::new();
    for (root, up) in [("crate::", false), ("segue::", false), ("super::", true)] {
        for (at, _) in text.match_indices(root) {
            let before = text[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
                continue;
            }
            let mut base: Vec<&str> = if up {
                module.split("::").collect()
            } else {
                Vec::new()
            };
            let mut rest = &text[at..];
            if up {
                while let Some(after) = rest.strip_prefix("super::") {
                    base.pop();
                    rest = after;
                }
            } else {
                rest = &rest[root.len()..];
            }
            for tail in tails(rest) {
                let tail = tail.split("::").filter(|part| !part.is_empty());
                all.push(
                    base.iter()
                        .copied()
                        .chain(tail)
                        .collect::<Vec<_>>()
                        .join("::"),
                );
            }
        }
    }
    all
}

/// The paths that begin a text: one, or one for each entry of a group in braces.
fn tails(text: &str) -> Vec<String> {
    let end = text
        .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':'))
        .unwrap_or(text.len());
    let (head, rest) = text.split_at(end);
    if !head.is_empty() && !head.ends_with("::") {
        return vec![head.to_owned()];
    }
    let Some(inside) = rest.strip_prefix('{') else {
        return vec![head.to_owned()];
    };
    let mut depth = 0;
    let mut entries = vec![String::new()];
    for c in inside.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => entries.push(String::new()),
            _ => {
                depth += i32::from(c == '{') - i32::from(c == '}');
                entries.last_mut().unwrap().push(c);
            }
        }
    }
    (entries.iter().map(|entry| entry.trim()))
        .filter(|entry| !entry.is_empty())
        .flat_map(tails)
        .map(|tail| format!("{head}{tail}"))
        .collect()
}

/// The module with the longest name that begins `path`.
fn owner<'a>(modules: &'a BTreeMap<String, String>, path: &str) -> Option<&'a str> {
    let parts: Vec<&str> = path.split("::").collect();
    (1..=parts.len())
        .rev()
        .find_map(|many| modules.get_key_value(&parts[..many].join("::")))
        .map(|(name, _)| name.as_str())
}

/// Which file uses which, each pair once.
fn uses(modules: &BTreeMap<String, String>) -> DiGraphMap<&str, ()> {
    let mut graph = DiGraphMap::new();
    for (module, text) in modules {
        let mut paths = named(module, text);
        // A parent names its children without `self::`.
        for child in modules.keys() {
            if let Some(name) = child.strip_prefix(&format!("{module}::"))
                && text.contains(&format!("{name}::"))
            {
                paths.push(child.clone());
            }
        }
        for path in paths {
            if let Some(used) = owner(modules, &path)
                && used != module
            {
                graph.add_edge(module.as_str(), used, ());
            }
        }
    }
    graph
}

fn floor(module: &str) -> usize {
    let name = module.split("::").next().unwrap();
    (FLOORS.iter().position(|&f| f == name))
        .unwrap_or_else(|| panic!("{module} stands on no floor: give it one in this test"))
}

#[test]
fn no_import_points_up() {
    let modules = modules();
    let up: Vec<String> = uses(&modules)
        .all_edges()
        .filter(|(from, to, ())| floor(from) < floor(to))
        .map(|(from, to, ())| format!("{from} uses {to}"))
        .collect();
    assert!(up.is_empty(), "{up:#?}");
}

#[test]
fn no_files_import_one_another_in_a_circle() {
    let modules = modules();
    let graph = uses(&modules);
    let circles: Vec<Vec<&str>> = tarjan_scc(&graph)
        .into_iter()
        .filter(|ring| ring.len() > 1)
        .collect();
    assert!(circles.is_empty(), "{circles:#?}");
}

#[test]
fn the_second_opinion_shares_no_code_with_the_search() {
    let modules = modules();
    let shared: Vec<String> = uses(&modules)
        .all_edges()
        .filter(|(from, to, ())| from.starts_with("mip") && floor(to) >= floor("search"))
        .filter(|(_, to, ())| !to.starts_with("mip") && *to != "search::outcome")
        .map(|(from, to, ())| format!("{from} uses {to}"))
        .collect();
    assert!(shared.is_empty(), "{shared:#?}");
}

/// The one place from which anything is printed makes it harmless first; the definition of the command line prints its own help and refusals.
#[test]
fn only_the_voice_prints() {
    let says = [
        "stdout()",
        "stderr()",
        "print!(",
        "println!(",
        "eprint!(",
        "eprintln!(",
        "dbg!(",
    ];
    let loud: Vec<String> = modules()
        .into_iter()
        .filter(|(_, text)| says.iter().any(|word| text.contains(word)))
        .map(|(module, _)| module)
        .collect();
    assert_eq!(loud, ["cli::voice"]);
}

#[test]
fn the_imports_are_found_at_all() {
    let modules = modules();
    let graph = uses(&modules);
    assert!(graph.contains_edge("score", "problem::timeline"));
    assert!(graph.contains_edge("problem::demand", "problem::demand::peak"));
    assert!(graph.contains_edge("problem::demand::peak", "problem::timeline"));
    assert_eq!(
        tails("a::{b, c::{D, e::F}};"),
        ["a::b", "a::c::D", "a::c::e::F"]
    );
}
