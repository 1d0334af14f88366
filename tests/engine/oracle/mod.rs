//! The truth about a small problem: every choice of optional steps, every order, every set-up that can matter, each scored by the referee.
//!
//! Shares no code with the search. Two shortcuts, both of which lose nothing:
//! - a partial plan that already costs as much as a finished one is given up, since nothing that follows costs less than 0;
//! - of two ways to do the same steps in the same order that end in the same set-up, owe the same early changes, have the same times, the same
//!   counts of changes and, where a `same` demand may look, the same values, the cheaper one stands for both: whatever follows costs the
//!   same after either, and no demand can tell them apart.

pub mod eager;
pub mod embed;
pub mod named;
pub mod pairs;
pub mod random;
pub mod seeds;
pub mod tight;

use std::collections::HashMap;

use segue::problem::Problem;
use segue::problem::demand::Kind;
use segue::score::{evaluate, way};

/// A best plan: score, order, set-ups.
pub type Best = (i64, Vec<usize>, Vec<Vec<usize>>);

/// What tells two ways to do the same steps in the same order apart.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Key {
    setup: Vec<usize>,
    /// Facets changed early and not yet used.
    due: Vec<bool>,
    starts: Vec<i64>,
    changes: Vec<i64>,
    /// Values so far of the facets that a `same` demand names.
    seen: Vec<usize>,
}

/// The cheapest way to one key.
#[derive(Clone)]
struct Partial {
    cost: i64,
    clock: i64,
    setups: Vec<Vec<usize>>,
}

type Layer = HashMap<Key, Partial>;

/// The best plan of a problem, or `None` if no order exists.
pub fn best(problem: &Problem) -> Option<Best> {
    let facets = problem.facets.len();
    let mut hunt = Hunt {
        problem,
        named: (0..facets)
            .filter(|&f| {
                (problem.demands.iter())
                    .any(|d| matches!(&d.kind, Kind::Same(same) if same.facet == f))
            })
            .collect(),
        order: Vec::new(),
        best: None,
    };
    let key = Key {
        setup: problem.start_setup.clone(),
        due: vec![false; facets],
        starts: Vec::new(),
        changes: vec![0; facets],
        seen: Vec::new(),
    };
    let nothing = Partial {
        cost: 0,
        clock: 0,
        setups: Vec::new(),
    };
    hunt.extend(&HashMap::from([(key, nothing)]));
    hunt.best
}

struct Hunt<'a> {
    problem: &'a Problem,
    named: Vec<usize>,
    order: Vec<usize>,
    best: Option<Best>,
}

impl Hunt<'_> {
    /// Finishes the order as it stands, where that is allowed, and goes on with each step that it lacks.
    fn extend(&mut self, layer: &Layer) {
        let steps = &self.problem.steps;
        if (0..steps.len()).all(|s| steps[s].optional.is_some() || self.order.contains(&s)) {
            self.finish(layer);
        }
        let reached = (self.order.iter().filter_map(|&s| steps[s].stage)).max();
        for (step, data) in steps.iter().enumerate() {
            let out_of_turn = data.stage.is_some_and(|s| Some(s) < reached);
            if self.order.contains(&step) || out_of_turn {
                continue;
            }
            let next = self.after(layer, step);
            if !next.is_empty() {
                self.order.push(step);
                self.extend(&next);
                self.order.pop();
            }
        }
    }

    fn finish(&mut self, layer: &Layer) {
        for partial in layer.values() {
            let judged = evaluate(self.problem, &self.order, &partial.setups);
            let better = self.best.as_ref().is_none_or(|b| judged.score < b.0);
            // A change whose value the end does not take is an error for the referee.
            if judged.feasible() && better {
                self.best = Some((judged.score, self.order.clone(), partial.setups.clone()));
            }
        }
    }

    /// The layer after `step`, with every set-up that can matter.
    fn after(&self, layer: &Layer, step: usize) -> Layer {
        let mut next = Layer::new();
        for (key, partial) in layer {
            for setup in self.setups(key, step) {
                let (key, partial) = self.walk(key, partial, step, setup);
                let too_dear = (self.best.as_ref()).is_some_and(|best| partial.cost >= best.0);
                let known = next.get(&key).is_some_and(|p| p.cost <= partial.cost);
                if !too_dear && !known {
                    next.insert(key, partial);
                }
            }
        }
        next
    }

    /// Every set-up of `step` after `key`: what it allows; for a facet that it does not care about the value as it is or, early, one that
    /// a step to come or the end asks for (the referee refuses any other).
    fn setups(&self, key: &Key, step: usize) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new()];
        for (f, facet) in self.problem.facets.iter().enumerate() {
            let values: Vec<usize> = match &self.problem.steps[step].setup[f] {
                Some(choices) => (choices.iter().map(|c| c.value))
                    .filter(|&v| !key.due[f] || v == key.setup[f])
                    .collect(),
                None if key.due[f] => vec![key.setup[f]],
                None => (0..facet.values.len())
                    .filter(|&v| v == key.setup[f] || self.wanted(step, f, v))
                    .collect(),
            };
            all = (all.iter())
                .flat_map(|setup| values.iter().map(|&v| [&setup[..], &[v]].concat()))
                .collect();
        }
        all
    }

    /// Whether a step that is yet to come after `now`, or the end, takes `value`.
    fn wanted(&self, now: usize, facet: usize, value: usize) -> bool {
        let at_the_end = self.problem.end.as_ref().and_then(|e| e.setup[facet]);
        at_the_end == Some(value)
            || (self.problem.steps.iter().enumerate()).any(|(s, step)| {
                let to_come = s != now && !self.order.contains(&s);
                let choices = step.setup[facet].iter().flatten();
                to_come && choices.into_iter().any(|c| c.value == value)
            })
    }

    fn walk(
        &self,
        key: &Key,
        partial: &Partial,
        number: usize,
        setup: Vec<usize>,
    ) -> (Key, Partial) {
        let problem = self.problem;
        let step = &problem.steps[number];
        let posture =
            (self.order.last()).map_or(problem.start_posture, |&s| Some(problem.steps[s].end));
        let changed: Vec<usize> = (0..setup.len())
            .filter(|&f| setup[f] != key.setup[f])
            .collect();
        let time = way(problem, posture, Some(step.start), &changed)
            + (changed.iter())
                .map(|&f| problem.facets[f].change[key.setup[f]][setup[f]])
                .sum::<i64>();
        let halts = changed.iter().any(|&f| problem.facets[f].stop);
        let penalties: i64 = (step.setup.iter().zip(&setup))
            .filter_map(|(choices, v)| choices.as_ref()?.iter().find(|c| c.value == *v))
            .map(|c| c.penalty)
            .sum();
        let cost = partial.cost
            + problem.time_weight * time
            + if halts { problem.stop_weight } else { 0 }
            + penalties
            + step.optional.unwrap_or(0);

        let mut after = key.clone();
        for &f in &changed {
            after.changes[f] += 1;
            after.due[f] = true;
        }
        for (due, choices) in after.due.iter_mut().zip(&step.setup) {
            *due &= choices.is_none();
        }
        after.starts.push(partial.clock + time);
        (after.seen).extend(self.named.iter().map(|&f| setup[f]));
        after.setup.clone_from(&setup);
        let partial = Partial {
            cost,
            clock: partial.clock + time + step.duration,
            setups: [&partial.setups[..], &[setup]].concat(),
        };
        (after, partial)
    }
}
