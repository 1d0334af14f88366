//! `[rules]` of a brief: whether each rule must hold, should hold or is off, its weight and its figures.
//!
//! A rule with one setting is a word (`recovery = "must"`) or a table (`[rules.recovery]`); rules that may be given many times are
//! lists of tables (`[[rules.before]]`), read by [`crate::read::brief::orders`].

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::read::brief::list::Lists;
use crate::read::brief::need::{asked, need_word, regions};
use crate::read::brief::orders::orders;
use crate::read::brief::own::unknown_movement;
use crate::read::enough::ends_at;
use crate::read::index::Names;
use crate::read::spanned::Table;
use crate::rules::book::RuleBook;
use crate::rules::breathers::Breathers;
use crate::rules::longest_load::{LongestLoad, RegionLimit};
use crate::rules::need::{Asked, WEIGHT_CAN_HURT, WEIGHT_OTHER};

/// Seconds for each MET-minute outside of the part, where a brief asks for an effort arc (common practice, no source).
const EFFORT_WEIGHT: f64 = 5.0;
/// Sets a rule from its key, and gives its table, if it is one, for the figures.
fn rule<'a>(
    rules: &mut Table<'a>,
    key: &str,
    place: &mut Asked,
    weight: f64,
    log: &mut Vec<Diagnostic>,
) -> Option<Table<'a>> {
    let item = rules.get(key)?;
    if item.is_text() {
        *place = need_word(item, place, weight, log);
        return None;
    }
    let mut t = item.table(&format!("the rule `{key}`"), log)?;
    *place = asked(&mut t, place, weight, log);
    Some(t)
}

/// Reads all rules into the book.
pub fn rules(
    mut t: Table<'_>,
    book: &mut RuleBook,
    lists: &Lists<'_, '_>,
    catalogue: &Catalogue,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) {
    plain_rules(&mut t, book, log);
    figures(&mut t, book, log);
    longest_load(&mut t, &mut book.longest_load, log);
    orders(&mut t, book, lists, catalogue, machines, log);
    t.finish(log);
}

/// Rules without figures.
fn plain_rules(t: &mut Table<'_>, book: &mut RuleBook, log: &mut Vec<Diagnostic>) {
    for (key, place, weight) in [
        ("sides_equal", &mut book.sides_equal.asked, WEIGHT_OTHER),
        ("first_side", &mut book.first_side.asked, WEIGHT_OTHER),
        ("blocks", &mut book.blocks.asked, WEIGHT_OTHER),
        ("preparation", &mut book.preparation.asked, WEIGHT_CAN_HURT),
        ("easier_first", &mut book.easier_first.asked, WEIGHT_OTHER),
        ("fits", &mut book.fits.asked, WEIGHT_OTHER),
    ] {
        if let Some(table) = rule(t, key, place, weight, log) {
            table.finish(log);
        }
    }
}

/// Rules with a few figures.
fn figures(t: &mut Table<'_>, book: &mut RuleBook, log: &mut Vec<Diagnostic>) {
    for (key, place, minutes) in [
        (
            "warm_up",
            &mut book.warm_up.asked,
            &mut book.warm_up.minutes,
        ),
        (
            "cool_down",
            &mut book.cool_down.asked,
            &mut book.cool_down.minutes,
        ),
    ] {
        if let Some(mut table) = rule(t, key, place, WEIGHT_OTHER, log) {
            *minutes = table
                .number("minutes", 0.0..=120.0, log)
                .map(|m| m.value)
                .or(*minutes);
            table.finish(log);
        }
    }
    let paired = &mut book.sides_paired;
    if let Some(mut table) = rule(t, "sides_paired", &mut paired.asked, WEIGHT_OTHER, log) {
        if let Some(n) = table.whole("within", 0..=50, log) {
            paired.within = n.value;
        }
        table.finish(log);
    }
    let rounds = &mut book.rounds;
    if let Some(mut table) = rule(t, "rounds", &mut rounds.sequence, WEIGHT_OTHER, log) {
        if let Some(item) = table.get("apart") {
            rounds.apart = need_word(item, &rounds.apart, WEIGHT_OTHER, log);
        }
        table.finish(log);
    }
    let bend = &mut book.counterpose;
    if let Some(mut table) = rule(t, "counterpose", &mut bend.asked, WEIGHT_CAN_HURT, log) {
        for (key, degree) in [
            ("extension", &mut bend.extension),
            ("flexion", &mut bend.flexion),
        ] {
            if let Some(n) = table.whole(key, 1..=3, log) {
                *degree = u8::try_from(n.value).expect("a degree is at most 3");
            }
        }
        if let Some(n) = table.whole("within", 1..=50, log) {
            bend.within = n.value;
        }
        table.finish(log);
    }
    let rest = &mut book.recovery;
    if let Some(mut table) = rule(t, "recovery", &mut rest.asked, WEIGHT_CAN_HURT, log) {
        for (key, most, place) in [
            ("load", 1.0, &mut rest.load),
            ("seconds", 3600.0, &mut rest.seconds),
        ] {
            if let Some(n) = table.number(key, 0.0..=most, log) {
                *place = n.value;
            }
        }
        table.finish(log);
    }
    let arc = &mut book.effort_arc;
    if let Some(mut table) = rule(t, "effort_arc", &mut arc.asked, EFFORT_WEIGHT, log) {
        arc.mets = table
            .number("mets", 1.0..=15.0, log)
            .map(|m| m.value)
            .or(arc.mets);
        for (key, place) in [("from", &mut arc.from), ("to", &mut arc.to)] {
            if let Some(part) = table.number(key, 0.0..=1.0, log) {
                *place = per_mille(part.value);
            }
        }
        if arc.from >= arc.to {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                table.span(),
                "the part of the class for the hardest steps ends before it begins",
                "from, then to",
                "write `from` smaller than `to`, as fractions of the class (0.3 and 0.8)",
            ));
        }
        table.finish(log);
    }
}

/// A fraction between 0 and 1 in thousandths.
fn per_mille(fraction: f64) -> u32 {
    (fraction * 1000.0).round() as u32
}

/// `[rules.longest_load]`: `need`, `weight`, `seconds`, `rest` for the regions watched unasked (the wrists), `load` for all, and
/// `regions` for more: a list of `{ region, seconds, rest, need, weight }`.
fn longest_load(rules: &mut Table<'_>, longest: &mut LongestLoad, log: &mut Vec<Diagnostic>) {
    let mut need = longest
        .regions
        .first()
        .map_or_else(|| Asked::prefer(WEIGHT_CAN_HURT), |r| r.asked.clone());
    let written = rules.has("longest_load");
    let table = rule(rules, "longest_load", &mut need, WEIGHT_CAN_HURT, log);
    if written {
        for region in &mut longest.regions {
            region.asked = need.clone();
        }
    }
    let Some(mut t) = table else { return };
    if let Some(load) = t.number("load", 0.0..=1.0, log) {
        longest.load = load.value;
    }
    for region in &mut longest.regions {
        if let Some(s) = t.number("seconds", 1.0..=3600.0, log) {
            region.seconds = s.value;
        }
        if let Some(s) = t.number("rest", 0.0..=3600.0, log) {
            region.rest = s.value;
        }
    }
    for mut more in t.tables("regions", "a region of the longest load", log) {
        let region = more
            .require("region", log)
            .and_then(|i| i.word("region of the body", &regions(), log));
        let seconds = more
            .require("seconds", log)
            .and_then(|i| i.number(1.0..=3600.0, log));
        let rest = more.number("rest", 0.0..=3600.0, log);
        let asked = asked(&mut more, &need, WEIGHT_CAN_HURT, log);
        more.finish(log);
        let (Some(region), Some(seconds)) = (region, seconds) else {
            continue;
        };
        longest.regions.retain(|r| r.region != region.value);
        longest.regions.push(RegionLimit {
            region: region.value.to_owned(),
            seconds: seconds.value,
            rest: rest.map_or(20.0, |r| r.value),
            asked,
        });
    }
    t.finish(log);
}

/// `breathers = 0`, or `[breathers] movements, copies, penalty`.
pub fn breathers(root: &mut Table<'_>, names: &Names<'_>, log: &mut Vec<Diagnostic>) -> Breathers {
    let mut found = Breathers::default();
    let Some(item) = root.get("breathers") else {
        return found;
    };
    found.span = Some(item.span());
    let most = 0..=6;
    if item.is_number() {
        if let Some(n) = item.whole(most, log) {
            found.copies = n.value;
        }
        return found;
    }
    let Some(mut t) = item.table("the breathers", log) else {
        return found;
    };
    for name in t.names("movements", log) {
        if ends_at(|| name.span.clone(), log) {
            break;
        }
        match names.movement(&name.value) {
            Ok(m) if m.sides == crate::model::movement::Sides::Each => {
                log.push(Diagnostic::mistake(
                    Code::OutOfRange,
                    name.span.clone(),
                    format!("{} is done on each side, so it is no short rest", m.name),
                    "has two sides",
                    "name a movement that is done once",
                ));
            }
            Ok(m) if found.movements.contains(&m.id) => {}
            Ok(m) => found.movements.push(m.id.clone()),
            Err(near) => log.push(unknown_movement(&name, &near)),
        }
    }
    if let Some(n) = t.whole("copies", most, log) {
        found.copies = n.value;
    }
    if let Some(s) = t.number("penalty", 0.0..=3600.0, log) {
        found.penalty = s.value;
    }
    t.finish(log);
    found
}
