//! Why each transition is there: what changes, for whom, whether anything would have served both, what ties the two steps together, and
//! what an order without it would cost.

use super::allowance::Allowance;
use super::price::fair;
use super::savings::{Link, links};
use crate::problem::Problem;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::place::Place;
use crate::problem::demand::{Demand, Kind};
use crate::problem::timeline::Timeline;
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// Whether one value would have served both ends of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Common {
    /// None does.
    Nothing,
    /// This one does, with this much added to the score over the two values taken.
    Value {
        /// The value.
        value: usize,
        /// Penalties more than as it is.
        dearer: i64,
    },
}

/// A facet that changes in a transition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Changed {
    /// The facet.
    pub facet: usize,
    /// Value before.
    pub from: usize,
    /// Value after.
    pub to: usize,
    /// Hundredths of a second, the way to reach it not counted.
    pub time: i64,
    /// The last step before that asked for something here; `None`: it stands as at the start.
    pub since: Option<usize>,
    /// The next step that asks for something here; `None`: the end of the class.
    pub needed_by: Option<usize>,
    /// Whether the step right after the transition does not ask for it: it is changed ahead of time.
    pub early: bool,
    /// What would have served both.
    pub common: Common,
    /// Whether another movement of the class could be done on any of the values that the next step allows.
    pub others_could: bool,
}

/// What the best order without a transition would cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Avoided {
    /// It was not sought.
    NotSought,
    /// Every order has it.
    Never,
    /// At least and at most this much more of the score; `None`: unknown.
    Costs {
        /// At least.
        at_least: i64,
        /// At most.
        at_most: Option<i64>,
    },
}

/// A transition and its reasons.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Transition {
    /// From where to where, how long, whether it halts.
    pub link: Link,
    /// Place of the step after it, from 1; one more than there are steps at the end.
    pub place: usize,
    /// What changes.
    pub changed: Vec<Changed>,
    /// The rest of its time: the way from one position to the next.
    pub way: i64,
    /// Demands that tie the two steps together, or the step to its place, and are kept.
    pub tied_by: Vec<usize>,
    /// What an order without it would cost.
    pub avoided: Avoided,
}

/// The transitions of the plan of a search that take time or halt, in order.
pub fn transitions(
    problem: &Problem,
    outcome: &Outcome,
    best: &Evaluation,
    allowance: &mut Allowance,
) -> Vec<Transition> {
    let timeline = &best.timeline;
    let mut found: Vec<Transition> = (links(timeline).into_iter().enumerate())
        .filter(|(_, link)| link.time > 0 || link.stop)
        .map(|(at, link)| {
            let changed = changes(problem, timeline, at);
            Transition {
                link,
                place: at + 1,
                way: link.time - changed.iter().map(|c| c.time).sum::<i64>(),
                changed,
                tied_by: ties(problem, best, link, at),
                avoided: Avoided::NotSought,
            }
        })
        .collect();
    let stops: Vec<usize> = (0..found.len())
        .filter(|&i| found[i].link.stop && found[i].link.to.is_some())
        .collect();
    let without = |&i: &usize| {
        let link = found[i].link;
        let mut other = problem.clone();
        other.demands.extend(link.to.map(|to| apart(link.from, to)));
        other
    };
    let problems: Vec<Problem> = stops.iter().map(without).collect();
    let bound = outcome.bound.unwrap_or(0);
    let outcomes = allowance.solve_all(&problems, fair(outcome));
    for (i, outcome) in stops.into_iter().zip(outcomes) {
        found[i].avoided = match outcome {
            None => Avoided::NotSought,
            Some(outcome) if outcome.plan.is_none() && outcome.proven() => Avoided::Never,
            Some(outcome) => Avoided::Costs {
                at_least: outcome.bound.map_or(0, |b| (b - best.score).max(0)),
                at_most: outcome.plan.map(|plan| plan.score - bound),
            },
        };
    }
    found
}

/// The set-up before the step at a place (from 0), the start before the first.
fn before(problem: &Problem, timeline: &Timeline, at: usize) -> Vec<usize> {
    match at {
        0 => problem.start_setup.clone(),
        at => timeline.setups[at - 1].clone(),
    }
}

/// The set-up after a transition: that of the step, or the end.
fn after(problem: &Problem, timeline: &Timeline, at: usize) -> Vec<usize> {
    if let Some(setup) = timeline.setups.get(at) {
        return setup.clone();
    }
    let last = before(problem, timeline, at);
    let Some(end) = &problem.end else { return last };
    (last.iter().zip(&end.setup))
        .map(|(&now, asked)| asked.unwrap_or(now))
        .collect()
}

/// What a step, or the start or the end, allows in a facet: values with penalties.
fn allowed(
    problem: &Problem,
    step: Option<usize>,
    facet: usize,
    value: usize,
) -> Vec<(usize, i64)> {
    let choices = step.and_then(|s| problem.steps[s].setup[facet].as_ref());
    choices.map_or_else(
        || vec![(value, 0)],
        |choices| choices.iter().map(|c| (c.value, c.penalty)).collect(),
    )
}

fn changes(problem: &Problem, timeline: &Timeline, at: usize) -> Vec<Changed> {
    let (old, new) = (before(problem, timeline, at), after(problem, timeline, at));
    let order = &timeline.order;
    (0..problem.facets.len())
        .filter(|&f| old[f] != new[f])
        .map(|f| {
            let asks = |s: &usize| problem.steps[*s].setup[f].is_some();
            let since = order[..at].iter().rev().copied().find(asks);
            let needed_by = order[at..].iter().copied().find(asks);
            let (had, wants) = (
                allowed(problem, since, f, old[f]),
                allowed(problem, needed_by, f, new[f]),
            );
            let penalty = |of: &[(usize, i64)], value| {
                (of.iter().find(|(v, _)| *v == value)).map(|&(_, penalty)| penalty)
            };
            let now = penalty(&had, old[f]).unwrap_or(0) + penalty(&wants, new[f]).unwrap_or(0);
            let common = (had.iter())
                .filter_map(|&(v, p)| Some((p + penalty(&wants, v)?, v)))
                .min();
            let twin = |s: usize| {
                needed_by.is_some_and(|n| {
                    problem.steps[n].group.is_some()
                        && problem.steps[n].group == problem.steps[s].group
                })
            };
            let serves = |s: &usize| {
                let choices = problem.steps[*s].setup[f].iter().flatten();
                Some(*s) != needed_by
                    && !twin(*s)
                    && choices
                        .into_iter()
                        .any(|c| penalty(&wants, c.value).is_some())
            };
            Changed {
                facet: f,
                from: old[f],
                to: new[f],
                time: problem.facets[f].change[old[f]][new[f]],
                since,
                needed_by,
                early: needed_by.is_some() && order.get(at).copied() != needed_by,
                common: common.map_or(Common::Nothing, |(cost, value)| Common::Value {
                    value,
                    dearer: cost - now,
                }),
                others_could: order.iter().any(serves),
            }
        })
        .collect()
}

/// Demands that are kept and keep the two steps next to each other or near, or the step at its place.
fn ties(problem: &Problem, best: &Evaluation, link: Link, at: usize) -> Vec<usize> {
    let place = i64::try_from(at + 1).expect("a class has few steps");
    let count = i64::try_from(best.timeline.order.len()).expect("a class has few steps");
    let Some(to) = link.to else { return Vec::new() };
    let ties = |kind: &Kind| match kind {
        Kind::Contiguous(d) => {
            link.from.is_some_and(|from| d.steps.contains(&from)) && d.steps.contains(&to)
        }
        Kind::Neighbours(d) => {
            d.least.is_some_and(|n| n > 0)
                && link.from.is_some_and(|from| d.pairs.contains(&(from, to)))
        }
        Kind::Place(d) => {
            let from_start = |p: i64| if p < 0 { count + 1 + p } else { p };
            d.step == to && from_start(d.min) == place && from_start(d.max) == place
        }
        _ => false,
    };
    (0..problem.demands.len())
        .filter(|&k| best.counts[k] == 0 && ties(&problem.demands[k].kind))
        .collect()
}

/// That one step does not come right after another, or (`None`) is not the first.
pub fn apart(from: Option<usize>, to: usize) -> Demand {
    let kind = match from {
        Some(from) => Kind::Neighbours(Neighbours {
            pairs: vec![(from, to)],
            least: None,
            most: Some(0),
        }),
        None => Kind::Place(Place {
            step: to,
            min: 2,
            max: -1,
        }),
    };
    Demand { kind, weight: None }
}
