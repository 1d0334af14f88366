//! One class, one machine and one problem file with a character of every kind that steers a terminal or a document in each text that they can hold, and the same in file names
//! and arguments: none comes out in any form, JSON still means what was written, and letters of every direction stay. Files are read by parsers that share nothing with what
//! writes them.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use scraper::{Html, Selector};
use serde_json::Value;
use unicode_width::UnicodeWidthChar as _;

/// Colour that the program never uses, a title for the window, the same by one character alone, and one of each other kind.
const STEERING: &str = "\u{1b}[35m\u{1b}]0;mine\u{7}\u{9b}35m\u{1}\u{8}\u{c}\u{7f}\u{85}\u{2028}\u{2029}\
    \u{61c}\u{200e}\u{200f}\u{202a}\u{202e}\u{2066}\u{2069}\u{206a}\u{fff9}\u{fffe}\u{fdd0}\r\n\t";
/// Hebrew, Persian with the joiner that keeps two letters apart, Sinhala with the one that joins them.
const LETTERS: &str = "\u{5e9}\u{5dc}\u{5d5}\u{5dd} \u{645}\u{6cc}\u{200c}\u{62e}\u{648}\u{627}\u{647}\u{645} \u{dc1}\u{dca}\u{200d}\u{dbb}\u{dd3}";

/// Controls (Cc), separators of lines and paragraphs (Zl, Zp), what has the property Bidi_Control, deprecated format characters, frames of annotations, noncharacters.
fn steers(c: char) -> bool {
    matches!(u32::from(c),
        0..=0x1f | 0x7f..=0x9f | 0x61c | 0x200e | 0x200f | 0x2028..=0x202e | 0x2066..=0x206f
        | 0xfdd0..=0xfdef | 0xfff9..=0xfffb | 0xfffe | 0xffff)
}

/// A text with all of them in its middle.
fn nasty(word: &str) -> String {
    format!("{word} {STEERING} {LETTERS}")
}

/// The same between quotation marks, every letter by its number, for TOML.
fn quoted(word: &str) -> String {
    let numbers = nasty(word);
    let numbers = numbers
        .chars()
        .map(|c| format!("\\U{:08x}", u32::from(c)))
        .collect::<String>();
    format!("\"{numbers}\"")
}

/// A class and a machine of its own in a folder; the class.
fn class(folder: &Path) -> String {
    let [title, own, slow, hips, block] = ["Noon", "Glide", "Gently", "Hips", "Arms"].map(quoted);
    let [condition, unknown, label] = ["Knee pain", "Of the moon", "Sun"].map(quoted);
    let brief = format!(
        "title = {title}\ndate = 2026-03-12T12:30:00\nminutes = 40\nroom = 4\nconditions = [{condition}, {unknown}]\nlist = [\"Swan x 4\", {own}, {{ movement = \"Scooter\", springs = {{ {label} = 1 }} }}, {hips}, \"Mermaid\"]\n\
         [[series]]\nname = {hips}\nlist = [\"Side splits x 8\", \"Standing front splits\"]\n\
         [[block]]\nname = {block}\nlist = [\"Hug, kneeling\", \"Kneeling arm circle\"]\n\
         [[movement]]\nname = {own}\nother_names = [{slow}]\nlike = \"Elephant\"\nhow = {slow}\ncues = [{slow}]\nmore_springs_note = {slow}\n\
         notes = {{ tall = {slow}, short = {slow}, long_ropes = {slow}, contact = {slow} }}\n"
    );
    let mut machine = fs::read_to_string("models/apparatus/harbour.toml").unwrap();
    for word in ["Harbour", "sun", "head rest", "head rest up", "no box"] {
        assert!(machine.contains(&format!("\"{word}\"")), "{word}");
        let other = if word == "sun" { "Sun" } else { word };
        machine = machine.replace(&format!("\"{word}\""), &quoted(other));
    }
    let own = folder.join("segue/apparatus");
    fs::create_dir_all(&own).unwrap();
    fs::write(own.join("own.toml"), machine).unwrap();
    let file = folder.join("noon.toml");
    fs::write(&file, brief).unwrap();
    file.to_str().unwrap().to_owned()
}

/// Runs it as on a terminal with colours.
fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .env("COLUMNS", "80")
        .env("CLICOLOR_FORCE", "1")
        .env_remove("NO_COLOR")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(args)
        .output()
        .unwrap()
}

/// A text without the styles that the program gives it: all colours but the one of the class.
fn unstyled(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let mut plain = parts.next().unwrap().to_owned();
    for part in parts {
        match part.split_once('m') {
            Some((style, rest))
                if style.chars().all(|c| c.is_ascii_digit() || c == ';') && style != "35" =>
            {
                plain.push_str(rest);
            }
            _ => plain.push_str(&format!("\u{1b}[{part}")),
        }
    }
    plain
}

/// What is printed, without our styles, if nothing but ends of lines in it steers.
fn harmless(what: &str, bytes: &[u8]) -> String {
    let text = unstyled(std::str::from_utf8(bytes).unwrap());
    let found: Vec<char> = text.chars().filter(|&c| steers(c) && c != '\n').collect();
    assert!(found.is_empty(), "{what}: {found:?} in {text:?}");
    text
}

/// Both streams of a command, harmless.
fn printed(args: &[&str]) -> [String; 2] {
    let made = run(args);
    [("out", made.stdout), ("err", made.stderr)]
        .map(|(stream, bytes)| harmless(&format!("{args:?}, {stream}"), &bytes))
}

#[test]
fn every_command_prints_a_nasty_class_harmlessly() {
    let folder = tempfile::tempdir().unwrap();
    let class = class(folder.path());
    let lasting = nasty("Glide");
    let commands: [&[&str]; 17] = [
        &["plan", &class],
        &["plan", &class, "--cues"],
        &["plan", &class, "--json"],
        &[
            "plan",
            &class,
            "--apparatus",
            "models/apparatus/lantern.toml",
        ],
        &["explain", &class],
        &["keep", &class],
        &["late", &class, "--from", "2", "--left", "20"],
        &["vary", &class, "--count", "2"],
        &["vary", &class, "--count", "2", "--json"],
        &["try", &class, "--without", &lasting],
        &["try", &class, "--without", &lasting, "--json"],
        &["try", &class, "--first", &lasting, "Mermaid"],
        &["check", &class],
        &["check", &class, "--json"],
        &["export", &class],
        &["export", &class, "--format", "dot"],
        &["files", &class],
    ];
    for command in commands {
        let mut args = vec!["--color", "always"];
        args.extend(command);
        if !["check", "export", "files"].contains(&command[0]) {
            args.extend(["--seconds", "20"]);
        }
        let [out, err] = printed(&args);
        // Escaped or not, and broken into lines or not, the letters are there.
        assert!(
            out.contains("\u{5e9}\u{5dc}\u{5d5}\u{5dd}") && out.contains("\u{645}\u{6cc}\u{200c}"),
            "{command:?}: {out}\n{err}"
        );
    }
}

#[test]
fn json_means_what_was_written() {
    let folder = tempfile::tempdir().unwrap();
    let class = class(folder.path());
    let file = folder.path().join("noon.json");
    let name = file.to_str().unwrap();
    run(&["-q", "plan", &class, "--out", name]);
    let on_file = fs::read(&file).unwrap();
    for (what, text) in [
        ("plan", printed(&["plan", &class, "--json"])[0].clone()),
        ("file", harmless("file", &on_file)),
        ("export", printed(&["export", &class])[0].clone()),
    ] {
        let read: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read["title"], nasty("Noon"), "{what}");
    }
}

/// The texts of a document that are not drawn: its title, headings and what is said of pictures.
#[cfg(feature = "pdf")]
fn said_of(document: &lopdf::Document) -> Vec<String> {
    let dictionaries = document.objects.values().filter_map(|o| o.as_dict().ok());
    let said = dictionaries.flat_map(|d| {
        let keys: [&[u8]; 4] = [b"T", b"Title", b"Alt", b"Contents"];
        keys.map(|key| d.get(key).ok())
    });
    (said.flatten())
        .filter_map(|object| lopdf::decode_text_string(object).ok())
        .collect()
}

#[test]
fn every_form_of_file_holds_a_nasty_class_harmlessly() {
    let folder = tempfile::tempdir().unwrap();
    let class = class(folder.path());
    let file = |ending: &str| folder.path().join(format!("sheet.{ending}"));
    let endings = ["html", "svg", "md", "csv", "ics"];
    for density in [&[][..], &["--glance"]] {
        let files: Vec<PathBuf> = endings.iter().map(|e| file(e)).collect();
        let mut args = vec!["-q", "plan", &class, "--force"];
        for file in &files {
            args.extend(["--out", file.to_str().unwrap()]);
        }
        args.extend(density);
        let made = run(&args);
        assert!(made.status.success(), "{made:?}");
        for (ending, file) in endings.iter().zip(&files) {
            let text = fs::read_to_string(file).unwrap();
            let found = text.chars().filter(|&c| steers(c));
            let found: Vec<char> = found.filter(|c| !"\r\n".contains(*c)).collect();
            assert!(found.is_empty(), "{ending}: {found:?}");
            // A calendar breaks lines inside of words.
            let text = text.replace("\r\n ", "");
            assert!(text.contains(LETTERS), "{ending} {density:?}");
        }
    }
    let read = |ending: &str| fs::read_to_string(file(ending)).unwrap();
    let drawn = read("svg");
    let picture = roxmltree::Document::parse(&drawn).unwrap();
    let titles = picture.descendants().filter(|n| n.has_tag_name("title"));
    let titles: Vec<&str> = titles.filter_map(|n| n.text()).collect();
    assert!(titles[0].starts_with("Noon \u{fffd}[35m"), "{titles:?}");
    assert!(titles[0].ends_with(LETTERS), "{titles:?}");

    let page = Html::parse_document(&read("html"));
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let title = Selector::parse("title").unwrap();
    let title: String = page.select(&title).next().unwrap().text().collect();
    assert!(title.starts_with("2026-03-12 Noon \u{fffd}"), "{title}");

    let mut table = csv::Reader::from_path(file("csv")).unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    assert!(rows.len() > 5);
    for cell in rows.iter().flatten() {
        assert!(!cell.contains(steers), "{cell:?}");
    }

    let text = read("ics");
    let mut entries = ical::IcalParser::new(text.as_bytes());
    let entry = &entries.next().unwrap().unwrap().events[0];
    assert!(entries.next().is_none());
    for property in &entry.properties {
        let value = property.value.clone().unwrap_or_default();
        assert!(!value.contains(steers), "{}: {value:?}", property.name);
    }
    let summary = entry.properties.iter().find(|p| p.name == "SUMMARY");
    assert!(summary.unwrap().value.clone().unwrap().ends_with(LETTERS));
}

/// Of each row of glyphs the file keeps the text that it was set from; extracted text is that.
#[cfg(feature = "pdf")]
#[test]
fn a_pdf_of_a_nasty_class_is_read_harmlessly() {
    let folder = tempfile::tempdir().unwrap();
    let class = class(folder.path());
    let file = folder.path().join("sheet.pdf");
    let made = run(&["plan", &class, "--out", file.to_str().unwrap()]);
    assert!(made.status.success());
    harmless("printed", &made.stdout);
    let document = lopdf::Document::load(&file).unwrap();
    let said = said_of(&document);
    let titled = |t: &&String| t.starts_with("2026-03-12 Noon \u{fffd}") && t.ends_with(LETTERS);
    assert!(said.iter().any(|t| titled(&t)), "{said:?}");
    for text in &said {
        assert!(!text.contains(steers), "{text:?}");
    }
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    let text = document.extract_text(&pages).unwrap();
    let found: Vec<char> = text.chars().filter(|&c| steers(c) && c != '\n').collect();
    assert!(found.is_empty(), "{found:?}");
    // The letters of other scripts stand in the title; on the page, whose face lacks them, a sign stands for each.
    assert!(text.contains("Noon \u{fffd}"), "{text}");
    let streams = document.objects.values().filter_map(|o| o.as_stream().ok());
    let metadata = streams.filter(|s| {
        let kind = s.dict.get(b"Type").and_then(lopdf::Object::as_name);
        kind.is_ok_and(|name| name == b"Metadata")
    });
    let packets: Vec<String> = metadata
        .map(|s| String::from_utf8(s.get_plain_content().unwrap()).unwrap())
        .collect();
    assert_eq!(packets.len(), 1);
    assert!(packets[0].contains(LETTERS), "{packets:?}");
    roxmltree::Document::parse(&packets[0]).unwrap();
}

#[test]
fn a_nasty_problem_file_is_solved_and_refused_harmlessly() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string("tests/data/problems/tight-006.json").unwrap();
    let mut problem: Value = serde_json::from_str(&text).unwrap();
    problem["title"] = nasty("Noon").into();
    for facet in problem["facets"].as_array_mut().unwrap() {
        facet["name"] = nasty("bar").into();
        for value in facet["values"].as_array_mut().unwrap() {
            *value = nasty(value.as_str().unwrap()).into();
        }
    }
    for posture in problem["postures"]["names"].as_array_mut().unwrap() {
        *posture = nasty(posture.as_str().unwrap()).into();
    }
    for step in problem["steps"].as_array_mut().unwrap() {
        step["id"] = nasty(step["id"].as_str().unwrap()).into();
    }
    let file = folder.path().join(format!("{}.json", nasty("problem")));
    let name = file.to_str().unwrap();
    fs::write(&file, problem.to_string()).unwrap();
    let [out, _] = printed(&["--color", "always", "solve", name]);
    assert!(out.contains("\u{5e9}\u{5dc}\u{5d5}\u{5dd}"), "{out}");
    printed(&["solve", name, "--json"]);
    let [line, _] = printed(&["solve", "--lines", name, "no-such.json"]);
    let first: Value = serde_json::from_str(line.lines().next().unwrap()).unwrap();
    assert!([name, "no-such.json"].contains(&first["file"].as_str().unwrap()));

    problem["steps"][0][nasty("name")] = 1.into();
    problem["weights"][nasty("grace")] = 1.into();
    fs::write(&file, problem.to_string()).unwrap();
    let [_, err] = printed(&["solve", name]);
    assert!(
        err.contains("`name \\u{1b}[35m\\u{1b}]0;mine\\u{7}\\u{9b}35m"),
        "{err}"
    );
    assert!(
        err.contains("\\u{202e}") && err.contains("\\r\\n\\t"),
        "{err}"
    );
    fs::write(&file, format!("{{ \"{STEERING}")).unwrap();
    printed(&["solve", name]);
    fs::write(
        &file,
        format!("NAME: {STEERING}\nTYPE: {STEERING}\n{STEERING}: 3\n"),
    )
    .unwrap();
    printed(&["solve", name]);
}

/// The line of a drawn diagnostic that a caret stands below, from the letter above the first caret on.
fn above_the_caret(drawn: &str) -> String {
    let lines: Vec<&str> = drawn.lines().collect();
    let caret = lines.iter().position(|l| l.contains('^')).unwrap();
    let column = lines[caret].chars().position(|c| c == '^').unwrap();
    // Letters take the columns that a terminal gives them: some take none.
    let mut taken = 0;
    let before = |letter: &char| {
        let before = taken < column;
        taken += letter.width().unwrap_or(0);
        before
    };
    lines[caret - 1].chars().skip_while(before).collect()
}

#[test]
fn carets_stand_below_their_letters_and_file_names_are_spelt() {
    let folder = tempfile::tempdir().unwrap();
    // Characters of one, two and three bytes before the place.
    let before = STEERING.replace(['\r', '\n', '\t'], "");
    for (ending, text) in [
        ("txt", format!("Swan\n{before}{LETTERS} Elephunt\n")),
        (
            "csv",
            format!("movement\nSwan\n{before}{LETTERS} Elephunt\n"),
        ),
    ] {
        let file = folder.path().join(format!("{}.{ending}", nasty("list")));
        fs::write(&file, &text).unwrap();
        let name = file.to_str().unwrap();
        let [_, err] = printed(&["--color", "always", "plan", name]);
        assert!(
            err.contains("--> ") && err.contains("list \\u{1b}[35m"),
            "{err}"
        );
        let [_, plain] = printed(&["--color", "never", "plan", name]);
        assert_eq!(plain, err);
        assert!(above_the_caret(&err).starts_with('\u{fffd}'), "{err}");
    }
    // The place of an unknown key is told by the letters that an editor counts.
    let file = folder.path().join("brief.toml");
    let steering: String = before.chars().filter(|c| !c.is_ascii_control()).collect();
    let line = format!("list = [\"swan {steering}{LETTERS}\", {{ movment = \"swan\" }}]");
    fs::write(&file, format!("{line}\n")).unwrap();
    let [_, err] = printed(&["plan", file.to_str().unwrap()]);
    let key = err.split("\n\n").find(|d| d.contains("`movment`")).unwrap();
    assert!(above_the_caret(key).starts_with("movment"), "{key}");
    let at = line.split("movment").next().unwrap().chars().count() + 1;
    assert!(key.contains(&format!("brief.toml:1:{at}\n")), "{key}");
}

#[test]
fn what_is_refused_is_quoted_harmlessly() {
    let folder = tempfile::tempdir().unwrap();
    let class = class(folder.path());
    let word = nasty("swan");
    let option = format!("--{word}");
    let [sheet, lost, brief, models] = ["a.docx", "no/a.md", "a.toml", "models"].map(|name| {
        let name = format!("{word}{name}");
        folder.path().join(name).to_str().unwrap().to_owned()
    });
    fs::create_dir(&models).unwrap();
    let refused: [&[&str]; 24] = [
        &["show", &word],
        &["list", "--region", &word],
        &["list", "--box", &word],
        &["list", "--caution", &word],
        &["list", "--load", &word],
        &["list", "--models", &models],
        &["list", "-vv", "--models", &models],
        &["files", "--models", &models],
        &["try", &class, "--without", &word],
        &["try", &class, "--with", &word],
        &["try", &class, "--springs", "swan", &word],
        &["plan", &word],
        &["plan", &class, "--apparatus", &word],
        &["plan", &class, "--out", &sheet, "--out", &lost],
        &["guide", &word],
        &["schema", &word],
        &["new", &sheet],
        &["solve", &word],
        // Those that the command line itself refuses.
        &[&word],
        &["plan", &class, &option],
        &["plan", &class, "--seconds", &word],
        &["late", &class, "--from", &word, "--left", "3"],
        &["list", "--color", &word],
        &["completions", &word],
    ];
    for args in refused {
        let made = run(args);
        assert_eq!(made.status.code(), Some(2), "{args:?}: {made:?}");
        let err = harmless(&format!("{args:?}"), &made.stderr);
        assert!(made.stdout.is_empty(), "{args:?}");
        assert!(err.contains("\\u{1b}]0;mine"), "{args:?}: {err}");
        assert!(err.contains("\\u{202e}"), "{args:?}: {err}");
        // A name with the end of a line in it begins no line that could be taken for one of ours.
        assert!(err.contains("\\r\\n"), "{args:?}: {err}");
    }
    let [out, _] = printed(&["new", &brief]);
    assert_eq!(out.lines().count(), 2, "{out}");
    let [_, log] = printed(&["-vv", "plan", &class]);
    assert!(log.contains("search begins"), "{log}");
}
