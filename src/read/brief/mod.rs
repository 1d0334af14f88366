//! A brief in TOML to a [`Brief`]. The keys are the words of the trade; the scenarios show each of them.

pub(in crate::read) mod conditions;
pub(in crate::read) mod counted;
pub(in crate::read) mod figures;
pub mod heard;
pub(in crate::read) mod instead;
pub mod list;
pub(in crate::read) mod nearer;
pub(in crate::read) mod need;
pub(in crate::read) mod orders;
pub mod own;
pub(in crate::read) mod rules;
pub(in crate::read) mod targets;
pub(in crate::read) mod weeks;

use std::sync::Arc;

use crate::brief::{Brief, EndSetup, Length, Pace, Priority};
use crate::diagnostic::{Code, Diagnostic, Read, Severity};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::FacetNeed;
use crate::problem::step::Side;
use crate::read::brief::conditions::conditions;
use crate::read::brief::counted::too_many;
use crate::read::brief::list::{Lists, SIDES};
use crate::read::brief::own::{check_facets, own_movements};
use crate::read::brief::rules::{breathers, rules};
use crate::read::catalogue::fields::facet_needs;
use crate::read::enough::ended;
use crate::read::machine::springs::{Machines, counts};
use crate::read::names;
use crate::read::slips::sort_by_place;
use crate::read::spanned::{At, Document, Item, Table, unknown_word};
use crate::rules::book::RuleBook;
use crate::source::{Source, Span};

/// What a brief is read against.
#[derive(Debug, Clone)]
pub struct Known {
    /// The movements.
    pub catalogue: Catalogue,
    /// The machines; the first is the default.
    pub apparatus: Vec<Apparatus>,
    /// Files of the user's own with blocks and series kept by name, the nearest group of them first.
    pub kept_blocks: Vec<Vec<Arc<Source>>>,
}

const PRIORITIES: &[(&str, Priority)] = &[
    ("changes", Priority::Changes),
    ("time", Priority::Time),
    ("balanced", Priority::Balanced),
];
const PACES: &[(&str, Pace)] = &[
    ("beginners", Pace::Beginners),
    ("usual", Pace::Usual),
    ("regulars", Pace::Regulars),
];
const LENGTHS: &[(&str, Length)] = &[
    ("short", Length::Short),
    ("usual", Length::Usual),
    ("full", Length::Full),
];
/// The word for a class that ends as it began.
const AS_AT_THE_START: &str = "start";

/// Spread of one person's change-over times, as a fraction of their mean (common practice, no source).
const VARIATION: f64 = 0.25;
/// Seconds that one stop counts (common practice, no source).
const STOP_SECONDS: f64 = 15.0;
/// Penalty seconds for a load unit off the preferred load (common practice, no source).
const OFF_LOAD_SECONDS: f64 = 15.0;
/// Penalty seconds for another allowed value of a facet (common practice, no source).
const OFF_VALUE_SECONDS: f64 = 3.0;

/// Reads a brief in TOML. `apparatus`: plan on this machine, whatever the brief says. The value holds all that could be read.
pub fn brief(source: &Arc<Source>, known: &Known, apparatus: Option<&str>) -> Read<Brief> {
    let mut log = Vec::new();
    let document = Document::parse(source, &mut log);
    let value = class(&document, source, known, apparatus, &mut log);
    sort_by_place(&mut log);
    Read {
        value,
        diagnostics: log,
    }
}

/// The class that the tables of a brief say; `None` if there is more of something than any class has, or there are too many mistakes to go on.
pub fn class(
    document: &Document<'_>,
    source: &Arc<Source>,
    known: &Known,
    apparatus: Option<&str>,
    log: &mut Vec<Diagnostic>,
) -> Option<Brief> {
    let mut root = document.table("a brief");
    let beyond = too_many(&root);
    if document.is_refused() || !beyond.is_empty() {
        log.extend(beyond);
        return None;
    }
    let kept: Vec<(usize, Document<'_>)> = (known.kept_blocks.iter().enumerate())
        .flat_map(|(k, files)| files.iter().map(move |s| (k + 1, s)))
        .map(|(away, s)| (away, Document::parse(s, log)))
        .collect();
    let title = root.name("title", log);
    let mut class = blank(source, known);
    if let Some(title) = &title {
        class.title = title.value.clone();
        class.span = title.span.clone();
    }
    class.date = root.get("date").and_then(|i| i.date(log));
    class.minutes = root.number("minutes", 1.0..=600.0, log).map(|m| m.value);
    if let Some(room) = root.whole("room", 1..=200, log) {
        class.room = room.value;
    }
    if let Some(variation) = root.number("variation", 0.0..=2.0, log) {
        class.variation = variation.value;
    }
    let pace = root.get("pace");
    if let Some(p) = pace.and_then(|i| i.word("pace", PACES, log)) {
        class.pace = p.value;
    }
    let asked = root.name("apparatus", log);
    class.apparatus = machine(known, apparatus, asked.as_ref(), log);
    // Springs are written for the brief's own machine, whatever it is planned on; a slip in its name is in the log by now.
    let own = machine(known, None, asked.as_ref(), &mut Vec::new());
    let of = |id: &str| known.apparatus.iter().find(|m| m.id == id);
    let springs_on = of(&class.apparatus)
        .zip(of(&own))
        .map(|(on, written_for)| Machines { on, written_for });
    let priority = root.get("priority");
    if let Some(p) = priority.and_then(|i| i.word("priority", PRIORITIES, log)) {
        class.priority = p.value;
    }
    let side = root.get("first_side");
    class.first_side = side
        .and_then(|i| i.word("side", &SIDES[..2], log))
        .map(|s| s.value);
    let length = root.get("length");
    if let Some(l) = length.and_then(|i| i.word("length", LENGTHS, log)) {
        class.length = l.value;
    }
    costs(&mut root, &mut class, log);
    class.conditions = conditions(&mut root, log);
    class.end = root
        .get("end")
        .and_then(|i| end(i, &class.apparatus, springs_on, known, log));

    let mut catalogue = known.catalogue.clone();
    let own = own_movements(&mut root, &mut catalogue, &known.apparatus, log);
    class.assumed = own.assumed;
    let items = root.get("list").and_then(|i| i.list(log));
    let mut lists = Lists::new(&catalogue, &known.apparatus, springs_on);
    lists.unread = own.unread;
    lists.define(&mut root, 0, log);
    for (away, file) in &kept {
        let mut table = file.table("a file of blocks");
        lists.define(&mut table, *away, log);
        table.finish(log);
    }
    lists.read(items.as_deref().unwrap_or_default(), log);
    if lists.entries.is_empty() && !log.iter().any(Diagnostic::is_mistake) {
        log.push(Diagnostic::mistake(
            Code::EmptyList,
            class.span.clone(),
            "there is nothing on the list",
            "no movement here",
            "write `list = [\"...\"]` with at least one movement",
        ));
    }
    if ended(log) {
        return None;
    }
    class.rules.breathers = breathers(&mut root, &lists.names, log);
    if let Some(table) = root.get("rules").and_then(|i| i.table("the rules", log)) {
        rules(
            table,
            &mut class.rules,
            &lists,
            &catalogue,
            &known.apparatus,
            log,
        );
    }
    root.finish(log);
    (class.entries, class.blocks) = (lists.entries, lists.blocks);
    class.catalogue = catalogue;
    (!ended(log)).then_some(class)
}

/// A class of nothing with every default. Its title is the name of the file without folder and ending.
pub fn blank(source: &Arc<Source>, known: &Known) -> Brief {
    let file = source.name.rsplit(['/', '\\']).next().unwrap_or("");
    // What does not come from a file has no name of its own.
    let stem = file.rsplit_once('.').map_or("Class", |(stem, _)| stem);
    let first_line = source.text.lines().next().map_or(0, str::len);
    Brief {
        title: stem.replace(['-', '_'], " "),
        date: None,
        minutes: None,
        room: 1,
        variation: VARIATION,
        pace: Pace::default(),
        apparatus: known
            .apparatus
            .first()
            .map_or_else(String::new, |m| m.id.clone()),
        entries: Vec::new(),
        blocks: Vec::new(),
        priority: Priority::default(),
        stop_seconds: STOP_SECONDS,
        off_load_seconds: OFF_LOAD_SECONDS,
        off_value_seconds: OFF_VALUE_SECONDS,
        first_side: None::<Side>,
        length: Length::default(),
        conditions: Vec::new(),
        end: None,
        rules: RuleBook::default(),
        catalogue: known.catalogue.clone(),
        assumed: Vec::new(),
        span: Span::new(source, 0..first_line),
    }
}

/// The id of the machine: the one given from outside, else the brief's, else the first that is known; empty where a name is given that
/// is not known, so that nothing is read or judged for a machine that nobody meant.
pub fn machine(
    known: &Known,
    outside: Option<&str>,
    inside: Option<&At<String>>,
    log: &mut Vec<Diagnostic>,
) -> String {
    let ids: Vec<&str> = known.apparatus.iter().map(|m| m.id.as_str()).collect();
    let find = |name: &str| {
        let folded = names::fold(name);
        known
            .apparatus
            .iter()
            .find(|m| names::fold(&m.id) == folded || names::fold(&m.name) == folded)
    };
    let mut chosen = ids.first().map_or_else(String::new, |id| (*id).to_owned());
    if let Some(asked) = inside {
        match find(&asked.value) {
            Some(m) => chosen.clone_from(&m.id),
            None => {
                chosen.clear();
                log.push(unknown_word("machine", asked, &ids));
            }
        }
    }
    if let Some(asked) = outside {
        match find(asked) {
            Some(m) => chosen.clone_from(&m.id),
            None => {
                chosen.clear();
                log.push(Diagnostic {
                    severity: Severity::Mistake,
                    code: Code::UnknownName,
                    message: format!("there is no machine `{asked}`"),
                    labels: Vec::new(),
                    mend: format!("known: {}", ids.join(", ")),
                });
            }
        }
    }
    chosen
}

/// `[cost] stop, off_load, off_value`, in seconds.
fn costs(root: &mut Table<'_>, class: &mut Brief, log: &mut Vec<Diagnostic>) {
    let Some(mut t) = root.get("cost").and_then(|i| i.table("the costs", log)) else {
        return;
    };
    for (key, place) in [
        ("stop", &mut class.stop_seconds),
        ("off_load", &mut class.off_load_seconds),
        ("off_value", &mut class.off_value_seconds),
    ] {
        if let Some(seconds) = t.number(key, 0.0..=3600.0, log) {
            *place = seconds.value;
        }
    }
    t.finish(log);
}

/// `end = "start"` for the set-up with which the machine starts, or `[end] springs, facets, posture`.
fn end(
    item: Item<'_>,
    machine: &str,
    springs_on: Option<Machines<'_>>,
    known: &Known,
    log: &mut Vec<Diagnostic>,
) -> Option<EndSetup> {
    if item.is_text() {
        item.word("end", &[(AS_AT_THE_START, ())], log)?;
        let m = known.apparatus.iter().find(|m| m.id == machine)?;
        let classes = m.springs.classes.iter().map(|c| c.name.clone());
        let facets = m.facets.iter();
        return Some(EndSetup {
            springs: Some(classes.zip(m.springs.start.0.iter().copied()).collect()),
            facets: facets
                .map(|f| (f.key.clone(), f.values[f.start].clone()))
                .collect(),
            posture: None,
            span: Some(item.span()),
        });
    }
    let before = log.len();
    let mut t = item.table("the end of the class", log)?;
    let springs = t
        .get("springs")
        .zip(springs_on)
        .and_then(|(i, machines)| counts(i, machines, log));
    let facets_at = t.get("facets");
    let needs: Vec<FacetNeed> = facets_at
        .and_then(|i| facet_needs(i, log))
        .unwrap_or_default();
    let facets_at = facets_at.map_or_else(|| t.span(), |i| i.span());
    let posture = t.name("posture", log);
    check_facets(
        &needs,
        |text| {
            facets_at
                .place_of(text)
                .unwrap_or_else(|| facets_at.clone())
        },
        &known.apparatus,
        log,
    );
    let mut facets = Vec::new();
    for need in needs {
        match need.allowed.as_slice() {
            [value] => facets.push((need.facet, value.clone())),
            _ => log.push(Diagnostic::mistake(
                Code::OutOfRange,
                facets_at.clone(),
                format!(
                    "the class ends with one value of the facet `{}`",
                    need.facet
                ),
                "one value only",
                "write one value",
            )),
        }
    }
    if let Some(p) = &posture
        && !known.apparatus.iter().any(|m| m.postures.has(&p.value))
    {
        let known: Vec<&str> = known
            .apparatus
            .iter()
            .flat_map(|m| m.postures.postures.iter().map(|p| p.base.as_str()))
            .collect();
        log.push(unknown_word("position", p, &known));
    }
    let span = Some(t.span());
    t.finish(log);
    // What is wrong as written is not judged on the machine as well.
    (log.len() == before).then(|| EndSetup {
        springs,
        facets,
        posture: posture.map(|p| p.value),
        span,
    })
}
