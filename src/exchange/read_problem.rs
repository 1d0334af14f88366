//! The parts of a problem file to those of a [`Problem`].

use super::read_demand::demand;
use super::walk::{Node, Object, Slips, meant};
use crate::problem::facet::Facet;
use crate::problem::posture::Postures;
use crate::problem::step::{Choice, Side, Step};
use crate::problem::{End, Problem};

/// Reads the whole problem; `None` if a part of it cannot be read. The version has been read already.
pub fn problem(mut o: Object<'_>, s: &mut Slips) -> Option<Problem> {
    o.get("segue_problem");
    let title = o.optional("title", s, Node::text);
    let facets = list(&mut o, "facets", s, facet);
    let postures = o.require("postures", s).and_then(|n| postures(&n, s));
    let start = o.require("start", s).and_then(|n| start(&n, s));
    let end = match o.require("end", s).map(Node::or_null) {
        Some(Some(node)) => end(&node, s).map(Some),
        Some(None) => Some(None),
        None => None,
    };
    let weights = o.require("weights", s).and_then(|n| {
        let mut o = n.object(s)?;
        let (time, stop) = (o.whole("time", s), o.whole("stop", s));
        o.finish(s);
        Some((time?, stop?))
    });
    let steps = list(&mut o, "steps", s, step);
    let demands = list(&mut o, "demands", s, demand);
    o.finish(s);
    let (start_setup, start_posture) = start?;
    let (time_weight, stop_weight) = weights?;
    Some(Problem {
        title: title?.unwrap_or_default().to_owned(),
        facets: facets?,
        postures: postures?,
        start_setup,
        start_posture,
        end: end?,
        time_weight,
        stop_weight,
        steps: steps?,
        demands: demands?,
    })
}

fn list<'v, T>(
    o: &mut Object<'v>,
    key: &'static str,
    s: &mut Slips,
    each: impl FnMut(&Node<'v>, &mut Slips) -> Option<T>,
) -> Option<Vec<T>> {
    o.require(key, s)?.list_of(s, each)
}

fn words(node: &Node<'_>, s: &mut Slips) -> Option<Vec<String>> {
    node.list_of(s, |n, s| n.text(s).map(str::to_owned))
}

fn matrix(node: &Node<'_>, s: &mut Slips) -> Option<Vec<Vec<i64>>> {
    node.list_of(s, |row, s| row.list_of(s, Node::whole))
}

fn facet(node: &Node<'_>, s: &mut Slips) -> Option<Facet> {
    let mut o = node.object(s)?;
    let name = o.text("name", s);
    let values = o.require("values", s).and_then(|n| words(&n, s));
    let change = o.require("change", s).and_then(|n| matrix(&n, s));
    let reach = o.optional("reach", s, |n, s| n.list_of(s, Node::index));
    // Absent: a change of it halts the class.
    let stop = o.get("stop").map_or(Some(true), |n| n.truth(s));
    o.finish(s);
    Some(Facet {
        name: name?.to_owned(),
        values: values?,
        change: change?,
        reach: reach?,
        stop: stop?,
    })
}

fn postures(node: &Node<'_>, s: &mut Slips) -> Option<Postures> {
    let mut o = node.object(s)?;
    let names = o.require("names", s).and_then(|n| words(&n, s));
    let path = o.require("path", s).and_then(|n| matrix(&n, s));
    o.finish(s);
    Some(Postures {
        names: names?,
        path: path?,
    })
}

fn start(node: &Node<'_>, s: &mut Slips) -> Option<(Vec<usize>, Option<usize>)> {
    let mut o = node.object(s)?;
    let setup = o.indices("setup", s);
    let posture = o.optional("posture", s, Node::index);
    o.finish(s);
    Some((setup?, posture?))
}

fn end(node: &Node<'_>, s: &mut Slips) -> Option<End> {
    let mut o = node.object(s)?;
    let setup = list(&mut o, "setup", s, |n, s| match n.clone().or_null() {
        Some(n) => n.index(s).map(Some),
        None => Some(None),
    });
    let posture = o.optional("posture", s, Node::index);
    o.finish(s);
    Some(End {
        setup: setup?,
        posture: posture?,
    })
}

fn side(node: &Node<'_>, s: &mut Slips) -> Option<Side> {
    match node.text(s)? {
        "both" => Some(Side::Both),
        "left" => Some(Side::Left),
        "right" => Some(Side::Right),
        other => {
            let mend = meant(other, &["both", "left", "right"]);
            s.note(node.at(), format!("there is no side {other:?}; {mend}"));
            None
        }
    }
}

fn stage(node: &Node<'_>, s: &mut Slips) -> Option<u8> {
    let stage = node.index(s)?;
    let found = u8::try_from(stage).ok();
    if found.is_none() {
        s.note(node.at(), format!("a stage is 0, 1 or 2, not {stage}"));
    }
    found
}

/// Values with their penalties, or null.
fn choices(node: &Node<'_>, s: &mut Slips) -> Option<Option<Vec<Choice>>> {
    let Some(node) = node.clone().or_null() else {
        return Some(None);
    };
    node.list_of(s, |choice, s| {
        let [value, penalty] = choice.pair("[value, penalty]", s)?;
        let (value, penalty) = (value.index(s), penalty.whole(s));
        Some(Choice {
            value: value?,
            penalty: penalty?,
        })
    })
    .map(Some)
}

fn step(node: &Node<'_>, s: &mut Slips) -> Option<Step> {
    let mut o = node.object(s)?;
    let id = o.optional("id", s, Node::text);
    let side = o.require("side", s).and_then(|n| side(&n, s));
    let duration = o.whole("duration", s);
    let setup = list(&mut o, "setup", s, choices);
    let posture = o.require("posture", s).and_then(|n| {
        let [start, end] = n.pair("[start, end]", s)?;
        let (start, end) = (start.index(s), end.index(s));
        Some((start?, end?))
    });
    let stage = o.optional("stage", s, stage);
    let group = o.optional("group", s, Node::whole);
    let optional = o.optional("optional", s, Node::whole);
    o.finish(s);
    let (start, end) = posture?;
    Some(Step {
        id: id?.unwrap_or_default().to_owned(),
        side: side?,
        duration: duration?,
        setup: setup?,
        start,
        end,
        stage: stage?,
        group: group?,
        optional: optional?,
    })
}
