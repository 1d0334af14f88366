//! A change that was tried, for programs: `"segue_try": 1`.
//!
//! | key | holds |
//! | --- | --- |
//! | `changes` | what was tried, in words |
//! | `before`, `after` | everything that `plan --json` says of the class as it is and with the changes |
//! | `difference` | `after` less `before`: `stops`, `changeover_seconds`, `finish_seconds`, `unmet_wishes`; null if one of them has no order |

use serde_json::{Value, json};

use super::json::{plan, seconds};
use super::tried::wanted;
use crate::answer::tried::Tried;
use crate::explain::difference::difference;

/// A change that was tried.
pub fn tried(tried: &Tried) -> Value {
    let both = tried.before.best.as_ref().zip(tried.after.best.as_ref());
    let d = both.map(|(before, after)| {
        difference(
            (&tried.after.compiled, after),
            (&tried.before.compiled, before),
        )
    });
    json!({
        "segue_try": 1,
        "changes": wanted(&tried.wanted),
        "before": plan(&tried.before, None),
        "after": plan(&tried.after, None),
        "difference": d.map(|d| json!({
            "stops": d.stops,
            "changeover_seconds": seconds(d.changeover),
            "finish_seconds": seconds(d.finish),
            "unmet_wishes": d.unmet,
        })),
    })
}
