//! A brief with something else about it: movements left out or added, other minutes, other springs, one before another. Each wish comes
//! as a few words, of a command line for example.

use std::sync::Arc;

use crate::answer::tried::Wanted;
use crate::brief::Brief;
use crate::diagnostic::{Code, Diagnostic};
use crate::model::movement::SpringNeed;
use crate::problem::step::Side;
use crate::read::brief::Known;
use crate::read::brief::list::Lists;
use crate::read::brief::own::unknown_movement;
use crate::read::index::Names;
use crate::read::list::line::line;
use crate::read::machine::springs::{Machines, springs};
use crate::read::names;
use crate::read::spanned::{At, Document};
use crate::rules::before::Before;
use crate::rules::need::Asked;
use crate::rules::target::Target;
use crate::source::{Source, Span};

/// The brief with what is wanted.
///
/// # Errors
/// All names that are not known or not on the list, and springs that cannot be read.
pub fn changed(brief: &Brief, known: &Known, wanted: &Wanted) -> Result<Brief, Vec<Diagnostic>> {
    let mut log = Vec::new();
    let mut new = brief.clone();
    new.minutes = wanted.minutes.or(new.minutes);
    for name in &wanted.without {
        let target = named("leave out", name, brief, &mut log);
        new.entries.retain(|entry| match &target {
            Some(Target::Movement { id, .. }) => entry.movement != *id,
            Some(Target::Block(b)) => entry.block != Some(*b),
            None => true,
        });
    }
    for (name, value) in &wanted.springs {
        let Some(need) = springs_of(name, value, brief, known, &mut log) else {
            continue;
        };
        for entry in new.entries.iter_mut().filter(|e| e.movement == need.0) {
            entry.springs = Some(need.1.clone());
        }
    }
    let mut lists = Lists::new(&brief.catalogue, &known.apparatus, None);
    for added in &wanted.with {
        lists.text(&spoken("add", added), None, &mut log);
    }
    new.entries.extend(lists.entries);
    for (first, later) in &wanted.before {
        let pair = [first, later].map(|name| named("order", name, &new, &mut log));
        if let [Some(first), Some(later)] = pair {
            new.rules.before.push(Before {
                asked: Asked::must(),
                first,
                later,
            });
        }
    }
    if log.iter().any(Diagnostic::is_mistake) {
        return Err(log);
    }
    Ok(new)
}

/// Words with a place of their own.
fn spoken(what: &str, text: &str) -> At<String> {
    let source = Arc::new(Source {
        name: format!("what to {what}"),
        text: text.to_owned(),
    });
    At {
        value: text.to_owned(),
        span: Span::new(&source, 0..text.len()),
    }
}

/// A movement, a side of it, or a block on the list.
fn named(what: &str, name: &str, brief: &Brief, log: &mut Vec<Diagnostic>) -> Option<Target> {
    let at = spoken(what, name);
    let same = |other: &str| names::fold(other) == names::fold(name);
    if let Some(b) = brief.blocks.iter().position(|b| same(&b.name)) {
        return Some(Target::Block(b));
    }
    let movements = Names::of(&brief.catalogue);
    let taken = line(name, |n| movements.find(n).is_some());
    let movement = match movements.movement(&taken.name) {
        Ok(movement) => movement,
        Err(near) => {
            log.push(unknown_movement(&at, &near));
            return None;
        }
    };
    if !brief.entries.iter().any(|e| e.movement == movement.id) {
        log.push(Diagnostic::mistake(
            Code::NotOnList,
            at.span,
            format!("{name} is not on the list"),
            "not on the list",
            "name a movement, a block or a series of this class",
        ));
        return None;
    }
    Some(Target::Movement {
        id: movement.id.clone(),
        side: taken.side.map(|s| s.value).filter(|&s| s != Side::Both),
    })
}

/// The id of a movement and the springs wanted for it.
fn springs_of(
    name: &str,
    value: &str,
    brief: &Brief,
    known: &Known,
    log: &mut Vec<Diagnostic>,
) -> Option<(String, SpringNeed)> {
    let Some(Target::Movement { id, .. }) = named("put on other springs", name, brief, log) else {
        return None;
    };
    let machine = known.apparatus.iter().find(|a| a.id == brief.apparatus)?;
    let preferred = match &brief.catalogue.get(&id)?.springs {
        SpringNeed::Range { prefer, .. } => Some(*prefer),
        SpringNeed::Any { .. } | SpringNeed::Locked | SpringNeed::Sets(_) => None,
    };
    // Bare words need no quotation marks here.
    let bare = !value.trim().starts_with(['"', '{', '[']) && value.trim().parse::<f64>().is_err();
    let written = if bare {
        format!("springs = \"{}\"", value.trim())
    } else {
        format!("springs = {}", value.trim())
    };
    let source = Arc::new(Source {
        name: format!("the springs of {name}"),
        text: written,
    });
    let document = Document::parse(&source, log);
    let mut table = document.table("springs");
    let machines = Machines {
        on: machine,
        written_for: machine,
    };
    let need = springs(table.get("springs")?, machines, preferred, log)?;
    Some((id, need))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;
    use crate::read::list::quick_list;

    fn known() -> Known {
        let models = models(&[]);
        Known {
            catalogue: models.catalogue,
            apparatus: models.apparatus,
            kept_blocks: Vec::new(),
        }
    }

    fn class() -> Brief {
        let source = Arc::new(Source {
            name: "a.txt".into(),
            text: "Swan x 4\nHundred\nScooter\n".into(),
        });
        let read = quick_list(&source, &known(), None);
        read.value.expect("the list is read")
    }

    fn words(of: &[&str]) -> Vec<String> {
        of.iter().map(|&w| w.to_owned()).collect()
    }

    #[test]
    fn what_is_wanted_is_changed_and_nothing_else() {
        let wanted = Wanted {
            without: words(&["swan"]),
            with: words(&["Elephant x 5"]),
            minutes: Some(20.0),
            springs: vec![("Scooter".into(), "1 sun".into())],
            before: vec![("Elephant".into(), "Scooter".into())],
        };
        let new = changed(&class(), &known(), &wanted).expect("all is known");
        let ids: Vec<&str> = new.entries.iter().map(|e| e.movement.as_str()).collect();
        assert_eq!(ids, ["hundred", "scooter", "elephant"]);
        assert_eq!(new.entries[2].repetitions, Some(5));
        assert!(matches!(new.entries[1].springs, Some(SpringNeed::Sets(_))));
        assert_eq!((new.minutes, new.rules.before.len()), (Some(20.0), 1));
    }

    #[test]
    fn every_name_that_is_not_known_is_told() {
        let wanted = Wanted {
            without: words(&["Mermaid"]),
            with: words(&["Elephunt x 5"]),
            springs: vec![("Scooter".into(), "7 moons".into())],
            ..Wanted::default()
        };
        let mistakes = changed(&class(), &known(), &wanted).expect_err("nothing is known");
        let codes: Vec<Code> = mistakes.iter().map(|d| d.code).collect();
        assert_eq!(codes.len(), 3, "{mistakes:#?}");
        assert_eq!(codes[0], Code::NotOnList);
    }
}
