//! What a new user meets first: a brief to start from, completions, the manual page, the guide.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use assert_cmd::prelude::*;

fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .args(args)
        .output()
        .unwrap()
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

#[test]
fn a_new_brief_plans_as_it_is_and_with_every_remark_taken_away_it_still_reads() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("monday.toml");
    let name = file.to_str().unwrap();
    let made = run(&["new", name]);
    assert_eq!(made.status.code(), Some(0), "{made:?}");
    let written = fs::read_to_string(&file).unwrap();
    assert_eq!(
        text(run(&["new"]).stdout),
        written,
        "printed and written are the same"
    );
    let planned = run(&["plan", "-q", name]);
    assert_eq!(planned.status.code(), Some(0), "{planned:?}");
    // Lines that are offered: those that look like the notation behind their sign.
    let offered = written
        .lines()
        .map(|line| match line.trim_start().strip_prefix("# ") {
            Some(rest) if rest.starts_with(['[', '{']) || rest.contains(" = ") => rest,
            Some(_) | None => line,
        });
    let all: Vec<&str> = offered.collect();
    assert!(all.join("\n").len() < written.len(), "nothing is offered");
    fs::write(&file, all.join("\n")).unwrap();
    let planned = run(&["plan", "-q", "--seconds", "20", name]);
    assert_eq!(planned.status.code(), Some(0), "{}", text(planned.stderr));
}

#[test]
fn a_brief_is_not_written_over_another_unless_asked() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("monday.toml");
    let name = file.to_str().unwrap();
    fs::write(&file, "mine").unwrap();
    let refused = run(&["new", name]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(refused.stderr).contains("--force"));
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(run(&["new", name, "--force"]).status.code(), Some(0));
    assert_ne!(fs::read_to_string(&file).unwrap(), "mine");
    let refused = run(&["new", folder.path().join("monday.txt").to_str().unwrap()]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(refused.stderr).contains(".toml"));
    let nowhere = folder.path().join("none").join("monday.toml");
    assert_eq!(
        run(&["new", nowhere.to_str().unwrap()]).status.code(),
        Some(2)
    );
}

const COMMANDS: [&str; 17] = [
    "plan",
    "explain",
    "try",
    "vary",
    "keep",
    "late",
    "check",
    "list",
    "show",
    "export",
    "files",
    "schema",
    "guide",
    "solve",
    "new",
    "completions",
    "manual",
];

#[test]
fn completions_name_every_command_and_bash_can_read_its_own() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let made = run(&["completions", shell]);
        assert_eq!(made.status.code(), Some(0), "{shell}");
        let script = text(made.stdout);
        for command in COMMANDS {
            assert!(script.contains(command), "{shell}: {command}");
        }
        if shell == "bash" && Command::new("bash").arg("--version").output().is_ok() {
            // Source: the shell's own reader.
            let folder = tempfile::tempdir().unwrap();
            let file = folder.path().join("segue.bash");
            fs::write(&file, &script).unwrap();
            let read = Command::new("bash").arg("-n").arg(&file).output().unwrap();
            assert!(read.status.success(), "{read:?}");
        }
    }
    assert_eq!(run(&["completions", "abacus"]).status.code(), Some(2));
}

#[test]
fn the_manual_has_a_heading_for_every_command() {
    let manual = text(run(&["manual"]).stdout);
    for command in COMMANDS {
        let heading = format!(".SH \"SEGUE {}\"", command.to_uppercase());
        assert!(manual.lines().any(|line| line == heading), "{heading}");
    }
    assert!(manual.contains("Exit codes"));
}

#[test]
fn the_help_of_every_command_begins_with_two_examples() {
    for command in COMMANDS {
        let help = text(run(&[command, "--help"]).stdout);
        let mut lines = help.lines();
        assert_eq!(lines.next(), Some("Examples:"), "{command}");
        for _ in 0..2 {
            let line = lines.next().unwrap_or_default();
            assert!(
                line.starts_with("  segue ") && line.contains(command),
                "{command}: {line}"
            );
        }
    }
}

#[test]
fn every_chapter_of_the_guide_is_listed_and_printed_as_it_stands_in_the_repository() {
    let listed = run(&["guide"]);
    assert_eq!(listed.status.code(), Some(0));
    let listed = text(listed.stdout);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/guide");
    let mut chapters = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "md") {
            continue;
        }
        let name = path.file_stem().unwrap().to_str().unwrap();
        let written = fs::read_to_string(&path).unwrap();
        let title = written.lines().next().unwrap().trim_start_matches("# ");
        let line = format!("{name:<10} {title}");
        assert!(listed.lines().any(|l| l == line), "{line}\n{listed}");
        let printed = run(&["guide", name]);
        assert_eq!(printed.status.code(), Some(0), "{name}");
        assert_eq!(text(printed.stdout), written, "{name}");
        chapters += 1;
    }
    assert_eq!(listed.lines().count(), chapters);
}

#[test]
fn a_chapter_that_is_not_there_gets_the_nearest_and_all() {
    let slip = run(&["guide", "breif"]);
    assert_eq!(slip.status.code(), Some(2));
    let said = text(slip.stderr);
    assert!(said.contains("did you mean `brief`?"), "{said}");
    assert!(said.contains("problems"), "{said}");
    let strange = run(&["guide", "qqqqqq"]);
    assert_eq!(strange.status.code(), Some(2));
    let said = text(strange.stderr);
    assert!(!said.contains("did you mean"), "{said}");
    assert!(said.contains("brief") && said.contains("care"), "{said}");
}
