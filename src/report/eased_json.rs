//! What cannot hold together and what would help, for programs: the keys `conflict` and `would_help` of a plan.
//!
//! | key | holds |
//! | --- | --- |
//! | `conflict.rules` | what cannot hold together, each with `demand`, `asked`, `line` (null where it holds unasked) |
//! | `conflict.settled` | whether it was found for each of them that there is an order without it |
//! | `would_help` | single changes that were tried, best first: `kind`, `says`, `line`, `was`, `becomes` (lines of the brief), `counts_seconds`, `stops`, `changeover_seconds`, `finish_seconds`, `unmet_wishes`, `better_by_at_most_seconds` |
//! | `tried`, `not_settled` | how many changes were tried, how many of them were not settled in the time |

use serde_json::{Value, json};

use super::eased::easing;
use crate::compile::Compiled;
use crate::explain::conflict::Conflict;
use crate::explain::easing::Easing;
use crate::explain::relaxation::{Relaxation, Relaxations};
use crate::source::Span;

/// What cannot hold together.
pub fn conflict(compiled: &Compiled, conflict: &Conflict) -> Value {
    let rules: Vec<Value> = (conflict.demands.iter())
        .map(|&k| {
            let entry = &compiled.ledger.entries[k];
            let line = entry.span.as_ref().map(Span::line);
            json!({ "demand": k, "asked": entry.sentence, "line": line })
        })
        .collect();
    json!({ "rules": rules, "settled": conflict.minimal })
}

/// What would help.
pub fn would_help(relaxations: &Relaxations) -> Value {
    json!({
        "would_help": relaxations.found.iter().map(relaxation).collect::<Vec<_>>(),
        "tried": relaxations.tried,
        "not_settled": relaxations.open,
    })
}

fn relaxation(r: &Relaxation) -> Value {
    let kind = match r.easing {
        Easing::Wish { .. } => "wish",
        Easing::Less { .. } => "less",
        Easing::Minutes { .. } => "minutes",
        Easing::Rests { .. } => "rests",
        Easing::Shorter => "shorter",
        Easing::Springs { .. } => "springs",
        Easing::Without { .. } => "without",
    };
    json!({
        "kind": kind,
        "says": easing(&r.easing),
        "line": r.change.line,
        "was": r.change.was,
        "becomes": r.change.becomes,
        "counts_seconds": r.seconds,
        "stops": r.stops,
        "changeover_seconds": r.changeover as f64 / 100.0,
        "finish_seconds": r.finish as f64 / 100.0,
        "unmet_wishes": r.unmet,
        "better_by_at_most_seconds": r.better_by,
    })
}
