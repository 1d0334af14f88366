//! Which value each facet has, place by place.
//!
//! **Columns**, for each facet and place. `chosen[s][a]`: a step that cares stands here and takes value a. `kept[a]`: a step that does not
//! care stands here, and a is the value from before. `early[a][b]`: such a step, and the facet changes from a to b before it. `held[b]`:
//! such a step, and b was set early and is not yet used. `taken[a][b]`: a step that cares, and the value goes from a to b (a may be b).
//! `used[b]`: a step that cares takes b, which was set early. At the end `left[a]` and `left_early[b]` likewise.
//! **Rows.** One unit flows from the start's value through two layers of values, free and set early; the way into the second is `early`,
//! the only way out of it is a step (or the end) that takes that very value, and on it nothing changes. What flows through `chosen` is
//! what `x` says stands there.
//! **Why exact.** A change before a step that does not care must be to the value that is taken next; so after it the value holds until it is
//! taken, which is what the second layer says. Every allowed choice of values is one path, and every path an allowed choice. Where `x`, `chosen`
//! and `kept` are whole, so is the flow: in the first layer it is one unit at one value, and what is set early ends in one
//! value, whole, so it has been set to no other. Values that no step, no start and no end names can never be taken and have no columns.

use std::collections::HashMap;

use super::places::Places;
use super::program::{Linear, Program, Var};
use crate::problem::Problem;
use crate::problem::step::Choice;

/// A change of value, with the column that says whether it happens.
type Change = (usize, usize, Var);

/// One facet on its way through the places.
#[derive(Default)]
pub(super) struct Values {
    /// Values that it can have at all, from the lowest.
    pub(super) possible: Vec<usize>,
    /// `changes[k]` for place k from 1: from, to, column; the same value twice is no change. The last entry is the final change-over.
    changes: Vec<Vec<Change>>,
    /// `has[k][a]`: what adds up to value a at place k from 1.
    has: Vec<HashMap<usize, Linear>>,
    /// What step s takes at place k, where it has a choice.
    chosen: HashMap<(usize, usize), Vec<(usize, Var)>>,
}

impl Values {
    /// The facet has value `a` at place `k`.
    pub(super) fn has(&self, k: usize, a: usize) -> Linear {
        self.has[k].get(&a).cloned().unwrap_or_default()
    }

    /// The facet changes before place `k`; one beyond the places: in the final change-over.
    pub(super) fn changes(&self, k: usize) -> Linear {
        self.moves(k).map(|(_, _, column)| column).sum()
    }

    /// The changes before place `k`.
    pub(super) fn moves(&self, k: usize) -> impl Iterator<Item = Change> {
        (self.changes.get(k).into_iter().flatten().copied()).filter(|(a, b, _)| a != b)
    }

    /// Step `s` stands somewhere and takes value `a`, which it names among others or alone.
    pub(super) fn takes(
        &self,
        problem: &Problem,
        places: &Places,
        facet: usize,
        s: usize,
        a: usize,
    ) -> Linear {
        let choices = problem.steps[s].setup[facet].as_deref().unwrap_or_default();
        (1..=places.many)
            .map(|k| self.here(places, choices, s, k, a))
            .sum()
    }

    fn here(&self, places: &Places, choices: &[Choice], s: usize, k: usize, a: usize) -> Linear {
        match choices {
            [only] if only.value == a => places.at(s, k),
            [_] => Linear::default(),
            _ => (self.chosen.get(&(s, k)).into_iter().flatten())
                .filter(|(value, _)| *value == a)
                .map(|(_, column)| *column)
                .sum(),
        }
    }
}

/// The columns and rows of facet `f`, with what its penalties cost.
pub(super) fn values(
    problem: &Problem,
    places: &Places,
    f: usize,
    program: &mut Program,
) -> Values {
    let n = places.many;
    let start = problem.start_setup[f];
    let end = problem.end.as_ref().and_then(|end| end.setup[f]);
    let named = |s: usize| problem.steps[s].setup[f].as_deref();
    let caring: Vec<usize> = (0..n).filter(|&s| named(s).is_some()).collect();
    let careless: Vec<usize> = (0..n).filter(|&s| named(s).is_none()).collect();
    let mut asked: Vec<usize> = (caring.iter().filter_map(|&s| named(s)).flatten())
        .map(|choice| choice.value)
        .collect();
    let mut possible = [&asked[..], &[start], end.as_slice()].concat();
    possible.sort_unstable();
    possible.dedup();
    asked.extend(end);
    asked.sort_unstable();
    asked.dedup();

    let mut facet = Values {
        changes: vec![Vec::new(); n + 2],
        has: vec![HashMap::new(); n + 1],
        ..Values::default()
    };
    for k in 1..=n {
        choose(problem, places, f, k, &mut facet, program);
    }
    if possible.len() == 1 {
        // It never changes, and every step takes the one value.
        let all: Vec<usize> = (0..n).collect();
        for k in 1..=n {
            facet.has[k].insert(start, places.any(&all, k));
        }
        facet.possible = possible;
        return facet;
    }

    // What goes out of each value, free and set early, on to the next place.
    let mut free: HashMap<usize, Linear> = HashMap::from([(start, Linear::from(1))]);
    let mut due: HashMap<usize, Linear> = HashMap::new();
    for k in 1..=n + 1 {
        // The way to the end lies open after place k - 1 where the class may have so many steps.
        let mut ends = Linear::default();
        let may_end = k > places.fewest;
        let mut next_free: HashMap<usize, Linear> = HashMap::new();
        let mut next_due: HashMap<usize, Linear> = HashMap::new();
        let mut taken: HashMap<usize, Linear> = HashMap::new();
        let mut idle = Linear::default();
        let idled = !places.any(&careless, k).terms.is_empty();
        let chosen: Vec<(usize, Linear)> = (asked.iter())
            .map(|&b| {
                let takers = caring.iter().map(|&s| (s, named(s).unwrap_or_default()));
                let sum: Linear = takers
                    .map(|(s, choices)| facet.here(places, choices, s, k, b))
                    .sum();
                (b, sum)
            })
            .filter(|(_, sum)| !sum.terms.is_empty())
            .collect();
        for &a in &possible {
            let Some(come) = free.remove(&a) else {
                continue;
            };
            let mut go = Linear::default();
            for &(b, _) in &chosen {
                let column = program.share(1);
                go = go + column;
                facet.changes[k].push((a, b, column));
                add(&mut taken, b, column);
            }
            if idled {
                let kept = program.binary();
                go = go + kept;
                idle = idle + kept;
                add(&mut next_free, a, kept);
                add(&mut facet.has[k], a, kept);
                for &b in asked.iter().filter(|&&b| b != a) {
                    let column = program.share(1);
                    go = go + column;
                    idle = idle + column;
                    facet.changes[k].push((a, b, column));
                    add(&mut next_due, b, column);
                    add(&mut facet.has[k], b, column);
                }
            }
            if may_end {
                let left = program.share(1);
                go = go + left;
                ends = ends + left;
                facet.changes[n + 1].push((a, end.unwrap_or(a), left));
            }
            program.equal(come, go);
        }
        for &a in &possible {
            let Some(come) = due.remove(&a) else { continue };
            let mut go = Linear::default();
            if chosen.iter().any(|(b, _)| *b == a) {
                let used = program.share(1);
                go = go + used;
                add(&mut taken, a, used);
            }
            if idled {
                let held = program.share(1);
                go = go + held;
                idle = idle + held;
                add(&mut next_due, a, held);
                add(&mut facet.has[k], a, held);
            }
            if may_end && end == Some(a) {
                let left = program.share(1);
                go = go + left;
                ends = ends + left;
            }
            program.equal(come, go);
        }
        if may_end && !places.all_needed() {
            program.equal(ends, places.ends_at(k - 1));
        }
        if k > n {
            break;
        }
        for (b, chosen) in chosen {
            program.equal(taken.remove(&b).unwrap_or_default(), chosen.clone());
            add(&mut next_free, b, chosen.clone());
            add(&mut facet.has[k], b, chosen);
        }
        program.equal(idle, places.any(&careless, k));
        (free, due) = (next_free, next_due);
    }
    facet.possible = possible;
    tighten(problem, places, f, &facet, program);
    facet
}

fn add(to: &mut HashMap<usize, Linear>, value: usize, more: impl Into<Linear>) {
    let sum = to.remove(&value).unwrap_or_default();
    to.insert(value, sum + more);
}

/// What each step takes at place `k`, and what that costs.
fn choose(
    problem: &Problem,
    places: &Places,
    f: usize,
    k: usize,
    facet: &mut Values,
    program: &mut Program,
) {
    for (s, step) in problem.steps.iter().enumerate() {
        let here = places.at(s, k);
        if here.terms.is_empty() {
            continue;
        }
        match step.setup[f].as_deref() {
            None => {}
            Some([only]) => program.costs(here * only.penalty),
            Some(several) => {
                let columns: Vec<(usize, Var)> = (several.iter())
                    .map(|choice| {
                        let column = program.binary();
                        program.costs(column * choice.penalty);
                        (choice.value, column)
                    })
                    .collect();
                program.equal(columns.iter().map(|c| c.1).sum::<Linear>(), here);
                facet.chosen.insert((s, k), columns);
            }
        }
    }
}

/// Whether facet `f` must change between step `s` and step `t` directly after it: both care, and they share no value.
pub(super) fn parted(problem: &Problem, f: usize, s: usize, t: usize) -> bool {
    let named = |s: usize| problem.steps[s].setup[f].as_deref();
    match (named(s), named(t)) {
        (Some(before), Some(after)) => {
            let shared = |c: &Choice| after.iter().any(|d| c.value == d.value);
            !before.iter().any(shared)
        }
        (None, _) | (_, None) => false,
    }
}

/// Rows that whole solutions keep anyway and that raise the bound: where a step that takes only a is followed by one that takes only b, the
/// facet changes from a to b; where a step is followed by one that shares no value with it, the facet changes.
fn tighten(problem: &Problem, places: &Places, f: usize, facet: &Values, program: &mut Program) {
    let only = |s: usize| match problem.steps[s].setup[f].as_deref() {
        Some([only]) => Some(only.value),
        _ => None,
    };
    let choosy = problem
        .steps
        .iter()
        .any(|s| s.setup[f].as_ref().is_some_and(|c| c.len() > 1));
    for k in 2..=places.many {
        let apart: Linear = (places.pairs(k).iter())
            .filter(|&&(s, t, _)| choosy && parted(problem, f, s, t))
            .map(|pair| pair.2)
            .sum();
        if !apart.terms.is_empty() {
            program.at_most(apart, facet.changes(k));
        }
        for &a in &facet.possible {
            for &b in facet.possible.iter().filter(|&&b| b != a) {
                let follow: Vec<Var> = (places.pairs(k).iter())
                    .filter(|(s, t, _)| only(*s) == Some(a) && only(*t) == Some(b))
                    .map(|pair| pair.2)
                    .collect();
                if !follow.is_empty() {
                    let change: Linear = (facet.moves(k))
                        .filter(|&(from, to, _)| (from, to) == (a, b))
                        .map(|change| change.2)
                        .sum();
                    program.at_most(follow.into_iter().sum::<Linear>(), change);
                }
            }
        }
    }
}
