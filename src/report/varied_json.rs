//! A week of classes for programs, as JSON. Stable and versioned: `"segue_vary": 1`. Units as in [`super::json`].
//!
//! | key | holds |
//! | --- | --- |
//! | `segue_vary` | 1 |
//! | `title`, `machine` | the class |
//! | `asked` | `count`, `within_percent`, `apart` (pairs), `other_start`, `other_end` |
//! | `best` | the best order: as `as_given` of a plan |
//! | `best_is_proven` | whether nothing better exists |
//! | `highest_score` | no class scores more |
//! | `pairs` | neighbouring pairs of a class that could differ |
//! | `least` | the smallest difference of two classes: `pairs`, `turned`; null with fewer than two |
//! | `sureness` | `"farthest"`: no as many classes are farther apart; `"found"`: the farthest that were found |
//! | `fewer` | why there are fewer than asked: null, `"proven"` (there are not more), `"none to add"` (to these), `"open"` |
//! | `looked_at` | orders that were chosen from |
//! | `interrupted` | whether somebody asked to stop before all of it was worked out |
//! | `pairs_apart`, `turned` | `[i][j]`: neighbours that differ, pairs of movements the other way round |
//! | `lists` | `ways` to swap movements, not to swap any among them; `looked_at`: so many of them |
//! | `classes` | each: `swapped` (names: `out`, and `into` its place), `order` (as `as_given` of a plan), `beside_best` (`counts_seconds`, `stops`, `changeover_seconds`, `unmet_wishes`, each this class less the best), `new_neighbours` (pairs of steps), `class` (the sheet, as in a plan) |

use serde_json::{Value, json};

use super::json::{scored, seconds, taught_class};
use super::varied::{new_pairs, swapped_in};
use crate::answer::varied::Choice;
use crate::explain::savings::{Judged, savings};
use crate::lesson::lesson;
use crate::orders::difference::Difference;
use crate::orders::vary::{Short, Sureness, Week, Wish};

/// A week of classes.
pub fn week(choice: &Choice, week: &Week, wish: &Wish) -> Value {
    let written = &choice.lists[0].class;
    let compiled = &written.compiled;
    let n = week.classes.len();
    let table = |of: fn(&Difference) -> usize| -> Vec<Vec<usize>> {
        week.apart
            .chunks(n.max(1))
            .map(|row| row.iter().map(of).collect())
            .collect()
    };
    json!({
        "segue_vary": 1,
        "title": written.brief.title,
        "machine": { "id": compiled.apparatus.id, "name": compiled.apparatus.name },
        "asked": {
            "count": wish.count,
            "within_percent": wish.within as f64 / 100.0,
            "apart": wish.apart,
            "other_start": wish.opener,
            "other_end": wish.closer,
        },
        "best": scored(compiled, &week.best),
        "best_is_proven": week.best_is_proven,
        "highest_score": week.ceiling,
        "pairs": week.pairs,
        "least": week.least().map(|d| json!({ "pairs": d.pairs, "turned": d.turned })),
        "sureness": match week.sureness {
            Sureness::Farthest => "farthest",
            Sureness::Found => "found",
        },
        "fewer": week.short.map(|short| match short {
            Short::Proven => "proven",
            Short::NoneToAdd => "none to add",
            Short::Open => "open",
        }),
        "looked_at": week.looked_at,
        "interrupted": week.interrupted,
        "pairs_apart": table(|d| d.pairs),
        "turned": table(|d| d.turned),
        "classes": (0..n).map(|k| class(choice, week, k)).collect::<Vec<_>>(),
        "lists": { "ways": choice.ways, "looked_at": choice.lists.len() },
    })
}

fn class(choice: &Choice, week: &Week, k: usize) -> Value {
    let of = &choice.lists[week.lists[k]].class;
    let written = &choice.lists[0].class.compiled;
    let (best, class) = (&week.best, &week.classes[k]);
    let swapped = swapped_in(choice, week, k).into_iter();
    json!({
        "swapped": swapped.map(|(out, into)| json!({ "out": out, "into": into })).collect::<Vec<_>>(),
        "order": scored(&of.compiled, class),
        "beside_best": beside((written, best), (&of.compiled, class)),
        "new_neighbours": new_pairs(choice, week, k),
        "class": taught_class(&lesson(&of.brief, &of.compiled, class)),
    })
}

/// One order beside another: this one less the other.
pub fn beside(other: Judged<'_>, this: Judged<'_>) -> Value {
    let s = savings(this, other);
    json!({
        "counts_seconds": this.0.seconds_of(this.1.score - other.1.score),
        "stops": s.stops,
        "changeover_seconds": seconds(s.changeover),
        "unmet_wishes": s.wishes,
        "broken_musts": s.musts,
    })
}
