//! What `keep` says of the order as written: the fewest moves that save most of it, and how far it can be kept at what price.

use super::beside::{beside, counted};
use super::section::{Line, Tone, push};
use super::sheet::{Sheet, sheet};
use crate::answer::kept::OwnOrder;
use crate::explain::verdict::by_then;
use crate::lesson::breach::name_of;
use crate::lesson::wording::{count, length};
use crate::orders::nearest::Point;
use crate::score::Evaluation;

/// The longest bar of the picture, in columns.
const BAR: i64 = 24;

/// All that is said.
pub fn own_order(found: &OwnOrder) -> Sheet {
    let mut drawn = sheet(&found.answer);
    (drawn.before, drawn.rows, drawn.reset) = (Vec::new(), Vec::new(), None);
    drawn.after = Vec::new();
    push(&mut drawn.after, "The fewest moves", moves(found));
    push(
        &mut drawn.after,
        "How far your order can be kept",
        curve(found),
    );
    drawn
}

fn moves(found: &OwnOrder) -> Vec<Line> {
    let compiled = &found.answer.compiled;
    let own = &found.own.found;
    let mut lines: Vec<Line> = Vec::new();
    if !found.own.proven {
        lines.push(Line::toned(
            Tone::Heed,
            "Better set-ups for your order as written may exist; with them, moves save less than stated here.",
        ));
    }
    for best in &found.moves.best {
        let many = i64::try_from(best.pieces.len()).expect("there are few moves");
        let fares = beside((compiled, own), (compiled, &best.found));
        let mut text = format!("{}: {}", count(many, "move", "moves"), or_equal(&fares));
        if let Some(saved) = counted(compiled, own.score - best.found.score)
            && own.score > best.found.score
        {
            text.push_str(&format!("; all in all {saved} better"));
        }
        text.push('.');
        let mut line = if best.proven {
            Line::plain(text)
        } else {
            Line::toned(
                Tone::Heed,
                format!(
                    "{text} There may be better ones; not all were examined {}.",
                    by_then(found.interrupted)
                ),
            )
        };
        line.under = (best.pieces.iter())
            .map(|piece| moved(found, piece, &best.found))
            .collect();
        lines.push(line);
    }
    let most = found.moves.best.last().map_or(0, |b| b.pieces.len());
    if found.moves.best.is_empty() && found.moves.settled && found.own.proven {
        lines.push(Line::toned(
            Tone::Good,
            "No one, two or three moves improve your order.",
        ));
    } else if !found.moves.settled && most < 3 {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "Whether more moves save more was not settled {}.",
                by_then(found.interrupted)
            ),
        ));
    }
    lines
}

fn or_equal(fares: &str) -> &str {
    if fares.is_empty() {
        "as good in stops, time and rules, with springs that suit better"
    } else {
        fares
    }
}

/// A piece and where it goes.
fn moved(found: &OwnOrder, piece: &[usize], to: &Evaluation) -> String {
    let compiled = &found.answer.compiled;
    let name = |s: usize| name_of(compiled, s);
    let what = match piece {
        [] => String::new(),
        [one] => name(*one),
        [first, .., last] => format!("{} to {}, in one piece,", name(*first), name(*last)),
    };
    let order = &to.timeline.order;
    let place = order.iter().position(|s| Some(s) == piece.first());
    let before = place.and_then(|p| p.checked_sub(1)).map(|p| order[p]);
    match before {
        Some(before) => format!("{what} after {}", name(before)),
        None => format!("{what} to the beginning"),
    }
}

fn curve(found: &OwnOrder) -> Vec<Line> {
    let curve = &found.curve;
    let mut lines = vec![Line::plain(format!(
        "Your order has {} that can be kept or not. The best order for each number kept:",
        count(
            as_count(curve.pairs),
            "pair of neighbours",
            "pairs of neighbours"
        )
    ))];
    let least = curve.points.first().map_or(0, |p| p.found.score);
    let worst = curve.points.iter().map(|p| p.found.score - least).max();
    lines.push(Line::laid_out(format!(
        "{:>5}  {:>5}  {:>11}  {:>12}",
        "pairs", "stops", "transitions", "rules broken"
    )));
    for point in &curve.points {
        lines.push(row(found, point, least, worst.unwrap_or(0).max(1)));
    }
    lines.push(Line::plain(
        "Bars: how much worse than the best order, counting stops, time, springs and rules.",
    ));
    if curve.between {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "For a number between two rows, an order better than the lower row may exist; this was not settled {}.",
                by_then(found.interrupted)
            ),
        ));
    }
    if let Some(from) = curve.impossible_from {
        lines.push(Line::toned(
            Tone::Heed,
            format!("No order keeps {from} or more and everything that has to hold."),
        ));
    }
    if let Some(from) = curve.open_from {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "What {from} pairs or more would cost was not settled {}.",
                by_then(found.interrupted)
            ),
        ));
    }
    lines.push(Line::plain(
        "For one of them as a run sheet, give its number of pairs: `--pairs N`.",
    ));
    lines
}

fn row(found: &OwnOrder, point: &Point, least: i64, worst: i64) -> Line {
    let evaluation = &point.found;
    let over = evaluation.score - least;
    let long = usize::try_from((over * BAR + worst / 2) / worst).unwrap_or(0);
    let bar = "#".repeat(long);
    let counted = counted(&found.answer.compiled, over).filter(|_| over > 0);
    let text = format!(
        "{:>5}  {:>5}  {:>11}  {:>12}  {bar}{}{}",
        point.kept,
        evaluation.stops,
        length(evaluation.changeover),
        crate::explain::savings::broken_wishes(&found.answer.compiled, evaluation),
        counted.map_or_else(String::new, |c| format!(" {c}")),
        if point.proven { "" } else { " or less" },
    );
    Line::laid_out(text.trim_end())
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few steps")
}
