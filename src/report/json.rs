//! Everything about a plan or an audit for programs, as JSON. Stable and versioned: `"segue_plan": 1`, `"segue_check": 1`; when a version grows
//! is said in `src/guide/json.md`.
//!
//! Units: every key that ends in `seconds` is in seconds (decimals allowed), `clock` and `end` are seconds from the start of the class,
//! `load_units` are load units of springs, `score` and `bound` are in the units of the problem file (hundredths of a second where the weights
//! decide). Places count from 1, steps from 0 as in the problem file. Every key is described in `models/schema`.
//!
//! | key | holds |
//! | --- | --- |
//! | `segue_plan` | 1 |
//! | `title`, `date`, `machine`, `springs`, `people`, `minutes` | the class; `date` and `minutes` null if not given |
//! | `answer` | `"best"`, `"at most"`, `"impossible"`, `"unsettled"`, `"too large"` or `"disagreement"` |
//! | `better_by_at_most_seconds` | with `"at most"`: seconds, or null where nothing is known |
//! | `said` | the lines that open the sheet, as text |
//! | `own_order_will_do` | whether her own order is within a tenth of the best; null if that is not known, or `keeps_pairs` is a number |
//! | `keeps_pairs` | so many pairs of neighbours of her own order at least were to be kept, and `answer` is said of such orders; else null |
//! | `solution` | the solution file's fields; `conflict` holds the demands that cannot hold together, null if that was not settled |
//! | `as_given` | order, score, stops, change-over, broken demands of the list as given |
//! | `as_given_is_proven` | whether no set-ups for the list as given are cheaper; if not, `savings` may be overstated; null without `as_given` |
//! | `conflict`, `changes` | where no order exists, what cannot hold together and what would help: see [`super::eased_json`]; else null |
//! | `savings` | against the list as given; `gone`, `new`, `altered`: change-overs as `{from, to, seconds, stop}` with steps or null for start and end |
//! | `class` | the class as it is taught, null if there is no order: `start`, `lay_out`, `rows`, `reset`, `put_back`, totals, and the next two lines |
//! | `class.rules` | each rule: `rule`, `line` of the brief or null, `must`, `kept`, `demands`, `breaches` |
//! | `class.conditions`, `class.machine_cautions` | what calls for care |
//! | `other_machine` | with another machine asked for: what changed, first machine first; else null |
//! | `interrupted` | whether somebody asked to stop before all of it was worked out |
//! | `lacks`, `left_out`, `assumed`, `notes` | what the list lacks whatever the order, what was left out, taken over, noticed |

use serde_json::{Value, json};

use super::eased_json;
use super::sheet;
use crate::answer::class::Class;
use crate::answer::planned::{Answer, AsGiven};
use crate::compile::Compiled;
use crate::diagnostic::Diagnostic;
use crate::exchange::solution_file;
use crate::explain::machines::Comparison;
use crate::explain::savings::{Link, Savings, broken_wishes, savings};
use crate::explain::verdict::{Verdict, own_order_will_do, verdict};
use crate::explain::waste::there_and_back;
use crate::lesson::changeover::{Changeover, CueKind};
use crate::lesson::conditions::InTheRoom;
use crate::lesson::offer;
use crate::lesson::rule_report::{RuleReport, title};
use crate::lesson::setup_words::Beside;
use crate::lesson::{Lesson, Row, lesson};
use crate::problem::step::Side;
use crate::score::Evaluation;

/// A plan with everything that is known about it.
pub fn plan(answer: &Answer, compared: Option<&Comparison>) -> Value {
    let brief = &answer.brief;
    let compiled = &answer.compiled;
    let verdict = verdict(compiled, &answer.outcome);
    let sheet = sheet::sheet(answer);
    let said: Vec<&str> = sheet.opening.iter().map(|l| l.text.as_str()).collect();
    let taught = answer
        .best
        .as_ref()
        .map(|best| lesson(brief, compiled, best));
    let (name, at_most) = match &verdict {
        Verdict::Best => ("best", Some(0.0)),
        Verdict::AtMost { seconds, .. } => ("at most", *seconds),
        Verdict::Impossible => ("impossible", None),
        Verdict::Unsettled { .. } => ("unsettled", None),
        Verdict::Disagreement(_) => ("disagreement", None),
        Verdict::TooLarge(_) => ("too large", None),
    };
    let both = answer.best.as_ref().zip(answer.as_given.as_ref());
    let springs = compiled.apparatus.springs.classes.iter();
    let springs: Vec<Value> = springs
        .map(|c| json!({ "label": c.label, "class": c.name, "count": c.count, "load_units": c.load }))
        .collect();
    json!({
        "segue_plan": 1,
        "title": brief.title,
        "date": brief.date.map(|d| d.to_string()),
        "machine": { "id": compiled.apparatus.id, "name": compiled.apparatus.name },
        "springs": springs,
        "people": brief.room,
        "minutes": brief.minutes,
        "answer": name,
        "better_by_at_most_seconds": at_most,
        "said": said,
        "own_order_will_do": both.and_then(|(best, own)| will_do(answer, best, own)),
        "keeps_pairs": answer.keeps,
        "solution": solution(answer),
        "as_given": answer.as_given.as_ref().map(|given| scored(compiled, &given.found)),
        "as_given_is_proven": answer.as_given.as_ref().map(|given| given.proven),
        "conflict": answer.conflict.as_ref().map(|c| eased_json::conflict(compiled, c)),
        "changes": answer.relaxations.as_ref().map(eased_json::would_help),
        "savings": both.map(|(best, own)| saved(&savings((compiled, &own.found), (compiled, best)))),
        "class": taught.as_ref().map(taught_class),
        "lacks": compiled.unmet,
        "left_out": compiled.class.left_out,
        "assumed": assumed(brief.assumed.iter().chain(&compiled.class.assumed)),
        "notes": notes(&answer.notes),
        "other_machine": compared.map(comparison),
        "interrupted": answer.interrupted,
    })
}

/// Whether her own order will do; not known where the best, or cheaper set-ups for hers, may bring it nearer.
fn will_do(answer: &Answer, best: &Evaluation, own: &AsGiven) -> Option<bool> {
    let least = answer.outcome.bound.unwrap_or(0).min(best.score);
    if answer.keeps.is_some() {
        return None;
    }
    match own_order_will_do(least, &own.found) {
        true => Some(true),
        // The best is no dearer than the best that was found.
        false => (own.proven && !own_order_will_do(best.score, &own.found)).then_some(false),
    }
}

/// The solution file's fields, with what cannot hold together where there is no order.
fn solution(answer: &Answer) -> Value {
    let mut solution = solution_file::write(&answer.outcome, answer.best.as_ref());
    if let Some(conflict) = answer.conflict.as_ref().filter(|c| c.minimal) {
        solution["conflict"] = json!(conflict.demands);
    }
    solution
}

/// The audit of an order as written.
pub fn check(class: &Class, given: &AsGiven) -> Value {
    let evaluation = &given.found;
    let (brief, compiled) = (&class.brief, &class.compiled);
    let taught = lesson(brief, compiled, evaluation);
    let wasted: Vec<Value> = there_and_back(compiled, &evaluation.timeline)
        .into_iter()
        .map(|w| {
            json!({
                "facet": w.facet,
                "usual": w.usual,
                "between": w.between,
                "steps": w.steps,
                "seconds": seconds(w.time),
                "stop": w.stop,
            })
        })
        .collect();
    json!({
        "segue_check": 1,
        "title": brief.title,
        "machine": { "id": compiled.apparatus.id, "name": compiled.apparatus.name },
        "minutes": brief.minutes,
        "order": scored(&class.compiled, evaluation),
        "order_is_proven": given.proven,
        "wasted": wasted,
        "class": taught_class(&taught),
        "lacks": compiled.unmet,
        "left_out": compiled.class.left_out,
        "assumed": assumed(brief.assumed.iter().chain(&compiled.class.assumed)),
        "notes": notes(&class.notes),
    })
}

/// Hundredths to seconds.
pub(super) fn seconds(hundredths: i64) -> f64 {
    hundredths as f64 / 100.0
}

fn assumed<'a>(texts: impl Iterator<Item = &'a String>) -> Vec<&'a String> {
    let mut said: Vec<&String> = Vec::new();
    for text in texts {
        if !said.contains(&text) {
            said.push(text);
        }
    }
    said
}

fn notes(notes: &[Diagnostic]) -> Vec<Value> {
    notes
        .iter()
        .map(|d| {
            let place = d
                .labels
                .first()
                .map(|l| json!({ "source": l.span.source.name, "line": l.span.line() }));
            json!({ "message": d.message, "place": place })
        })
        .collect()
}

pub(super) fn scored(compiled: &Compiled, evaluation: &Evaluation) -> Value {
    json!({
        "order": evaluation.timeline.order,
        "setups": evaluation.timeline.setups,
        "score": evaluation.score,
        "stops": evaluation.stops,
        "changeover_seconds": seconds(evaluation.changeover),
        "finish_seconds": seconds(evaluation.timeline.finish),
        "broken_musts": evaluation.broken,
        "unmet_wishes": broken_wishes(compiled, evaluation),
    })
}

pub(super) fn link(link: &Link) -> Value {
    json!({ "from": link.from, "to": link.to, "seconds": seconds(link.time), "stop": link.stop })
}

pub(super) fn saved(s: &Savings) -> Value {
    json!({
        "stops": s.stops,
        "changeover_seconds": seconds(s.changeover),
        "unmet_wishes": s.wishes,
        "broken_musts": s.musts,
        "gone": s.gone.iter().map(link).collect::<Vec<_>>(),
        "new": s.new.iter().map(link).collect::<Vec<_>>(),
        "altered": s.altered.iter().map(|(a, b)| json!({ "as_given": link(a), "now": link(b) })).collect::<Vec<_>>(),
    })
}

pub(super) fn taught_class(l: &Lesson) -> Value {
    json!({
        "start": l.start,
        "start_position": l.start_position,
        "lay_out": l.lay_out,
        "rows": l.rows.iter().map(row).collect::<Vec<_>>(),
        "reset": l.reset.as_ref().map(changeover),
        "put_back": l.put_back,
        "finish_seconds": seconds(l.finish),
        "changeover_seconds": seconds(l.changeover),
        "stops": l.stops,
        "left_over_seconds": l.left_over.map(seconds),
        "warm_up_seconds": l.warm_up.map(seconds),
        "rules": l.rule_reports.iter().map(fate).collect::<Vec<_>>(),
        "conditions": l.conditions.iter().map(condition).collect::<Vec<_>>(),
        "machine_cautions": l.machine,
    })
}

fn row(r: &Row) -> Value {
    let side = match r.side {
        Side::Both => "both",
        Side::Left => "left",
        Side::Right => "right",
    };
    let layers: Vec<Value> = r
        .done
        .iter()
        .map(|d| {
            json!({ "layer": d.layer, "amount": d.amount, "offered": d.offered, "grip": d.grip })
        })
        .collect();
    json!({
        "place": r.place,
        "step": r.step,
        "id": r.id,
        "movement": r.movement,
        "side": side,
        "round": r.round,
        "breather": r.breather,
        "block": r.block,
        "layers": layers,
        "springs": r.springs,
        "not_usual_springs": r.borrowed.as_ref().map(|b| json!({
            "usual": b.preferred, "more_load_units": b.more, "effect": b.effect,
        })),
        "lighter": r.lighter.as_ref().map(beside),
        "heavier": r.heavier.as_ref().map(beside),
        "other_facets": r.facets,
        "position": r.position,
        "teaching": r.cues,
        "bodies": {
            "tall": r.notes.tall,
            "short": r.notes.short,
            "long_ropes": r.notes.long_ropes,
            "short_ropes": r.notes.short_ropes,
            "contact": r.notes.contact,
        },
        "clock": seconds(r.start),
        "end": seconds(r.end),
        "before": changeover(&r.before),
    })
}

fn beside(other: &Beside) -> Value {
    json!({ "springs": other.springs, "effect": other.effect })
}

fn changeover(c: &Changeover) -> Value {
    let cues: Vec<Value> = c
        .cues
        .iter()
        .map(|cue| {
            let kind = match cue.kind {
                CueKind::Safety => "care",
                CueKind::Move => "move",
                CueKind::Springs => "springs",
                CueKind::Facet => "machine",
            };
            json!({ "kind": kind, "cue": cue.text, "seconds": seconds(cue.time) })
        })
        .collect();
    json!({
        "seconds": seconds(c.time),
        "stop": c.stop,
        "cues": cues,
        "marked": c.spotted.mark(),
    })
}

fn fate(f: &RuleReport) -> Value {
    let breaches: Vec<Value> = f
        .breaches
        .iter()
        .map(|b| {
            json!({
                "demand": b.demand,
                "asked": b.sentence,
                "found": b.detail,
                "would_help": b.remedy,
                "counts_seconds": b.seconds,
            })
        })
        .collect();
    json!({
        "rule": title(f.rule),
        "line": f.line,
        "must": f.must,
        "kept": f.kept(),
        "demands": f.demands,
        "breaches": breaches,
    })
}

fn condition(c: &InTheRoom) -> Value {
    let touched: Vec<Value> = c
        .touched
        .iter()
        .map(|t| {
            let cautions: Vec<&str> = t.cautions.iter().map(|c| c.word()).collect();
            let options: Vec<&str> = t.options.iter().map(|o| o.movement.as_str()).collect();
            let springs: Vec<Option<&str>> =
                t.options.iter().map(|o| o.springs.as_deref()).collect();
            json!({
                "places": t.places,
                "movement": t.movement,
                "cautions": cautions,
                "options": options,
                "option_springs": springs,
                "say": offer::said(&t.options),
            })
        })
        .collect();
    json!({
        "condition": c.condition,
        "as_written": c.said,
        "known": c.known,
        "ask": c.ask,
        "say": c.wordings,
        "touched": touched,
    })
}

fn comparison(c: &Comparison) -> Value {
    let shifts: Vec<Value> = c
        .shifts
        .iter()
        .map(|s| {
            json!({
                "step": s.step, "from": s.from, "to": s.to,
                "springs_from": s.springs_from, "springs_to": s.springs_to,
            })
        })
        .collect();
    json!({
        "first": c.first,
        "second": c.second,
        "stops": [c.stops.0, c.stops.1],
        "changeover_seconds": [seconds(c.changeover.0), seconds(c.changeover.1)],
        "finish_seconds": [seconds(c.finish.0), seconds(c.finish.1)],
        "shifts": shifts,
    })
}
