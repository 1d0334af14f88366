//! A demand of a problem file to a [`Demand`].

use super::walk::{Node, Object, Slips, meant};
use crate::problem::demand::at_most::AtMost;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::fatigue::Fatigue;
use crate::problem::demand::fits::Fits;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::longest::Longest;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::peak::Peak;
use crate::problem::demand::place::Place;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::recovery::Recovery;
use crate::problem::demand::same::Same;
use crate::problem::demand::window::Window;
use crate::problem::demand::{Demand, Kind};

/// The kinds by name.
const KINDS: &[&str] = &[
    "precede",
    "contiguous",
    "place",
    "window",
    "follow",
    "recovery",
    "longest",
    "at_most",
    "same",
    "neighbours",
    "fits",
    "fatigue",
    "peak",
];

/// Reads one demand.
pub fn demand(node: &Node<'_>, slips: &mut Slips) -> Option<Demand> {
    let mut o = node.object(slips)?;
    let weight = o.whole_or_null("weight", slips);
    let name = o.text("kind", slips)?;
    if !KINDS.contains(&name) {
        let mend = meant(name, KINDS);
        slips.note(
            o.at(),
            format!("there is no kind of demand {name:?}; {mend}"),
        );
        // Its other keys cannot be judged.
        return None;
    }
    let kind = kind(name, &mut o, slips);
    o.finish(slips);
    Some(Demand {
        kind: kind?,
        weight: weight?,
    })
}

/// The figures of a kind. All are looked at before any that is wrong ends it.
fn kind(name: &str, o: &mut Object<'_>, s: &mut Slips) -> Option<Kind> {
    Some(match name {
        "precede" => {
            let (a, b) = (o.index("a", s), o.index("b", s));
            Kind::Precede(Precede { a: a?, b: b? })
        }
        "contiguous" => {
            let (steps, ordered) = (o.indices("steps", s), o.truth("ordered", s));
            let within = o.whole("within", s);
            Kind::Contiguous(Contiguous {
                steps: steps?,
                ordered: ordered?,
                within: within?,
            })
        }
        "place" => {
            let (step, min, max) = (o.index("step", s), o.whole("min", s), o.whole("max", s));
            Kind::Place(Place {
                step: step?,
                min: min?,
                max: max?,
            })
        }
        "window" => {
            let (step, from, to) = (o.index("step", s), o.whole("from", s), o.whole("to", s));
            Kind::Window(Window {
                step: step?,
                from: from?,
                to: to?,
            })
        }
        "follow" => {
            let (trigger, remedy) = (o.indices("trigger", s), o.indices("remedy", s));
            let within = o.whole("within", s);
            Kind::Follow(Follow {
                trigger: trigger?,
                remedy: remedy?,
                within: within?,
            })
        }
        "recovery" => {
            let (steps, seconds) = (o.indices("steps", s), o.whole("seconds", s));
            Kind::Recovery(Recovery {
                steps: steps?,
                seconds: seconds?,
            })
        }
        "longest" => {
            let (steps, limit) = (o.indices("steps", s), o.whole("limit", s));
            let rest = o.whole("rest", s);
            Kind::Longest(Longest {
                steps: steps?,
                limit: limit?,
                rest: rest?,
            })
        }
        "at_most" => {
            let (facet, changes) = (o.index("facet", s), o.whole("changes", s));
            Kind::AtMost(AtMost {
                facet: facet?,
                changes: changes?,
            })
        }
        "same" => {
            let (steps, facet) = (o.indices("steps", s), o.index("facet", s));
            Kind::Same(Same {
                steps: steps?,
                facet: facet?,
            })
        }
        "neighbours" => neighbours(o, s)?,
        "fits" => Kind::Fits(Fits {
            total: o.whole("total", s)?,
        }),
        "fatigue" => fatigue(o, s)?,
        "peak" => {
            let (step, from, to) = (o.index("step", s), o.whole("from", s), o.whole("to", s));
            Kind::Peak(Peak {
                step: step?,
                from: from?,
                to: to?,
            })
        }
        other => unreachable!("{other} is one of the kinds above"),
    })
}

fn neighbours(o: &mut Object<'_>, s: &mut Slips) -> Option<Kind> {
    let pairs = o.require("pairs", s).and_then(|pairs| {
        pairs.list_of(s, |pair, s| {
            let [a, b] = pair.pair("[step, step]", s)?;
            let (a, b) = (a.index(s), b.index(s));
            Some((a?, b?))
        })
    });
    let (least, most) = (o.whole_or_null("least", s), o.whole_or_null("most", s));
    Some(Kind::Neighbours(Neighbours {
        pairs: pairs?,
        least: least?,
        most: most?,
    }))
}

fn fatigue(o: &mut Object<'_>, s: &mut Slips) -> Option<Kind> {
    let region = o.text("region", s);
    let loads = o.require("loads", s).and_then(|loads| {
        loads.list_of(s, |load, s| {
            let [step, load] = load.pair("[step, load]", s)?;
            let (step, load) = (step.index(s), load.number(s));
            Some((step?, load?))
        })
    });
    let (build, recover, rest) = (
        o.number("build", s),
        o.number("recover", s),
        o.number("rest", s),
    );
    let (start, ceiling) = (o.number("start", s), o.number("ceiling", s));
    Some(Kind::Fatigue(Fatigue {
        region: region?.to_owned(),
        loads: loads?,
        build: build?,
        recover: recover?,
        rest: rest?,
        start: start?,
        ceiling: ceiling?,
    }))
}
