//! Rules of a brief that are given once: a word (`recovery = "must"`) or a table (`[rules.recovery]`) with figures.

use crate::diagnostic::{Code, Diagnostic};
use crate::read::brief::need::{asked, need_word, regions};
use crate::read::spanned::Table;
use crate::rules::counterpose::Counterpose;
use crate::rules::effort_arc::{EffortArc, SECONDS_PER_MET_MINUTE};
use crate::rules::ledger::RuleName;
use crate::rules::longest_load::{LongestLoad, RegionLimit};
use crate::rules::need::{Asked, WEIGHT_CAN_HURT, WEIGHT_OTHER};
use crate::rules::recovery::Recovery;
use crate::rules::rounds::Rounds;
use crate::rules::rule::Rule as _;
use crate::rules::sides::SidesPaired;

/// Sets a rule from its key, and gives its table, if it is one, for the figures. `weight`: of a `prefer` without one.
pub fn rule<'a>(
    rules: &mut Table<'a>,
    name: RuleName,
    place: &mut Asked,
    weight: f64,
    log: &mut Vec<Diagnostic>,
) -> Option<Table<'a>> {
    let item = rules.get(name.key)?;
    if item.is_text() {
        *place = need_word(item, place, weight, log);
        return None;
    }
    let mut t = item.table(&format!("the rule `{}`", name.key), log)?;
    *place = asked(&mut t, place, weight, log);
    Some(t)
}

/// A rule without figures.
pub fn plain(
    t: &mut Table<'_>,
    name: RuleName,
    place: &mut Asked,
    weight: f64,
    log: &mut Vec<Diagnostic>,
) {
    if let Some(table) = rule(t, name, place, weight, log) {
        table.finish(log);
    }
}

/// `[rules.warm_up] minutes`, and the same of the cool-down.
pub fn phase(
    t: &mut Table<'_>,
    name: RuleName,
    place: &mut Asked,
    minutes: &mut Option<f64>,
    log: &mut Vec<Diagnostic>,
) {
    if let Some(mut table) = rule(t, name, place, WEIGHT_OTHER, log) {
        *minutes = table
            .number("minutes", 0.0..=120.0, log)
            .map(|m| m.value)
            .or(*minutes);
        table.finish(log);
    }
}

/// `[rules.sides_paired] within`.
pub fn sides_paired(t: &mut Table<'_>, paired: &mut SidesPaired, log: &mut Vec<Diagnostic>) {
    if let Some(mut table) = rule(t, SidesPaired::NAME, &mut paired.asked, WEIGHT_OTHER, log) {
        if let Some(n) = table.whole("within", 0..=50, log) {
            paired.within = n.value;
        }
        table.finish(log);
    }
}

/// `[rules.rounds] apart`.
pub fn rounds(t: &mut Table<'_>, rounds: &mut Rounds, log: &mut Vec<Diagnostic>) {
    if let Some(mut table) = rule(t, Rounds::NAME, &mut rounds.sequence, WEIGHT_OTHER, log) {
        if let Some(item) = table.get("apart") {
            rounds.apart = need_word(item, &rounds.apart, WEIGHT_OTHER, log);
        }
        table.finish(log);
    }
}

/// `[rules.counterpose] extension, flexion, within`.
pub fn counterpose(t: &mut Table<'_>, bend: &mut Counterpose, log: &mut Vec<Diagnostic>) {
    if let Some(mut table) = rule(t, Counterpose::NAME, &mut bend.asked, WEIGHT_CAN_HURT, log) {
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
}

/// `[rules.recovery] load, seconds`.
pub fn recovery(t: &mut Table<'_>, rest: &mut Recovery, log: &mut Vec<Diagnostic>) {
    if let Some(mut table) = rule(t, Recovery::NAME, &mut rest.asked, WEIGHT_CAN_HURT, log) {
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
}

/// `[rules.effort_arc] mets, from, to`.
pub fn effort_arc(t: &mut Table<'_>, arc: &mut EffortArc, log: &mut Vec<Diagnostic>) {
    if let Some(mut table) = rule(
        t,
        EffortArc::NAME,
        &mut arc.asked,
        SECONDS_PER_MET_MINUTE,
        log,
    ) {
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
pub fn longest_load(rules: &mut Table<'_>, longest: &mut LongestLoad, log: &mut Vec<Diagnostic>) {
    let mut need = longest
        .regions
        .first()
        .map_or_else(|| Asked::prefer(WEIGHT_CAN_HURT), |r| r.asked.clone());
    let written = rules.has(LongestLoad::NAME.key);
    let table = rule(rules, LongestLoad::NAME, &mut need, WEIGHT_CAN_HURT, log);
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
