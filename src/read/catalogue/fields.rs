//! The values of a movement's keys: springs, facets, loads, spine, repetitions, words.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::movement::{
    BodyNotes, FacetNeed, LoadSide, MoreSprings, Phase, RegionLoad, RepUnit, Repetitions, Sides,
    Spine, SpringNeed,
};
use crate::model::region::REGIONS;
use crate::read::names;
use crate::read::spanned::{Item, unknown_word};
use crate::source::Span;

/// Words for the ways of the sides.
pub const SIDES: &[(&str, Sides)] = &[
    ("both", Sides::Both),
    ("alternating", Sides::Alternating),
    ("each", Sides::Each),
];
/// Words for the phases.
pub const PHASES: &[(&str, Phase)] = &[
    ("warm-up", Phase::WarmUp),
    ("main", Phase::Main),
    ("cool-down", Phase::CoolDown),
];
/// Words for the actions of the spine.
pub const SPINES: &[(&str, Spine)] = &[
    ("flexion", Spine::Flexion),
    ("extension", Spine::Extension),
    ("rotation", Spine::Rotation),
    ("side bend", Spine::SideBend),
];
/// Words for what more springs do.
pub const MORE: &[(&str, MoreSprings)] = &[
    ("harder", MoreSprings::Harder),
    ("steadier", MoreSprings::Steadier),
    ("both", MoreSprings::Both),
    ("neither", MoreSprings::Neither),
];
const UNITS: &[(&str, RepUnit)] = &[
    ("repetitions", RepUnit::Repetition),
    ("breaths", RepUnit::Breath),
    ("seconds", RepUnit::Second),
];
const LOAD_SIDES: &[(&str, LoadSide)] = &[
    ("working", LoadSide::Working),
    ("other", LoadSide::Other),
    ("both", LoadSide::Both),
];

/// All values, or `None` if one of them is missing; every one is looked at, so that all mistakes are told.
pub fn every<T>(values: impl Iterator<Item = Option<T>>) -> Option<Vec<T>> {
    let all: Vec<Option<T>> = values.collect();
    all.into_iter().collect()
}

/// A text without its place.
pub fn plain_text(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<String> {
    item.text(log).map(|t| t.value)
}

/// Texts, or one.
pub fn plain_texts(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<String>> {
    every(item.one_or_more().iter().map(|i| plain_text(*i, log)))
}

/// Words of a closed list, or one.
pub fn words<T: Copy>(
    item: Item<'_>,
    what: &str,
    known: &[(&str, T)],
    log: &mut Vec<Diagnostic>,
) -> Option<Vec<T>> {
    let items = item.one_or_more();
    every(
        items
            .iter()
            .map(|i| i.word(what, known, log).map(|w| w.value)),
    )
}

/// `{ tall, short, long_ropes, short_ropes, contact }`.
pub fn body_notes(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<BodyNotes> {
    let mut table = item.table("the notes", log)?;
    let mut note = |key: &str| table.text(key, log).map_or_else(String::new, |t| t.value);
    let notes = BodyNotes {
        tall: note("tall"),
        short: note("short"),
        long_ropes: note("long_ropes"),
        short_ropes: note("short_ropes"),
        contact: note("contact"),
    };
    table.finish(log);
    Some(notes)
}

/// Springs: `"any"`, `"free"` (also none), `"locked"`, `{ from, to, prefer }` in load units, or a list of `{ class = count }`, the
/// first preferred.
pub fn spring_need(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<SpringNeed> {
    if item.is_text() {
        let words = [("any", 0_u8), ("free", 1), ("locked", 2)];
        let word = item.word("word for springs", &words, log);
        if let (None, Some(mistake)) = (&word, log.last_mut()) {
            "write any, free or locked, a load as `{ from = 2, to = 3, prefer = 2.5 }`, or springs as `{ heavy = 1, light = 1 }`"
                .clone_into(&mut mistake.mend);
        }
        return word.map(|w| match w.value {
            0 => SpringNeed::Any { free: false },
            1 => SpringNeed::Any { free: true },
            _ => SpringNeed::Locked,
        });
    }
    if item.is_list() {
        let sets = every(
            item.one_or_more()
                .iter()
                .map(|set| spring_counts(*set, log)),
        );
        return sets.filter(|s| !s.is_empty()).map(SpringNeed::Sets);
    }
    let mut table = item.table("the springs", log)?;
    let load = 0.0..=20.0;
    if !["from", "to", "prefer"].iter().any(|k| table.has(k)) {
        return spring_counts(item, log).map(|set| SpringNeed::Sets(vec![set]));
    }
    let from = table
        .require("from", log)
        .and_then(|i| i.number(load.clone(), log));
    let to = table
        .require("to", log)
        .and_then(|i| i.number(load.clone(), log));
    let prefer = table
        .require("prefer", log)
        .and_then(|i| i.number(load, log));
    table.finish(log);
    let (from, to, prefer) = (from?.value, to?.value, prefer?.value);
    if !(from <= prefer && prefer <= to) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            item.span(),
            format!("the preferred load {prefer} does not lie between {from} and {to}"),
            "from, then prefer, then to",
            "write `from` no greater than `prefer` and `prefer` no greater than `to`",
        ));
        return None;
    }
    Some(SpringNeed::Range { from, to, prefer })
}

/// `{ heavy = 1, light = 2 }`: counts by class.
pub fn spring_counts(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<(String, u32)>> {
    let mut table = item.table("a set of springs", log)?;
    every(
        table
            .entries()
            .into_iter()
            .map(|(class, count)| count.whole(0..=9, log).map(|n| (class.value, n.value))),
    )
}

/// `{ bar = "high", head = ["up", "down"] }`: the first value is preferred.
pub fn facet_needs(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<FacetNeed>> {
    let mut table = item.table("the facets", log)?;
    every(table.entries().into_iter().map(|(facet, values)| {
        plain_texts(values, log).map(|allowed| FacetNeed {
            facet: facet.value,
            allowed,
        })
    }))
}

/// `{ quadriceps = 0.4, wrists = { fraction = 0.5, on = "other" } }`.
pub fn region_loads(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<RegionLoad>> {
    let mut table = item.table("the loads", log)?;
    every(table.entries().into_iter().map(|(region, load)| {
        if !REGIONS.iter().any(|r| r.name == region.value) {
            let known: Vec<&str> = REGIONS.iter().map(|r| r.name).collect();
            log.push(unknown_word("region of the body", &region, &known));
            return None;
        }
        let (fraction, on) = if load.is_table() {
            let mut t = load.table("a load", log)?;
            let fraction = t.require("fraction", log)?.number(0.0..=1.0, log);
            let on = match t.get("on") {
                Some(i) => i.word("side of a load", LOAD_SIDES, log)?.value,
                None => LoadSide::Working,
            };
            t.finish(log);
            (fraction?, on)
        } else {
            (load.number(0.0..=1.0, log)?, LoadSide::Working)
        };
        Some(RegionLoad {
            region: region.value,
            fraction: fraction.value,
            on,
        })
    }))
}

/// `{ flexion = 2, "side bend" = 1 }`: degrees 1 to 3; none named is a neutral spine.
pub fn spine_actions(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Vec<(Spine, u8)>> {
    let mut table = item.table("the spine", log)?;
    every(table.entries().into_iter().map(|(action, degree)| {
        let folded = names::fold(&action.value);
        let Some((_, spine)) = SPINES.iter().find(|(w, _)| names::fold(w) == folded) else {
            let known: Vec<&str> = SPINES.iter().map(|(w, _)| *w).collect();
            log.push(unknown_word("action of the spine", &action, &known));
            return None;
        };
        degree.whole(1..=3, log).map(|d| (*spine, d.value as u8))
    }))
}

/// `{ fewest, usual, most, seconds, unit, each_way }`.
pub fn repetitions(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Repetitions> {
    let place: Span = item.span();
    let mut t = item.table("the repetitions", log)?;
    let many = 1..=600;
    let fewest = t
        .require("fewest", log)
        .and_then(|i| i.whole(many.clone(), log));
    let usual = t
        .require("usual", log)
        .and_then(|i| i.whole(many.clone(), log));
    let most = t.require("most", log).and_then(|i| i.whole(many, log));
    let seconds = t
        .require("seconds", log)
        .and_then(|i| i.number(0.1..=600.0, log));
    let unit = match t.get("unit") {
        Some(i) => i.word("unit", UNITS, log).map(|u| u.value),
        None => Some(RepUnit::Repetition),
    };
    let each_way = t.truth("each_way", log).unwrap_or(false);
    t.finish(log);
    let (fewest, usual, most) = (fewest?.value, usual?.value, most?.value);
    if !(fewest <= usual && usual <= most) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            place,
            format!("fewest {fewest}, usual {usual} and most {most} do not rise"),
            "out of order",
            "write them so that each is at least the one before",
        ));
        return None;
    }
    Some(Repetitions {
        fewest,
        usual,
        most,
        unit: unit?,
        seconds: seconds?.value,
        each_way,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::spanned::Document;
    use crate::source::Source;
    use std::sync::Arc;

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: "own.toml".into(),
            text: text.into(),
        })
    }

    #[test]
    fn loads_out_of_range_springs_out_of_order_and_unknown_regions_are_refused() {
        let s = source(
            "a = { quadricep = 0.4 }\nb = { wrists = 1.4 }\nc = { from = 2, to = 1, prefer = 1.5 }\nd = \"sliding\"\n",
        );
        let mut log = Vec::new();
        let document = Document::parse(&s, &mut log);
        let mut t = document.table("a test");
        let mut item = |key: &str| t.get(key).expect("the key");
        assert!(region_loads(item("a"), &mut log).is_none());
        assert!(region_loads(item("b"), &mut log).is_none());
        assert!(spring_need(item("c"), &mut log).is_none());
        assert!(spring_need(item("d"), &mut log).is_none());
        let codes: Vec<Code> = log.iter().map(|d| d.code).collect();
        assert_eq!(
            codes,
            [
                Code::UnknownName,
                Code::OutOfRange,
                Code::OutOfRange,
                Code::UnknownName
            ]
        );
        assert_eq!(log[0].mend, "did you mean `quadriceps`?");
    }
}
