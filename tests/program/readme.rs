//! The README as a reader takes it: what it shows is what comes out, its samples are read, its commands run as they stand, and its
//! tables name every key that the reader of briefs knows and no other.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use assert_cmd::prelude::*;

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    std::fs::read_to_string(path).expect("there is a README")
}

/// A fenced block: its language, its text, and the paragraph before it.
struct Block {
    language: String,
    text: String,
    lead: String,
}

fn blocks(text: &str) -> Vec<Block> {
    let mut found = Vec::new();
    let mut lead = String::new();
    let mut open: Option<Block> = None;
    for line in text.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some(block), None) => {
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, Some(language)) => {
                open = Some(Block {
                    language: language.to_owned(),
                    text: String::new(),
                    lead: std::mem::take(&mut lead),
                });
            }
            (None, None) if line.trim().is_empty() => {}
            (None, None) => lead = line.to_owned(),
        }
    }
    found
}

/// The file that a block is to be saved as: the last name of a file in the line before it, where that line says so.
fn saved_as(block: &Block) -> Option<&str> {
    let asks = ["Save ", "and this as"]
        .iter()
        .any(|s| block.lead.contains(s));
    let names = block.lead.split('`').skip(1).step_by(2);
    names
        .filter(|n| [".toml", ".txt", ".csv"].iter().any(|e| n.ends_with(e)))
        .last()
        .filter(|_| asks)
}

fn segue(args: &[&str], folder: &Path, input: Option<&Path>) -> Output {
    let stdin = input.map_or_else(Stdio::null, |path| {
        Stdio::from(std::fs::File::open(path).expect("a command reads what was saved before it"))
    });
    Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(folder)
        .env("COLUMNS", "80")
        .args(args)
        .stdin(stdin)
        .output()
        .expect("the program runs")
}

/// Words of a command line; what stands in quotes is one.
fn words(line: &str) -> Vec<&str> {
    line.split('"')
        .enumerate()
        .flat_map(|(k, part)| {
            if k % 2 == 1 {
                vec![part]
            } else {
                part.split_whitespace().collect()
            }
        })
        .collect()
}

#[test]
fn every_command_runs_as_it_stands_on_the_samples_before_it() {
    let folder = tempfile::tempdir().expect("a folder for the samples");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut run = 0;
    for block in blocks(&readme()) {
        if let Some(name) = saved_as(&block) {
            let path = folder.path().join(name);
            std::fs::create_dir_all(path.parent().expect("it stands in a folder"))
                .and_then(|()| std::fs::write(&path, &block.text))
                .expect("a sample can be saved");
        }
        if block.language != "sh" {
            continue;
        }
        for line in block.text.lines() {
            let Some(rest) = line.strip_prefix("cargo run --release -- ") else {
                assert_eq!(line, "cargo test --release", "an unknown kind of command");
                continue;
            };
            let (rest, out) = rest
                .split_once(" > ")
                .map_or((rest, None), |(r, o)| (r, Some(o)));
            let (rest, input) = rest
                .split_once(" < ")
                .map_or((rest, None), |(r, i)| (r, Some(i)));
            // What the project holds is read where it stands, what was saved in the folder of the samples.
            let here: Vec<String> = words(rest)
                .into_iter()
                .map(|word| {
                    let own = root.join(word);
                    if word.contains('/') && own.exists() {
                        own.display().to_string()
                    } else {
                        word.to_owned()
                    }
                })
                .collect();
            if cfg!(debug_assertions) && line.contains("packed-noon") {
                continue;
            }
            let args: Vec<&str> = here.iter().map(String::as_str).collect();
            let input: Option<PathBuf> = input.map(|name| folder.path().join(name));
            let ended = segue(&args, folder.path(), input.as_deref());
            let said = String::from_utf8_lossy(&ended.stderr);
            assert!(ended.status.success(), "{line}\n{said}");
            assert!(!ended.stdout.is_empty(), "{line}: nothing printed");
            if let Some(name) = out {
                std::fs::write(folder.path().join(name), &ended.stdout).expect("it can be saved");
            }
            run += 1;
        }
    }
    assert!(run > 10, "only {run} commands were found");
}

#[test]
fn the_excerpts_are_what_the_first_command_and_the_impossible_class_print() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/sheets");
    let read = |name| std::fs::read_to_string(golden.join(name)).expect("the sheet is there");
    let sheet = read("packed-noon.txt") + &read("cannot-be.txt");
    let text = readme();
    let excerpts: Vec<Block> = blocks(&text)
        .into_iter()
        .filter(|b| b.language == "text" && saved_as(b).is_none())
        .collect();
    assert!(!excerpts.is_empty());
    for excerpt in excerpts {
        assert!(
            sheet.contains(&excerpt.text),
            "not in the sheet:\n{}",
            excerpt.text
        );
    }
}

#[test]
fn every_sample_of_a_brief_is_read_and_planned() {
    let folder = tempfile::tempdir().expect("a folder for the samples");
    let mut read = 0;
    for block in blocks(&readme()).iter().filter(|b| b.language == "toml") {
        if saved_as(block).is_some_and(|name| name.contains('/')) {
            continue;
        }
        let path = folder.path().join("sample.toml");
        std::fs::write(&path, &block.text).expect("a sample can be saved");
        let ended = segue(&["plan", "-q", "sample.toml"], folder.path(), None);
        let said = String::from_utf8_lossy(&ended.stderr);
        assert!(ended.status.success(), "{}\n{said}", block.text);
        read += 1;
    }
    assert!(read >= 2, "only {read} samples were found");
}

/// The keys in the first column of the table under a heading.
fn keys_under(text: &str, heading: &str) -> BTreeSet<String> {
    let section = text
        .split_once(heading)
        .unwrap_or_else(|| panic!("the README has no heading {heading:?}"))
        .1;
    let section = section.split("\n#").next().unwrap_or(section);
    let first = section
        .lines()
        .skip_while(|l| !l.starts_with('|'))
        .take_while(|l| l.starts_with('|'));
    first.skip(2).flat_map(|row| marked(cell(row, 1))).collect()
}

fn cell(row: &str, n: usize) -> &str {
    row.split('|').nth(n).unwrap_or("")
}

/// What stands between code marks and is a key.
fn marked(cell: &str) -> Vec<String> {
    let code = cell.split('`').skip(1).step_by(2);
    code.filter(|c| !c.contains(['"', ' ', '-', '[', '{']))
        .map(str::to_owned)
        .collect()
}

/// The keys that the reader knows in a table of a brief: it lists them when it meets one that is like none of them.
fn known(brief: &str) -> BTreeSet<String> {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("b.toml"), brief).expect("a brief can be saved");
    let ended = segue(&["plan", "b.toml"], folder.path(), None);
    let said = String::from_utf8(ended.stderr).expect("the complaint is text");
    let listed = said
        .split_once("known here: ")
        .unwrap_or_else(|| panic!("no keys are listed for\n{brief}\n{said}"))
        .1;
    // The list may be folded into several lines; it ends at an empty one.
    let listed = listed.split("\n\n").next().unwrap_or(listed);
    listed
        .split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .filter(|k| !k.is_empty())
        .map(str::to_owned)
        .collect()
}

const LIST: &str = "list = [\"Elephant\", \"Scooter\"]\n";
/// A key that is like none.
const ODD: &str = "qqqqqq = 1";

#[test]
fn the_tables_of_a_brief_name_every_key_and_no_other() {
    let text = readme();
    for (heading, brief) in [
        ("### The class\n", format!("{ODD}\n{LIST}")),
        (
            "### A line of the list as a table\n",
            format!("list = [{{ movement = \"Elephant\", {ODD} }}]"),
        ),
        (
            "### Blocks and series\n",
            format!("[[block]]\nname = \"b\"\nlist = [\"Elephant\"]\n{ODD}\n"),
        ),
        (
            "### What counts how much: `[cost]`\n",
            format!("{LIST}[cost]\n{ODD}\n"),
        ),
        (
            "### Short rests: `[breathers]`\n",
            format!("{LIST}[breathers]\n{ODD}\n"),
        ),
        ("### The end: `[end]`\n", format!("{LIST}[end]\n{ODD}\n")),
        (
            "### Movements of your own: `[[movement]]`\n",
            format!("{LIST}[[movement]]\nname = \"m\"\nlike = \"Elephant\"\n{ODD}\n"),
        ),
    ] {
        assert_eq!(keys_under(&text, heading), known(&brief), "{heading}");
    }
}

/// The rows of the tables of rules: name of the rule, and the keys of its table.
fn rules_of(text: &str) -> Vec<(String, BTreeSet<String>)> {
    let section = text
        .split_once("### Rules: `[rules]`\n")
        .expect("the rules")
        .1;
    let section = section
        .split("\n#")
        .next()
        .expect("a split has a first part");
    let rows = section.lines().filter(|l| l.starts_with("| `"));
    rows.map(|row| {
        let name = cell(row, 1).trim().trim_matches('`');
        let name = name.trim_matches(['[', ']']).trim_start_matches("rules.");
        // Keys open a clause: what is in brackets or braces belongs to the clause before.
        let mut keys = BTreeSet::new();
        for clause in cell(row, 4).split(';') {
            let clause = clause.split([':', '{']).next().unwrap_or("");
            keys.extend(marked(clause));
        }
        (name.to_owned(), keys)
    })
    .collect()
}

#[test]
fn the_tables_of_rules_name_every_rule_and_every_key() {
    let text = readme();
    let rules = rules_of(&text);
    let named: BTreeSet<String> = rules.iter().map(|(name, _)| name.clone()).collect();
    assert_eq!(named, known(&format!("{LIST}[rules]\n{ODD}\n")));
    for (name, keys) in rules {
        let table = if text.contains(&format!("`[[rules.{name}]]`")) {
            format!("[[rules.{name}]]")
        } else {
            format!("[rules.{name}]")
        };
        let mut expected = known(&format!("{LIST}{table}\n{ODD}\n"));
        assert!(
            expected.remove("need") && expected.remove("weight"),
            "{name}"
        );
        assert_eq!(keys, expected, "{name}");
    }
}
