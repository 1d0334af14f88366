//! The rules of a brief that may be given many times: orders, links, places, limits. Each reader puts what it reads into `found`.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::read::brief::need::{asked, regions};
use crate::read::brief::targets::Targets;
use crate::read::catalogue::circle::Held;
use crate::read::enough::ends_at;
use crate::read::spanned::{Item, Table, unknown_word};
use crate::rules::at_most::AtMost;
use crate::rules::before::Before;
use crate::rules::flows_into::FlowsInto;
use crate::rules::ledger::RuleName;
use crate::rules::load_ceiling::LoadCeiling;
use crate::rules::near::{Apart, Near};
use crate::rules::need::{Asked, Need, WEIGHT_CAN_HURT, WEIGHT_OTHER};
use crate::rules::pinned::{Pin, Pinned};
use crate::rules::rule::Rule as _;
use crate::rules::together::Together;

/// The key of the springs where a rule names a facet.
const SPRINGS: &str = "springs";

/// The tables of a rule.
fn tables<'a>(t: &mut Table<'a>, rule: RuleName, log: &mut Vec<Diagnostic>) -> Vec<Table<'a>> {
    t.tables(rule.key, &format!("a [[rules.{}]]", rule.key), log)
}

/// `[[rules.before]] first, later`; those that must hold go to `held` as well.
pub fn before(
    t: &mut Table<'_>,
    found: &mut Vec<Before>,
    targets: &Targets<'_>,
    held: &mut Vec<Held>,
    log: &mut Vec<Diagnostic>,
) {
    for mut r in tables(t, Before::NAME, log) {
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
            found.push(Before {
                asked,
                first,
                later,
            });
        }
    }
}

/// `[[rules.together]] members, ordered, within`; orders that must hold go to `held` as well.
pub fn together(
    t: &mut Table<'_>,
    found: &mut Vec<Together>,
    targets: &Targets<'_>,
    held: &mut Vec<Held>,
    log: &mut Vec<Diagnostic>,
) {
    for mut r in tables(t, Together::NAME, log) {
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
            found.push(Together {
                asked,
                members,
                ordered,
                within,
            });
        }
    }
}

/// `[[rules.flows_into]] from, into`.
pub fn flows_into(
    t: &mut Table<'_>,
    found: &mut Vec<FlowsInto>,
    targets: &Targets<'_>,
    log: &mut Vec<Diagnostic>,
) {
    let wish = Asked::prefer(WEIGHT_OTHER);
    for mut r in tables(t, FlowsInto::NAME, log) {
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
            found.push(FlowsInto { asked, from, into });
        }
    }
}

/// `[[rules.near]] order, least`.
pub fn near(
    t: &mut Table<'_>,
    found: &mut Vec<Near>,
    targets: &Targets<'_>,
    log: &mut Vec<Diagnostic>,
) {
    let wish = Asked::prefer(WEIGHT_OTHER);
    for mut r in tables(t, Near::NAME, log) {
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
                    format!("write at most {all}, or remove it to keep them all"),
                ));
                continue;
            }
            found.push(Near {
                asked,
                order,
                least: least.map_or(all, |n| n.value),
            });
        }
    }
}

/// `[[rules.apart]] order, most`.
pub fn apart(
    t: &mut Table<'_>,
    found: &mut Vec<Apart>,
    targets: &Targets<'_>,
    log: &mut Vec<Diagnostic>,
) {
    let wish = Asked::prefer(WEIGHT_OTHER);
    for mut r in tables(t, Apart::NAME, log) {
        if ends_at(|| r.span(), log) {
            return;
        }
        let asked = asked(&mut r, &wish, WEIGHT_OTHER, log);
        let order = targets.many(&mut r, "order", false, log);
        let most = r.whole("most", 0..=200, log).map_or(0, |n| n.value);
        r.finish(log);
        if let Some(order) = order {
            found.push(Apart { asked, order, most });
        }
    }
}

/// `[[rules.pinned]] what, at = "first" | "last" | place`, or `minutes = [from, to]`.
pub fn pinned(
    t: &mut Table<'_>,
    found: &mut Vec<Pinned>,
    targets: &Targets<'_>,
    log: &mut Vec<Diagnostic>,
) {
    let each = tables(t, Pinned::NAME, log).into_iter();
    found.extend(each.filter_map(|r| pin(r, targets, log)));
}

fn pin(mut r: Table<'_>, targets: &Targets<'_>, log: &mut Vec<Diagnostic>) -> Option<Pinned> {
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

/// `[[rules.at_most]] facet, changes`: a facet of any of the machines.
pub fn at_most(
    t: &mut Table<'_>,
    found: &mut Vec<AtMost>,
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
    for mut r in tables(t, AtMost::NAME, log) {
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
            found.push(AtMost {
                asked,
                facet: facet.value,
                changes: changes.value,
            });
        } else {
            log.push(unknown_word("facet", &facet, &facets));
        }
    }
}

/// `[[rules.load_ceiling]] region, ceiling`.
pub fn load_ceiling(t: &mut Table<'_>, found: &mut Vec<LoadCeiling>, log: &mut Vec<Diagnostic>) {
    for mut r in tables(t, LoadCeiling::NAME, log) {
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
            found.push(LoadCeiling {
                asked,
                region: region.value.to_owned(),
                ceiling: ceiling.value,
            });
        }
    }
}
