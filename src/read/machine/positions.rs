//! The positions of a machine's file, and the moves between them, to a posture graph.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::placed::{Body, Facing, Feet, Hands, On, Placed, Words};
use crate::model::posture::{Move, Posture, PostureGraph, least_seconds};
use crate::read::enough::ends_at;
use crate::read::spanned::{At, Table, unknown_word};

/// The longest change or move that is believed, seconds for one person.
pub const LONGEST_CHANGE: f64 = 300.0;

/// At which end the side is that a form names.
const ENDS: Words<bool> = &[("bar", false), ("strap end", true)];

/// What stands in a cue for the side that works.
const SIDE: &str = "@";

/// Whether there is such a position; if not, the mistake is told.
pub fn known_posture(graph: &PostureGraph, name: &At<String>, log: &mut Vec<Diagnostic>) -> bool {
    if graph.has(&name.value) {
        return true;
    }
    let mut known: Vec<&str> = graph.postures.iter().map(|p| p.base.as_str()).collect();
    known.dedup();
    log.push(unknown_word("posture", name, &known));
    false
}

/// All `[[posture]]` and `[[move]]` of a file.
pub fn posture_graph(root: &mut Table<'_>, log: &mut Vec<Diagnostic>) -> PostureGraph {
    let mut graph = PostureGraph::default();
    for mut table in root.tables("posture", "a [[posture]]", log) {
        if ends_at(|| table.span(), log) {
            return graph;
        }
        let name = table.require("name", log).and_then(|i| i.name(log));
        let sides = table.truth("sides", log).unwrap_or(false);
        let placed = placed(&mut table, log);
        table.finish(log);
        let (Some(name), Some(placed)) = (name, placed) else {
            continue;
        };
        if graph.has(&name.value) {
            log.push(Diagnostic::mistake(
                Code::Duplicate,
                name.span,
                format!("the posture `{}` is defined twice", name.value),
                "second",
                "leave one of them out",
            ));
            continue;
        }
        let forms: &[(&str, Option<bool>)] = if sides {
            &[(", left", Some(true)), (", right", Some(false))]
        } else {
            &[("", None)]
        };
        for (ending, left) in forms {
            graph.postures.push(Posture {
                name: format!("{}{ending}", name.value),
                base: name.value.clone(),
                left: *left,
                placed,
            });
        }
    }
    for table in root.tables("move", "a [[move]]", log) {
        if ends_at(|| table.span(), log) {
            return graph;
        }
        one_move(table, &mut graph, log);
    }
    graph
}

/// The facts of a position. Hands and feet are free if nothing is said of them.
fn placed(table: &mut Table<'_>, log: &mut Vec<Diagnostic>) -> Option<Placed> {
    let on = table.require("on", log);
    let on = on.and_then(|i| i.word("place for a body", On::WORDS, log));
    let body = table.require("body", log);
    let body = body.and_then(|i| i.word("way to hold the body", Body::WORDS, log));
    let facing = fact(table, "facing", "way to face", Facing::WORDS, log);
    let hands = fact(table, "hands", "thing for the hands", Hands::WORDS, log);
    let feet = fact(table, "feet", "thing for the feet", Feet::WORDS, log);
    let side_at = fact(table, "side_at", "end of the machine", ENDS, log);
    Some(Placed {
        on: on?.value,
        body: body?.value,
        facing,
        hands: hands.unwrap_or(Hands::Free),
        feet: feet.unwrap_or(Feet::Free),
        side_at_strap_end: side_at.unwrap_or(false),
    })
}

fn fact<T: Copy>(
    table: &mut Table<'_>,
    key: &str,
    what: &str,
    words: Words<T>,
    log: &mut Vec<Diagnostic>,
) -> Option<T> {
    let item = table.get(key)?;
    Some(item.word(what, words, log)?.value)
}

/// A `[[move]]`: there and, if `back` gives its seconds, back again. Between two postures with sides it keeps the side, or changes it
/// with `turns_over = true`.
fn one_move(mut table: Table<'_>, graph: &mut PostureGraph, log: &mut Vec<Diagnostic>) {
    let from = table.require("from", log).and_then(|i| i.name(log));
    let to = table.require("to", log).and_then(|i| i.name(log));
    let there = direction(&mut table, ["seconds", "cue", "motions"], true, log);
    let back = direction(&mut table, ["back", "back_cue", "back_motions"], false, log);
    let fixes_strap = table.truth("fixes_strap", log).unwrap_or(false);
    let turns_over = table.truth("turns_over", log).unwrap_or(false);
    table.finish(log);
    let (Some(from), Some(to), Some(there)) = (from, to, there) else {
        return;
    };
    if !known_posture(graph, &from, log) | !known_posture(graph, &to, log) {
        return;
    }
    let sided =
        |base: &str| (graph.nodes_of(base).iter()).any(|&n| graph.postures[n].left.is_some());
    let names_side = there.1.contains(SIDE) || back.as_ref().is_some_and(|b| b.1.contains(SIDE));
    if names_side && !sided(&from.value) && !sided(&to.value) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            to.span,
            format!("`{SIDE}` stands for the side that works, and neither position has sides"),
            "no sides",
            "write the cue without it",
        ));
        return;
    }
    for a in graph.nodes_of(&from.value) {
        for b in graph.nodes_of(&to.value) {
            let joined = match (graph.postures[a].left, graph.postures[b].left) {
                (Some(l), Some(r)) => (l == r) != turns_over,
                (None, _) | (_, None) => true,
            };
            if !joined {
                continue;
            }
            for (from, to, leg, forth) in [(a, b, Some(&there), true), (b, a, back.as_ref(), false)]
            {
                if let Some((seconds, cue, motions)) = leg {
                    graph.moves.push(Move {
                        from,
                        to,
                        seconds: *seconds,
                        cue: cue.replace(SIDE, side_of(&graph.postures[to], &graph.postures[from])),
                        fixes_strap: fixes_strap && forth,
                        motions: motions.clone(),
                    });
                }
            }
        }
    }
}

/// The side of the form that a move goes to, or comes from if that has none.
fn side_of(to: &Posture, from: &Posture) -> &'static str {
    match to.left.or(from.left) {
        Some(true) => "left",
        Some(false) => "right",
        None => "working",
    }
}

type Leg = (f64, String, Vec<String>);

/// One direction of a move: its seconds, cue and body motions, under these keys.
fn direction(
    table: &mut Table<'_>,
    [seconds, cue, motions]: [&str; 3],
    needed: bool,
    log: &mut Vec<Diagnostic>,
) -> Option<Leg> {
    let number = if needed || table.has(cue) {
        table.require(seconds, log)
    } else {
        table.get(seconds)
    };
    let number = number.and_then(|i| i.number(0.0..=LONGEST_CHANGE, log));
    let names = table.texts(motions, log);
    let Some(number) = number else {
        table.get(cue);
        return None;
    };
    let words = table.require(cue, log)?.text(log)?;
    let motions: Vec<String> = names.iter().map(|m| m.value.clone()).collect();
    match least_seconds(&motions) {
        None => log.push(Diagnostic::mistake(
            Code::UnknownName,
            names
                .first()
                .map_or(number.span.clone(), |m| m.span.clone()),
            "one of these body motions is not known",
            "not known",
            "see the table in the documentation of the posture graph for the names",
        )),
        Some(least) if number.value < least => log.push(Diagnostic::mistake(
            Code::OutOfRange,
            number.span,
            format!("this move is quicker than its body motions, which need {least:.2} s"),
            "too quick",
            "give it more seconds or fewer motions",
        )),
        Some(_) => {}
    }
    Some((number.value, words.value, motions))
}
