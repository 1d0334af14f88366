//! One movement of the catalogue on paper, and its one line in a list.

use super::section::{Line, Section, push};
use crate::lesson::wording::capital;
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::caution::STANDING;
use crate::model::condition;
use crate::model::movement::{
    LoadSide, MoreSprings, Movement, Phase, RepUnit, Sides, Spine, SpringNeed,
};

/// A phase on paper.
pub fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::WarmUp => "warm-up",
        Phase::Main => "main",
        Phase::CoolDown => "cool-down",
    }
}

/// A spinal action on paper.
pub fn spine(action: Spine) -> &'static str {
    match action {
        Spine::Flexion => "rounding",
        Spine::Extension => "back bending",
        Spine::Rotation => "twisting",
        Spine::SideBend => "bending to the side",
    }
}

/// How far an action goes.
fn degree(n: u8) -> &'static str {
    match n {
        0 => "none",
        1 => "a little",
        2 => "clearly",
        _ => "deep",
    }
}

/// Springs that a movement asks for, in words.
pub fn springs(need: &SpringNeed) -> String {
    match need {
        SpringNeed::Any { free: true } => "any springs, or none".into(),
        SpringNeed::Any { free: false } => "any springs that are safe".into(),
        SpringNeed::Range { from, to, prefer } => {
            format!("load {from} to {to}, best {prefer}")
        }
        SpringNeed::Locked => "all springs on, the carriage does not move".into(),
        SpringNeed::Sets(sets) => {
            let words: Vec<String> = sets
                .iter()
                .map(|set| {
                    let parts: Vec<String> =
                        set.iter().map(|(name, n)| format!("{n} {name}")).collect();
                    if parts.is_empty() {
                        "no springs".into()
                    } else {
                        parts.join(" + ")
                    }
                })
                .collect();
            words.join(", or ")
        }
    }
}

/// The load that a movement prefers on a machine, in load units; `None` where it does not care or the carriage is locked.
pub fn preferred_load(movement: &Movement, machine: &Apparatus) -> Option<f64> {
    match &movement.springs {
        SpringNeed::Range { prefer, .. } => Some(*prefer),
        SpringNeed::Sets(sets) => sets
            .iter()
            .find_map(|set| machine.spring_set(set))
            .map(|set| set.load(&machine.springs.classes)),
        SpringNeed::Any { .. } | SpringNeed::Locked => None,
    }
}

/// One line of a list: name, phases, level, springs.
pub fn line(movement: &Movement) -> String {
    let phases: Vec<&str> = movement.phases.iter().map(|&p| phase(p)).collect();
    format!(
        "{}; {}; level {}; {}",
        movement.name,
        phases.join(" or "),
        movement.level,
        springs(&movement.springs)
    )
}

/// All that the catalogue says about a movement.
pub fn card(movement: &Movement, catalogue: &Catalogue, machines: &[Apparatus]) -> Vec<Section> {
    let mut sections = Vec::new();
    let mut about = Vec::new();
    if !movement.how.is_empty() {
        about.push(Line::plain(movement.how.clone()));
    }
    if !movement.other_names.is_empty() {
        about.push(Line::plain(format!(
            "Also: {}",
            movement.other_names.join(", ")
        )));
    }
    let phases: Vec<&str> = movement.phases.iter().map(|&p| phase(p)).collect();
    about.push(Line::plain(format!(
        "For: {}; level {} of 3; effort {} METs",
        phases.join(" or "),
        movement.level,
        movement.effort
    )));
    about.push(Line::plain(match movement.sides {
        Sides::Both => "Both sides at once",
        Sides::Alternating => "Both sides by turns",
        Sides::Each => "Each side on its own",
    }));
    push(
        &mut sections,
        &format!("{} ({})", movement.name, movement.id),
        about,
    );
    push(&mut sections, "Set-up", set_up(movement, machines));
    push(&mut sections, "How often", amounts(movement));
    push(&mut sections, "Body", body(movement));
    let names = |ids: &[String]| -> Vec<String> {
        ids.iter()
            .map(|id| catalogue.get(id).map_or(id.clone(), |m| m.name.clone()))
            .collect()
    };
    let mut links = Vec::new();
    for (what, ids) in [
        ("Class by", &movement.prepared_by),
        ("Easier", &movement.easier),
        ("Harder", &movement.harder),
    ] {
        if !ids.is_empty() {
            links.push(Line::plain(format!("{what}: {}", names(ids).join(", "))));
        }
    }
    push(&mut sections, "Goes with", links);
    let mut teaching: Vec<Line> = movement.cues.iter().map(Line::plain).collect();
    let notes = &movement.notes;
    for (what, text) in [
        ("Tall", &notes.tall),
        ("Short", &notes.short),
        ("Long ropes", &notes.long_ropes),
        ("Short ropes", &notes.short_ropes),
        ("Contact", &notes.contact),
    ] {
        if !text.is_empty() {
            teaching.push(Line::plain(format!("{what}: {text}")));
        }
    }
    push(&mut sections, "To say", teaching);
    push(&mut sections, "Care", care(movement));
    let cannot: Vec<Line> = machines
        .iter()
        .filter_map(|m| {
            let reasons = m.cannot_serve(movement);
            (!reasons.is_empty())
                .then(|| Line::plain(format!("Not on {}: {}", m.name, reasons.join("; "))))
        })
        .collect();
    push(&mut sections, "Machines", cannot);
    sections
}

/// What calls for care, for whom, and that it clears nobody.
fn care(movement: &Movement) -> Vec<Line> {
    let mut lines: Vec<Line> = (movement.cautions.iter())
        .map(|&caution| {
            let who: Vec<&str> = condition::all()
                .filter(|c| c.touches(caution))
                .map(|c| c.name)
                .collect();
            let mut line = Line::plain(format!(
                "{}: {}",
                capital(caution.word()),
                caution.wording()
            ));
            line.under = vec![format!("For: {}", who.join("; "))];
            line
        })
        .collect();
    if !lines.is_empty() {
        lines.push(Line::plain(STANDING));
    }
    lines
}

fn set_up(movement: &Movement, machines: &[Apparatus]) -> Vec<Line> {
    let mut lines = vec![Line::plain(format!(
        "Springs: {}",
        springs(&movement.springs)
    ))];
    let more = if movement.more_springs_note.is_empty() {
        match movement.more_springs {
            MoreSprings::Harder => "harder",
            MoreSprings::Steadier => "easier or steadier",
            MoreSprings::Both => "harder for the limbs, steadier for the trunk",
            MoreSprings::Neither => "no difference",
        }
    } else {
        &movement.more_springs_note
    };
    lines.push(Line::plain(format!("More springs: {more}")));
    for need in &movement.facets {
        let name = machines
            .iter()
            .find_map(|m| m.facet(&need.facet).map(|k| m.facets[k].name.as_str()))
            .unwrap_or(&need.facet);
        lines.push(Line::plain(format!(
            "{}: {}",
            capital(name),
            need.allowed.join(", or ")
        )));
    }
    lines.push(Line::plain(if movement.start == movement.end {
        format!("Position: {}", movement.start)
    } else {
        format!("From {} to {}", movement.start, movement.end)
    }));
    lines
}

fn amounts(movement: &Movement) -> Vec<Line> {
    let mut lines: Vec<Line> = movement
        .layers
        .iter()
        .map(|layer| {
            let r = &layer.repetitions;
            let unit = match r.unit {
                RepUnit::Repetition => "",
                RepUnit::Breath => " breaths",
                RepUnit::Second => " s of hold",
            };
            let way = if r.each_way { " each way" } else { "" };
            let offered = if layer.offered { ", offered" } else { "" };
            Line::plain(format!(
                "{}: {} usually, {} to {}{unit}{way}; {} s each{offered}",
                capital(&layer.name),
                r.usual,
                r.fewest,
                r.most,
                r.seconds
            ))
        })
        .collect();
    lines.push(Line::plain(format!(
        "To teach: {} s, {} s again",
        movement.teach, movement.teach_again
    )));
    lines
}

fn body(movement: &Movement) -> Vec<Line> {
    let mut lines: Vec<Line> = movement
        .spine
        .iter()
        .map(|&(action, n)| Line::plain(format!("{}: {}", capital(spine(action)), degree(n))))
        .collect();
    if lines.is_empty() {
        lines.push(Line::plain("The spine stays neutral"));
    }
    let loads: Vec<String> = movement
        .loads
        .iter()
        .map(|l| {
            let on = match (movement.sides, l.on) {
                (Sides::Each, LoadSide::Working) => " (working side)",
                (Sides::Each, LoadSide::Other) => " (other side)",
                (Sides::Each, LoadSide::Both) | (Sides::Both | Sides::Alternating, _) => "",
            };
            format!("{}{on} {:.0} %", l.region, l.fraction * 100.0)
        })
        .collect();
    if !loads.is_empty() {
        lines.push(Line::plain(format!("Works: {}", loads.join(", "))));
    }
    lines
}
