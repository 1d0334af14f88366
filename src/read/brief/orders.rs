//! The rules of a brief that name movements and blocks: orders, links, places, limits.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::model::movement::Sides;
use crate::problem::step::Side;
use crate::read::brief::list::Lists;
use crate::read::brief::need::{asked, one_side, regions};
use crate::read::brief::own::unknown_movement;
use crate::read::catalogue::circle::{Held, circles};
use crate::read::enough::ends_at;
use crate::read::list::limits::part;
use crate::read::names;
use crate::read::spanned::{At, Item, Table, unknown_word};
use crate::rules::at_most::AtMost;
use crate::rules::before::Before;
use crate::rules::book::RuleBook;
use crate::rules::flows_into::FlowsInto;
use crate::rules::load_ceiling::LoadCeiling;
use crate::rules::near::{Apart, Near};
use crate::rules::need::{Asked, Need, WEIGHT_CAN_HURT, WEIGHT_OTHER};
use crate::rules::pinned::{Pin, Pinned};
use crate::rules::target::Target;
use crate::rules::together::Together;
use crate::source::Span;

/// The key of the springs where a rule names a facet.
const SPRINGS: &str = "springs";

/// Names in rules to targets on the list.
struct Targets<'x> {
    lists: &'x Lists<'x, 'x>,
    catalogue: &'x Catalogue,
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
                "leave the number away",
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
                "put it on the list, or take the rule away",
            ));
            return None;
        }
        Some(Target::Movement {
            id: movement.id.clone(),
            side,
        })
    }

    /// A target's name on paper.
    fn name(&self, target: &Target) -> String {
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
    fn again(&self, target: &Target) -> bool {
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
    fn held(&self, first: &Target, later: &Target, span: Span) -> Held {
        Held {
            first: first.clone(),
            first_name: self.name(first),
            later: later.clone(),
            later_name: self.name(later),
            span,
        }
    }

    fn key(&self, t: &mut Table<'_>, key: &str, log: &mut Vec<Diagnostic>) -> Option<Target> {
        let name = t.require(key, log)?.name(log)?;
        self.one(&name, true, log)
    }

    /// At least two.
    fn many(
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

/// Reads the lists of rules into the book.
pub fn orders<'x>(
    t: &mut Table<'_>,
    book: &mut RuleBook,
    lists: &'x Lists<'x, 'x>,
    catalogue: &'x Catalogue,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) {
    let targets = Targets { lists, catalogue };
    let wish = Asked::prefer(WEIGHT_OTHER);
    let mut held = Vec::new();
    for mut r in t.tables("before", "a [[rules.before]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &Asked::must(), WEIGHT_OTHER, log);
        let first = targets.key(&mut r, "first", log);
        let later = targets.key(&mut r, "later", log);
        let span = r.span();
        r.finish(log);
        if let (Some(first), Some(later)) = (first, later) {
            if first == later {
                log.push(Diagnostic::mistake(
                    Code::Circle,
                    span,
                    format!("{} cannot come before itself", targets.name(&first)),
                    "twice the same",
                    "name two different movements or blocks",
                ));
                continue;
            }
            if asked.need == Need::Must {
                held.push(targets.held(&first, &later, span));
            }
            book.before.push(Before {
                asked,
                first,
                later,
            });
        }
    }
    for mut r in t.tables("together", "a [[rules.together]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &Asked::must(), WEIGHT_OTHER, log);
        let members = targets.many(&mut r, "members", true, log);
        let ordered = r.truth("ordered", log).unwrap_or(false);
        let within = r.whole("within", 0..=50, log).map_or(0, |n| n.value);
        let span = r.span();
        r.finish(log);
        if let Some(members) = members {
            if ordered && asked.need == Need::Must {
                let pairs = members.windows(2);
                held.extend(pairs.map(|w| targets.held(&w[0], &w[1], span.clone())));
            }
            book.together.push(Together {
                asked,
                members,
                ordered,
                within,
            });
        }
    }
    log.extend(circles(
        &held,
        "orders that must hold",
        "take one of these orders back, or make it `prefer`",
    ));
    for mut r in t.tables("flows_into", "a [[rules.flows_into]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &wish, WEIGHT_OTHER, log);
        let from = targets.key(&mut r, "from", log);
        let into = targets.key(&mut r, "into", log);
        let span = r.span();
        r.finish(log);
        if let (Some(from), Some(into)) = (from, into) {
            if from == into && !targets.again(&from) {
                log.push(Diagnostic::mistake(
                    Code::OutOfRange,
                    span,
                    format!(
                        "{} is done once and cannot come after itself",
                        targets.name(&from)
                    ),
                    "twice the same",
                    "name two different movements or blocks",
                ));
                continue;
            }
            book.flows_into.push(FlowsInto { asked, from, into });
        }
    }
    for mut r in t.tables("near", "a [[rules.near]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &wish, WEIGHT_OTHER, log);
        let order = targets.many(&mut r, "order", false, log);
        let least = r.whole("least", 1..=200, log);
        r.finish(log);
        if let Some(order) = order {
            let all = u32::try_from(order.len() - 1).unwrap_or(u32::MAX);
            if let Some(too_many) = least.as_ref().filter(|n| n.value > all) {
                log.push(Diagnostic::mistake(
                    Code::OutOfRange,
                    too_many.span.clone(),
                    format!(
                        "an order of {} has fewer neighbours to keep than that",
                        order.len()
                    ),
                    format!("allowed: 1 to {all}"),
                    format!("write at most {all}, or leave it away to keep them all"),
                ));
                continue;
            }
            book.near.push(Near {
                asked,
                order,
                least: least.map_or(all, |n| n.value),
            });
        }
    }
    for mut r in t.tables("apart", "a [[rules.apart]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &wish, WEIGHT_OTHER, log);
        let order = targets.many(&mut r, "order", false, log);
        let most = r.whole("most", 0..=200, log).map_or(0, |n| n.value);
        r.finish(log);
        if let Some(order) = order {
            book.apart.push(Apart { asked, order, most });
        }
    }
    for r in t.tables("pinned", "a [[rules.pinned]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        if let Some(pinned) = pinned(r, &targets, log) {
            book.pinned.push(pinned);
        }
    }
    limits(t, book, machines, log);
}

/// `[[rules.at_most]]` and `[[rules.load_ceiling]]`.
fn limits(
    t: &mut Table<'_>,
    book: &mut RuleBook,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) {
    let mut facets = vec![SPRINGS];
    for key in machines
        .iter()
        .flat_map(|m| &m.facets)
        .map(|f| f.key.as_str())
    {
        if !facets.contains(&key) {
            facets.push(key);
        }
    }
    for mut r in t.tables("at_most", "a [[rules.at_most]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &Asked::must(), WEIGHT_OTHER, log);
        let facet = r.require("facet", log).and_then(|i| i.text(log));
        let changes = r
            .require("changes", log)
            .and_then(|i| i.whole(0..=200, log));
        r.finish(log);
        let (Some(facet), Some(changes)) = (facet, changes) else {
            continue;
        };
        if facets.contains(&facet.value.as_str()) {
            book.at_most.push(AtMost {
                asked,
                facet: facet.value,
                changes: changes.value,
            });
        } else {
            log.push(unknown_word("facet", &facet, &facets));
        }
    }
    for mut r in t.tables("load_ceiling", "a [[rules.load_ceiling]]", log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let wish = Asked::prefer(WEIGHT_CAN_HURT);
        let asked = asked(&mut r, &wish, WEIGHT_CAN_HURT, log);
        let region = r
            .require("region", log)
            .and_then(|i| i.word("region of the body", &regions(), log));
        let ceiling = r
            .require("ceiling", log)
            .and_then(|i| i.number(0.0..=1.0, log));
        r.finish(log);
        if let (Some(region), Some(ceiling)) = (region, ceiling) {
            book.load_ceiling.push(LoadCeiling {
                asked,
                region: region.value.to_owned(),
                ceiling: ceiling.value,
            });
        }
    }
}

/// `[[rules.pinned]] what, at = "first" | "last" | place`, or `minutes = [from, to]`.
fn pinned(mut r: Table<'_>, targets: &Targets<'_>, log: &mut Vec<Diagnostic>) -> Option<Pinned> {
    let asked = asked(&mut r, &Asked::must(), WEIGHT_OTHER, log);
    let what = targets.key(&mut r, "what", log);
    let minutes = r.get("minutes");
    let at = match (r.has("at"), minutes) {
        (false, Some(item)) => {
            r.get("at");
            window(item, log)
        }
        (true, Some(item)) => {
            r.get("at");
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                item.span(),
                "a rule pins to a place or to minutes, not to both",
                "the second",
                "write two rules",
            ));
            None
        }
        (_, None) => r.require("at", log).and_then(|i| place(i, log)),
    };
    r.finish(log);
    Some(Pinned {
        asked,
        what: what?,
        at: at?,
    })
}

fn place(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Pin> {
    if item.is_text() {
        return item
            .word("place", &[("first", Pin::First), ("last", Pin::Last)], log)
            .map(|w| w.value);
    }
    item.whole(1..=200, log).map(|n| Pin::Place(n.value))
}

fn window(item: Item<'_>, log: &mut Vec<Diagnostic>) -> Option<Pin> {
    let items = item.list(log)?;
    let [from, to] = items.as_slice() else {
        item.wrong_type("a list of two numbers, [from, to] in minutes", log);
        return None;
    };
    let (from, to) = (from.number(0.0..=600.0, log), to.number(0.0..=600.0, log));
    let (from, to) = (from?.value, to?.value);
    if from > to {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            item.span(),
            "the minutes end before they begin",
            "from, then to",
            "write the earlier minute first",
        ));
        return None;
    }
    Some(Pin::Minutes { from, to })
}
