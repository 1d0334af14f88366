//! What no order can meet, with movements of the catalogue that would help.

use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::{Movement, Phase, Spine};
use crate::problem::demand::{Kind, follow::Follow};
use crate::rules::book::RuleBook;
use crate::rules::posting::Posting;
use crate::rules::subject::Subject;

/// How many movements are named as a help.
const NAMED: usize = 3;

/// Adds to the posting what no order can meet for want of a movement.
pub fn name_helpers(
    book: &RuleBook,
    subject: &Subject,
    catalogue: &Catalogue,
    apparatus: &Apparatus,
    posting: &mut Posting,
) {
    let missing: Vec<Follow> = posting
        .demands
        .iter()
        .filter_map(|d| match &d.kind {
            Kind::Follow(f) if f.remedy.is_empty() => Some(f.clone()),
            _ => None,
        })
        .collect();
    for follow in missing {
        let Some(&first) = follow.trigger.first() else {
            continue;
        };
        let rule = &book.counterpose;
        let helpers = helpers(subject, catalogue, apparatus, first, |m| {
            m.degree(Spine::Flexion) >= rule.flexion.max(1)
                && m.degree(Spine::Extension) < rule.extension.max(1)
        });
        let name = &subject.movement(first).name;
        posting.unmet(format!(
            "nothing on the list rounds the back after {name}: {}",
            add_one_of(&helpers)
        ));
    }
}

/// "add one of A, B, C", or that there is none.
fn add_one_of(names: &[String]) -> String {
    match names {
        [] => "no movement that is known for this machine would do".to_string(),
        [one] => format!("add {one}"),
        more => format!("add one of {}", more.join(", ")),
    }
}

/// Movements that would do, fit the machine and are not on the list: those that start where `after` ends first, then the gentler.
fn helpers(
    subject: &Subject,
    catalogue: &Catalogue,
    apparatus: &Apparatus,
    after: usize,
    would_do: impl Fn(&Movement) -> bool,
) -> Vec<String> {
    let end = &subject.movement(after).end;
    let mut found: Vec<&Movement> = catalogue
        .movements
        .iter()
        .filter(|m| would_do(m) && apparatus.cannot_serve(m).is_empty())
        .filter(|m| subject.class.movements.iter().all(|on| on.id != m.id))
        .collect();
    found.sort_by_key(|m| {
        (
            m.start != *end,
            !m.phases.contains(&Phase::Main),
            m.level,
            m.cautions.len(),
            m.id.clone(),
        )
    });
    found.iter().take(NAMED).map(|m| m.name.clone()).collect()
}
