//! A change-over as acts along its way, in a safe order.
//!
//! The order is argued once, here. If the way passes the floor, everything that can be changed there is changed there. Elsewhere springs that
//! hold the carriage better go on at the first place that reaches them, those that hold it less at the last, so that nobody turns, kneels or
//! stands on a carriage that rolls more freely than it must. In one place: what stands on the machine comes off, then springs that hold better,
//! then bar and head rest, then springs that hold less, and last what goes on. Straps are taken and hung up by moves of the posture graph, which
//! leave no other way out of them. The carriage is closed before anything is done but the head rest, and again after a plank, in which it may roll.

use super::way::Way;
use crate::compile::Compiled;
use crate::model::act::Act;
use crate::model::apparatus::{FacetSpec, HEAD};
use crate::model::placed::{Body, On, Placed};
use crate::model::springs::SpringSet;

/// A facet that changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// Index of the facet in the problem; 0 is the springs.
    pub facet: usize,
    /// Value before.
    pub from: usize,
    /// Value after.
    pub to: usize,
}

/// An act and what it is counted with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timed {
    /// The act.
    pub act: Act,
    /// Hundredths of a second, with the room in; 0 for what is said on the way.
    pub time: i64,
}

/// What differs from one set-up to the next.
pub fn changes(from: &[usize], to: &[usize]) -> Vec<Change> {
    from.iter()
        .zip(to)
        .enumerate()
        .filter(|(_, (a, b))| a != b)
        .map(|(facet, (&from, &to))| Change { facet, from, to })
        .collect()
}

/// The acts of these changes along a way. `closed`: whether the carriage is at home before them.
pub fn along(compiled: &Compiled, changes: &[Change], way: &Way, closed: bool) -> Vec<Timed> {
    let graph = &compiled.apparatus.postures;
    let mut acts = Vec::new();
    for place in 0..way.nodes.len() {
        if place > 0 {
            acts.push(Timed {
                act: Act::Go(way.moves[place - 1]),
                time: way.costs[place - 1],
            });
        }
        let mut here: Vec<(u8, usize, Timed)> = (changes.iter())
            .filter(|c| chosen_place(compiled, **c, &way.nodes) == place)
            .flat_map(|&c| {
                acts_of(compiled, c)
                    .into_iter()
                    .map(move |(r, t)| (r, c.facet, t))
            })
            .collect();
        here.sort_by_key(|&(rank, facet, _)| (rank, facet));
        acts.extend(here.into_iter().map(|(_, _, timed)| timed));
    }
    let mut said = Vec::new();
    let mut closed = closed;
    for timed in acts {
        if !closed && wants_it_closed(compiled, &timed.act) {
            let (act, time) = (Act::Close, 0);
            said.push(Timed { act, time });
            closed = true;
        }
        // On hands and feet it may roll.
        if let Act::Go(index) = timed.act {
            closed &= placed(compiled, graph.moves[index].to).body != Body::Plank;
        }
        said.push(timed);
    }
    said
}

/// The place along the way where a change is made.
fn chosen_place(compiled: &Compiled, change: Change, nodes: &[usize]) -> usize {
    let reach = compiled.problem.facets[change.facet].reach.as_deref();
    let places: Vec<usize> = (0..nodes.len())
        .filter(|&p| reach.is_none_or(|of_facet| of_facet.contains(&nodes[p])))
        .collect();
    let floor = |p: &usize| placed(compiled, nodes[*p]).on == On::Floor;
    let late = change.facet == 0 && holds_less(compiled, change);
    let found = places.iter().copied().find(floor).or(if late {
        places.last().copied()
    } else {
        places.first().copied()
    });
    // The long way need not pass where the file would have it changed: then the floor it is.
    found.or_else(|| (0..nodes.len()).find(floor)).unwrap_or(0)
}

fn placed(compiled: &Compiled, node: usize) -> Placed {
    compiled.apparatus.postures.postures[node].placed
}

/// The facet of a change; `None` for the springs.
fn other_facet(compiled: &Compiled, change: Change) -> Option<&FacetSpec> {
    let k = change.facet.checked_sub(1)?;
    Some(&compiled.apparatus.facets[k])
}

fn spring_sets(compiled: &Compiled, change: Change) -> (&SpringSet, &SpringSet) {
    let values = &compiled.spring_values;
    (&values[change.from], &values[change.to])
}

/// Whether the springs after a change hold the carriage less than those before.
fn holds_less(compiled: &Compiled, change: Change) -> bool {
    let classes = &compiled.apparatus.springs.classes;
    let (from, to) = spring_sets(compiled, change);
    to.load(classes) < from.load(classes)
}

/// What a change comes to, with the order in which it is done among others in the same place.
fn acts_of(compiled: &Compiled, change: Change) -> Vec<(u8, Timed)> {
    let costs = &compiled.problem.facets[change.facet].change;
    let time = costs[change.from][change.to];
    let Some(spec) = other_facet(compiled, change) else {
        let (from, to) = spring_sets(compiled, change);
        let (from, to) = (from.clone(), to.clone());
        let rank = if holds_less(compiled, change) { 3 } else { 1 };
        let act = Act::Springs { from, to };
        return vec![(rank, Timed { act, time })];
    };
    let (facet, from, to) = (change.facet - 1, change.from, change.to);
    if !spec.holds_things() {
        let act = Act::Set { facet, from, to };
        return vec![(2, Timed { act, time })];
    }
    let off = |time| {
        let act = Act::TakeOff { facet, value: from };
        (0, Timed { act, time })
    };
    let on = |time| {
        let act = Act::PutOn { facet, value: to };
        (4, Timed { act, time })
    };
    match (from, to) {
        (_, 0) => vec![off(time)],
        (0, _) => vec![on(time)],
        _ if spec.turn_cues[to].is_some() => {
            let act = Act::Turn { facet, from, to };
            vec![(4, Timed { act, time })]
        }
        _ => {
            let first = costs[from][0].min(time);
            vec![off(first), on(time - first)]
        }
    }
}

/// Whether the carriage is closed before an act: before all but the head rest.
fn wants_it_closed(compiled: &Compiled, act: &Act) -> bool {
    match act {
        Act::Close => false,
        Act::Set { facet, .. } => compiled.apparatus.facets[*facet].key != HEAD,
        Act::Go(_)
        | Act::Springs { .. }
        | Act::TakeOff { .. }
        | Act::PutOn { .. }
        | Act::Turn { .. } => true,
    }
}
