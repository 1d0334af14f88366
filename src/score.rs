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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::demand::Demand;
    use crate::problem::demand::at_most::AtMost;
    use crate::problem::demand::peak::Peak;
    use crate::problem::facet::Facet;
    use crate::problem::posture::Postures;
    use crate::problem::step::{Choice, Side, Step};

    fn facet(reach: Option<Vec<usize>>, stop: bool) -> Facet {
        Facet {
            name: String::new(),
            values: vec!["off".into(), "on".into()],
            change: vec![vec![0, 700], vec![400, 0]],
            reach,
            stop,
        }
    }

    /// A step in one posture; each facet must have the value given, or may have any.
    fn step(posture: usize, setup: &[Option<usize>]) -> Step {
        Step {
            id: String::new(),
            side: Side::Both,
            duration: 1000,
            setup: (setup.iter())
                .map(|value| value.map(|value| vec![Choice { value, penalty: 0 }]))
                .collect(),
            start: posture,
            end: posture,
            stage: None,
            group: None,
            optional: None,
        }
    }

    /// Postures 0, 1, 2 in a row, 100 from each to the next up and 300 down; both facets start off; time counts 1, a stop 5000.
    fn problem(facets: Vec<Facet>, steps: Vec<Step>) -> Problem {
        Problem {
            title: String::new(),
            start_setup: vec![0; facets.len()],
            facets,
            postures: Postures {
                names: vec!["low".into(), "middle".into(), "high".into()],
                path: vec![vec![0, 100, 200], vec![300, 0, 100], vec![600, 300, 0]],
            },
            start_posture: Some(0),
            end: None,
            time_weight: 1,
            stop_weight: 5000,
            steps,
            demands: Vec::new(),
        }
    }

    #[test]
    fn a_class_is_the_sum_of_its_changes_ways_stops_and_penalties() {
        let mut p = problem(
            vec![facet(None, true), facet(None, false)],
            vec![step(0, &[Some(1), Some(1)]), step(1, &[Some(0), None])],
        );
        if let Some(choices) = &mut p.steps[0].setup[0] {
            choices[0].penalty = 30;
        }
        p.steps[1].optional = Some(9);
        let e = evaluate(&p, &[0, 1], &[vec![1, 1], vec![0, 1]]);
        // Before step 0 both facets go on: 700 each; before step 1 the first goes off: 400, and the way up is 100.
        assert_eq!(e.timeline.changeover_start, [0, 2400]);
        assert_eq!(e.timeline.start, [1400, 2900]);
        assert_eq!(e.timeline.end, [2400, 3900]);
        assert_eq!(e.timeline.facet_changes, [2, 1]);
        assert_eq!((e.changeover, e.stops, e.penalties), (1900, 2, 39));
        assert_eq!(e.score, 1900 + 2 * 5000 + 39);
        assert!(e.feasible());
    }

    #[test]
    fn a_change_that_does_not_halt_is_no_stop_unless_another_does() {
        let quiet = problem(vec![facet(None, false)], vec![step(0, &[Some(1)])]);
        assert_eq!(evaluate(&quiet, &[0], &[vec![1]]).stops, 0);
        let both = problem(
            vec![facet(None, false), facet(None, true)],
            vec![step(0, &[Some(1), Some(1)])],
        );
        assert_eq!(evaluate(&both, &[0], &[vec![1, 1]]).stops, 1);
    }

    #[test]
    fn a_facet_is_reached_by_a_detour_and_one_posture_serves_several() {
        let p = problem(
            vec![facet(Some(vec![2]), true), facet(Some(vec![1, 2]), true)],
            Vec::new(),
        );
        assert_eq!(way(&p, Some(0), Some(0), &[]), 0);
        assert_eq!(way(&p, Some(0), Some(0), &[1]), 100 + 300);
        assert_eq!(way(&p, Some(0), Some(0), &[0]), 200 + 600);
        assert_eq!(way(&p, Some(0), Some(0), &[0, 1]), 200 + 600);
        assert_eq!(way(&p, Some(2), Some(2), &[0, 1]), 0);
    }

    #[test]
    fn two_reaches_without_a_posture_in_common_need_both_and_the_cheaper_turn_is_taken() {
        let p = problem(
            vec![facet(Some(vec![0]), true), facet(Some(vec![2]), true)],
            Vec::new(),
        );
        // From the middle: down and then up is 300 + 200; up and then down 100 + 600.
        assert_eq!(way(&p, Some(1), None, &[0, 1]), 500);
        assert_eq!(way(&p, Some(1), Some(0), &[0, 1]), 700);
    }

    #[test]
    fn an_open_start_or_end_is_wherever_it_costs_least() {
        let p = problem(vec![facet(Some(vec![2]), true)], Vec::new());
        assert_eq!(way(&p, None, Some(0), &[]), 0);
        assert_eq!(way(&p, None, Some(0), &[0]), 600);
        assert_eq!(way(&p, Some(0), None, &[0]), 200);
        assert_eq!(way(&p, None, None, &[0]), 0);
    }

    #[test]
    fn a_change_made_early_shares_a_stop_and_is_allowed_only_to_what_comes_next() {
        let p = problem(
            vec![facet(None, true), facet(None, true)],
            vec![step(0, &[Some(1), None]), step(0, &[None, Some(1)])],
        );
        let late = evaluate(&p, &[0, 1], &[vec![1, 0], vec![1, 1]]);
        assert_eq!((late.stops, late.score), (2, 1400 + 10_000));
        let early = evaluate(&p, &[0, 1], &[vec![1, 1], vec![1, 1]]);
        assert!(early.feasible(), "{early:?}");
        assert_eq!((early.stops, early.score), (1, 1400 + 5000));
        // Once step 1 is over nobody asks for the second facet again.
        let idle = evaluate(&p, &[1, 0], &[vec![0, 1], vec![1, 0]]);
        assert_eq!(idle.errors.len(), 1, "{idle:?}");
    }

    #[test]
    fn a_change_for_the_end_may_be_made_before_it() {
        let mut p = problem(vec![facet(None, true)], vec![step(0, &[None])]);
        assert_eq!(evaluate(&p, &[0], &[vec![1]]).errors.len(), 1);
        p.end = Some(End {
            setup: vec![Some(1)],
            posture: None,
        });
        let early = evaluate(&p, &[0], &[vec![1]]);
        assert!(early.feasible(), "{early:?}");
        assert_eq!((early.timeline.final_changeover, early.stops), (0, 1));
        let late = evaluate(&p, &[0], &[vec![0]]);
        assert_eq!((late.timeline.final_changeover, late.stops), (700, 1));
        assert!(late.timeline.final_stop);
    }

    #[test]
    fn the_final_changeover_is_time_stop_and_change_like_any_other() {
        let mut p = problem(
            vec![facet(Some(vec![1]), true), facet(None, true)],
            vec![step(0, &[Some(1), Some(1)])],
        );
        p.end = Some(End {
            setup: vec![Some(0), None],
            posture: Some(0),
        });
        p.demands.push(Demand {
            kind: Kind::AtMost(AtMost {
                facet: 0,
                changes: 1,
            }),
            weight: Some(11),
        });
        let e = evaluate(&p, &[0], &[vec![1, 1]]);
        // Up to the middle and back, twice: to switch on, and to switch off again; what the end leaves open stays on.
        assert_eq!(e.timeline.start, [1400 + 400]);
        assert_eq!(e.timeline.final_changeover, 400 + 400);
        assert_eq!(e.timeline.finish, 1800 + 1000 + 800);
        assert_eq!(e.timeline.facet_changes, [2, 1]);
        assert_eq!((e.stops, e.counts[0]), (2, 1));
        assert_eq!(e.score, 2600 + 2 * 5000 + 11);
    }

    #[test]
    fn with_no_step_in_use_only_the_final_changeover_is_paid() {
        let mut p = problem(vec![facet(None, true)], Vec::new());
        p.end = Some(End {
            setup: vec![Some(1)],
            posture: Some(2),
        });
        let e = evaluate(&p, &[], &[]);
        assert_eq!((e.timeline.finish, e.stops, e.score), (900, 1, 5900));
    }

    #[test]
    fn what_must_hold_and_does_not_is_named_and_costs_nothing() {
        let mut p = problem(vec![facet(None, true)], vec![step(0, &[Some(1)])]);
        let kind = Kind::AtMost(AtMost {
            facet: 0,
            changes: 0,
        });
        p.demands.push(Demand { kind, weight: None });
        let e = evaluate(&p, &[0], &[vec![1]]);
        assert_eq!((e.broken.clone(), e.score), (vec![0], 5700));
        assert!(!e.feasible());
    }

    #[test]
    fn a_peak_costs_its_weight_a_second_outside_rounded_down() {
        let mut p = problem(Vec::new(), vec![step(0, &[])]);
        p.demands.push(Demand {
            kind: Kind::Peak(Peak {
                step: 0,
                from: 0,
                to: 255,
            }),
            weight: Some(3),
        });
        let e = evaluate(&p, &[0], &[vec![]]);
        assert_eq!((e.counts[0], e.score), (745, 22));
    }

    #[test]
    fn orders_that_are_no_plan_are_told_why() {
        let mut p = problem(
            vec![facet(None, true)],
            vec![step(0, &[Some(0)]), step(0, &[Some(0)])],
        );
        let errors = |p: &Problem, order: &[usize], setups: &[Vec<usize>]| {
            evaluate(p, order, setups).errors.join("; ")
        };
        let off = vec![0];
        assert!(errors(&p, &[0], std::slice::from_ref(&off)).contains("leaves out step 1"));
        let twice = errors(&p, &[0, 1, 1], &vec![off.clone(); 3]);
        assert!(twice.contains("step 1 2 times"), "{twice}");
        assert!(errors(&p, &[0, 7], &vec![off.clone(); 2]).contains("does not exist"));
        assert!(errors(&p, &[0, 1], std::slice::from_ref(&off)).contains("1 set-ups for 2 steps"));
        assert!(errors(&p, &[0, 1], &[off.clone(), vec![2]]).contains("not one value for each"));
        assert!(errors(&p, &[0, 1], &[off.clone(), vec![1]]).contains("does not allow value 1"));
        p.steps[0].stage = Some(0);
        p.steps[1].stage = Some(1);
        assert!(errors(&p, &[1, 0], &vec![off; 2]).contains("stage 1 has begun"));
    }
}
