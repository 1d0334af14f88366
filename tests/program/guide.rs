//! The tables of the guide and of the README name every key, rule, condition and command that there is and no other.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use assert_cmd::prelude::*;
use segue::model::caution::Caution;
use segue::model::condition;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The text of a chapter of the guide.
fn chapter(name: &str) -> String {
    read(&format!("src/guide/{name}.md"))
}

/// What a text says under a heading, up to the next.
fn section<'a>(text: &'a str, heading: &str) -> &'a str {
    let (_, rest) = text
        .split_once(heading)
        .unwrap_or_else(|| panic!("there is no heading {heading:?}"));
    rest.split("\n#").next().unwrap_or(rest)
}

/// The rows of the first table under a heading.
fn rows<'a>(text: &'a str, heading: &str) -> Vec<&'a str> {
    section(text, heading)
        .lines()
        .skip_while(|l| !l.starts_with('|'))
        .take_while(|l| l.starts_with('|'))
        .skip(2)
        .collect()
}

fn cell(row: &str, n: usize) -> &str {
    row.split('|').nth(n).unwrap_or("")
}

/// What stands between code marks.
fn code(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2)
}

/// What stands between code marks and is a key.
fn marked(text: &str) -> Vec<String> {
    code(text)
        .filter(|c| !c.contains(['"', ' ', '-', '[', '{']))
        .map(str::to_owned)
        .collect()
}

/// The keys in the first column of the table under a heading.
fn keys_under(text: &str, heading: &str) -> BTreeSet<String> {
    let rows = rows(text, heading).into_iter();
    rows.flat_map(|row| marked(cell(row, 1))).collect()
}

/// The keys that a reader knows where it met an odd one: it lists them when it meets one that is like none of them.
fn listed(args: &[&str], folder: &Path, about: &str) -> BTreeSet<String> {
    let ended = Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .env("COLUMNS", "80")
        .current_dir(folder)
        .args(args)
        .output()
        .expect("the program runs");
    let said = String::from_utf8(ended.stderr).expect("the complaint is text");
    let (_, keys) = said
        .split_once("known here: ")
        .unwrap_or_else(|| panic!("no keys are listed for\n{about}\n{said}"));
    // The list may be folded into several lines; it ends at an empty one.
    keys.split("\n\n")
        .next()
        .unwrap_or(keys)
        .split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .filter(|k| !k.is_empty())
        .map(str::to_owned)
        .collect()
}

const LIST: &str = "list = [\"Elephant\", \"Scooter\"]\n";
/// A key that is like none.
const ODD: &str = "qqqqqq = 1";

/// The keys that are known in a table of a brief with an odd one in it.
fn known(brief: &str) -> BTreeSet<String> {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("b.toml"), brief).expect("a brief can be saved");
    listed(&["plan", "b.toml"], folder.path(), brief)
}

/// The keys that are known in a table of a machine's file, in which an odd one comes in where `to` takes the place of the first `from`.
fn known_of_a_machine(from: &str, to: &str) -> BTreeSet<String> {
    let machine = read("models/apparatus/harbour.toml");
    assert!(machine.contains(from), "the file has no {from:?}");
    let machine = machine.replacen(from, to, 1);
    let folder = tempfile::tempdir().expect("a folder");
    let save = |name, text: &str| std::fs::write(folder.path().join(name), text);
    save("m.toml", &machine)
        .and_then(|()| save("b.toml", LIST))
        .expect("they can be saved");
    let args = ["plan", "b.toml", "--apparatus", "m.toml"];
    listed(&args, folder.path(), to)
}

#[test]
fn the_tables_of_a_brief_name_every_key_and_no_other() {
    for (name, heading, brief) in [
        ("brief", "## The class\n", format!("{ODD}\n{LIST}")),
        (
            "brief",
            "## A line of the list as a table\n",
            format!("list = [{{ movement = \"Elephant\", {ODD} }}]"),
        ),
        (
            "brief",
            "## Blocks and series\n",
            format!("[[block]]\nname = \"b\"\nlist = [\"Elephant\"]\n{ODD}\n"),
        ),
        (
            "brief",
            "## What counts how much: `[cost]`\n",
            format!("{LIST}[cost]\n{ODD}\n"),
        ),
        (
            "brief",
            "## Short rests: `[breathers]`\n",
            format!("{LIST}[breathers]\n{ODD}\n"),
        ),
        (
            "brief",
            "## The end: `[end]`\n",
            format!("{LIST}[end]\n{ODD}\n"),
        ),
        (
            "own",
            "## Movements of your own: `[[movement]]`\n",
            format!("{LIST}[[movement]]\nname = \"m\"\nlike = \"Elephant\"\n{ODD}\n"),
        ),
        (
            "conditions",
            "## A condition as a table\n",
            format!("{LIST}conditions = [{{ name = \"wrist pain\", {ODD} }}]\n"),
        ),
    ] {
        let named = keys_under(&chapter(name), heading);
        assert_eq!(named, known(&brief), "{name}: {heading}");
    }
}

#[test]
fn the_tables_of_a_machine_name_every_key_and_no_other() {
    let text = chapter("own");
    let line = |mark: &str| vec![(mark.to_owned(), format!("{mark}{ODD}\n"))];
    let entry = |mark: &str| vec![(mark.to_owned(), format!("{mark} {ODD},"))];
    let strength = "count = 2, load = 1.5";
    // One or the other is read.
    let strengths = ["load = 1.5", "newtons_per_metre = 100"]
        .map(|key| (strength.to_owned(), format!("count = 2, {key}, {ODD}")));
    for (heading, changes) in [
        ("### The file\n", line("id = \"harbour\"\n")),
        (
            "### Positions: `[[posture]]`\n",
            entry("{ name = \"on your back\","),
        ),
        (
            "### Ways between positions: `[[move]]`\n",
            entry("{ from = \"on your back\","),
        ),
        ("### Springs: `[springs]`\n", line("[springs]\n")),
        (
            "### Kinds of springs: `[[springs.class]]`\n",
            strengths.to_vec(),
        ),
        (
            "### Other parts of the set-up: `[[facet]]`\n",
            line("[[facet]]\n"),
        ),
        (
            "### Values of a part: `[[facet.value]]`\n",
            entry("{ key = \"high\","),
        ),
    ] {
        let known: BTreeSet<String> = changes
            .iter()
            .flat_map(|(from, to)| known_of_a_machine(from, to))
            .collect();
        assert_eq!(keys_under(&text, heading), known, "{heading}");
    }
}

/// The rows of the tables of rules: name of the rule, and the keys of its table.
fn rules_of(text: &str) -> Vec<(String, BTreeSet<String>)> {
    let rows = text.lines().filter(|l| l.starts_with("| `"));
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
    let text = chapter("rules");
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

#[test]
fn every_condition_and_every_caution_is_named_and_no_other() {
    let text = chapter("conditions");
    let table = rows(&text, "## In your words\n").into_iter();
    let named: BTreeSet<&str> = table.flat_map(|row| code(cell(row, 2))).collect();
    // Which way a back pain goes is told below the table.
    let (narrower, known): (Vec<&str>, Vec<&str>) = condition::all()
        .map(|c| c.name)
        .partition(|n| n.contains(','));
    assert_eq!(named, known.into_iter().collect());
    for name in narrower {
        assert!(text.contains(&format!("`\"{name}\"`")), "{name}");
    }
    let met = section(&text, "## What a condition meets\n");
    let named: BTreeSet<&str> = code(met).filter(|&c| c != "segue show").collect();
    let known = Caution::WORDS.iter().map(|&(word, _)| word).collect();
    assert_eq!(named, known);
}

#[test]
fn every_command_has_a_row_in_the_readme_and_in_the_guide() {
    let ended = Command::cargo_bin("segue")
        .expect("the program is built with its tests")
        .arg("--help")
        .output()
        .expect("the program runs");
    let help = String::from_utf8(ended.stdout).expect("help is text");
    let (_, list) = help.split_once("Commands:\n").expect("help lists them");
    let list = list.split("\n\n").next().unwrap_or(list);
    let known: BTreeSet<&str> = list
        .lines()
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split(' ').next())
        .filter(|&name| name != "help")
        .collect();
    assert!(known.contains("plan"), "{help}");
    for (text, heading) in [
        (read("README.md"), "## Commands\n"),
        (chapter("commands"), "# All commands\n"),
    ] {
        let named: BTreeSet<&str> = rows(&text, heading)
            .into_iter()
            .flat_map(|row| code(cell(row, 1)))
            .map(|command| command.trim_start_matches("segue "))
            .filter_map(|command| command.split(' ').next())
            .collect();
        assert_eq!(named, known, "{heading}");
    }
}

#[test]
fn the_chapter_on_json_names_every_key_at_the_top_of_what_is_printed() {
    let text = chapter("json");
    let named: BTreeSet<&str> = code(&text).collect();
    for name in [
        "plan", "explain", "try", "vary", "keep", "late", "check", "list", "files", "solution",
    ] {
        let schema = read(&format!("models/schema/{name}.schema.json"));
        let schema: serde_json::Value = serde_json::from_str(&schema).expect("a schema is JSON");
        let keys = schema["properties"].as_object().expect("it has keys");
        for key in keys.keys() {
            assert!(named.contains(key.as_str()), "{name}: `{key}`");
        }
    }
}
