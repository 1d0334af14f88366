//! What cannot hold together and which single change would help, in words.

use super::section::{Line, Section, Tone, push};
use crate::compile::Compiled;
use crate::explain::conflict::Conflict;
use crate::explain::easing::Easing;
use crate::explain::edit::Change;
use crate::explain::relaxation::{Relaxation, Relaxations};
use crate::explain::words::sentences;
use crate::lesson::wording::{capital, count, length};

/// What cannot hold together, and what to do.
pub fn sections(
    compiled: &Compiled,
    conflict: &Conflict,
    relaxations: Option<&Relaxations>,
    interrupted: bool,
) -> Vec<Section> {
    let mut sections = Vec::new();
    let lines = sentences(compiled, &conflict.demands);
    push(
        &mut sections,
        "What has to hold but cannot hold together",
        lines.iter().map(|s| Line::plain(capital(s))).collect(),
    );
    let mut what = vec![Line::plain(match (lines.len(), conflict.minimal) {
        (0, _) => "No order exists even without any rule.",
        (1, true) => "This is impossible in any order.",
        (_, true) => "Dropping any one of these makes an order possible.",
        (_, false) if interrupted => {
            "Interrupted before it was settled whether all of these matter."
        }
        (_, false) => {
            "Whether all of these matter is not settled; allow more time with `--seconds`."
        }
    })];
    let tried = relaxations.filter(|r| r.tried > 0);
    match tried {
        Some(r) if !r.found.is_empty() => {
            what.push(Line::plain(
                "Any one of these changes is enough; each was tried, best first:",
            ));
        }
        Some(r) if r.open == r.tried => what.push(Line::plain(
            "Whether a single change is enough was not settled: start with one of these rules, and plan again.",
        )),
        Some(_) => what.push(Line::plain(
            "No single change that was tried is enough: start with one of these rules, and plan again.",
        )),
        None => what.push(Line::plain(
            "Let one of them give way (`need = \"prefer\"`), or leave it out, and plan again.",
        )),
    }
    let mut dropped = false;
    if let Some(relaxations) = tried {
        what.extend(relaxations.found.iter().map(relaxation));
        dropped = relaxations.open > 0;
    }
    if dropped {
        what.push(Line::toned(
            Tone::Heed,
            if interrupted {
                "Interrupted before everything was tried."
            } else {
                "There was not enough time to try everything; allow more with `--seconds`."
            },
        ));
    }
    push(&mut sections, "What to do", what);
    sections
}

/// A change that helps, with what it leads to and what to type.
fn relaxation(r: &Relaxation) -> Line {
    let sure = match r.better_by {
        Some(0.0) => "",
        Some(_) | None => ", or better",
    };
    let wishes = match r.unmet {
        0 => "every rule kept".to_owned(),
        n => format!("{} not kept", count(n, "rule", "rules")),
    };
    let text = format!(
        "{}: {} in all, {}, {} of transitions, {wishes}{sure}.",
        capital(&easing(&r.easing)),
        length(r.finish),
        count(r.stops, "stop", "stops"),
        length(r.changeover),
    );
    Line {
        under: vec![change(&r.change)],
        ..Line::plain(text)
    }
}

/// What a change is.
pub fn easing(easing: &Easing) -> String {
    match easing {
        Easing::Wish { rule } => format!("make it a preference that {rule}"),
        Easing::Less {
            rule,
            setting,
            becomes,
        } => format!("ask for less where {rule} (`{setting} = {becomes}`)"),
        Easing::Minutes { becomes } => format!("take {becomes} minutes"),
        Easing::Rests { copies } => format!("allow {copies} short rests of each kind"),
        Easing::Shorter => "do fewer repetitions throughout the class".into(),
        Easing::Springs { movement } => format!("leave the springs of {movement} open"),
        Easing::Without { movement } => format!("leave out {movement}"),
    }
}

/// What to type.
pub fn change(change: &Change) -> String {
    let shown = |lines: &[String]| {
        let lines: Vec<String> = (lines.iter())
            .map(|l| l.trim())
            .filter(|l| !l.is_empty())
            .map(|l| format!("`{l}`"))
            .collect();
        lines.join(", below it ")
    };
    let (was, becomes) = (shown(&change.was), shown(&change.becomes));
    let at = match change.was.len() {
        0 | 1 => format!("line {}", change.line),
        n => format!("lines {} to {}", change.line, change.line + n - 1),
    };
    match (change.was.is_empty(), change.becomes.is_empty()) {
        (true, _) if change.at_end => format!("At the end add {becomes}"),
        (true, _) => format!("Before {at} insert {becomes}"),
        (false, true) => format!("{}: remove {was}", capital(&at)),
        (false, false) => format!("{}: write {becomes} instead of {was}", capital(&at)),
    }
}
