//! What `late` says: whether the rest fits, what could be cut, and the rest as a run sheet.

use super::beside::beside;
use super::fared::rules;
use super::section::{Line, Section, Tone, push};
use super::sheet::{Sheet, key, rows, transition};
use crate::answer::class::Class;
use crate::explain::verdict::by_then;
use crate::lesson::breach::name_of;
use crate::lesson::wording::{capital, clock, count, length};
use crate::lesson::{Lesson, lesson};
use crate::orders::late::{Begun, Late, MOST_CUTS, Rest, as_class};

/// At most this many cuts are named on paper.
const NAMED: usize = 8;

/// The rest that is shown: with the first cut, or whole.
pub fn shown(late: &Late) -> &Rest {
    late.cuts.first().unwrap_or(&late.whole)
}

/// The movements of a cut, by name.
pub fn cut_names(class: &Class, begun: &Begun, rest: &Rest) -> Vec<String> {
    let taken = &class.compiled.class;
    let name = |&k: &usize| {
        let step = &taken.steps[begun.movements[k][0]];
        let movement = &taken.movements[step.movement].name;
        if step.round > 1 {
            format!("{movement} (round {})", step.round)
        } else {
            movement.clone()
        }
    };
    rest.cut.iter().map(name).collect()
}

/// The rest as it is taught, on the clock of the class.
pub fn taught(class: &Class, begun: &Begun, rest: &Rest) -> Lesson {
    let (compiled, scored) = as_class(&class.compiled, rest);
    let mut taught = lesson(&class.brief, &compiled, &scored);
    taught.rows.drain(..begun.done);
    for row in &mut taught.rows {
        row.start += begun.behind;
        row.end += begun.behind;
        row.step = rest.steps[row.step];
    }
    taught.finish += begun.behind;
    taught
}

/// All that is said.
pub fn rest(class: &Class, begun: &Begun, late: &Late) -> Sheet {
    let shown = shown(late);
    let taught = taught(class, begun, shown);
    let title = if class.brief.title.is_empty() {
        "A class".to_owned()
    } else {
        capital(&class.brief.title)
    };
    let mut after = Vec::new();
    push(&mut after, "Rules", rules(&taught.rule_reports));
    Sheet {
        date: class.brief.date,
        minutes: None,
        springs: key(&class.compiled.apparatus.springs.classes),
        title: format!("{title}, from number {} on", begun.done + 1),
        subtitle: subtitle(begun),
        opening: [opening(class, begun, late), unsure(class, begun, late)].concat(),
        before: cuts(class, begun, late),
        rows: rows(&taught),
        reset: taught.reset.as_ref().map(transition),
        end: clock(taught.finish),
        after,
    }
}

fn subtitle(begun: &Begun) -> String {
    let mut text = format!("{} left", length(begun.left));
    match begun.behind {
        0 => {}
        late if late > 0 => text.push_str(&format!(", {} behind the plan", length(late))),
        early => text.push_str(&format!(", {} ahead of the plan", length(-early))),
    }
    text
}

fn opening(class: &Class, begun: &Begun, late: &Late) -> Vec<Line> {
    let over = late.whole.found.timeline.finish - late.until;
    if over <= 0 {
        let text = match -over {
            0 => "The rest fits without a cut, to the second.".to_owned(),
            spare => format!(
                "The rest fits without a cut, with {} to spare.",
                length(spare)
            ),
        };
        return vec![Line::toned(Tone::Good, text)];
    }
    let mut lines = vec![Line::toned(
        Tone::Heed,
        if late.whole.proven {
            format!("The rest is {} too long.", length(over))
        } else {
            format!(
                "The rest as found so far is {} too long; whether another order fits was not settled {}.",
                length(over),
                by_then(late.interrupted)
            )
        },
    )];
    lines.push(match late.cuts.first() {
        Some(first) => Line::toned(
            Tone::Good,
            format!(
                "Without {} it fits, and {}that leaves the best class; it is shown below.",
                joined(&cut_names(class, begun, first)),
                if late.settled && late.cuts.iter().all(|cut| cut.proven) {
                    ""
                } else {
                    "of what was examined "
                }
            ),
        ),
        None if late.settled => Line::toned(
            Tone::Wrong,
            format!(
                "Cutting up to {MOST_CUTS} movements cannot make it fit, keep what has to hold and add no stop. It is shown below uncut."
            ),
        ),
        None => Line::toned(
            Tone::Heed,
            format!(
                "Whether a cut makes it fit was not settled {}. It is shown below uncut.",
                by_then(late.interrupted)
            ),
        ),
    });
    lines
}

/// What is not certain about it.
fn unsure(class: &Class, begun: &Begun, late: &Late) -> Vec<Line> {
    let mut lines = Vec::new();
    if !shown(late).proven {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "Whether a better order of the rest exists was not settled {}.",
                by_then(late.interrupted)
            ),
        ));
    }
    if !begun.plan_is_proven && begun.done > 0 {
        let done = begun.plan.timeline.order[..begun.done].iter();
        let names: Vec<String> = done.map(|&s| name_of(&class.compiled, s)).collect();
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "The plan of the class was not settled, so your run sheet may begin differently; this is for a class that has done {}.",
                joined(&names)
            ),
        ));
    }
    lines
}

fn cuts(class: &Class, begun: &Begun, late: &Late) -> Vec<Section> {
    let mut lines: Vec<Line> = (late.cuts.iter().take(NAMED))
        .map(|cut| Line::plain(cut_line(class, begun, late, cut)))
        .collect();
    if late.cuts.len() > NAMED {
        let more = i64::try_from(late.cuts.len() - NAMED).expect("a class has few movements");
        lines.push(Line::plain(format!(
            "And {} that would also do.",
            count(more, "other choice", "other choices")
        )));
    }
    if !late.settled && !late.cuts.is_empty() {
        lines.push(Line::toned(
            Tone::Heed,
            format!(
                "Not all choices were examined {}.",
                by_then(late.interrupted)
            ),
        ));
    }
    let mut sections = Vec::new();
    let each = late.cuts.first().map_or(0, |c| c.cut.len());
    let heading = if each > 1 {
        format!("What could be cut: any one of these choices of {each}")
    } else {
        "What could be cut: any one of these".into()
    };
    push(&mut sections, &heading, lines);
    sections
}

fn cut_line(class: &Class, begun: &Begun, late: &Late, cut: &Rest) -> String {
    let spare = late.until - cut.found.timeline.finish;
    let mut text = format!(
        "{}: saves {}, {} to spare",
        joined(&cut_names(class, begun, cut)),
        length(cut.saves),
        length(spare)
    );
    let (before, whole) = as_class(&class.compiled, &late.whole);
    let (after, rest) = as_class(&class.compiled, cut);
    let fares = beside((&before, &whole), (&after, &rest));
    if !fares.is_empty() {
        text.push_str(&format!(" ({fares})"));
    }
    text
}

fn joined(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
