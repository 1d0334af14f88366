//! What a rule of a brief names: movements, sides of them and blocks, as they stand on the list.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::catalogue::Catalogue;
use crate::model::movement::Sides;
use crate::problem::step::Side;
use crate::read::brief::list::Lists;
use crate::read::brief::need::one_side;
use crate::read::brief::own::unknown_movement;
use crate::read::catalogue::circle::Held;
use crate::read::enough::ends_at;
use crate::read::list::limits::part;
use crate::read::names;
use crate::read::spanned::{At, Table};
use crate::rules::target::Target;
use crate::source::Span;

/// Names in rules to targets on the list.
pub struct Targets<'x> {
    /// The lists of the brief.
    pub lists: &'x Lists<'x, 'x>,
    /// The movements.
    pub catalogue: &'x Catalogue,
}

impl Targets<'_> {
    /// A movement ("Scooter", "Scooter, left") or a block; `listed`: it must be on the list.
    fn one(&self, name: &At<String>, listed: bool, log: &mut Vec<Diagnostic>) -> Option<Target> {
        let line = self.lists.line(&name.value);
        if line.repetitions.is_some() || line.rounds.is_some() {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                name.span.clone(),
                "a rule names a movement, a side of it or a block, but no number",
                "a number too many",
                "remove the number",
            ));
        }
        if let Some(b) = self.lists.block_named(&line.name) {
            return Some(Target::Block(b));
        }
        let folded = names::fold(&line.name);
        let movement = match self.lists.names.movement(&line.name) {
            Ok(movement) => movement,
            Err(_)
                if self
                    .lists
                    .unread
                    .iter()
                    .any(|own| names::fold(own) == folded) =>
            {
                return None;
            }
            Err(near) => {
                let unknown = At {
                    value: line.name.clone(),
                    span: part(name, &line.at),
                };
                log.push(unknown_movement(&unknown, &near));
                return None;
            }
        };
        let side = one_side(line.side.map(|s| s.value));
        let on_list = self.lists.entries.iter().any(|e| {
            e.movement == movement.id && (side.is_none() || e.side.is_none() || e.side == side)
        });
        // A line that could not be read may have been this movement: that is said there.
        if listed && !on_list && self.lists.offered.contains(&movement.name) {
            return None;
        }
        if listed && !on_list {
            log.push(Diagnostic::mistake(
                Code::NotOnList,
                name.span.clone(),
                format!("{} is not on the list", name.value),
                "the rule names it",
                "put it on the list, or remove the rule",
            ));
            return None;
        }
        Some(Target::Movement {
            id: movement.id.clone(),
            side,
        })
    }

    /// A target's name on paper.
    pub fn name(&self, target: &Target) -> String {
        match target {
            Target::Block(b) => self.lists.blocks[*b].name.clone(),
            Target::Movement { id, side } => {
                let name = self.catalogue.get(id).map_or(id, |m| &m.name);
                match side {
                    Some(Side::Left) => format!("{name}, left"),
                    Some(Side::Right) => format!("{name}, right"),
                    Some(Side::Both) | None => name.clone(),
                }
            }
        }
    }

    /// Whether a target is more than one step on one side.
    pub fn again(&self, target: &Target) -> bool {
        let id = match target {
            Target::Block(_) => return true,
            Target::Movement { id, .. } => id,
        };
        let entries: Vec<_> = self
            .lists
            .entries
            .iter()
            .filter(|e| e.movement == *id)
            .collect();
        let sided = self
            .catalogue
            .get(id)
            .is_some_and(|m| m.sides == Sides::Each);
        sided || entries.len() > 1 || entries.iter().any(|e| e.rounds > 1 || e.block.is_some())
    }

    /// An order that must hold, said at `span`.
    pub fn held(&self, first: &Target, later: &Target, span: Span) -> Held {
        Held {
            first: first.clone(),
            first_name: self.name(first),
            later: later.clone(),
            later_name: self.name(later),
            span,
        }
    }

    /// What stands under a key of a rule.
    pub fn key(&self, t: &mut Table<'_>, key: &str, log: &mut Vec<Diagnostic>) -> Option<Target> {
        let name = t.require(key, log)?.name(log)?;
        self.one(&name, true, log)
    }

    /// What stands under a key of a rule: at least two.
    pub fn many(
        &self,
        t: &mut Table<'_>,
        key: &str,
        listed: bool,
        log: &mut Vec<Diagnostic>,
    ) -> Option<Vec<Target>> {
        let item = t.require(key, log)?;
        let items = item.list(log)?;
        if items.len() < 2 {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                item.span(),
                format!("`{key}` names fewer than two"),
                "at least two",
                "name at least two movements or blocks",
            ));
            return None;
        }
        items
            .iter()
            .map(|i| {
                if ends_at(|| i.span(), log) {
                    return None;
                }
                i.name(log).and_then(|name| self.one(&name, listed, log))
            })
            .collect::<Vec<_>>()
            .into_iter()
            .collect()
    }
}
