//! The picture of a class: well-formed, everything inside it, no two texts over one another, whatever the class.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use askama::Template;
use proptest::prelude::*;
use segue::answer::class::{ClassFormat, Text};
use segue::page::letters::width;
use segue::page::picture::{Picture, WIDTH, parts, picture};
use segue::report::timeline::{Stretch, Timeline, timeline};
use segue::search::budget::Limits;
use segue::session::Session;
use segue::session::studio::Studio;

/// Boxes of texts meet only from here on: they are measured too large.
const TOUCH: f64 = 0.01;

/// Checks what every picture promises.
fn sound(drawn: &Picture) {
    let rooms: Vec<[f64; 4]> = drawn.texts.iter().map(|t| t.room()).collect();
    for (text, [left, top, right, bottom]) in drawn.texts.iter().zip(&rooms) {
        assert!(
            *left >= 0.0 && *top >= 0.0 && *right <= WIDTH && *bottom <= drawn.height,
            "{text:?} leaves the picture: {left} {top} {right} {bottom} of {}",
            drawn.height
        );
    }
    for (k, a) in rooms.iter().enumerate() {
        for (l, b) in rooms.iter().enumerate().skip(k + 1) {
            let across = a[2].min(b[2]) - a[0].max(b[0]);
            let along = a[3].min(b[3]) - a[1].max(b[1]);
            assert!(
                across <= TOUCH || along <= TOUCH,
                "{:?} over {:?}",
                drawn.texts[k],
                drawn.texts[l]
            );
        }
    }
    for b in &drawn.boxes {
        let inside =
            b.x >= 0.0 && b.y >= 0.0 && b.x + b.w <= WIDTH + TOUCH && b.y + b.h <= drawn.height;
        assert!(inside && b.w >= 0.0 && b.h >= 0.0, "{b:?}");
    }
    // Source: an XML reader that shares nothing with the template.
    let svg = drawn.render().unwrap();
    let read = roxmltree::Document::parse(&svg).unwrap();
    let root = read.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let words: Vec<&str> = (read.descendants())
        .filter(|n| n.has_tag_name("text"))
        .map(|n| n.text().unwrap_or(""))
        .collect();
    let written: Vec<&str> = drawn.texts.iter().map(|t| t.words.as_str()).collect();
    assert_eq!(words, written);
    let named = root.attribute("aria-labelledby").unwrap();
    for id in named.split(' ') {
        assert!(
            read.descendants().any(|n| n.attribute("id") == Some(id)),
            "{id}"
        );
    }
    assert!(!svg.contains("style="));
}

#[test]
fn every_scenario_has_a_sound_picture_that_says_all_its_steps() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut drawn = 0;
    let studio = Studio::built_in();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let format = match path.extension().and_then(|e| e.to_str()) {
            Some("toml") => ClassFormat::Brief,
            Some("txt") => ClassFormat::List,
            Some(_) | None => continue,
        };
        let text = std::fs::read_to_string(&path).unwrap();
        let text = Text::new(&path.display().to_string(), &text, format);
        let Ok(session) = Session::open(&studio, text, None) else {
            continue;
        };
        let limits = Limits {
            nodes: Some(300_000),
            ..Limits::default()
        };
        let answer = session.plan(&limits, &mut |_| {});
        let Some(best) = &answer.best else {
            continue;
        };
        let strip = timeline(&answer.brief, &answer.compiled, best);
        let made = picture(&strip);
        sound(&made);
        let all: String = made.texts.iter().map(|t| format!("{} ", t.words)).collect();
        for stretch in &strip.stretches {
            let first = stretch.name.split(' ').next().unwrap();
            assert!(all.contains(first), "{}", stretch.name);
        }
        drawn += 1;
    }
    assert!(drawn >= 7, "{drawn} scenarios were drawn");
}

fn words() -> impl Strategy<Value = String> {
    "[A-Za-zäéß&<>\" ,-]{1,70}".prop_map(|s| format!("a{s}"))
}

fn made_up(steps: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Timeline> {
    let lanes = proptest::collection::vec("[a-z ]{3,12}", 0..9);
    (lanes, steps, words(), words()).prop_flat_map(|(lanes, n, title, about)| {
        let set_to = proptest::collection::vec(0..3usize, lanes.len());
        let stretch = (
            words(),
            words(),
            any::<bool>(),
            proptest::collection::vec(words(), 0..4),
            0.0..14.0,
            set_to,
        );
        proptest::collection::vec(stretch, n).prop_map(move |rows| Timeline {
            title: title.clone(),
            about: about.clone(),
            says: "Some steps in some minutes.".into(),
            lanes: lanes.clone(),
            stretches: (rows.into_iter().enumerate())
                .map(
                    |(k, (name, amount, stop, changes, effort, set_to))| Stretch {
                        clock: format!("{}:07", k * 3),
                        name: format!("{} {name}", k + 1),
                        amount,
                        stop,
                        time: if stop { "12 s".into() } else { String::new() },
                        changes,
                        set_to: set_to.iter().map(|v| format!("value {v}")).collect(),
                        effort,
                        held: k % 3 == 1,
                    },
                )
                .collect(),
            end: "88:88".into(),
            unmet: vec![about.clone()],
            tight: vec![about.clone(), String::new()],
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_made_up_class_of_a_few_steps_is_drawn_soundly(strip in made_up(0..=6)) {
        sound(&picture(&strip));
    }

    #[test]
    fn a_made_up_class_of_sixty_steps_is_drawn_soundly(strip in made_up(60..=60)) {
        sound(&picture(&strip));
    }

    #[test]
    fn parts_of_a_picture_are_sound_and_hold_every_row_once(strip in made_up(0..=40), tall in 300.0..900.0) {
        let drawn = parts(&strip, WIDTH, tall);
        drawn.iter().for_each(sound);
        let words: Vec<&str> = drawn.iter().flat_map(|p| &p.texts).map(|t| t.words.as_str()).collect();
        for stretch in &strip.stretches {
            prop_assert_eq!(words.iter().filter(|w| **w == stretch.clock).count(), 1);
        }
        prop_assert_eq!(words.iter().filter(|w| **w == "88:88 End").count(), usize::from(!drawn.is_empty()));
    }
}

/// Source: the advance widths of DejaVu Sans 2.37, plain and bold, in parts of 2048, as its `hmtx` tables have them for the characters from space to tilde.
#[test]
fn letters_are_measured_no_narrower_than_they_are() {
    let plain = [
        651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716, 651, 739, 651, 690, 1303,
        1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 690, 690, 1716, 1716, 1716, 1087,
        2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587, 1540, 604, 604, 1343, 1141, 1767, 1532,
        1612, 1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799, 690, 799,
        1716, 1024, 1024, 1255, 1300, 1126, 1300, 1260, 721, 1300, 1298, 569, 569, 1186, 569, 1995,
        1298, 1253, 1300, 1300, 842, 1067, 803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690,
        1303, 1716,
    ];
    let bold = [
        713, 934, 1067, 1716, 1425, 2052, 1786, 627, 936, 936, 1071, 1716, 778, 850, 778, 748,
        1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 819, 819, 1716, 1716, 1716,
        1188, 2048, 1585, 1561, 1503, 1700, 1399, 1399, 1681, 1714, 762, 762, 1587, 1305, 2038,
        1714, 1741, 1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936, 748,
        936, 1716, 1024, 1024, 1382, 1466, 1214, 1466, 1389, 891, 1466, 1458, 702, 702, 1362, 702,
        2134, 1458, 1407, 1466, 1466, 1010, 1219, 979, 1458, 1335, 1892, 1321, 1335, 1192, 1458,
        748, 1458, 1716,
    ];
    for (k, (plain, bold)) in plain.iter().zip(&bold).enumerate() {
        let letter = char::from(b' ' + u8::try_from(k).unwrap()).to_string();
        assert!(
            width(&letter, 2048.0, false) >= f64::from(*plain),
            "{letter}"
        );
        assert!(width(&letter, 2048.0, true) >= f64::from(*bold), "{letter}");
    }
}

/// The class in a brief, planned.
fn planned(text: &str) -> Timeline {
    let text = Text::new("class.toml", text, ClassFormat::Brief);
    let session = Session::open(&Studio::built_in(), text, None).unwrap();
    let answer = session.plan(&Limits::default(), &mut |_| {});
    timeline(&answer.brief, &answer.compiled, &answer.best.unwrap())
}

#[test]
fn a_rule_that_keeps_two_neighbours_is_marked_and_named_and_without_it_nothing_is() {
    let list = "breathers = 0\nlist = [\"Elephant\", \"Hundred\"]\n";
    let [other, rule] = [
        "[[rules.before]]\nfirst = \"Elephant\"\nlater = \"Hundred\"\n",
        "[[rules.before]]\nfirst = \"Hundred\"\nlater = \"Elephant\"\n",
    ]
    .map(|rule| planned(&format!("{list}{rule}")));
    for kept in [&rule, &other] {
        assert!(kept.stretches[1].held && !kept.stretches[0].held);
        let named = "One before the other: 1 and 2";
        assert!(kept.tight.iter().any(|t| t == named), "{:?}", kept.tight);
    }
    assert_ne!(rule.stretches[0].name, other.stretches[0].name);
    let free = planned(list);
    assert!(
        !free.tight.iter().any(|t| t.starts_with("One before")),
        "{:?}",
        free.tight
    );
    let drawn = picture(&rule);
    assert!(drawn.texts.iter().any(|t| t.words.starts_with("Tight:")));
}
