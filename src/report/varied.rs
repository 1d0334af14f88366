//! What `vary` says: how far the classes are apart, how each fares beside the best, and a run sheet for each.

use super::beside::{beside, counted};
use super::opening::{minutes, totals};
use super::section::{Line, Section, Tone, push};
use super::sheet::{Sheet, of_order};
use crate::answer::class::Class;
use crate::answer::varied::{Choice, Listed};
use crate::explain::verdict::{Verdict, by_then};
use crate::lesson::breach::name_of;
use crate::lesson::lesson;
use crate::lesson::wording::{capital, count};
use crate::orders::vary::{Short, Sureness, Week, Wish};
use crate::search::outcome::Ended;

/// The summary that stands before the run sheets: its title and what it says.
pub fn summary(choice: &Choice, week: &Week, wish: &Wish) -> Sheet {
    let written = &choice.lists[0].class;
    let mut drawn = of_class(choice, week, 0);
    drawn.title = title_of(written);
    drawn.opening = opening(written, week, wish);
    drawn.opening.extend(lists_of(choice, week));
    (drawn.before, drawn.rows, drawn.reset) = (Vec::new(), Vec::new(), None);
    drawn.after = Vec::new();
    drawn.springs = Vec::new();
    if week.classes.len() > 1 {
        drawn.after.push(distances(week));
    }
    push(
        &mut drawn.after,
        "Each class beside the best order",
        (0..week.classes.len())
            .map(|k| class_line(choice, week, k))
            .collect(),
    );
    drawn
}

fn title_of(class: &Class) -> String {
    if class.brief.title.is_empty() {
        "A class".into()
    } else {
        capital(&class.brief.title)
    }
}

fn opening(class: &Class, week: &Week, wish: &Wish) -> Vec<Line> {
    let n = week.classes.len();
    let percent = wish.within as f64 / 100.0;
    let mut first = format!(
        "{} from one list, {}at most {percent} % worse than the best order",
        count(as_count(n), "class", "classes"),
        if n == 1 { "" } else { "each " },
    );
    if let Some(room) = counted(&class.compiled, week.ceiling - week.best.score) {
        first.push_str(&format!(" ({room}, counting stops and rules)"));
    }
    let mut lines = vec![Line::plain(format!("{first}."))];
    if let Some(least) = week.least() {
        lines.push(Line::plain(format!(
            "Any two differ in at least {} of the {} pairs of neighbours that can differ.",
            least.pairs, week.pairs
        )));
        lines.push(match week.sureness {
            Sureness::Farthest => Line::toned(
                Tone::Good,
                "Proven most varied: every order that is good enough was examined.",
            ),
            Sureness::Found => Line::plain(format!(
                "The most varied of {} orders found; others may be more varied.",
                week.looked_at
            )),
        });
    }
    lines.extend(week.short.map(|short| {
        Line::toned(
            Tone::Heed,
            match short {
                Short::Proven => format!(
                    "Not {}: it is proven that there are no more.",
                    wish.count
                ),
                Short::NoneToAdd => format!(
                    "Not {}: none can be added to these. Whether another choice allows more is open.",
                    wish.count
                ),
                Short::Open => format!(
                    "Not {}: no more were found. Whether there are more is open.",
                    wish.count
                ),
            },
        )
    }));
    if !week.best_is_proven {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "Whether a better order exists was not settled {}; the percentage counts from the best found.",
                by_then(week.interrupted)
            ),
        ));
    } else if week.interrupted {
        lines.push(Line::toned(
            Tone::Heed,
            "Interrupted while looking for other classes; these are the best so far.",
        ));
    }
    lines
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few steps")
}

/// The table: below the corner neighbours that differ, above it pairs in the opposite order.
fn distances(week: &Week) -> Section {
    let n = week.classes.len();
    let cell = |i: usize, j: usize| {
        let apart = week.apart[i * n + j];
        match i.cmp(&j) {
            std::cmp::Ordering::Equal => "·".to_owned(),
            std::cmp::Ordering::Greater => apart.pairs.to_string(),
            std::cmp::Ordering::Less => apart.turned.to_string(),
        }
    };
    let width = (0..n * n)
        .map(|k| cell(k / n, k % n).chars().count())
        .max()
        .unwrap_or(1)
        .max(2);
    let row = |head: String, cells: Vec<String>| {
        let cells: Vec<String> = cells.iter().map(|c| format!("{c:>width$}")).collect();
        Line::laid_out(format!("{head:>2}  {}", cells.join(" ")))
    };
    let mut lines = vec![row(String::new(), (1..=n).map(|k| k.to_string()).collect())];
    lines.extend((0..n).map(|i| row((i + 1).to_string(), (0..n).map(|j| cell(i, j)).collect())));
    lines.push(Line::plain(
        "Lower left: neighbours in one class that are not neighbours in the other. Upper right: pairs of movements in the opposite order.",
    ));
    Section {
        heading: "How far apart".into(),
        lines,
    }
}

/// How many lists the classes were made from, where movements may be swapped.
fn lists_of(choice: &Choice, week: &Week) -> Option<Line> {
    if choice.ways < 2 {
        return None;
    }
    let with = week.lists.iter().filter(|&&list| list > 0).count();
    let has = match with {
        0 => "No class has".to_owned(),
        1 => "1 class has".to_owned(),
        many => format!("{many} classes have"),
    };
    let mut text = format!("{has} a movement swapped for an alternative");
    let (looked, ways) = (choice.lists.len(), choice.ways);
    if looked < ways {
        text.push_str(&format!(
            "; of {ways} ways to swap or not, {looked} were examined"
        ));
    }
    text.push('.');
    Some(Line::plain(text))
}

/// What is swapped in a class: the movement written and its replacement.
pub fn swapped_in(choice: &Choice, week: &Week, k: usize) -> Vec<(String, String)> {
    let listed = &choice.lists[week.lists[k]];
    let catalogue = &listed.class.brief.catalogue;
    let name = |id: &String| {
        catalogue
            .get(id)
            .map_or_else(|| id.clone(), |m| m.name.clone())
    };
    let swaps = listed.swaps.iter();
    swaps.map(|s| (name(&s.out), name(&s.into))).collect()
}

fn class_line(choice: &Choice, week: &Week, k: usize) -> Line {
    let listed = &choice.lists[week.lists[k]];
    let mut line = Line::plain(format!("{}: {}.", k + 1, fares(choice, week, k)));
    for (out, into) in swapped_in(choice, week, k) {
        line.under.push(format!("{into} instead of {out}."));
    }
    let compiled = &listed.class.compiled;
    let class = &week.classes[k];
    let order = &class.timeline.order;
    let named = |step: Option<&usize>| step.map_or_else(String::new, |&s| name_of(compiled, s));
    line.under.push(format!(
        "Begins with {}, ends with {}.",
        named(order.first()),
        named(order.last())
    ));
    let new = new_pairs(choice, week, k);
    if !new.is_empty() {
        let pairs: Vec<String> = new
            .iter()
            .map(|&(a, b)| format!("{} to {}", name_of(compiled, a), name_of(compiled, b)))
            .collect();
        line.under
            .push(format!("New neighbours: {}.", pairs.join("; ")));
    }
    line
}

/// Neighbours of a class that are none in the best order: pairs of steps of its list.
pub fn new_pairs(choice: &Choice, week: &Week, k: usize) -> Vec<(usize, usize)> {
    let (best, here) = (&choice.lists[0], &choice.lists[week.lists[k]]);
    let side = |listed: &Listed, s: usize| listed.class.compiled.class.steps[s].side;
    let called = |listed: &Listed, s: usize| (listed.names[s], side(listed, s));
    let known: Vec<_> = (week.best.timeline.order.windows(2))
        .map(|two| (called(best, two[0]), called(best, two[1])))
        .collect();
    let pairs = week.classes[k].timeline.order.windows(2);
    pairs
        .filter(|two| !known.contains(&(called(here, two[0]), called(here, two[1]))))
        .map(|two| (two[0], two[1]))
        .collect()
}

fn fares(choice: &Choice, week: &Week, k: usize) -> String {
    let written = &choice.lists[0].class;
    let class = &week.classes[k];
    let text = beside(
        (&written.compiled, &week.best),
        (&choice.lists[week.lists[k]].class.compiled, class),
    );
    let what = if week.lists[k] == 0 && class.timeline.order == week.best.timeline.order {
        if week.best_is_proven {
            "the best order itself".to_owned()
        } else {
            "the best order found".to_owned()
        }
    } else if text.is_empty() {
        "as good as the best order in stops, time and rules".into()
    } else {
        format!("{text} than the best order")
    };
    match counted(&written.compiled, class.score - week.best.score) {
        Some(worse) if class.score > week.best.score => {
            format!("{what}; all in all {worse} worse")
        }
        Some(_) | None => what,
    }
}

/// The run sheet of one class.
pub fn of_class(choice: &Choice, week: &Week, k: usize) -> Sheet {
    let found = &week.classes[k];
    let class = &choice.lists[week.lists[k]].class;
    let taught = lesson(&class.brief, &class.compiled, found);
    let verdict = if week.best_is_proven && found.score == week.best.score {
        Verdict::Best
    } else {
        let behind = found.score - week.best.score;
        Verdict::AtMost {
            seconds: week
                .best_is_proven
                .then(|| class.compiled.seconds_of(behind)),
            time_only: false,
            why: Ended::Proof,
        }
    };
    let mut drawn = of_order(&class.brief, &class.compiled, &taught, &verdict);
    drawn.title = format!("{}, class {} of {}", drawn.title, k + 1, week.classes.len());
    drawn.opening = vec![Line::plain(totals(&taught))];
    drawn.opening.extend(minutes(&taught));
    drawn.opening.push(Line::plain(format!(
        "{}.",
        capital(&fares(choice, week, k))
    )));
    for (out, into) in swapped_in(choice, week, k) {
        (drawn.opening).push(Line::plain(format!("{into} instead of {out}.")));
    }
    drawn
}
