//! The README and the guide as a reader takes them: what they show is what comes out, their samples are read, and their commands run as they
//! stand. That their tables are complete is tried in `tests/program/guide.rs`, that their links lead somewhere in `tests/house/links.rs`.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use assert_cmd::prelude::*;
use segue::guide::CHAPTERS;

const README: &str = "README.md";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The README, then the chapters in their order, each with the path at which it stands.
fn pages() -> Vec<(String, String)> {
    let chapters = CHAPTERS.iter().map(|c| format!("src/guide/{}.md", c.name));
    std::iter::once(README.to_owned())
        .chain(chapters)
        .map(|path| {
            let text = read(&path);
            (path, text)
        })
        .collect()
}

/// The blocks of all pages, each with the path of its page.
fn all_blocks() -> Vec<(String, Block)> {
    let of_page = |(path, text): (String, String)| {
        let found = blocks(&text).into_iter();
        found.map(move |block| (path.clone(), block))
    };
    pages().into_iter().flat_map(of_page).collect()
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
    let mut ended = true;
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
            (None, None) if line.trim().is_empty() => ended = true,
            (None, None) => {
                if std::mem::take(&mut ended) {
                    lead.clear();
                }
                lead.push_str(line);
                lead.push(' ');
            }
        }
    }
    found
}

/// The file that a block is to be saved as: the last name of a file in the paragraph before it, where that says so.
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

/// What a line asks of segue; `None` where it has segue tested or installed. In the guide segue is installed already.
fn asked<'a>(page: &str, line: &'a str) -> Option<&'a str> {
    if let Some(rest) = line.strip_prefix("segue ") {
        return Some(rest);
    }
    assert_eq!(page, README, "no command of segue: {line}");
    let rest = line.strip_prefix("cargo run --release -- ");
    let known = ["cargo test --release", "cargo install --path ."];
    let known = rest.is_some() || known.contains(&line);
    assert!(known, "an unknown kind of command: {line}");
    rest
}

#[test]
fn every_command_runs_as_it_stands_on_the_samples_before_it() {
    let folder = tempfile::tempdir().expect("a folder for the samples");
    let mut run = 0;
    for (page, block) in all_blocks() {
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
            let Some(rest) = asked(&page, line) else {
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
                    let own = root().join(word);
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
            assert!(ended.status.success(), "{page}: {line}\n{said}");
            assert!(!ended.stdout.is_empty(), "{page}: {line}: nothing printed");
            if let Some(name) = out {
                std::fs::write(folder.path().join(name), &ended.stdout).expect("it can be saved");
            }
            run += 1;
        }
    }
    assert!(run > 30, "only {run} commands were found");
}

#[test]
fn the_readme_is_short_and_sets_up_with_two_commands() {
    let text = read(README);
    assert!(text.len() <= 8000, "{} bytes", text.len());
    let first = blocks(&text).into_iter().find(|b| b.language == "sh");
    assert_eq!(
        first.map(|block| block.text).as_deref(),
        Some("cargo run --release -- plan scenarios/packed-noon.toml\ncargo test --release\n")
    );
}

/// Without one it would be taken for Rust in the documentation, and by the tests here for no block of theirs.
#[test]
fn every_block_names_a_language_that_is_looked_at() {
    let known = ["sh", "bash", "text", "toml", "csv"];
    for (page, block) in all_blocks() {
        let language = block.language.as_str();
        assert!(known.contains(&language), "{page}: {}", block.text);
        // What is neither run, saved nor read is a line for another program.
        let unseen = language == "bash" && block.text.contains("parallel");
        let saved = language != "csv" || saved_as(&block).is_some();
        assert!(
            saved && (language != "bash" || unseen),
            "{page}: {}",
            block.text
        );
    }
}

#[test]
fn the_excerpts_are_what_the_first_command_and_the_impossible_class_print() {
    let golden = |name| read(&format!("tests/golden/sheets/{name}"));
    let sheet = golden("packed-noon.txt") + &golden("cannot-be.txt");
    let blocks = all_blocks().into_iter();
    let excerpts: Vec<(String, Block)> = blocks
        .filter(|(_, b)| b.language == "text" && saved_as(b).is_none())
        .collect();
    assert!(excerpts.iter().any(|(page, _)| page == README));
    assert!(excerpts.len() >= 3, "only {} excerpts", excerpts.len());
    for (page, excerpt) in excerpts {
        assert!(
            sheet.contains(&excerpt.text),
            "{page}: not in the sheet:\n{}",
            excerpt.text
        );
    }
}

#[test]
fn every_sample_of_a_brief_is_read_and_planned() {
    let folder = tempfile::tempdir().expect("a folder for the samples");
    let mut read = 0;
    for (page, block) in all_blocks() {
        let elsewhere = saved_as(&block).is_some_and(|name| name.contains('/'));
        if block.language != "toml" || elsewhere {
            continue;
        }
        let path = folder.path().join("sample.toml");
        std::fs::write(&path, &block.text).expect("a sample can be saved");
        let ended = segue(&["plan", "-q", "sample.toml"], folder.path(), None);
        let said = String::from_utf8_lossy(&ended.stderr);
        assert!(ended.status.success(), "{page}: {}\n{said}", block.text);
        read += 1;
    }
    assert!(read >= 2, "only {read} samples were found");
}
