//! The run sheet as PDF: read back by a parser that shares nothing with what writes it (lopdf), and measured with another reader of the embedded
//! face (ttf-parser). What the writer itself checks of PDF/UA-1 is not repeated here.
#![cfg(feature = "pdf")]
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use lopdf::{Document, Object, ObjectId};
use proptest::prelude::*;
use segue::page::format::Density;
use segue::page::pdf::sketch::{HEIGHT, Ink, MARGIN, Mark, Sketch, WIDTH};
use segue::page::pdf::{lacking, sketch};
use segue::report::section::{Line, Section};
use segue::report::sheet::{Sheet, SheetRow, Transition};

/// Classes that are settled in no time.
const SCENARIOS: [&str; 3] = ["quick-six", "two-series", "tight-rest"];

fn run(args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(args)
        .output()
        .unwrap()
}

fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Writes with these arguments into files of these endings.
fn written(folder: &Path, args: &[&str], endings: &[&str]) -> Vec<String> {
    let files: Vec<String> = (endings.iter())
        .map(|e| {
            folder
                .join(format!("class.{e}"))
                .to_str()
                .unwrap()
                .to_owned()
        })
        .collect();
    let mut all = vec!["-q"];
    all.extend(args);
    for file in &files {
        all.extend(["--out", file]);
    }
    let made = run(&all);
    let said = String::from_utf8_lossy(&made.stderr);
    assert!(made.status.success(), "{args:?}: {said}");
    files
}

fn text_of(document: &Document) -> String {
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    spaced(&document.extract_text(&pages).unwrap())
}

/// The parts of the document: name, how deep below the root, and the object.
fn parts(document: &Document) -> Vec<(String, usize, ObjectId)> {
    fn walk(
        document: &Document,
        at: &Object,
        deep: usize,
        found: &mut Vec<(String, usize, ObjectId)>,
    ) {
        match at {
            Object::Array(all) => {
                for one in all {
                    walk(document, one, deep, found);
                }
            }
            Object::Reference(id) => {
                let Ok(dict) = document.get_dictionary(*id) else {
                    return;
                };
                if let Ok(name) = dict.get(b"S").and_then(Object::as_name) {
                    found.push((String::from_utf8_lossy(name).into_owned(), deep, *id));
                }
                if let Ok(below) = dict.get(b"K") {
                    walk(document, below, deep + 1, found);
                }
            }
            _ => {}
        }
    }
    let root = document.catalog().unwrap().get(b"StructTreeRoot").unwrap();
    let mut found = Vec::new();
    walk(document, root, 0, &mut found);
    found
}

fn tally(document: &Document) -> BTreeMap<String, usize> {
    let mut tally = BTreeMap::new();
    for (name, ..) in parts(document) {
        *tally.entry(name).or_insert(0) += 1;
    }
    tally
}

/// Both were drawn from the same data by renderers that share no code.
#[test]
fn all_that_the_table_says_stands_in_the_document() {
    let mut cells = 0;
    for scenario in SCENARIOS {
        let folder = tempfile::tempdir().unwrap();
        let brief = format!("scenarios/{scenario}.toml");
        let files = written(folder.path(), &["plan", &brief], &["pdf", "csv"]);
        let text = text_of(&Document::load(&files[0]).unwrap());
        let mut table = csv::Reader::from_path(&files[1]).unwrap();
        let header = table.headers().unwrap().clone();
        for row in table.records().map(Result::unwrap) {
            for (name, cell) in header.iter().zip(&row) {
                if ["stop", "round", "side"].contains(&name) {
                    continue;
                }
                for part in cell.split("; ").map(spaced).filter(|p| !p.is_empty()) {
                    cells += 1;
                    assert!(
                        text.contains(&part),
                        "{scenario}: it lacks {name}: {part}\n{text}"
                    );
                }
            }
        }
    }
    assert!(cells > 200, "{cells}");
}

#[test]
fn those_who_listen_hear_headings_rows_and_what_the_picture_shows() {
    let folder = tempfile::tempdir().unwrap();
    let files = written(
        folder.path(),
        &["plan", "scenarios/two-series.toml"],
        &["pdf", "csv"],
    );
    let document = Document::load(&files[0]).unwrap();
    let catalog = document.catalog().unwrap();
    let marked = catalog.get(b"MarkInfo").unwrap();
    let marked = document.dereference(marked).unwrap().1.as_dict().unwrap();
    assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    assert!(catalog.get(b"Outlines").is_ok());
    let rows = csv::Reader::from_path(&files[1])
        .unwrap()
        .into_records()
        .count();
    let tally = tally(&document);
    assert_eq!(tally["H1"], 1);
    assert_eq!(tally["Table"], 1);
    assert!(tally["H2"] >= 4, "{tally:?}");
    assert!(tally["Figure"] >= 1, "{tally:?}");
    // The head and the end have a row each, and so has what is said between two.
    assert!(
        (rows + 2..=2 * rows + 3).contains(&tally["TR"]),
        "{tally:?}"
    );
    let list = parts(&document);
    let mut cells = 0;
    for (k, (name, deep, id)) in list.iter().enumerate() {
        let dict = document.get_dictionary(*id).unwrap();
        match name.as_str() {
            "TR" => {
                let below = list[k + 1..].iter().take_while(|(_, d, _)| d > deep);
                let cells: i64 = below
                    .filter(|(name, d, _)| *d == deep + 1 && ["TH", "TD"].contains(&name.as_str()))
                    .map(|(_, _, id)| {
                        attribute(&document, *id, b"ColSpan").map_or(1, |c| c.as_i64().unwrap())
                    })
                    .sum();
                assert_eq!(cells, 3, "a row of three columns");
            }
            "TH" => {
                cells += 1;
                assert!(attribute(&document, *id, b"Scope").is_some());
            }
            "Figure" => {
                let says = dict.get(b"Alt").unwrap().as_str().unwrap();
                assert!(says.len() > 40);
            }
            _ => {}
        }
    }
    // Three columns, and the clock of each row and of the end.
    assert_eq!(cells, 3 + rows + 1);
}

/// An attribute of a part, however its attributes are held.
fn attribute(document: &Document, id: ObjectId, name: &[u8]) -> Option<Object> {
    let all = document.get_dictionary(id).unwrap().get(b"A").ok()?;
    let (_, all) = document.dereference(all).unwrap();
    let all = match all {
        Object::Array(all) => all.clone(),
        one => vec![one.clone()],
    };
    all.iter()
        .filter_map(|one| document.dereference(one).ok()?.1.as_dict().ok())
        .find_map(|dict| dict.get(name).ok().cloned())
}

#[test]
fn a_glance_of_the_packed_class_is_one_page() {
    let folder = tempfile::tempdir().unwrap();
    let file = written(
        folder.path(),
        &["plan", "scenarios/packed-noon.toml", "--glance"],
        &["pdf"],
    );
    let document = Document::load(&file[0]).unwrap();
    assert_eq!(document.get_pages().len(), 1);
    assert!(text_of(&document).contains("End"));
}

#[test]
fn several_classes_have_contents_that_lead_to_each() {
    let folder = tempfile::tempdir().unwrap();
    let file = written(
        folder.path(),
        &["vary", "scenarios/two-series.toml", "--count", "2"],
        &["pdf"],
    );
    let document = Document::load(&file[0]).unwrap();
    let tally = tally(&document);
    assert_eq!(tally["TOCI"], 3, "the classes side by side, and both");
    assert_eq!(tally["Link"], 3);
    assert_eq!(tally["H1"], 1);
    let pages = document.get_pages();
    let first = document.get_dictionary(pages[&1]).unwrap();
    let (_, links) = document.dereference(first.get(b"Annots").unwrap()).unwrap();
    assert_eq!(links.as_array().unwrap().len(), 3);
    for link in links.as_array().unwrap() {
        let (_, link) = document.dereference(link).unwrap();
        let (_, place) = document
            .dereference(link.as_dict().unwrap().get(b"Dest").unwrap())
            .unwrap();
        let page = place.as_array().unwrap()[0].as_reference().unwrap();
        assert!(pages.values().any(|p| *p == page) && page != pages[&1]);
    }
}

/// The box of a mark on its page: left, top, right, bottom. Widths are those of the embedded file by another reader of it.
fn room(mark: &Mark, faces: &[ttf_parser::Face<'_>; 2]) -> [f64; 4] {
    let at = |w: f64, h: f64| [mark.x, mark.y, mark.x + w, mark.y + h];
    match &mark.ink {
        Ink::Box { w, h, .. } | Ink::Leads { w, h, .. } => at(*w, *h),
        Ink::Line { dx, dy } => {
            let (a, b) = (mark.x + dx, mark.y + dy);
            [mark.x.min(a), mark.y.min(b), mark.x.max(a), mark.y.max(b)]
        }
        Ink::Words {
            text,
            size,
            weight,
            turned,
            pitch,
            ..
        } => {
            let face = &faces[*weight as usize];
            let unit = f64::from(face.units_per_em());
            let wide = |c: char| {
                let shape = face
                    .glyph_index(c)
                    .or(face.glyph_index('\u{fffd}'))
                    .unwrap();
                pitch.unwrap_or(f64::from(face.glyph_hor_advance(shape).unwrap()) / unit)
            };
            let along: f64 = text.trim_end().chars().map(wide).sum::<f64>() * size;
            // Letters with two accents above are taller; lines are far enough apart for those.
            let (up, down) = (size * 0.8, size * 0.25);
            if *turned {
                [mark.x - up, mark.y - along, mark.x + down, mark.y]
            } else {
                [mark.x, mark.y - up, mark.x + along, mark.y + down]
            }
        }
    }
}

/// Everything is inside its page, and no words are over others.
fn sound(drawn: &Sketch) {
    let files = [
        include_bytes!("../../src/page/faces/NotoSans-Regular.ttf").as_slice(),
        include_bytes!("../../src/page/faces/NotoSans-Bold.ttf").as_slice(),
    ];
    let faces = files.map(|f| ttf_parser::Face::parse(f, 0).unwrap());
    for marks in &drawn.pages {
        let mut words: Vec<(&Mark, [f64; 4])> = Vec::new();
        for mark in marks {
            let [left, top, right, bottom] = room(mark, &faces);
            let edge = MARGIN - 0.5;
            assert!(
                left >= edge
                    && right <= WIDTH - edge
                    && top >= edge - 12.0
                    && bottom <= HEIGHT - edge + 12.0,
                "{mark:?} leaves the page: {left} {top} {right} {bottom}"
            );
            if matches!(mark.ink, Ink::Words { .. }) {
                words.push((mark, [left, top, right, bottom]));
            }
        }
        for (k, (one, a)) in words.iter().enumerate() {
            for (other, b) in &words[k + 1..] {
                let across = a[2].min(b[2]) - a[0].max(b[0]);
                let along = a[3].min(b[3]) - a[1].max(b[1]);
                assert!(across <= 0.01 || along <= 0.01, "{one:?} over {other:?}");
            }
        }
    }
}

/// Words as a teacher may write them, and as nobody does.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[a-zäéß ]{0,60}",
        1 => "[A-Za-z]{80,160}",
        1 => "\\PC{0,40}",
        1 => Just(String::new()),
    ]
}

fn row() -> impl Strategy<Value = SheetRow> {
    let texts = || proptest::collection::vec(words(), 0..6);
    (words(), words(), texts(), texts(), any::<bool>(), texts()).prop_map(
        |(name, springs, cues, teaching, stop, layers)| SheetRow {
            before: Transition {
                stop,
                time: if cues.is_empty() {
                    String::new()
                } else {
                    "12 s".into()
                },
                machine: cues.clone(),
                cues,
            },
            clock: "12:34".into(),
            place: 7,
            name,
            springs,
            marks: teaching.clone(),
            teaching,
            options: layers.clone(),
            layers,
            ..SheetRow::default()
        },
    )
}

fn class() -> impl Strategy<Value = Sheet> {
    let lines = || proptest::collection::vec(words(), 1..60);
    (
        words(),
        proptest::collection::vec(row(), 0..40),
        lines(),
        lines(),
    )
        .prop_map(|(title, rows, before, after)| Sheet {
            title,
            subtitle: "Ten people".into(),
            before: vec![Section {
                heading: "Before".into(),
                lines: before.into_iter().map(Line::plain).collect(),
            }],
            rows,
            reset: Some(Transition::default()),
            end: "45:00".into(),
            after: vec![Section {
                heading: "After".into(),
                lines: after.into_iter().map(Line::laid_out).collect(),
            }],
            ..Sheet::default()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn whatever_is_written_stays_on_its_page_and_nothing_is_lost(one in class(), other in class()) {
        for density in [Density::Full, Density::Glance] {
            let drawn = sketch("Both", &[(&one, None), (&other, None)], density).unwrap();
            sound(&drawn);
            let letters = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).count();
            let drawn_letters: usize = drawn.pages.iter().flatten().map(|m| match &m.ink {
                Ink::Words { text, .. } => letters(text),
                _ => 0,
            }).sum();
            let rows = one.rows.iter().chain(&other.rows);
            let written: usize = rows.map(|r| {
                letters(&r.name) + letters(&r.springs) + r.teaching.iter().map(|t| letters(t)).sum::<usize>()
            }).sum();
            prop_assert!(drawn_letters >= written, "{} of {}", drawn_letters, written);
        }
    }
}

#[test]
fn a_row_that_is_taller_than_a_page_is_cut_between_lines() {
    let sheet = Sheet {
        title: "Long".into(),
        rows: vec![SheetRow {
            name: "Talk".into(),
            teaching: (0..900).map(|k| format!("say the {k}th thing.")).collect(),
            ..SheetRow::default()
        }],
        end: "9:00".into(),
        ..Sheet::default()
    };
    let drawn = sketch("Long", &[(&sheet, None)], Density::Full).unwrap();
    assert!(drawn.pages.len() > 2);
    sound(&drawn);
    // What belongs to no part is the head of the table, again on each page.
    let text: String = (drawn.pages.iter().flatten())
        .filter(|m| m.part.is_some())
        .filter_map(|m| match &m.ink {
            Ink::Words { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    for k in 0..900 {
        assert!(text.contains(&format!("say the {k}th")), "{k}");
    }
}

#[test]
fn letters_that_the_face_lacks_are_named_and_stay_what_they_are() {
    let sheet = Sheet {
        title: "Swan \u{767d}".into(),
        ..Sheet::default()
    };
    let drawn = sketch("", &[(&sheet, None)], Density::Full).unwrap();
    assert_eq!(lacking(&drawn).unwrap(), ['\u{767d}']);
    let file = segue::page::pdf::file(&drawn).unwrap();
    let read = Document::load_mem(&file).unwrap();
    assert!(text_of(&read).contains("Swan \u{767d}"));
}
