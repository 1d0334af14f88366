//! What is handed out: the files that the package names are there, and the entry for the menu runs what the package installs.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;

/// What the package takes from where, and where it puts it.
fn assets() -> Vec<(String, String)> {
    let manifest = fs::read_to_string("Cargo.toml").unwrap();
    let manifest: toml::Table = toml::from_str(&manifest).unwrap();
    let assets = manifest["package"]["metadata"]["deb"]["assets"]
        .as_array()
        .unwrap();
    let part = |asset: &toml::Value, n: usize| asset[n].as_str().unwrap().to_owned();
    assets.iter().map(|a| (part(a, 0), part(a, 1))).collect()
}

/// The value of a key of the entry for the menu.
fn entry(key: &str) -> String {
    let text = fs::read_to_string("models/desktop/segue.desktop").unwrap();
    let value = |line: &str| Some(line.strip_prefix(key)?.strip_prefix('=')?.to_owned());
    text.lines().find_map(value).unwrap()
}

#[test]
fn the_package_takes_what_stands_here_or_what_the_release_lays_out() {
    let release = fs::read_to_string(".ci/release").unwrap();
    for (from, _) in assets() {
        let made = match from.strip_prefix("target/dist/files/") {
            Some(file) => release.contains(&format!("$files/{file}")),
            None => from == "target/release/segue" || Path::new(&from).exists(),
        };
        assert!(made, "{from}");
    }
}

#[test]
fn the_entry_for_the_menu_finds_its_program_and_its_icon_in_the_package() {
    let assets = assets();
    let put = |from: &str, to: &str| {
        let wanted = (from.to_owned(), to.to_owned());
        assert!(assets.contains(&wanted), "{from} is not put into {to}");
    };
    let program = entry("TryExec");
    put(&format!("target/release/{program}"), "usr/bin/");
    let run = format!("{program} guide;");
    assert!(entry("Exec").contains(&run), "{}", entry("Exec"));
    let icon = format!("models/desktop/{}.svg", entry("Icon"));
    put(&icon, "usr/share/icons/hicolor/scalable/apps/");
    let drawn = fs::read_to_string(&icon).unwrap();
    let drawn = roxmltree::Document::parse(&drawn).unwrap();
    assert!(
        drawn
            .root_element()
            .has_tag_name(("http://www.w3.org/2000/svg", "svg"))
    );
}
