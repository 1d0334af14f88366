//! What lies between two places: changes, ways and stops, and the clock that they make.
//!
//! **Columns**, for each change-over. `walk[p][q][C]`: the way goes from posture p to q and must reach what changes the facets in C, C not
//! empty, for those facets that make a difference between p and q. `moved[C]`: one of several facets with one reach changes. `stop`: it
//! halts the class. `start[k]`: when the step at place k starts.
//! **Rows.** `walk` adds up to no more than the pair p, q says, and for each reach to what its facets say; `stop` is at least each change that halts.
//! Each start is the start before it, and the duration and the change-over between: nobody waits.
//! **Why exact.** Where the order and the changes are whole, one pair p, q counts, the facets that change are one set, and `walk` is 1 for
//! that set (less what makes no difference) and 0 for the others: its way is the one that `score` walks. What costs only (`stop`) may
//! be larger, and is not, because it is paid for.

use std::collections::BTreeMap;

use super::facets::{Values, parted};
use super::places::Places;
use super::program::{Linear, Program, Var};
use crate::problem::Problem;
use crate::score::way;

/// From a posture to a posture; `None`: anywhere.
type Leg = (Option<usize>, Option<usize>);

/// When things happen, hundredths.
pub(super) struct Clock {
    /// Later than the end of any class.
    pub(super) horizon: i64,
    /// `start[k]` for place k from 1; beyond the last step in use when the class would go on.
    start: Vec<Var>,
    /// `work[k]`: how long the step at place k takes.
    work: Vec<Linear>,
    /// The end of the class.
    pub(super) finish: Linear,
}

impl Clock {
    /// When the step at place `k` starts.
    pub(super) fn start(&self, k: usize) -> Linear {
        self.start[k - 1].into()
    }

    /// When the step at place `k` ends.
    pub(super) fn end(&self, k: usize) -> Linear {
        self.start(k) + self.work[k].clone()
    }
}

/// Whether the clock is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Timed {
    /// A demand does.
    Yes,
    /// None does.
    No,
}

/// The change-overs with what they cost, and the clock if somebody looks at it.
pub(super) fn changeovers(
    problem: &Problem,
    places: &Places,
    facets: &[Values],
    timed: Timed,
    program: &mut Program,
) -> Option<Clock> {
    let n = places.many;
    stops(problem, places, facets, program);
    if timed == Timed::No && problem.time_weight == 0 {
        return None;
    }
    let reaches = reaches(problem, facets);
    let time: Vec<Linear> = (0..=n + 1)
        .map(|k| {
            let legs = legs_of(problem, places, k);
            let mut time = ways(problem, facets, &reaches, &legs, k, program);
            for (facet, values) in problem.facets.iter().zip(facets) {
                for (a, b, column) in values.moves(k) {
                    time = time + column * facet.change[a][b];
                }
            }
            program.costs(time.clone() * problem.time_weight);
            time
        })
        .collect();
    (timed == Timed::Yes).then(|| clock(problem, places, &time, program))
}

fn clock(problem: &Problem, places: &Places, time: &[Linear], program: &mut Program) -> Clock {
    let n = places.many;
    let horizon = horizon(problem);
    let work: Vec<Linear> = (0..=n)
        .map(|k| {
            (problem.steps.iter().enumerate())
                .map(|(s, step)| places.at(s, k) * step.duration)
                .sum()
        })
        .collect();
    let start: Vec<Var> = (1..=n).map(|_| program.time(horizon)).collect();
    let mut so_far = Linear::default();
    for k in 1..=n {
        program.equal(start[k - 1], so_far + time[k].clone());
        so_far = Linear::from(start[k - 1]) + work[k].clone();
    }
    Clock {
        horizon,
        start,
        work,
        finish: so_far + time[n + 1].clone(),
    }
}

/// Later than the end of any class, hundredths.
pub(super) fn horizon(problem: &Problem) -> i64 {
    let dearest = |rows: &[Vec<i64>]| rows.iter().flatten().copied().max().unwrap_or(0);
    let changes: i64 = problem.facets.iter().map(|f| dearest(&f.change)).sum();
    let reached = problem.facets.iter().filter(|f| f.reach.is_some()).count() as i64;
    let way = (reached + 1) * dearest(&problem.postures.path);
    let work: i64 = problem.steps.iter().map(|step| step.duration).sum();
    work + (problem.steps.len() as i64 + 1) * (changes + way)
}

/// What each stop costs.
fn stops(problem: &Problem, places: &Places, facets: &[Values], program: &mut Program) {
    if problem.stop_weight == 0 {
        return;
    }
    let n = places.many;
    for k in 1..=n + 1 {
        let halting: Vec<Linear> = (problem.facets.iter().zip(facets))
            .filter(|(facet, _)| facet.stop)
            .map(|(_, values)| values.changes(k))
            .filter(|changes| !changes.terms.is_empty())
            .collect();
        if let [only] = &halting[..] {
            program.costs(only.clone() * problem.stop_weight);
        } else if !halting.is_empty() {
            let stop = program.share(1);
            program.costs(stop * problem.stop_weight);
            for changes in halting {
                program.at_most(changes, stop);
            }
            let sure = sure_stop(problem, places, k);
            if !sure.terms.is_empty() {
                program.at_most(sure, stop);
            }
        }
    }
}

/// What stands on either side of place `k` where one of the facets that halt must change for it: a row that whole solutions keep anyway and
/// that raises the bound, since it sees all facets at once.
fn sure_stop(problem: &Problem, places: &Places, k: usize) -> Linear {
    let steps = &problem.steps;
    let halts = |apart: &dyn Fn(usize) -> bool| {
        (problem.facets.iter().enumerate()).any(|(f, facet)| facet.stop && apart(f))
    };
    let lacks = |s: usize, f: usize, value: usize| {
        (steps[s].setup[f].as_ref()).is_some_and(|named| named.iter().all(|c| c.value != value))
    };
    let ends: Vec<usize> = (0..steps.len()).collect();
    if k == 1 {
        (ends.into_iter())
            .filter(|&s| halts(&|f| lacks(s, f, problem.start_setup[f])))
            .map(|s| places.at(s, 1))
            .sum()
    } else if k <= places.many {
        (places.pairs(k).iter())
            .filter(|&&(s, t, _)| halts(&|f| parted(problem, f, s, t)))
            .map(|pair| pair.2)
            .sum()
    } else if let Some(end) = &problem.end {
        (ends.into_iter())
            .filter(|&s| halts(&|f| end.setup[f].is_some_and(|value| lacks(s, f, value))))
            .map(|s| places.ends_with(s))
            .sum()
    } else {
        Linear::default()
    }
}

/// Facets that can change and are reached from the same postures, together; facets that can be changed from anywhere are left out.
fn reaches(problem: &Problem, facets: &[Values]) -> Vec<Vec<usize>> {
    let mut classes: BTreeMap<Vec<usize>, Vec<usize>> = BTreeMap::new();
    for (f, facet) in problem.facets.iter().enumerate() {
        if let Some(reach) = &facet.reach
            && facets[f].possible.len() > 1
        {
            let mut reach = reach.clone();
            reach.sort_unstable();
            classes.entry(reach).or_default().push(f);
        }
    }
    classes.into_values().collect()
}

/// The ways that there may be before place `k` (one beyond the places: in the final change-over), with what says that it is the one.
fn legs_of(problem: &Problem, places: &Places, k: usize) -> BTreeMap<Leg, Linear> {
    let n = places.many;
    let steps = &problem.steps;
    let mut legs: BTreeMap<Leg, Linear> = BTreeMap::new();
    let mut add = |leg: Leg, that: Linear| {
        if !that.terms.is_empty() {
            let sum = legs.remove(&leg).unwrap_or_default();
            legs.insert(leg, sum + that);
        }
    };
    if k == n + 1 {
        if let Some(end) = &problem.end {
            for (s, step) in steps.iter().enumerate() {
                add((Some(step.end), end.posture), places.ends_with(s));
            }
            add((problem.start_posture, end.posture), places.ends_at(0));
        }
    } else if k == 1 {
        for (s, step) in steps.iter().enumerate() {
            add((problem.start_posture, Some(step.start)), places.at(s, 1));
        }
    } else {
        for &(s, t, column) in places.pairs(k) {
            add((Some(steps[s].end), Some(steps[t].start)), column.into());
        }
    }
    legs
}

/// Time of the way before place `k`.
fn ways(
    problem: &Problem,
    facets: &[Values],
    reaches: &[Vec<usize>],
    legs: &BTreeMap<Leg, Linear>,
    k: usize,
    program: &mut Program,
) -> Linear {
    let moved: Vec<Linear> = (reaches.iter())
        .map(|class| moved(facets, class, k, program))
        .collect();
    // A reach that nothing changes from here needs no walking to.
    let live: Vec<usize> = (0..reaches.len())
        .filter(|&class| !moved[class].terms.is_empty())
        .collect();
    let mut time = Linear::default();
    let mut walked = vec![Linear::default(); reaches.len()];
    let mut elsewhere = vec![Linear::default(); reaches.len()];
    for (&(from, to), leg) in legs {
        let cost = |set: usize| {
            let changed: Vec<usize> = (live.iter().enumerate())
                .filter(|(bit, _)| set >> bit & 1 == 1)
                .map(|(_, &class)| reaches[class][0])
                .collect();
            way(problem, from, to, &changed)
        };
        let costs: Vec<i64> = (0..1 << live.len()).map(cost).collect();
        let matters = |bit: usize| (0..costs.len()).any(|set| costs[set] != costs[set | 1 << bit]);
        let mask: usize = (0..live.len())
            .filter(|&b| matters(b))
            .map(|b| 1 << b)
            .sum();
        time = time + leg.clone() * costs[0];
        let mut all = Linear::default();
        for set in (1..costs.len()).filter(|set| set & !mask == 0) {
            let walk = program.share(1);
            all = all + walk;
            time = time + walk * (costs[set] - costs[0]);
            for (bit, &class) in live.iter().enumerate() {
                if set >> bit & 1 == 1 {
                    walked[class] = std::mem::take(&mut walked[class]) + walk;
                }
            }
        }
        if mask != 0 {
            program.at_most(all, leg.clone());
        }
        for (bit, &class) in live.iter().enumerate() {
            if mask >> bit & 1 == 0 {
                elsewhere[class] = std::mem::take(&mut elsewhere[class]) + leg.clone();
            }
        }
    }
    for &class in &live {
        let walked = std::mem::take(&mut walked[class]);
        if !walked.terms.is_empty() {
            let elsewhere = std::mem::take(&mut elsewhere[class]);
            program.at_most(walked.clone(), moved[class].clone());
            program.at_most(moved[class].clone(), walked + elsewhere);
        }
    }
    time
}

/// One of the facets changes before place `k`.
fn moved(facets: &[Values], class: &[usize], k: usize, program: &mut Program) -> Linear {
    let changes: Vec<Linear> = (class.iter().map(|&f| facets[f].changes(k)))
        .filter(|changes| !changes.terms.is_empty())
        .collect();
    if changes.len() < 2 {
        return changes.into_iter().sum();
    }
    let moved = program.share(1);
    for one in &changes {
        program.at_most(one.clone(), moved);
    }
    program.at_most(moved, changes.into_iter().sum::<Linear>());
    moved.into()
}
