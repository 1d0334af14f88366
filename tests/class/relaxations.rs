//! Single changes that help: typed into the brief by their own description, line by line, each gives an order with the figures claimed.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use segue::answer::class::{ClassFormat, Text};
use segue::answer::planned::Answer;
use segue::explain::easing::Easing;
use segue::explain::edit::Change;
use segue::search::budget::Limits;
use segue::session::Session;
use segue::session::studio::Studio;

fn answer(text: &str) -> Answer {
    let written = Text::new("class.toml", text, ClassFormat::Brief);
    let session = Session::open(&Studio::built_in(), written, None)
        .unwrap_or_else(|mistakes| panic!("{mistakes:#?}\n{text}"));
    session.plan(&Limits::default(), &mut |_| {})
}

/// The text with a change typed in.
fn typed(text: &str, change: &Change) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = change.line - 1;
    let old: Vec<String> = lines
        .splice(at..at + change.was.len(), change.becomes.clone())
        .collect();
    assert_eq!(old, change.was, "{change:?}");
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    lines.join(end) + end
}

/// Tries every change that is claimed to help, and gives them.
fn tried(text: &str) -> Vec<Easing> {
    let impossible = answer(text);
    assert!(impossible.outcome.plan.is_none() && impossible.outcome.proven());
    let conflict = impossible.conflict.as_ref().unwrap();
    assert!(conflict.minimal && !conflict.demands.is_empty());
    let relaxations = impossible.relaxations.unwrap();
    assert_eq!(relaxations.open, 0);
    for r in &relaxations.found {
        let changed = typed(text, &r.change);
        let again = answer(&changed);
        let best = again
            .best
            .unwrap_or_else(|| panic!("{:?} does not help\n{changed}", r.easing));
        assert!(again.outcome.proven());
        assert_eq!(r.better_by, Some(0.0));
        let seconds = again.compiled.seconds_of(best.score);
        assert!(
            (seconds - r.seconds).abs() < 1e-9,
            "{:?}: {seconds}",
            r.easing
        );
        assert_eq!(
            (best.stops, best.changeover, best.timeline.finish),
            (r.stops, r.changeover, r.finish),
            "{:?}",
            r.easing
        );
    }
    let scores = relaxations.found.windows(2);
    assert!(
        scores.into_iter().all(|w| w[0].seconds <= w[1].seconds),
        "best first"
    );
    relaxations.found.into_iter().map(|r| r.easing).collect()
}

fn without(found: &[Easing], name: &str) -> bool {
    let this = |e: &Easing| matches!(e, Easing::Without { movement } if movement == name);
    found.iter().any(this)
}

fn less(found: &[Easing], key: &str) -> Option<String> {
    found.iter().find_map(|e| match e {
        Easing::Less {
            setting, becomes, ..
        } if *setting == key => Some(becomes.clone()),
        _ => None,
    })
}

fn wishes(found: &[Easing]) -> usize {
    let wish = |e: &&Easing| matches!(e, Easing::Wish { .. });
    found.iter().filter(wish).count()
}

#[test]
fn the_impossible_scenario_is_helped_by_a_wish_a_place_or_a_movement_less() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/cannot-be.toml");
    let found = tried(&std::fs::read_to_string(path).unwrap());
    assert_eq!(wishes(&found), 2);
    assert_eq!(less(&found, "at").as_deref(), Some("2"));
    assert!(without(&found, "Face-down press"), "{found:?}");
}

#[test]
fn too_few_minutes_are_helped_by_the_fewest_that_do() {
    let text = "minutes = 7\nlist = [\"Hundred\", \"Swan x 4\", \"Elephant\", \"Prone press\"]\n";
    let found = tried(text);
    let minutes = found.iter().find_map(|e| match e {
        Easing::Minutes { becomes } => Some(becomes.clone()),
        _ => None,
    });
    let minutes: u32 = minutes.unwrap().parse().unwrap();
    let fewer = text.replace('7', &(minutes - 1).to_string());
    assert!(
        answer(&fewer).best.is_none(),
        "{} minutes do too",
        minutes - 1
    );
    assert!(found.contains(&Easing::Shorter), "{found:?}");
}

#[test]
fn a_rest_that_is_too_long_is_helped_by_the_longest_that_can_be_had() {
    let text = "breathers = 0\nlist = [\"Long stretch x 3\", \"Plank hold\", \"Mermaid, left\"]\n\
                [rules]\nrecovery = { need = \"must\", seconds = 600 }\n";
    let found = tried(text);
    let seconds: u32 = less(&found, "seconds").unwrap().parse().unwrap();
    let longer = text.replace("600", &(seconds + 5).to_string());
    assert!(
        answer(&longer).best.is_none(),
        "{} seconds do too",
        seconds + 5
    );
    assert!(without(&found, "Plank hold"), "{found:?}");
}

#[test]
fn a_back_bend_that_must_be_answered_is_helped_by_a_short_rest() {
    let text = "breathers = 0\nlist = [\"Swan x 4\", \"Prone press\"]\n\
                [rules]\ncounterpose = \"must\"\n";
    let found = tried(text);
    assert!(found.contains(&Easing::Rests { copies: 1 }), "{found:?}");
    assert_eq!(wishes(&found), 1);
}

#[test]
fn springs_of_her_own_are_left_open_where_they_change_too_often() {
    let text = "list = [\n  \"Footwork on the heels\",\n  { movement = \"Scooter\", springs = \"1 leaf\" },\n]\n\
                [[rules.at_most]]\nfacet = \"springs\"\nchanges = 0\n";
    let found = tried(text);
    assert_eq!(less(&found, "changes").as_deref(), Some("1"), "{found:?}");
    assert!(without(&found, "Scooter"), "{found:?}");
    assert_eq!(wishes(&found), 1);
}

#[test]
fn a_time_that_cannot_be_is_helped_by_a_wider_one() {
    let text = "list = [\"Hundred\", \"Elephant\", \"Mermaid, left\"]\n\
                [[rules.pinned]]\nwhat = \"Elephant\"\nminutes = [30, 40]\n";
    let found = tried(text);
    let minutes = less(&found, "minutes").unwrap();
    assert!(minutes.ends_with(", 40]"), "{minutes}");
}

#[test]
fn two_orders_that_cannot_both_be_near_give_way_one_pair_at_a_time() {
    let text = "list = [\"Hundred\", \"Elephant\", \"Scooter, left\"]\n\
                [[rules.before]]\nfirst = \"Hundred\"\nlater = \"Elephant\"\n\
                [[rules.near]]\norder = [\"Elephant\", \"Hundred\", \"Scooter\"]\nleast = 2\nneed = \"must\"\n";
    let found = tried(text);
    assert_eq!(less(&found, "least").as_deref(), Some("1"), "{found:?}");
    assert_eq!(wishes(&found), 2);
}

/// Finds for every text the changes that it finds for the first.
fn all_are_helped_alike(texts: &[&str]) {
    let plain = tried(texts[0]);
    assert!(!plain.is_empty());
    for text in &texts[1..] {
        assert_eq!(tried(text), plain, "{text}");
    }
}

#[test]
fn the_minutes_are_found_whatever_else_looks_like_them() {
    let list = "list = [\"Hundred\", \"Swan x 4\", \"Elephant\", \"Prone press\"]\n";
    let plain = format!("minutes = 7\n{list}");
    let mut texts = vec![
        plain.clone(),
        format!("title = \"minutes = 99\"\n{plain}"),
        format!("title = \"\"\"\nminutes = 99\n[rules]\nfits = \"must\"\n\"\"\"\n{plain}"),
        format!("title = '''\n# \"\nminutes = 99 # '''\n{plain}"),
        format!("{plain}# minutes = 99\n[cost] # [rules]\nstop = 15\n"),
        format!("  \"minutes\" = 7 # not 99, [rules]\n'list'{}", &list[4..]),
    ];
    texts.push(format!("{plain}[rules] # minutes = 99\n"));
    texts.push(format!("rules = {{ }}\n{plain}"));
    texts.push(format!("rules.near = []\n{plain}"));
    texts.push(texts[2].replace('\n', "\r\n"));
    let lines = "minutes = 7\nlist = [\n  \"Hundred\", # minutes = 99,\n  { movement = \"Swan\", repetitions = 4 }\n  # \"Elephant\",\n  , \"Elephant\",\n  \"\"\"Prone press\"\"\"]";
    texts.push(lines.into());
    let rows = ["Hundred", "Swan x 4", "Elephant", "Prone press"];
    let rows = rows.map(|name| format!("[[list]] # minutes = 99\nmovement = \"{name}\"\n"));
    texts.push(format!("minutes = 7\n{}", rows.concat()));
    let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    all_are_helped_alike(&texts);
}

#[test]
fn a_rule_is_eased_however_it_is_written() {
    let class = "breathers = 0\nlist = [\"Long stretch x 3\", \"Plank hold\", \"Mermaid, left\"]\n";
    let texts = [
        "[rules]\nrecovery = { need = \"must\", seconds = 600 }\n",
        "[rules.recovery]\n# need = \"off\"\nneed = \"must\"\nseconds = 600",
        "rules.recovery.need = \"must\" # seconds = 5\nrules.recovery.seconds = 600\n",
        "[rules]\nrecovery.need = \"must\"\nrecovery.seconds = 600\n",
        "rules = { recovery = { seconds = 600, need = 'must' } }\n",
        "rules = { recovery.seconds = 600, \"recovery\".need = \"must\" }\n",
        "[ \"rules\" ]\n'recovery' = {\n  need = \"must\", # seconds = 5,\n  \"seconds\" = 6_00,\n}\n",
    ];
    let texts = texts.map(|rules| format!("{class}{rules}"));
    let crlf = texts[2].replace('\n', "\r\n");
    let mut texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    texts.push(&crlf);
    all_are_helped_alike(&texts);
}

#[test]
fn a_figure_that_is_not_written_is_put_in_beside_what_is() {
    let class = "list = [\"Swan x 4\", \"Prone press\"]\n";
    let texts = [
        "breathers = 0\n[rules]\ncounterpose = \"must\"\n",
        "breathers.copies = 0\nrules.counterpose = \"must\"\n",
        "rules = { counterpose.need = \"must\" }\n[breathers] # copies = 9\ncopies = 0",
        "breathers = { copies = 0 }\n[rules.counterpose]\nneed = \"must\"",
        "breathers = {\"copies\" = 0}\nrules.counterpose.need = \"must\"\n",
    ];
    let texts = texts.map(|rest| format!("{class}{rest}"));
    let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    all_are_helped_alike(&texts);
}
