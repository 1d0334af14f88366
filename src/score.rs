//! The referee: an order's timeline and score, read straight off the definition, slow and plain. Shares no code with the search.
//!
//! The order is walked once from the start to the end; then each demand counts its own violations on the finished timeline.

use crate::problem::demand::Kind;
use crate::problem::timeline::Timeline;
use crate::problem::{End, Problem};

/// What a plan comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Evaluation {
    /// Why it is no plan at all (a value that is not allowed, a stage out of turn...); the figures then mean little.
    pub errors: Vec<String>,
    /// The plan on the clock.
    pub timeline: Timeline,
    /// Score, as problem-file.md defines it.
    pub score: i64,
    /// Sum of the change-overs, hundredths.
    pub changeover: i64,
    /// Number of stops.
    pub stops: i64,
    /// Set-up penalties and penalties of optional steps used.
    pub penalties: i64,
    /// For each demand the number of violations, as its kind counts them.
    pub counts: Vec<i64>,
    /// The demands that must hold and do not.
    pub broken: Vec<usize>,
}

impl Evaluation {
    /// Whether the plan is allowed and keeps every demand that must hold.
    pub fn feasible(&self) -> bool {
        self.errors.is_empty() && self.broken.is_empty()
    }
}

/// Scores `order` (steps in use) with `setups` (one value for each facet, one entry for each step of the order).
///
/// The problem must have passed `problem::check`. An order or set-ups that are not even well formed (a step twice, a set-up of the
/// wrong length) give an evaluation with `errors` and no figures.
pub fn evaluate(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> Evaluation {
    let mut result = Evaluation {
        errors: form_errors(problem, order, setups),
        ..Evaluation::default()
    };
    if !result.errors.is_empty() {
        return result;
    }
    result.errors.extend(choice_errors(problem, order, setups));
    result.errors.extend(early_errors(problem, order, setups));
    result.errors.extend(stage_errors(problem, order));

    result.timeline = timeline_of(problem, order, setups);
    result.changeover = (0..order.len())
        .map(|place| result.timeline.start[place] - result.timeline.changeover_start[place])
        .sum::<i64>()
        + result.timeline.final_changeover;
    result.stops = result.timeline.stops.iter().filter(|&&stop| stop).count() as i64
        + i64::from(result.timeline.final_stop);
    result.penalties = penalties_of(problem, order, setups);
    result.score = problem.time_weight * result.changeover
        + problem.stop_weight * result.stops
        + result.penalties;
    for (k, demand) in problem.demands.iter().enumerate() {
        let count = demand.kind.violations(&problem.steps, &result.timeline);
        result.counts.push(count);
        result.score += cost_of(problem, k, count);
        if count > 0 && demand.weight.is_none() {
            result.broken.push(k);
        }
    }
    result
}

/// Why the order and the set-ups are not even of the right form.
fn form_errors(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> Vec<String> {
    let mut errors = Vec::new();
    let mut uses = vec![0; problem.steps.len()];
    for &step in order {
        match uses.get_mut(step) {
            Some(times) => *times += 1,
            None => errors.push(format!("the order names step {step}, which does not exist")),
        }
    }
    for (step, &times) in uses.iter().enumerate() {
        if times > 1 {
            errors.push(format!("the order has step {step} {times} times"));
        }
        if times == 0 && problem.steps[step].optional.is_none() {
            errors.push(format!(
                "the order leaves out step {step}, which must be done"
            ));
        }
    }
    if setups.len() != order.len() {
        errors.push(format!(
            "there are {} set-ups for {} steps",
            setups.len(),
            order.len()
        ));
    }
    for (place, setup) in setups.iter().enumerate() {
        let one_value_each = setup.len() == problem.facets.len()
            && (setup.iter().zip(&problem.facets)).all(|(&v, facet)| v < facet.values.len());
        if !one_value_each {
            errors.push(format!(
                "the set-up at place {} is not one value for each facet",
                place + 1
            ));
        }
    }
    errors
}

/// Values that their step does not allow.
fn choice_errors(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> Vec<String> {
    let mut errors = Vec::new();
    for (place, (&step, setup)) in order.iter().zip(setups).enumerate() {
        for (facet, value) in setup.iter().enumerate() {
            if let Some(choices) = &problem.steps[step].setup[facet]
                && !choices.iter().any(|choice| choice.value == *value)
            {
                errors.push(format!(
                    "place {}: step {step} does not allow value {value} of facet {facet}",
                    place + 1
                ));
            }
        }
    }
    errors
}

/// Changes before a step that does not care about the facet to a value that nobody takes next.
fn early_errors(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> Vec<String> {
    let mut errors = Vec::new();
    for facet in 0..problem.facets.len() {
        let cares = |place: usize| problem.steps[order[place]].setup[facet].is_some();
        let at_the_end = problem.end.as_ref().and_then(|end| end.setup[facet]);
        let mut before = problem.start_setup[facet];
        for (place, setup) in setups.iter().enumerate() {
            let now = setup[facet];
            if now != before && !cares(place) {
                let taken_next = (place + 1..order.len())
                    .find(|&later| cares(later))
                    .map(|later| setups[later][facet])
                    .or(at_the_end);
                if taken_next != Some(now) {
                    errors.push(format!(
                        "place {}: facet {facet} is changed early to value {now}, which is not what is needed next",
                        place + 1
                    ));
                }
            }
            before = now;
        }
    }
    errors
}

/// Steps of an earlier stage after a later one.
fn stage_errors(problem: &Problem, order: &[usize]) -> Vec<String> {
    let mut errors = Vec::new();
    let mut reached = 0;
    for (place, &step) in order.iter().enumerate() {
        if let Some(stage) = problem.steps[step].stage {
            if stage < reached {
                errors.push(format!(
                    "place {}: step {step} is of stage {stage}, yet stage {reached} has begun",
                    place + 1
                ));
            }
            reached = reached.max(stage);
        }
    }
    errors
}

/// Penalties of the values chosen and of the optional steps used.
fn penalties_of(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> i64 {
    let mut sum = 0;
    for (&step, setup) in order.iter().zip(setups) {
        let step = &problem.steps[step];
        sum += step.optional.unwrap_or(0);
        for (choices, value) in step.setup.iter().zip(setup) {
            let chosen = choices.iter().flatten().find(|c| c.value == *value);
            sum += chosen.map_or(0, |choice| choice.penalty);
        }
    }
    sum
}

/// Walks the order on the clock.
fn timeline_of(problem: &Problem, order: &[usize], setups: &[Vec<usize>]) -> Timeline {
    let mut timeline = Timeline {
        order: order.to_vec(),
        setups: setups.to_vec(),
        facet_changes: vec![0; problem.facets.len()],
        ..Timeline::default()
    };
    let mut clock = 0;
    let mut posture = problem.start_posture;
    let mut setup = &problem.start_setup;
    for (&step, next) in order.iter().zip(setups) {
        let step = &problem.steps[step];
        let change = changeover(problem, setup, next, posture, Some(step.start));
        timeline.changeover_start.push(clock);
        clock += change.time;
        timeline.start.push(clock);
        clock += step.duration;
        timeline.end.push(clock);
        timeline.stops.push(change.stop);
        for facet in change.facets {
            timeline.facet_changes[facet] += 1;
        }
        posture = Some(step.end);
        setup = next;
    }
    if let Some(end) = &problem.end {
        let last = end_setup(end, setup);
        let change = changeover(problem, setup, &last, posture, end.posture);
        clock += change.time;
        timeline.final_changeover = change.time;
        timeline.final_stop = change.stop;
        for facet in change.facets {
            timeline.facet_changes[facet] += 1;
        }
    }
    timeline.finish = clock;
    timeline
}

/// The set-up after the final change-over: what the end leaves open stays as it is.
fn end_setup(end: &End, setup: &[usize]) -> Vec<usize> {
    (end.setup.iter().zip(setup))
        .map(|(wanted, &as_it_is)| wanted.unwrap_or(as_it_is))
        .collect()
}

/// One change-over.
struct Changeover {
    /// Hundredths: changes and way.
    time: i64,
    /// Whether it halts the class.
    stop: bool,
    /// Facets that change.
    facets: Vec<usize>,
}

/// The change-over between two set-ups and two postures (`None`: anywhere).
fn changeover(
    problem: &Problem,
    before: &[usize],
    after: &[usize],
    from: Option<usize>,
    to: Option<usize>,
) -> Changeover {
    let facets: Vec<usize> = (0..problem.facets.len())
        .filter(|&facet| before[facet] != after[facet])
        .collect();
    let changes: i64 = (facets.iter())
        .map(|&facet| problem.facets[facet].change[before[facet]][after[facet]])
        .sum();
    Changeover {
        time: changes + way(problem, from, to, &facets),
        stop: facets.iter().any(|&facet| problem.facets[facet].stop),
        facets,
    }
}

/// Time of the cheapest way from posture `from` to `to` (`None`: anywhere) that passes one posture of `reach` for each facet in `changed`.
///
/// The walk is followed posture by posture, with the set of facets that it has been able to change so far. Paths are all-pairs
/// shortest, so only postures where something new can be reached are worth a halt.
pub fn way(problem: &Problem, from: Option<usize>, to: Option<usize>, changed: &[usize]) -> i64 {
    let path = &problem.postures.path;
    let n_postures = path.len();
    let reaches: Vec<&Vec<usize>> = (changed.iter())
        .filter_map(|&facet| problem.facets[facet].reach.as_ref())
        .collect();
    let reached_from = |posture: usize| -> usize {
        (reaches.iter().enumerate())
            .filter(|(_, reach)| reach.contains(&posture))
            .map(|(bit, _)| 1 << bit)
            .sum()
    };
    let all = (1usize << reaches.len()) - 1;

    // least[done][p]: the cheapest walk so far that stands in p and has passed postures for the facets in `done`.
    let mut least = vec![vec![None; n_postures]; all + 1];
    for posture in 0..n_postures {
        if from.is_none_or(|only| only == posture) {
            least[reached_from(posture)][posture] = Some(0);
        }
    }
    // A halt only ever adds to what is done, so the sets are complete when met in rising order.
    for done in 0..all {
        for here in 0..n_postures {
            let Some(cost) = least[done][here] else {
                continue;
            };
            for next in 0..n_postures {
                let then = done | reached_from(next);
                if then == done {
                    continue;
                }
                let cost: i64 = cost + path[here][next];
                if least[then][next].is_none_or(|known| cost < known) {
                    least[then][next] = Some(cost);
                }
            }
        }
    }
    let arrivals = (0..n_postures).filter_map(|last| {
        let so_far = least[all][last]?;
        Some(so_far + to.map_or(0, |to| path[last][to]))
    });
    // Without any posture there is nowhere to walk.
    arrivals.min().unwrap_or(0)
}

/// What `count` violations of demand `k` add to the score; 0 for a demand that must hold.
///
/// The amount outside of a `peak` costs its weight a second, rounded down; every other kind costs its weight a violation.
pub fn cost_of(problem: &Problem, k: usize, count: i64) -> i64 {
    let demand = &problem.demands[k];
    let Some(weight) = demand.weight else {
        return 0;
    };
    if matches!(demand.kind, Kind::Peak(_)) {
        let cost = i128::from(weight) * i128::from(count) / 100;
        i64::try_from(cost).expect("a checked problem has no score beyond 64 bits")
    } else {
        weight * count
    }
}
