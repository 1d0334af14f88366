//! Explanations for programs, as JSON. Stable and versioned: `"segue_explain": 1`, `"segue_try": 1`.
//!
//! Units as in [`super::json`]: every key that ends in `seconds` is in seconds; places count from 1, steps from 0. Where a figure was not
//! settled in the time it is null, or `at_least` and `at_most` differ.
//!
//! | key of `explain` | holds |
//! | --- | --- |
//! | `segue_explain` | 1 |
//! | `plan` | everything that `plan --json` says |
//! | `interrupted` | whether somebody asked to stop before all of it was worked out |
//! | `rules` | what each rule costs, dearest first: `rule`, `line`, `demands`, `costs_at_least_seconds`, `costs_at_most_seconds`, and how the best order without it differs: `stops`, `changeover_seconds`, null where none was sought for it alone |
//! | `transitions` | `place` of the step after it, `from`, `to` (steps, null for start and end), `seconds`, `stop`, `moving_seconds`, `changes`, `kept_by` (sentences), `gone_without` (rules), `without_it` |
//! | `transitions.changes` | `what`, `from`, `to`, `seconds`, `needed_by` and `since` (steps), `ahead_of_time`, `serves_both` (a value or null), `serves_both_costs_seconds`, `others_could` |
//! | `transitions.without_it` | `"not sought"`, `"impossible"`, or `costs_at_least_seconds` and `costs_at_most_seconds` |
//! | `other_places` | `steps`, `block`, `place`, and `other_place`, `costs_seconds`, `stops`, `changeover_seconds`; or `breaks`, the demands that would break; or `open` |

use serde_json::{Value, json};

use super::explained::heading;
use super::json::{link, plan, seconds};
use crate::answer::explained::Explained;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::explain::difference::difference;
use crate::explain::elsewhere::{Elsewhere, Other};
use crate::explain::price::Price;
use crate::explain::savings::links;
use crate::explain::transition::{Avoided, Changed, Common, Transition};
use crate::explain::waste::{facet_name, value_name};
use crate::explain::words::sentence;
use crate::lesson::rule_report::{RuleReport, rule_reports};
use crate::score::Evaluation;

/// An explanation with its plan.
pub fn explanation(explained: &Explained) -> Value {
    let (answer, why) = (&explained.answer, &explained.why);
    let compiled = &answer.compiled;
    let best = answer.best.as_ref();
    let rule_reports = best.map_or_else(Vec::new, |best| rule_reports(compiled, best));
    let told = |f: &dyn Fn(&Evaluation) -> Vec<Value>| best.map_or_else(Vec::new, f);
    json!({
        "segue_explain": 1,
        "plan": plan(answer, None),
        "interrupted": explained.interrupted,
        "rules": told(&|best| why.prices.iter().map(|p| price(compiled, best, &rule_reports, p)).collect()),
        "transitions": told(&|_| {
            why.transitions
                .iter()
                .map(|t| transition(compiled, t, &rule_reports, &why.prices))
                .collect()
        }),
        "other_places": told(&|best| {
            why.elsewhere
                .iter()
                .map(|e| elsewhere(&answer.brief, compiled, best, e))
                .collect()
        }),
    })
}

fn price(compiled: &Compiled, best: &Evaluation, rule_reports: &[RuleReport], p: &Price) -> Value {
    let d = p
        .without
        .as_ref()
        .map(|without| difference((compiled, best), (compiled, without)));
    json!({
        "rule": heading(rule_reports, p),
        "line": p.line,
        "demands": p.demands,
        "costs_at_least_seconds": compiled.seconds_of(p.at_least),
        "costs_at_most_seconds": p.at_most.map(|c| compiled.seconds_of(c)),
        "stops": d.map(|d| d.stops),
        "changeover_seconds": d.map(|d| seconds(d.changeover)),
    })
}

fn transition(
    compiled: &Compiled,
    t: &Transition,
    rule_reports: &[RuleReport],
    prices: &[Price],
) -> Value {
    let gone: Vec<&str> = prices
        .iter()
        .filter(|p| p.is_tight())
        .filter(|p| {
            let has = |e: &Evaluation| {
                links(&e.timeline)
                    .iter()
                    .any(|l| (l.from, l.to) == (t.link.from, t.link.to) && l.stop >= t.link.stop)
            };
            p.without.as_ref().is_some_and(|e| !has(e))
        })
        .map(|p| heading(rule_reports, p))
        .collect();
    let mut value = link(&t.link);
    value["place"] = json!(t.place);
    value["moving_seconds"] = json!(seconds(t.way));
    value["changes"] = t.changed.iter().map(|c| change(compiled, c)).collect();
    value["kept_by"] = (t.tied_by.iter())
        .map(|&k| json!(sentence(compiled, k)))
        .collect();
    value["gone_without"] = json!(gone);
    value["without_it"] = match t.avoided {
        Avoided::NotSought => json!("not sought"),
        Avoided::Never => json!("impossible"),
        Avoided::Costs { at_least, at_most } => json!({
            "costs_at_least_seconds": compiled.seconds_of(at_least),
            "costs_at_most_seconds": at_most.map(|c| compiled.seconds_of(c)),
        }),
    };
    value
}

fn change(compiled: &Compiled, c: &Changed) -> Value {
    let value = |v| value_name(compiled, c.facet, v);
    let (serves, dearer) = match c.common {
        Common::Nothing => (None, None),
        Common::Value { value: v, dearer } => (Some(value(v)), Some(compiled.seconds_of(dearer))),
    };
    json!({
        "what": facet_name(compiled, c.facet),
        "from": value(c.from),
        "to": value(c.to),
        "seconds": seconds(c.time),
        "needed_by": c.needed_by,
        "since": c.since,
        "ahead_of_time": c.early,
        "serves_both": serves,
        "serves_both_costs_seconds": dearer,
        "others_could": c.others_could,
    })
}

fn elsewhere(brief: &Brief, compiled: &Compiled, best: &Evaluation, e: &Elsewhere) -> Value {
    let mut value = json!({
        "steps": e.unit.steps,
        "block": e.unit.block.map(|b| brief.blocks[b].name.clone()),
        "place": e.place,
        "open": e.other == Other::Open,
    });
    match &e.other {
        Other::Place { place, evaluation } => {
            let d = difference((compiled, evaluation), (compiled, best));
            value["other_place"] = json!(place);
            value["costs_seconds"] = json!(compiled.seconds_of(d.score));
            value["stops"] = json!(d.stops);
            value["changeover_seconds"] = json!(seconds(d.changeover));
        }
        Other::Breaks(demands) => value["breaks"] = json!(demands),
        Other::Nowhere | Other::Open => {}
    }
    value
}
