//! Run sheets as files: what they say, read back by parsers that share nothing with the renderers, and what is refused.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use scraper::{Html, Selector};

/// Classes that are settled in no time.
const SCENARIOS: [&str; 3] = ["quick-six", "two-series", "tight-rest"];
/// The text forms; JSON is held by the tests of `--json`.
const FORMS: [&str; 5] = ["html", "md", "csv", "ics", "svg"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(root())
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .args(args)
        .output()
        .unwrap()
}

/// Writes a class in some forms into a folder; gives the files.
fn written(brief: &str, folder: &Path, forms: &[&str], more: &[&str]) -> Vec<PathBuf> {
    let files: Vec<PathBuf> = forms
        .iter()
        .map(|f| folder.join(format!("class.{f}")))
        .collect();
    let mut args = vec!["-q", "plan", brief];
    for file in &files {
        args.extend(["--out", file.to_str().unwrap()]);
    }
    args.extend(more);
    let made = run(&args);
    let said = String::from_utf8_lossy(&made.stderr);
    assert!(made.status.success(), "{brief}: {said}");
    files
}

/// A class with a date and a title, as a brief in a folder.
fn dated(folder: &Path, title: &str, date: &str) -> String {
    let text = fs::read_to_string(root().join("scenarios/quick-six.toml")).unwrap();
    let rest: Vec<&str> = text
        .lines()
        .filter(|l| !l.starts_with("title") && !l.starts_with("date"))
        .collect();
    let brief = folder.join("class.toml");
    let text = format!("title = '{title}'\ndate = {date}\n{}\n", rest.join("\n"));
    fs::write(&brief, text).unwrap();
    brief.to_str().unwrap().to_owned()
}

fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn text_of(page: &Html) -> String {
    spaced(&page.root_element().text().collect::<Vec<_>>().join(" "))
}

/// A text without the line that says when an entry of a calendar was made, which is another each time.
fn unstamped(text: &[u8]) -> String {
    let text = std::str::from_utf8(text).unwrap();
    text.split_inclusive('\n')
        .filter(|line| !line.starts_with("DTSTAMP"))
        .collect()
}

#[test]
fn the_text_forms_read_as_before() {
    let mut wrong = Vec::new();
    for more in [&[][..], &["--glance"]] {
        let folder = tempfile::tempdir().unwrap();
        let brief = dated(folder.path(), "Six at noon", "2026-03-12T12:30:00");
        let density = if more.is_empty() { "full" } else { "glance" };
        for file in written(&brief, folder.path(), &FORMS, more) {
            let text = unstamped(&fs::read(&file).unwrap());
            let ending = file.extension().unwrap().to_str().unwrap();
            let golden = root().join(format!("tests/golden/paper/{density}.{ending}"));
            if std::env::var_os("SEGUE_BLESS").is_some() {
                fs::create_dir_all(golden.parent().unwrap()).unwrap();
                fs::write(&golden, &text).unwrap();
            } else if fs::read_to_string(&golden).unwrap_or_default() != text {
                wrong.push(golden);
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "changed; if they should, run with SEGUE_BLESS=1 and read the difference: {wrong:?}"
    );
}

/// The page is read by an HTML5 parser (html5ever through scraper), the table by an RFC 4180 reader; both were drawn from the same data
/// by renderers that share no code.
#[test]
fn a_program_that_embeds_segue_gets_the_same_files_as_the_command_line() {
    use segue::{ClassFormat, Density, FileFormat, Limits, Session, Studio, Text};
    let folder = tempfile::tempdir().unwrap();
    let brief = dated(folder.path(), "Six", "2026-03-12T12:30:00");
    let text = Text::new(
        &brief,
        &fs::read_to_string(&brief).unwrap(),
        ClassFormat::Brief,
    );
    let session = Session::open(&Studio::built_in(), text, None).unwrap();
    let answer = session.plan(&Limits::default(), &mut |_| {});
    for (more, density) in [(None, Density::Full), (Some("--glance"), Density::Glance)] {
        let more = ["--force"].into_iter().chain(more).collect::<Vec<_>>();
        for file in written(&brief, folder.path(), &FORMS, &more) {
            let format = FileFormat::of(&file).unwrap();
            let drawn = segue::render_answer(&answer, format, density).unwrap();
            let (drawn, there) = (
                unstamped(&drawn.bytes),
                unstamped(&fs::read(&file).unwrap()),
            );
            assert!(drawn == there, "{}, {more:?}", file.display());
        }
    }
}

#[test]
fn all_that_the_table_says_stands_on_the_page() {
    let mut cells = 0;
    for scenario in SCENARIOS {
        let folder = tempfile::tempdir().unwrap();
        let brief = format!("scenarios/{scenario}.toml");
        let files = written(&brief, folder.path(), &["html", "csv", "md"], &[]);
        let page = Html::parse_document(&fs::read_to_string(&files[0]).unwrap());
        let text = text_of(&page);
        let markdown = spaced(&fs::read_to_string(&files[2]).unwrap().replace('\\', ""));
        let mut table = csv::Reader::from_path(&files[1]).unwrap();
        let header = table.headers().unwrap().clone();
        let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
        let shown = page.select(&Selector::parse("tr.do").unwrap()).count();
        assert_eq!(
            shown,
            rows.len() + 1,
            "{scenario}: one row a step, and the end"
        );
        for row in &rows {
            for (name, cell) in header.iter().zip(row) {
                if ["stop", "round", "side"].contains(&name) {
                    continue;
                }
                for part in cell.split("; ").map(spaced).filter(|p| !p.is_empty()) {
                    cells += 1;
                    assert!(
                        text.contains(&part),
                        "{scenario}: page lacks {name}: {part}"
                    );
                    assert!(
                        markdown.contains(&part),
                        "{scenario}: Markdown lacks {name}: {part}"
                    );
                }
            }
        }
        let stops = rows.iter().filter(|r| &r[10] == "yes").count();
        let drawn = page
            .select(&Selector::parse("tbody.halt strong.stop").unwrap())
            .count();
        assert_eq!(stops, drawn, "{scenario}: each stop is a word on the page");
    }
    assert!(cells > 100, "{cells}");
}

#[test]
fn a_page_needs_nothing_but_itself_and_takes_no_text_for_marks() {
    let folder = tempfile::tempdir().unwrap();
    let title = "<script>alert(1)</script> & <b>\"high\"</b>";
    let brief = dated(folder.path(), title, "2026-03-12");
    let files = written(&brief, folder.path(), &["html", "md"], &[]);
    let page = Html::parse_document(&fs::read_to_string(&files[0]).unwrap());
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let all = |what: &str| page.select(&Selector::parse(what).unwrap()).count();
    assert_eq!(
        all("script, link, img, iframe, object, b, [src], [onload]"),
        0
    );
    assert_eq!(all("h1"), 1);
    let heading = Selector::parse("h1").unwrap();
    let shown: String = page.select(&heading).next().unwrap().text().collect();
    assert_eq!(shown, title);
    let name = Selector::parse("title").unwrap();
    let shown: String = page.select(&name).next().unwrap().text().collect();
    assert_eq!(shown, format!("2026-03-12 {title}"));
    let markdown = fs::read_to_string(&files[1]).unwrap();
    let bare = |(at, _): (usize, &str)| !markdown[..at].ends_with('\\');
    assert!(markdown.matches('<').count() >= 4);
    assert!(!markdown.match_indices('<').any(bare), "{markdown}");
}

/// Read back by the parser of the `ical` crate, which shares nothing with the writer.
#[test]
fn a_calendar_holds_the_day_the_time_and_the_whole_sheet() {
    let folder = tempfile::tempdir().unwrap();
    for (date, start) in [
        ("2026-03-12", "20260312"),
        ("2026-03-12T12:30:00", "20260312T123000"),
        ("'2026-03-12 12:30'", "20260312T123000"),
    ] {
        let brief = dated(folder.path(), "Six, at noon; x", date);
        let file = &written(&brief, folder.path(), &["ics"], &["--force"])[0];
        let text = fs::read_to_string(file).unwrap();
        assert!(text.lines().all(|l| l.len() <= 75), "RFC 5545, section 3.1");
        let mut read = ical::IcalParser::new(text.as_bytes());
        let calendar = read.next().unwrap().unwrap();
        assert!(read.next().is_none());
        assert_eq!(calendar.events.len(), 1);
        let value = |name: &str| {
            let all = &calendar.events[0].properties;
            let found = all.iter().find(|p| p.name == name);
            found.and_then(|p| p.value.clone()).unwrap_or_default()
        };
        assert_eq!(value("DTSTART"), start);
        assert!(!value("DTSTAMP").is_empty());
        assert_eq!(value("SUMMARY").replace('\\', ""), "Six, at noon; x");
        let sheet = value("DESCRIPTION").replace("\\n", "\n").replace('\\', "");
        assert!(sheet.contains("Set the machines"), "{sheet}");
        assert!(sheet.contains("Mermaid"), "{sheet}");
    }
}

#[test]
fn all_refusals_come_at_once_and_before_anything_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(at("old.md"), "mine").unwrap();
    let (old, odd, lost, new) = (at("old.md"), at("a.docx"), at("no/b.csv"), at("new.csv"));
    let brief = "scenarios/quick-six.toml";
    let args = [
        "plan", brief, "--out", &old, "--out", &odd, "--out", &lost, "--out", &new,
    ];
    let made = run(&args);
    assert_eq!(made.status.code(), Some(2));
    let said = String::from_utf8(made.stderr).unwrap();
    for part in [
        "old.md already exists",
        "--force",
        "a.docx",
        ".html",
        "no folder",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(made.stdout.is_empty());
    assert_eq!(fs::read_to_string(&old).unwrap(), "mine");
    assert!(!Path::new(&new).exists());
    let made = run(&["plan", brief, "--out", &old, "--force"]);
    assert_eq!(made.status.code(), Some(0));
    assert!(fs::read_to_string(&old).unwrap().starts_with("# "));
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "no file is left beside it: {left:?}");
}

#[test]
fn a_calendar_without_a_day_is_refused_with_the_line_to_write() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.txt");
    fs::write(&list, "Hundred\nMermaid\n").unwrap();
    let file = folder.path().join("a.ics");
    let made = run(&[
        "plan",
        list.to_str().unwrap(),
        "--out",
        file.to_str().unwrap(),
    ]);
    assert_eq!(made.status.code(), Some(2));
    let said = String::from_utf8(made.stderr).unwrap();
    assert!(said.contains("date = "), "{said}");
    assert!(!file.exists());
}

#[test]
fn a_class_without_an_order_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.html");
    let brief = "scenarios/cannot-be.toml";
    let made = run(&["plan", brief, "--out", file.to_str().unwrap()]);
    assert_eq!(made.status.code(), Some(1));
    assert!(!file.exists());
}

#[test]
fn a_week_is_one_document_with_contents_and_a_form_for_one_class_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("week.html");
    let text = folder.path().join("week.md");
    let names = [&page, &text].map(|f| f.to_str().expect("a name"));
    let made = run(&[
        "vary",
        "scenarios/quick-six.toml",
        "--count",
        "2",
        "--out",
        names[0],
        "--out",
        names[1],
    ]);
    assert_eq!(made.status.code(), Some(0), "{made:?}");
    let html = Html::parse_document(&std::fs::read_to_string(&page).expect("a page"));
    let all = |what: &str| -> Vec<String> {
        let found = Selector::parse(what).expect("a selector");
        html.select(&found)
            .map(|e| spaced(&e.text().collect::<String>()))
            .collect()
    };
    let titles = [
        "The classes side by side",
        "Quick six, class 1 of 2",
        "Quick six, class 2 of 2",
    ];
    assert_eq!(all("nav a"), titles);
    assert_eq!(all("article h2.title"), titles);
    assert_eq!(all("h1"), ["Quick six"]);
    let targets = Selector::parse("nav a").expect("a selector");
    for link in html.select(&targets) {
        let id = link
            .attr("href")
            .and_then(|h| h.strip_prefix('#'))
            .expect("a place");
        let place = Selector::parse(&format!("article[id={id}]")).expect("a selector");
        assert_eq!(html.select(&place).count(), 1, "{id}");
    }
    let marked = std::fs::read_to_string(&text).expect("a text");
    assert_eq!(marked.lines().filter(|l| l.starts_with("# ")).count(), 3);
    let table = folder.path().join("week.csv");
    let made = run(&[
        "vary",
        "scenarios/quick-six.toml",
        "--out",
        table.to_str().expect("a name"),
    ]);
    assert_eq!(made.status.code(), Some(2));
    assert!(!table.exists());
    let said = String::from_utf8(made.stderr).expect("text");
    assert!(said.contains("holds one class"), "{said}");
}

#[test]
fn several_classes_are_planned_into_one_document_and_one_without_an_order_is_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let [page, plans] = ["week.html", "week.json"].map(|f| folder.path().join(f));
    let [page, plans] = [&page, &plans].map(|f| f.to_str().unwrap());
    let [six, two, none] =
        ["quick-six", "two-series", "cannot-be"].map(|s| format!("scenarios/{s}.toml"));
    let made = run(&["plan", &six, &none, &two, "--out", page, "--out", plans]);
    assert_eq!(made.status.code(), Some(1));
    let said = String::from_utf8_lossy(&made.stderr);
    assert!(said.contains("1 of 3 classes have no order"), "{said}");
    let page = Html::parse_document(&fs::read_to_string(page).unwrap());
    let headings: Vec<String> = (page.select(&Selector::parse("article > header h2").unwrap()))
        .map(|h| spaced(&h.text().collect::<String>()))
        .collect();
    assert_eq!(headings, ["Quick six", "Two series"]);
    let plans: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(plans).unwrap()).unwrap();
    let titles: Vec<&str> = plans
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["title"].as_str().unwrap())
        .collect();
    assert_eq!(titles, ["Quick six", "Cannot be", "Two series"]);
    let table = folder.path().join("week.csv");
    let refused = run(&["plan", &six, &two, "--out", table.to_str().unwrap()]);
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr);
    #[cfg(feature = "pdf")]
    assert!(said.contains(".html, .pdf, .md or .json"), "{said}");
    assert!(said.contains("this form holds one class"), "{said}");
    // Mistakes of all classes are told at once, before any is planned.
    let [a, b] = ["a.txt", "b.txt"].map(|f| folder.path().join(f));
    fs::write(&a, "Swam\n").unwrap();
    fs::write(&b, "Elephunt\n").unwrap();
    let refused = run(&["plan", a.to_str().unwrap(), &six, b.to_str().unwrap()]);
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr);
    assert!(
        said.contains("`Swam`") && said.contains("`Elephunt`"),
        "{said}"
    );
    assert!(refused.stdout.is_empty());
}

#[test]
fn the_rest_of_a_class_goes_into_a_file_too() {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("rest.html");
    let late = [
        "late",
        "scenarios/two-series.toml",
        "--from",
        "11",
        "--left",
        "6",
    ];
    let with = |file: &Path| {
        let mut args = late.to_vec();
        args.extend(["--out", file.to_str().unwrap()]);
        run(&args)
    };
    let made = with(&page);
    assert!(made.status.success(), "{made:?}");
    let printed = String::from_utf8_lossy(&run(&late).stdout).into_owned();
    let text = text_of(&Html::parse_document(&fs::read_to_string(&page).unwrap()));
    // Each row of the sheet as it is printed begins with its clock and place.
    let rows = printed
        .lines()
        .filter_map(|l| l.split_once("  ").map(|(_, r)| r.trim()));
    let names: Vec<String> = rows
        .filter(|r| {
            r.split(' ')
                .next()
                .is_some_and(|n| n.parse::<u32>().is_ok())
        })
        .map(|r| spaced(r.split("  ").next().unwrap()))
        .collect();
    assert!(names.len() > 3, "{printed}");
    for name in names {
        assert!(text.contains(&name), "{name}: {text}");
    }
    let picture = folder.path().join("rest.svg");
    assert_eq!(with(&picture).status.code(), Some(2));
    assert!(!picture.exists());
}

#[test]
fn a_class_is_not_written_over_even_where_files_may_be() {
    let folder = tempfile::tempdir().unwrap();
    let class = folder.path().join("class.csv");
    let text = "movement,repetitions\nSwan,4\nElephant,6\n";
    fs::write(&class, text).unwrap();
    let class = class.to_str().unwrap();
    let made = run(&["plan", class, "--out", class, "--force"]);
    assert_eq!(made.status.code(), Some(2));
    let said = String::from_utf8_lossy(&made.stderr);
    assert!(said.contains("is the class itself"), "{said}");
    assert_eq!(fs::read_to_string(class).unwrap(), text);
}
