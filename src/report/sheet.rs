//! Everything that a run sheet says, decided once: text by text, in order. A renderer only draws it.

use super::eased;
use super::fared::{conditions, rules};
use super::opening::{minutes, saved, totals};
use super::section::{Line, Section, Tone, push};
use crate::answer::planned::Answer;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::explain::savings::savings;
use crate::explain::unmet::{unmet, whatever_the_order};
use crate::explain::verdict::{Verdict, fewest, own_order_will_do, sentence, verdict};
use crate::lesson::changeover::{Changeover, Cue};
use crate::lesson::offer;
use crate::lesson::setup_words::{Beside, Borrowed};
use crate::lesson::wording::{capital, clock, count, length, side};
use crate::lesson::{Done, Lesson, Row, lesson};
use crate::model::caution::STANDING;
use crate::model::date::Date;
use crate::model::movement::BodyNotes;
use crate::model::springs::SpringClass;
use crate::score::Evaluation;

/// What is called where the class halts.
pub const HALT: &str = "ALL STOP";

/// The heading of the key of the springs.
pub const SPRINGS_KEY: &str = "Springs";

/// The heading of what is put back after the class.
pub const PUT_BACK: &str = "Put back for the next class";

/// A change-over on the sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Transition {
    /// Whether the class halts.
    pub stop: bool,
    /// How long it takes; empty if no time.
    pub time: String,
    /// What to say, in order; may be empty where one step runs into the next.
    pub cues: Vec<String>,
    /// The cues without the moves of the body: what is done to the machine.
    pub machine: Vec<String>,
}

/// Other springs that a movement allows on this machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherSprings {
    /// By the studio's labels.
    pub springs: String,
    /// What they do to the movement.
    pub effect: String,
}

/// A class of spring in the key of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpringKey {
    /// The studio's label.
    pub label: String,
    /// The class: light, medium, heavy, as the machine names it.
    pub class: String,
    /// How many the machine has.
    pub count: u32,
    /// Load of one in load units, with at most two decimals.
    pub load: String,
}

impl SpringKey {
    /// What stands beside the label.
    pub fn about(&self) -> String {
        format!(
            "{}, {} on the machine, load {} each",
            self.class, self.count, self.load
        )
    }
}

/// One row of the sheet with the transition before it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SheetRow {
    /// The transition before it.
    pub before: Transition,
    /// When it starts.
    pub clock: String,
    /// Its place, from 1.
    pub place: usize,
    /// Movement, side and round.
    pub name: String,
    /// The movement alone.
    pub movement: String,
    /// The side; empty for both at once.
    pub side: String,
    /// The round, from 1.
    pub round: u32,
    /// Repetitions; layers joined if it has several.
    pub amount: String,
    /// Layer by layer, to stay at or to add; empty if it has only one.
    pub layers: Vec<String>,
    /// The next lighter springs that the movement allows here.
    pub lighter: Option<OtherSprings>,
    /// The next heavier ones.
    pub heavier: Option<OtherSprings>,
    /// What to offer for the conditions in the room, one line for each that touches it.
    pub options: Vec<String>,
    /// What to say to tall and to short people, about ropes and hands or feet.
    pub bodies: Vec<String>,
    /// Springs by the studio's labels.
    pub springs: String,
    /// Position, then the other facets that it asks for, then its block.
    pub setting: Vec<String>,
    /// Marks: unusual springs, conditions that it touches, an added rest.
    pub marks: Vec<String>,
    /// How it is done and its cues.
    pub teaching: Vec<String>,
}

/// A run sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// Title of the class.
    pub title: String,
    /// People, machine, minutes.
    pub subtitle: String,
    /// When it is, if that is known.
    pub date: Option<Date>,
    /// The minutes of the class in whole ones, rounded up, if they are given.
    pub minutes: Option<u32>,
    /// The answer in a few lines.
    pub opening: Vec<Line>,
    /// What stands before the first row.
    pub before: Vec<Section>,
    /// The rows; empty if there is no order.
    pub rows: Vec<SheetRow>,
    /// The transition after the last row.
    pub reset: Option<Transition>,
    /// When the class ends.
    pub end: String,
    /// The springs of the machine, in its order.
    pub springs: Vec<SpringKey>,
    /// What stands after the last row.
    pub after: Vec<Section>,
}

/// The run sheet of an answer.
pub fn sheet(answer: &Answer) -> Sheet {
    let verdict = verdict(&answer.compiled, &answer.outcome);
    match &answer.best {
        Some(best) => planned(answer, best, &verdict),
        None => without_order(answer, &verdict),
    }
}

/// The run sheet of an order of a class without its opening; `verdict`: how sure it is that the order is the best.
pub fn of_order(brief: &Brief, compiled: &Compiled, taught: &Lesson, verdict: &Verdict) -> Sheet {
    Sheet {
        before: before_the_class(compiled, taught),
        rows: rows(taught),
        reset: taught.reset.as_ref().map(transition),
        end: clock(taught.finish),
        after: after_the_class(brief, compiled, taught, verdict),
        ..blank(brief, compiled)
    }
}

/// Title and subtitle of a class, and nothing else yet.
fn blank(brief: &Brief, compiled: &Compiled) -> Sheet {
    let mut about = vec![compiled.apparatus.name.clone()];
    about.push(count(i64::from(brief.room), "person", "people"));
    about.extend(brief.minutes.map(|m| format!("{m} minutes")));
    about.extend(brief.date.map(|d| d.in_words()));
    Sheet {
        title: if brief.title.is_empty() {
            "A class".into()
        } else {
            capital(&brief.title)
        },
        subtitle: about.join(", "),
        date: brief.date,
        minutes: brief.minutes.map(|m| m.ceil() as u32),
        opening: Vec::new(),
        before: Vec::new(),
        rows: Vec::new(),
        reset: None,
        end: String::new(),
        springs: key(&compiled.apparatus.springs.classes),
        after: Vec::new(),
    }
}

/// The advice to teach the order as written, where it is as good or nearly; none where the teacher asked to keep a part of it.
fn own_order(answer: &Answer, best: &Evaluation, verdict: &Verdict) -> Option<Line> {
    let own = (answer.as_given.as_ref()).filter(|_| answer.keeps.is_none())?;
    let same = own.found.timeline.order == best.timeline.order;
    let least = answer.outcome.bound.unwrap_or(0).min(best.score);
    let text = match (same, *verdict == Verdict::Best) {
        (true, true) => "Your own order is as good as any: it is kept as you wrote it.",
        (true, false) => "No better order than your own was found: it is kept as you wrote it.",
        (false, _) if own_order_will_do(least, &own.found) => {
            "Your own order is within a tenth of the best: teach it as you wrote it if you like it better."
        }
        (false, _) => return None,
    };
    Some(Line::toned(Tone::Good, text))
}

/// How sure the answer is, and of which orders that is said.
fn said(answer: &Answer, verdict: &Verdict) -> String {
    let text = sentence(verdict);
    let Some(pairs) = answer.keeps else {
        return text;
    };
    let pairs = i64::try_from(pairs).unwrap_or(i64::MAX);
    format!(
        "Of the orders that keep {} of yours or more: {}{}",
        count(pairs, "pair of neighbours", "pairs of neighbours"),
        text[..1].to_lowercase(),
        &text[1..]
    )
}

fn planned(answer: &Answer, best: &Evaluation, verdict: &Verdict) -> Sheet {
    let taught = lesson(&answer.brief, &answer.compiled, best);
    let mut sheet = of_order(&answer.brief, &answer.compiled, &taught, verdict);
    sheet.opening.extend(own_order(answer, best, verdict));
    sheet.opening.push(Line::plain(totals(&taught)));
    sheet.opening.extend(minutes(&taught));
    sheet.opening.push(match &answer.as_given {
        Some(given) => saved(
            &savings((&answer.compiled, &given.found), (&answer.compiled, best)),
            given.proven,
        ),
        None => Line::plain("What it saves over the list as given could not be worked out."),
    });
    let tone = match verdict {
        Verdict::Best => Tone::Good,
        Verdict::AtMost { .. }
        | Verdict::Impossible
        | Verdict::Unsettled { .. }
        | Verdict::Disagreement(_)
        | Verdict::TooLarge(_) => Tone::Heed,
    };
    sheet.opening.push(Line::toned(tone, said(answer, verdict)));
    if matches!(verdict, Verdict::AtMost { .. }) {
        let least = fewest(&answer.compiled.problem);
        sheet.opening.extend(least.map(Line::plain));
    }
    sheet
}

/// The sheet where there is no order to show.
fn without_order(answer: &Answer, verdict: &Verdict) -> Sheet {
    let mut sheet = blank(&answer.brief, &answer.compiled);
    sheet
        .opening
        .push(Line::toned(Tone::Wrong, sentence(verdict)));
    if let Some(conflict) = &answer.conflict {
        let relaxations = answer.relaxations.as_ref();
        sheet.after.extend(eased::sections(
            &answer.compiled,
            conflict,
            relaxations,
            answer.interrupted,
        ));
    }
    let broken: Vec<Line> = answer
        .as_given
        .iter()
        .flat_map(|given| &given.found.broken)
        .map(|&k| {
            Line::toned(
                Tone::Wrong,
                crate::explain::words::sentence(&answer.compiled, k),
            )
        })
        .collect();
    let heading = match &answer.as_given {
        Some(given) if !given.proven => "Your own order breaks, with the set-ups found for it",
        Some(_) | None => "Your own order breaks",
    };
    push(&mut sheet.after, heading, broken);
    push(
        &mut sheet.after,
        "Whatever the order",
        whatever_the_order(&answer.compiled)
            .iter()
            .map(Line::plain)
            .collect(),
    );
    sheet
}

fn before_the_class(compiled: &Compiled, lesson: &Lesson) -> Vec<Section> {
    let mut sections = Vec::new();
    let mut set = vec![Line::plain(capital(&lesson.start.join("; ")))];
    set.extend(
        lesson
            .start_position
            .as_ref()
            .map(|p| Line::plain(format!("Starting position: {p}"))),
    );
    push(&mut sections, "Set the machines", set);
    let things = lesson.lay_out.iter().map(|t| Line::plain(capital(t)));
    push(&mut sections, "Lay out", things.collect());
    let notes = compiled.apparatus.notes.iter();
    push(
        &mut sections,
        "About this machine",
        notes.map(|n| Line::plain(capital(n))).collect(),
    );
    push(&mut sections, "In the room", conditions(&lesson.conditions));
    let mut care: Vec<Line> = lesson.machine.iter().map(Line::plain).collect();
    if !lesson.conditions.is_empty() {
        care.push(Line::toned(Tone::Heed, STANDING));
    }
    push(&mut sections, "Take care", care);
    sections
}

/// The rows of a lesson.
pub fn rows(lesson: &Lesson) -> Vec<SheetRow> {
    lesson.rows.iter().map(|r| sheet_row(lesson, r)).collect()
}

/// The key of a machine's springs.
pub fn key(classes: &[SpringClass]) -> Vec<SpringKey> {
    let load = |load: f64| {
        let text = format!("{load:.2}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    (classes.iter())
        .map(|c| SpringKey {
            label: c.label.clone(),
            class: c.name.clone(),
            count: c.count,
            load: load(c.load),
        })
        .collect()
}

/// Springs beside those on the row, in words.
fn other(beside: &Beside) -> OtherSprings {
    OtherSprings {
        springs: beside.springs.clone(),
        effect: beside.effect.to_owned(),
    }
}

/// What to offer at a place for each condition in the room.
fn options(lesson: &Lesson, place: usize) -> Vec<String> {
    let mut found = Vec::new();
    for condition in &lesson.conditions {
        for touched in &condition.touched {
            if touched.places.contains(&place) {
                let offer = offer::said(&touched.options);
                found.push(format!("{}: {offer}", capital(&condition.condition)));
            }
        }
    }
    found
}

/// Layers one by one: what all do, then what is added, or only offered.
fn layers(done: &[Done]) -> Vec<String> {
    if done.len() < 2 {
        return Vec::new();
    }
    (done.iter().enumerate())
        .map(|(i, d)| {
            let lead = match (i, d.offered) {
                (0, false) => "All",
                (0, true) => "If you like",
                (_, false) => "Add",
                (_, true) => "Stay here, or add",
            };
            let grip = if d.grip.is_empty() {
                String::new()
            } else {
                format!(", {}", d.grip)
            };
            format!("{lead}: {} {}{grip}", d.layer, d.amount)
        })
        .collect()
}

/// Notes for different bodies as lines.
fn bodies(notes: &BodyNotes) -> Vec<String> {
    [
        ("Tall", &notes.tall),
        ("Short", &notes.short),
        ("Long ropes", &notes.long_ropes),
        ("Short ropes", &notes.short_ropes),
        ("Contact", &notes.contact),
    ]
    .into_iter()
    .filter(|(_, text)| !text.is_empty())
    .map(|(who, text)| format!("{who}: {text}"))
    .collect()
}

fn sheet_row(lesson: &Lesson, row: &Row) -> SheetRow {
    let mut name = row.movement.clone();
    if !side(row.side).is_empty() {
        name.push_str(&format!(", {}", side(row.side)));
    }
    if row.round > 1 {
        name.push_str(&format!(", round {}", row.round));
    }
    let mut setting = vec![row.position.clone()];
    setting.extend(row.facets.iter().cloned());
    setting.extend(row.block.as_ref().map(|b| format!("part of {b}")));
    let mut marks = Vec::new();
    if row.breather {
        marks.push("an added rest".to_owned());
    }
    marks.extend(row.borrowed.as_ref().map(borrowed));
    for condition in &lesson.conditions {
        if condition
            .touched
            .iter()
            .any(|t| t.places.contains(&row.place))
        {
            marks.push(format!("care: {}", condition.condition));
        }
    }
    SheetRow {
        before: transition(&row.before),
        clock: clock(row.start),
        place: row.place,
        name,
        movement: row.movement.clone(),
        side: side(row.side).to_owned(),
        round: row.round,
        amount: amount(&row.done),
        layers: layers(&row.done),
        lighter: row.lighter.as_ref().map(other),
        heavier: row.heavier.as_ref().map(other),
        options: options(lesson, row.place),
        bodies: bodies(&row.notes),
        springs: row.springs.clone(),
        setting,
        marks,
        teaching: row.cues.clone(),
    }
}

/// How a mark of unusual springs begins.
pub const UNUSUAL: &str = "not the usual springs";

/// How unusual springs are marked.
pub fn borrowed(b: &Borrowed) -> String {
    format!("{UNUSUAL} ({}): {}", b.preferred, b.effect)
}

fn amount(done: &[Done]) -> String {
    let parts: Vec<String> = done
        .iter()
        .map(|d| {
            let mut text = d.amount.clone();
            if !d.layer.is_empty() {
                text = format!("{} {text}", d.layer);
            }
            if d.offered {
                text.push_str(" (offered)");
            }
            if !d.grip.is_empty() {
                text.push_str(&format!(", {}", d.grip));
            }
            text
        })
        .collect();
    parts.join("; then ")
}

/// A change-over on the sheet.
pub fn transition(changeover: &Changeover) -> Transition {
    let mut cues: Vec<String> = changeover.cues.iter().map(Cue::said).collect();
    let mut machine: Vec<String> = (changeover.cues.iter())
        .filter(|c| c.at_a_glance)
        .map(Cue::said)
        .collect();
    cues.extend(changeover.spotted.mark());
    machine.extend(changeover.spotted.mark());
    Transition {
        stop: changeover.stop,
        time: if changeover.time == 0 {
            String::new()
        } else {
            length(changeover.time)
        },
        cues,
        machine,
    }
}

fn after_the_class(
    brief: &Brief,
    compiled: &Compiled,
    lesson: &Lesson,
    verdict: &Verdict,
) -> Vec<Section> {
    let mut sections = Vec::new();
    push(
        &mut sections,
        PUT_BACK,
        lesson
            .put_back
            .iter()
            .map(|c| Line::plain(capital(c)))
            .collect(),
    );
    let mut rules = rules(&lesson.rule_reports);
    let unmet = unmet(&lesson.rule_reports);
    if !unmet.is_empty() {
        let total: f64 = unmet.iter().map(|u| u.seconds).sum();
        let broken = lesson
            .rule_reports
            .iter()
            .filter(|f| !f.must && !f.kept())
            .count();
        let mut text = format!(
            "{} not kept, counted as {} s.",
            count(
                i64::try_from(broken).expect("a class has few rules"),
                "rule that may give way is",
                "rules that may give way are",
            ),
            total.round()
        );
        if *verdict == Verdict::Best {
            text.push_str(
                " No order that keeps more of them counts better; `need = \"must\"` makes a rule hold.",
            );
        }
        rules.push(Line::plain(text));
    }
    push(&mut sections, "Rules", rules);
    let lacking = whatever_the_order(compiled).iter();
    push(
        &mut sections,
        "What the list lacks",
        lacking
            .map(|text| Line::toned(Tone::Heed, capital(text)))
            .collect(),
    );
    told(&mut sections, compiled, &brief.assumed);
    sections
}

/// What was left out or assumed.
pub fn told(sections: &mut Vec<Section>, compiled: &Compiled, assumed: &[String]) {
    let left_out = compiled.class.left_out.iter();
    push(
        sections,
        "Left out",
        left_out
            .map(|t| Line::toned(Tone::Heed, capital(t)))
            .collect(),
    );
    let mut texts: Vec<&String> = assumed.iter().chain(&compiled.class.assumed).collect();
    let mut seen = Vec::new();
    texts.retain(|t| {
        let new = !seen.contains(t);
        seen.push(*t);
        new
    });
    push(
        sections,
        "Assumptions",
        texts.into_iter().map(|t| Line::plain(capital(t))).collect(),
    );
}
