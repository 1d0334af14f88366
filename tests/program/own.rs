//! Files of one's own: found in the user's folder, beside the class and where `--models` says, the nearer in the place of the farther.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use serde_json::Value;

fn write(root: &Path, name: &str, text: &str) {
    let file = root.join(name);
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    fs::write(file, text).unwrap();
}

/// Runs in `root`, with `root/settings` for the user's settings.
fn run(root: &Path, args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .current_dir(root)
        .env("XDG_CONFIG_HOME", root.join("settings"))
        .env("COLUMNS", "160")
        .args(args)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn planned(root: &Path, args: &[&str]) -> String {
    let mut all = vec!["-q", "plan"];
    all.extend(args);
    let made = run(root, &all);
    assert!(made.status.success(), "{}", text(&made.stderr));
    text(&made.stdout)
}

fn block(list: &str) -> String {
    format!("[[block]]\nname = \"Ending\"\nlist = [{list}]\n")
}

fn machine(id: &str) -> String {
    include_str!("../../models/apparatus/orchard.toml")
        .replace("id = \"orchard\"", &format!("id = \"{id}\""))
        .replace(
            "name = \"Orchard\"",
            &format!("name = \"{}\"", id.to_uppercase()),
        )
}

#[test]
fn the_nearer_place_wins() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path();
    write(root, "classes/noon.txt", "Hundred\nEnding\n");
    write(root, "settings/segue/blocks/mine.toml", &block("\"Swan\""));
    assert!(planned(root, &["classes/noon.txt"]).contains("Swan"));
    write(
        root,
        "classes/segue/blocks/mine.toml",
        &block("\"Elephant\""),
    );
    let beside = planned(root, &["classes/noon.txt"]);
    assert!(
        beside.contains("Elephant") && !beside.contains("Swan"),
        "{beside}"
    );
    write(root, "other/blocks/mine.toml", &block("\"Mermaid\""));
    let asked = planned(root, &["classes/noon.txt", "--models", "other"]);
    assert!(
        asked.contains("Mermaid") && !asked.contains("Elephant"),
        "{asked}"
    );
    // A class elsewhere has another place beside it.
    write(root, "noon.txt", "Hundred\nEnding\n");
    assert!(planned(root, &["noon.txt"]).contains("Swan"));
}

#[test]
fn a_machine_of_ones_own_is_the_default_and_labels_change_what_springs_are_called() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path();
    write(root, "noon.txt", "Hundred\nElephant\n");
    write(
        root,
        "settings/segue/labels/springs.toml",
        "[harbour]\nmedium = \"plum\"\n",
    );
    assert!(planned(root, &["noon.txt"]).contains("1 plum"));
    write(
        root,
        "settings/segue/apparatus/attic.toml",
        &machine("attic"),
    );
    let made = planned(root, &["noon.txt"]);
    assert!(made.contains("ATTIC"), "{made}");
}

#[test]
fn one_command_shows_what_is_in_force() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path();
    write(root, "classes/noon.txt", "Hundred\nEnding\n");
    write(root, "settings/segue/blocks/mine.toml", &block("\"Swan\""));
    write(
        root,
        "settings/segue/apparatus/orchard.toml",
        &machine("orchard"),
    );
    write(
        root,
        "classes/segue/blocks/mine.toml",
        &block("\"Elephant\""),
    );
    let shown = run(root, &["files", "classes/noon.txt"]);
    let said = text(&shown.stdout);
    assert!(shown.status.success(), "{}", text(&shown.stderr));
    for part in [
        "Beside the class: classes/segue",
        "block Ending: overridden by a nearer file",
        "machine orchard (Orchard): overridden by a nearer file",
        "planned on orchard",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let shown = run(root, &["files", "classes/noon.txt", "--json"]);
    let read: Value = serde_json::from_slice(&shown.stdout).unwrap();
    assert_eq!(read["default_machine"], "orchard");
    let places = read["places"].as_array().unwrap();
    assert_eq!(places.len(), 3);
    let force = |place: usize, file: usize| {
        places[place]["files"][file]["gives"][0]["in_force"]
            .as_bool()
            .unwrap()
    };
    assert!(force(0, 0) && force(1, 0) && !force(1, 1));
    // All movements that come with segue are in force.
    let all: usize = (places[2]["files"].as_array().unwrap().iter())
        .filter(|f| f["kind"] == "catalogue")
        .map(|f| {
            f["gives"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|g| g["in_force"] == true)
                .count()
        })
        .sum();
    let listed = run(root, &["list", "--json"]);
    let listed: Value = serde_json::from_slice(&listed.stdout).unwrap();
    assert_eq!(all, listed["movements"].as_array().unwrap().len());
    let without = run(root, &["files"]);
    assert!(text(&without.stdout).contains("There is no such folder"));
}

#[test]
fn a_slip_in_the_users_folder_is_told_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path();
    write(root, "noon.txt", "Hundred\n");
    write(
        root,
        "settings/segue/labels/a.toml",
        "[harbor]\nheavy = \"x\"\n",
    );
    let made = run(root, &["plan", "noon.txt"]);
    assert_eq!(made.status.code(), Some(2));
    let told = text(&made.stderr);
    assert!(
        told.contains("labels/a.toml:1:2") && told.contains("`harbour`"),
        "{told}"
    );
}
