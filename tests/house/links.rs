//! Every link between the texts of the project leads somewhere, and the files that they list are there.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use segue::guide::CHAPTERS;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The texts that lead to one another: where they stand.
fn texts() -> Vec<String> {
    let others = [
        "README.md",
        "DEVELOPERS.md",
        "src/search/PROOFS.md",
        "tests/README.md",
    ];
    let chapters = CHAPTERS.iter().map(|c| format!("src/guide/{}.md", c.name));
    others
        .map(str::to_owned)
        .into_iter()
        .chain(chapters)
        .collect()
}

/// The lines of a text that are no code, each without what stands between code marks.
fn prose(text: &str) -> Vec<String> {
    let mut inside = false;
    let mut found = Vec::new();
    for line in text.lines() {
        if line.starts_with("```") {
            inside = !inside;
        } else if !inside {
            assert!(
                line.matches('`').count() % 2 == 0,
                "code over a line: {line}"
            );
            found.push(line.split('`').step_by(2).collect());
        }
    }
    found
}

/// Where the links of a text lead, those into the world left out.
fn links(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for line in prose(text) {
        for rest in line.split("](").skip(1) {
            let (target, _) = rest.split_once(')').expect("a link ends in its line");
            if !target.contains("://") {
                found.push(target.to_owned());
            }
        }
    }
    found
}

/// The anchors of a text: its headings in small letters, without signs, with hyphens for spaces.
fn anchors(text: &str) -> Vec<String> {
    let mut inside = false;
    let mut found = Vec::new();
    for line in text.lines() {
        inside ^= line.starts_with("```");
        if !inside && line.starts_with('#') {
            let title = line.trim_start_matches('#').trim().to_lowercase();
            let kept = title
                .chars()
                .filter(|c| c.is_alphanumeric() || " -_".contains(*c));
            found.push(kept.map(|c| if c == ' ' { '-' } else { c }).collect());
        }
    }
    found
}

#[test]
fn every_link_leads_to_a_file_that_is_there_and_to_a_heading_in_it() {
    let mut tried = 0;
    for path in texts() {
        let text = read(&path);
        let own = anchors(&text);
        let once: BTreeSet<&String> = own.iter().collect();
        assert_eq!(
            once.len(),
            own.len(),
            "{path}: a heading stands there twice"
        );
        for link in links(&text) {
            let (file, anchor) = match link.split_once('#') {
                Some((file, anchor)) => (file, Some(anchor)),
                None => (link.as_str(), None),
            };
            let there: PathBuf = if file.is_empty() {
                root().join(&path)
            } else {
                let here = root().join(&path);
                here.parent().expect("it stands in a folder").join(file)
            };
            assert!(there.exists(), "{path}: {link}");
            if let Some(anchor) = anchor {
                let text = std::fs::read_to_string(&there).expect("an anchor is in a text");
                assert!(anchors(&text).iter().any(|a| a == anchor), "{path}: {link}");
            }
            tried += 1;
        }
    }
    assert!(tried > 60, "only {tried} links were found");
}

#[test]
fn the_readme_leads_to_every_chapter() {
    let links: BTreeSet<String> = links(&read("README.md")).into_iter().collect();
    for path in texts().iter().filter(|path| *path != "README.md") {
        let deeper = path == "tests/README.md";
        assert!(deeper || links.contains(path), "{path}");
    }
}

#[test]
fn the_files_that_the_proofs_and_the_tests_name_are_there_and_no_test_is_left_out() {
    let (proofs, about) = (read("src/search/PROOFS.md"), read("tests/README.md"));
    let mut named = BTreeSet::new();
    for row in proofs.lines().chain(about.lines()) {
        if !row.starts_with("| `") {
            continue;
        }
        let first = row.split('|').nth(1).unwrap_or("");
        let names = first.split('`').skip(1).step_by(2);
        for name in names.filter(|name| !name.starts_with('-')) {
            let places = ["", "src", "tests"].map(|folder| root().join(folder).join(name));
            let there = places.iter().find(|place| place.exists());
            named.insert(
                there
                    .unwrap_or_else(|| panic!("{name} is not there"))
                    .clone(),
            );
        }
    }
    let tests = all_tests();
    assert!(tests.len() > 40, "only {} tests were found", tests.len());
    for path in tests {
        assert!(named.contains(&path), "{} is named nowhere", path.display());
    }
}

/// The files of tests and the folders of which each is one binary.
fn all_tests() -> BTreeSet<PathBuf> {
    let mut found = BTreeSet::new();
    let mut folders = vec![root().join("tests")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("there are tests") {
            let path = entry.expect("it can be listed").path();
            if path.join("main.rs").exists() {
                folders.push(path);
            } else if path.ends_with("main.rs") {
                found.insert(folder.clone());
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.insert(path);
            }
        }
    }
    found
}

/// Cargo says nothing of a file beside `main.rs` that is no module of it.
#[test]
fn every_file_of_tests_belongs_to_a_binary() {
    for path in all_tests() {
        let main = path.with_file_name("main.rs");
        if let Ok(main) = std::fs::read_to_string(main) {
            let name = path.file_stem().expect("it has a name").to_string_lossy();
            let line = format!("mod {name};");
            assert!(main.lines().any(|l| l == line), "{}", path.display());
        }
    }
}
