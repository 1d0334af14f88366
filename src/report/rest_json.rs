//! The rest of a class for programs, as JSON. Stable and versioned: `"segue_late": 1`. Units as in [`super::json`].
//!
//! | key | holds |
//! | --- | --- |
//! | `segue_late` | 1 |
//! | `title`, `machine` | the class |
//! | `from`, `left_seconds`, `behind_seconds` | the place that comes next, the time left, how far behind the plan (below 0: ahead) |
//! | `fits` | whether the rest fits without a cut |
//! | `too_long_seconds` | by how much it does not; below 0: to spare |
//! | `settled` | whether all choices of so few cuts were looked at |
//! | `rest_is_proven`, `plan_is_proven` | whether the rest is in its best order; whether the plan of the class is the best, so that planned again it begins as it did |
//! | `interrupted` | whether somebody asked to stop before all of it was worked out |
//! | `cuts` | each: `movements`, `steps`, `saves_seconds`, `to_spare_seconds`, `beside_whole` (as `beside_best` of `vary`), `order` and `setups` of the whole class without them |
//! | `rest` | the rest with the first cut, or whole: as `class` of a plan, its rows from `from` on |

use serde_json::{Value, json};

use super::json::{seconds, taught_class};
use super::rest::{cut_names, shown, taught};
use super::varied_json::beside;
use crate::answer::class::Class;
use crate::orders::late::{Begun, Late, Rest, as_class};

/// The rest of a class.
pub fn rest(class: &Class, begun: &Begun, late: &Late) -> Value {
    let compiled = &class.compiled;
    json!({
        "segue_late": 1,
        "title": class.brief.title,
        "machine": { "id": compiled.apparatus.id, "name": compiled.apparatus.name },
        "from": begun.done + 1,
        "left_seconds": seconds(begun.left),
        "behind_seconds": seconds(begun.behind),
        "fits": late.fits(),
        "too_long_seconds": seconds(late.whole.found.timeline.finish - late.until),
        "settled": late.settled,
        "rest_is_proven": shown(late).proven,
        "plan_is_proven": begun.plan_is_proven,
        "interrupted": late.interrupted,
        "cuts": late.cuts.iter().map(|c| cut(class, begun, late, c)).collect::<Vec<_>>(),
        "rest": taught_class(&taught(class, begun, shown(late))),
    })
}

fn cut(class: &Class, begun: &Begun, late: &Late, cut: &Rest) -> Value {
    let (before, whole) = as_class(&class.compiled, &late.whole);
    let (after, rest) = as_class(&class.compiled, cut);
    let steps: Vec<usize> = (cut.cut.iter())
        .flat_map(|&k| begun.movements[k].iter().copied())
        .collect();
    let timeline = &cut.found.timeline;
    json!({
        "movements": cut_names(class, begun, cut),
        "steps": steps,
        "saves_seconds": seconds(cut.saves),
        "to_spare_seconds": seconds(late.until - timeline.finish),
        "beside_whole": beside((&before, &whole), (&after, &rest)),
        "order": timeline.order.iter().map(|&s| cut.steps[s]).collect::<Vec<_>>(),
        "setups": timeline.setups,
    })
}
