//! What a line of the list may say beside the name: the ranges of its numbers, their units, nothing twice.

use std::ops::Range;

use crate::diagnostic::{Code, Diagnostic};
use crate::model::movement::{Movement, RepUnit};
use crate::read::list::line::{Count, Line, Piece};
use crate::read::spanned::At;
use crate::source::Span;

/// Most repetitions, breaths or seconds that a list may ask for.
pub const MOST_REPETITIONS: u32 = 600;
/// Most rounds.
pub const MOST_ROUNDS: u32 = 20;

/// A part of a text where it stands; the whole where its source writes it otherwise (a text in quotes with escapes).
pub fn part(text: &At<String>, at: &Range<usize>) -> Span {
    let whole = &text.span;
    match whole.text().find(&text.value) {
        Some(k) if !at.is_empty() => {
            let from = whole.bytes.start + k;
            Span::new(&whole.source, from + at.start..from + at.end)
        }
        Some(_) | None => whole.clone(),
    }
}

/// Numbers that are given twice or lie outside of what is allowed.
pub fn numbers(line: &Line, text: &At<String>, log: &mut Vec<Diagnostic>) {
    for at in &line.twice {
        log.push(Diagnostic::mistake(
            Code::Duplicate,
            part(text, at),
            format!("`{}` has two numbers or two sides", line.name),
            "one too many",
            "write one number of repetitions, one of rounds (\"3 rounds\") and one side",
        ));
    }
    let repetitions = line.repetitions.as_ref().map(|r| Piece {
        value: r.value.number,
        at: r.at.clone(),
    });
    let range = [
        ("repetitions", repetitions, MOST_REPETITIONS),
        ("rounds", line.rounds.clone(), MOST_ROUNDS),
    ];
    for (what, given, most) in range {
        let Some(given) = given.filter(|n| n.value == 0 || n.value > most) else {
            continue;
        };
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            part(text, &given.at),
            format!("this number of {what} is out of range"),
            format!("allowed: 1 to {most}"),
            format!("write a number, 1 to {most}"),
        ));
    }
}

/// A unit that is not what the movement is counted in. What it would be in that is offered.
pub fn unit(
    movement: &Movement,
    given: &Piece<Count>,
    text: &At<String>,
    log: &mut Vec<Diagnostic>,
) {
    let Some(layer) = movement.layers.get(movement.main_layer()) else {
        return;
    };
    let counted = &layer.repetitions;
    let Some(unit) = given.value.unit.filter(|&u| u != counted.unit) else {
        return;
    };
    let ways = if counted.each_way { 2.0 } else { 1.0 };
    let one = counted.seconds * ways;
    let mend = if unit == RepUnit::Second && one > 0.0 {
        let many = (f64::from(given.value.number) / one).round().max(1.0);
        format!(
            "write `{} x {many}` for about as long, or remove the number",
            movement.name
        )
    } else {
        format!(
            "write the number of {} (usual: {}), or remove it",
            units(counted.unit),
            counted.usual
        )
    };
    log.push(Diagnostic::mistake(
        Code::OutOfRange,
        part(text, &given.at),
        format!(
            "{} is counted in {}, not in {}",
            movement.name,
            units(counted.unit),
            units(unit)
        ),
        format!("not in {}", units(unit)),
        mend,
    ));
}

fn units(unit: RepUnit) -> &'static str {
    match unit {
        RepUnit::Repetition => "repetitions",
        RepUnit::Breath => "breaths",
        RepUnit::Second => "seconds",
    }
}

/// A block is named with its rounds at most.
pub fn only_rounds(line: &Line, text: &At<String>, log: &mut Vec<Diagnostic>) {
    let side = line.side.as_ref().map(|s| ("side", &s.at));
    let repetitions = line.repetitions.as_ref().map(|r| ("number", &r.at));
    for (what, at) in side.into_iter().chain(repetitions) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            part(text, at),
            format!("the block `{}` takes no {what} here", line.name),
            "not for a block",
            "write how often the whole block is done as \"2 rounds\", and what is for one movement beside that movement",
        ));
    }
    let count = line.rounds.clone();
    let line = Line {
        rounds: count,
        name: line.name.clone(),
        ..Line::default()
    };
    numbers(&line, text, log);
}
