//! Her own order and how far it can be kept, for programs, as JSON. Stable and versioned: `"segue_keep": 1`. Units as in [`super::json`].
//!
//! | key | holds |
//! | --- | --- |
//! | `segue_keep` | 1 |
//! | `plan` | all of the plan, as of `plan --json` |
//! | `moves` | the best one, two, three moves, each better than the one before: `pieces` (each its steps in order), `beside_own` (as `beside_best` of `vary`), `order` (as `as_given` of a plan), `proven` |
//! | `moves_settled` | whether all choices of up to three moves were looked at |
//! | `pairs` | neighbouring pairs of her order that can be kept or not |
//! | `points` | each: `kept` (pairs), `beside_best`, `order`, `proven` |
//! | `between_open` | whether there may be better orders for numbers between two points |
//! | `impossible_from`, `open_from` | so many pairs or more cannot be kept, or are not settled; else null |
//! | `interrupted` | whether somebody asked to stop before all of it was worked out |

use serde_json::{Value, json};

use super::json::{plan, scored};
use super::varied_json::beside;
use crate::answer::class::Class;
use crate::answer::kept::OwnOrder;

/// What was found about her own order.
pub fn own_order(class: &Class, found: &OwnOrder) -> Value {
    let compiled = &class.compiled;
    let best = found.curve.points.first().map(|p| &p.found);
    let moves: Vec<Value> = (found.moves.best.iter())
        .map(|m| {
            json!({
                "pieces": m.pieces,
                "beside_own": beside((compiled, &found.own.found), (compiled, &m.found)),
                "order": scored(compiled, &m.found),
                "proven": m.proven,
            })
        })
        .collect();
    let points: Vec<Value> = (found.curve.points.iter())
        .map(|p| {
            json!({
                "kept": p.kept,
                "beside_best": best.map(|best| beside((compiled, best), (compiled, &p.found))),
                "order": scored(compiled, &p.found),
                "proven": p.proven,
            })
        })
        .collect();
    json!({
        "segue_keep": 1,
        "plan": plan(&found.answer, None),
        "moves": moves,
        "moves_settled": found.moves.settled,
        "pairs": found.curve.pairs,
        "points": points,
        "between_open": found.curve.between,
        "impossible_from": found.curve.impossible_from,
        "open_from": found.curve.open_from,
        "interrupted": found.interrupted,
    })
}
