//! What any rule of a brief may say: whether it must hold, its weight, a region, one side.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::region::REGIONS;
use crate::problem::step::Side;
use crate::read::spanned::{Item, Table};
use crate::rules::need::{Asked, Need};

const NEEDS: &[(&str, u8)] = &[("must", 0), ("prefer", 1), ("off", 2)];
/// Greatest weight, in seconds.
const GREATEST_WEIGHT: f64 = 100_000.0;

/// The regions by name.
pub fn regions() -> Vec<(&'static str, &'static str)> {
    REGIONS.iter().map(|r| (r.name, r.name)).collect()
}

/// Reads `need` and `weight` of a table. What is not given is as in `default`; `weight`: of a `prefer` without a figure.
pub fn asked(t: &mut Table<'_>, default: &Asked, weight: f64, log: &mut Vec<Diagnostic>) -> Asked {
    let need = t
        .get("need")
        .and_then(|i| i.word("need of a rule", NEEDS, log));
    let given = t.number("weight", 0.0..=GREATEST_WEIGHT, log);
    let usual = match default.need {
        Need::Prefer { weight } => weight,
        Need::Must | Need::Off => weight,
    };
    let found = match (need.as_ref().map(|n| n.value), &given) {
        (Some(1), _) | (None, Some(_)) => Need::Prefer {
            weight: given.map_or(usual, |w| w.value),
        },
        (Some(word), Some(weight)) => {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                weight.span.clone(),
                "only a rule that is preferred has a weight",
                "has no meaning here",
                "remove the weight, or write `need = \"prefer\"`",
            ));
            of_word(word, usual)
        }
        (Some(word), None) => of_word(word, usual),
        (None, None) => match default.need {
            // Who writes the table of a rule that is off unasked wants it.
            Need::Off => Need::Prefer { weight: usual },
            Need::Must | Need::Prefer { .. } => default.need,
        },
    };
    Asked {
        need: found,
        span: Some(t.span()),
    }
}

fn of_word(word: u8, weight: f64) -> Need {
    match word {
        0 => Need::Must,
        1 => Need::Prefer { weight },
        _ => Need::Off,
    }
}

/// A need as a word alone.
pub fn need_word(item: Item<'_>, default: &Asked, weight: f64, log: &mut Vec<Diagnostic>) -> Asked {
    let usual = match default.need {
        Need::Prefer { weight } => weight,
        Need::Must | Need::Off => weight,
    };
    match item.word("need of a rule", NEEDS, log) {
        Some(word) => Asked {
            need: of_word(word.value, usual),
            span: Some(word.span),
        },
        None => default.clone(),
    }
}

/// Whether a side names one side alone.
pub fn one_side(side: Option<Side>) -> Option<Side> {
    side.filter(|&s| s != Side::Both)
}
