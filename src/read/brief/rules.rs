//! `[rules]` of a brief: whether each rule must hold, should hold or is off, its weight and its figures.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::read::brief::list::Lists;
use crate::read::brief::own::unknown_movement;
use crate::read::brief::targets::Targets;
use crate::read::brief::{figures, orders};
use crate::read::catalogue::circle::circles;
use crate::read::enough::ends_at;
use crate::read::index::Names;
use crate::read::spanned::Table;
use crate::rules::blocks::Blocks;
use crate::rules::book::RuleBook;
use crate::rules::breathers::Breathers;
use crate::rules::fits::Fits;
use crate::rules::need::{WEIGHT_CAN_HURT, WEIGHT_OTHER};
use crate::rules::preparation::{EasierFirst, Preparation};
use crate::rules::rule::Rule as _;
use crate::rules::sides::{FirstSide, SidesEqual};
use crate::rules::warm_up::{CoolDown, WarmUp};

/// Reads all rules into the book. A key that nobody knows is told with the others in the order in which they are read here.
pub fn rules(
    mut table: Table<'_>,
    book: &mut RuleBook,
    lists: &Lists<'_, '_>,
    catalogue: &Catalogue,
    machines: &[Apparatus],
    log: &mut Vec<Diagnostic>,
) {
    // Each by its name, so that none is left unread; the short rests stand at the top of a brief.
    let RuleBook {
        warm_up,
        cool_down,
        blocks,
        rounds,
        sides_paired,
        sides_equal,
        first_side,
        preparation,
        easier_first,
        counterpose,
        recovery,
        longest_load,
        load_ceiling,
        before,
        together,
        flows_into,
        near,
        apart,
        pinned,
        at_most,
        breathers: _,
        effort_arc,
        fits,
    } = book;
    let t = &mut table;
    for (name, place, weight) in [
        (SidesEqual::NAME, &mut sides_equal.asked, WEIGHT_OTHER),
        (FirstSide::NAME, &mut first_side.asked, WEIGHT_OTHER),
        (Blocks::NAME, &mut blocks.asked, WEIGHT_OTHER),
        (Preparation::NAME, &mut preparation.asked, WEIGHT_CAN_HURT),
        (EasierFirst::NAME, &mut easier_first.asked, WEIGHT_OTHER),
        (Fits::NAME, &mut fits.asked, WEIGHT_OTHER),
    ] {
        figures::plain(t, name, place, weight, log);
    }
    let (warm, cool) = (&mut warm_up.minutes, &mut cool_down.minutes);
    figures::phase(t, WarmUp::NAME, &mut warm_up.asked, warm, log);
    figures::phase(t, CoolDown::NAME, &mut cool_down.asked, cool, log);
    figures::sides_paired(t, sides_paired, log);
    figures::rounds(t, rounds, log);
    figures::counterpose(t, counterpose, log);
    figures::recovery(t, recovery, log);
    figures::effort_arc(t, effort_arc, log);
    figures::longest_load(t, longest_load, log);

    let targets = &Targets { lists, catalogue };
    let mut held = Vec::new();
    orders::before(t, before, targets, &mut held, log);
    orders::together(t, together, targets, &mut held, log);
    log.extend(circles(
        &held,
        "orders that must hold",
        "remove one of these orders, or make it `prefer`",
    ));
    orders::flows_into(t, flows_into, targets, log);
    orders::near(t, near, targets, log);
    orders::apart(t, apart, targets, log);
    orders::pinned(t, pinned, targets, log);
    orders::at_most(t, at_most, machines, log);
    orders::load_ceiling(t, load_ceiling, log);
    table.finish(log);
}

/// `breathers = 0`, or `[breathers] movements, copies, penalty`.
pub fn breathers(root: &mut Table<'_>, names: &Names<'_>, log: &mut Vec<Diagnostic>) -> Breathers {
    let mut found = Breathers::default();
    let Some(item) = root.get(Breathers::NAME.key) else {
        return found;
    };
    found.span = Some(item.span());
    let most = 0..=6;
    if item.is_number() {
        if let Some(n) = item.whole(most, log) {
            found.copies = n.value;
        }
        return found;
    }
    let Some(mut t) = item.table("the breathers", log) else {
        return found;
    };
    for name in t.names("movements", log) {
        if ends_at(|| name.span.clone(), log) {
            break;
        }
        match names.movement(&name.value) {
            Ok(m) if m.sides == crate::model::movement::Sides::Each => {
                log.push(Diagnostic::mistake(
                    Code::OutOfRange,
                    name.span.clone(),
                    format!("{} is done on each side, so it is no short rest", m.name),
                    "has two sides",
                    "name a movement that is done once",
                ));
            }
            Ok(m) if found.movements.contains(&m.id) => {}
            Ok(m) => found.movements.push(m.id.clone()),
            Err(near) => log.push(unknown_movement(&name, &near)),
        }
    }
    if let Some(n) = t.whole("copies", most, log) {
        found.copies = n.value;
    }
    if let Some(s) = t.number("penalty", 0.0..=3600.0, log) {
        found.penalty = s.value;
    }
    t.finish(log);
    found
}
