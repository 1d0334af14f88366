//! Alternatives to a movement: the key `or` of a line.

use crate::brief::{Entry, Instead};
use crate::diagnostic::{Code, Diagnostic};
use crate::model::catalogue::Catalogue;
use crate::model::movement::Sides;
use crate::read::enough::ends_at;
use crate::read::index::Names;
use crate::read::list::not_a_movement::not_a_movement;
use crate::read::spanned::At;

/// The movements of these names. Each must be another one and, where the line is of one side, have sides.
pub fn instead(
    names: &Names<'_>,
    entry: &Entry,
    others: &[At<String>],
    log: &mut Vec<Diagnostic>,
) -> Vec<Instead> {
    let mut found: Vec<Instead> = Vec::new();
    for other in others {
        if ends_at(|| other.span.clone(), log) {
            break;
        }
        let known = match names.movement(&other.value) {
            Ok(known) => known,
            Err(near) => {
                log.push(not_a_movement(other, &near));
                continue;
            }
        };
        let mistake = |message: String, label: &str, mend: &str| {
            Diagnostic::mistake(Code::OutOfRange, other.span.clone(), message, label, mend)
        };
        if known.id == entry.movement || found.iter().any(|f| f.movement == known.id) {
            log.push(mistake(
                format!("`{}` is named already", known.name),
                "the second time",
                "remove it, or name another movement",
            ));
        } else if entry.side.is_some() && known.sides != Sides::Each {
            log.push(mistake(
                format!("{} is not done on one side alone", known.name),
                "has no side of its own",
                "name a movement that has sides, or remove the side",
            ));
        } else {
            found.push(Instead {
                movement: known.id.clone(),
                span: other.span.clone(),
            });
        }
    }
    found
}

/// The mistake of a movement that stands on the list itself, on this line.
pub fn on_the_list(catalogue: &Catalogue, line: &Entry, instead: &Instead) -> Diagnostic {
    let name = catalogue.get(&instead.movement).map(|m| m.name.as_str());
    Diagnostic::mistake(
        Code::Duplicate,
        instead.span.clone(),
        format!(
            "`{}` is already on the list: as an alternative it would be there twice",
            name.unwrap_or(&instead.movement)
        ),
        "on the list already",
        "name a movement that is not on the list",
    )
    .and(line.span.clone(), "here")
}
