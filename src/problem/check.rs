//! Whether a problem is well formed: all mistakes at once.

use super::definition::Problem;
use super::demand::Kind;
use super::figures::{GREATEST, greatest_score, latest_finish, most_violations};

/// A mistake in a problem, in words that name the place ("step 3: value 2 is listed twice").
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ProblemError(pub String);

/// All mistakes of a problem; empty if it is well formed.
///
/// Figures so great that a score or a time could pass [`GREATEST`] are mistakes too: see [`super::figures`].
pub fn check(problem: &Problem) -> Vec<ProblemError> {
    let mut found = Found::default();
    for (f, facet) in problem.facets.iter().enumerate() {
        let at = format!("facet {f}");
        found.unless(!facet.values.is_empty(), || {
            format!("{at}: it has no values")
        });
        found.matrix(&format!("{at}: change"), &facet.change, facet.values.len());
        if let Some(reach) = &facet.reach {
            found.unless(!reach.is_empty(), || format!("{at}: reach is empty"));
            found.members(
                &format!("{at}: reach"),
                reach,
                problem.postures.names.len(),
                "posture",
            );
        }
    }
    found.matrix(
        "postures: path",
        &problem.postures.path,
        problem.postures.names.len(),
    );
    ends(problem, &mut found);
    steps(problem, &mut found);
    for (k, demand) in problem.demands.iter().enumerate() {
        let at = format!("demand {k}");
        found.unless(demand.weight.is_none_or(|weight| weight >= 0), || {
            format!("{at}: weight is negative")
        });
        kind(problem, &demand.kind, &at, &mut found);
        for (field, figure) in figures(&demand.kind) {
            found.not_too_great(&format!("{at}: {field}"), figure);
        }
    }
    // With one mistake more the sums would only say again what is wrong with their terms.
    if found.0.is_empty() {
        sums(problem, &mut found);
    }
    found.0
}

/// Whether all that adds up fits.
fn sums(problem: &Problem, found: &mut Found) {
    let score = greatest_score(problem);
    found.unless(score <= GREATEST.into(), || {
        format!(
            "a score could reach {score}, and at most {GREATEST} can be counted: make the weights and penalties smaller"
        )
    });
    let finish = latest_finish(problem);
    found.unless(finish <= GREATEST.into(), || {
        format!(
            "the class could take {finish} hundredths of a second, and at most {GREATEST} can be counted: make the durations and costs smaller"
        )
    });
    for (k, demand) in problem.demands.iter().enumerate() {
        let Kind::Peak(d) = &demand.kind else {
            continue;
        };
        let part = i128::from(d.from.max(d.to)).saturating_mul(finish);
        found.unless(part <= GREATEST.into(), || {
            format!("demand {k}: from or to, times the class, passes {GREATEST}, which is all that can be counted: they are per mille")
        });
        let weight = i128::from(demand.weight.unwrap_or(0));
        let outside = weight.saturating_mul(most_violations(problem, &demand.kind));
        found.unless(outside <= GREATEST.into(), || {
            format!("demand {k}: weight, times the duration of the step, passes {GREATEST}, which is all that can be counted")
        });
    }
}

/// The figures of a demand that are compared with times, places and counts.
fn figures(kind: &Kind) -> Vec<(&'static str, i64)> {
    match kind {
        Kind::Precede(_) | Kind::Same(_) | Kind::Fatigue(_) => Vec::new(),
        Kind::Contiguous(d) => vec![("within", d.within)],
        Kind::Place(d) => vec![("min", d.min), ("max", d.max)],
        Kind::Window(d) => vec![("from", d.from), ("to", d.to)],
        Kind::Follow(d) => vec![("within", d.within)],
        Kind::Recovery(d) => vec![("seconds", d.seconds)],
        Kind::Longest(d) => vec![("limit", d.limit), ("rest", d.rest)],
        Kind::AtMost(d) => vec![("changes", d.changes)],
        Kind::Neighbours(d) => vec![
            ("least", d.least.unwrap_or(0)),
            ("most", d.most.unwrap_or(0)),
        ],
        Kind::Fits(d) => vec![("total", d.total)],
        Kind::Peak(d) => vec![("from", d.from), ("to", d.to)],
    }
}

/// Mistakes so far.
#[derive(Default)]
struct Found(Vec<ProblemError>);

impl Found {
    fn unless(&mut self, holds: bool, message: impl FnOnce() -> String) {
        if !holds {
            self.0.push(ProblemError(message()));
        }
    }

    fn not_negative(&mut self, what: &str, value: i64) {
        self.unless(value >= 0, || format!("{what} is negative"));
    }

    /// Beyond [`GREATEST`] sums with the figure could pass 64 bits.
    fn not_too_great(&mut self, what: &str, value: i64) {
        self.unless(value.unsigned_abs() <= GREATEST.unsigned_abs(), || {
            format!("{what} is {value}, and at most {GREATEST} can be counted")
        });
    }

    fn index(&mut self, what: &str, value: usize, many: usize, noun: &str) {
        self.unless(value < many, || {
            format!("{what} is {value}, which is no {noun}")
        });
    }

    /// A list of distinct indices below `many`.
    fn members(&mut self, what: &str, list: &[usize], many: usize, noun: &str) {
        for (i, &member) in list.iter().enumerate() {
            self.unless(member < many, || {
                format!("{what} names {noun} {member}, which does not exist")
            });
            self.unless(!list[..i].contains(&member), || {
                format!("{what} names {noun} {member} twice")
            });
        }
    }

    /// An n by n matrix of costs, zero diagonal, no detour shorter.
    fn matrix(&mut self, what: &str, rows: &[Vec<i64>], n: usize) {
        if rows.len() != n || rows.iter().any(|row| row.len() != n) {
            self.unless(false, || format!("{what} is not {n} by {n}"));
            return;
        }
        for (u, row) in rows.iter().enumerate() {
            self.unless(row[u] == 0, || format!("{what}[{u}][{u}] is not 0"));
            for (v, &cost) in row.iter().enumerate() {
                self.unless(cost >= 0, || format!("{what}[{u}][{v}] is negative"));
                let by_way = (0..n).min_by_key(|&w| row[w].saturating_add(rows[w][v]));
                if let Some(w) = by_way {
                    let detour = row[w].saturating_add(rows[w][v]);
                    self.unless(detour >= cost || detour < 0, || {
                        format!("{what}[{u}][{v}] is {cost}, yet by way of {w} it is {detour}")
                    });
                }
            }
        }
    }
}

/// The start, the end and the weights.
fn ends(problem: &Problem, found: &mut Found) {
    let n_postures = problem.postures.names.len();
    let n_facets = problem.facets.len();
    found.unless(problem.start_setup.len() == n_facets, || {
        format!("start.setup does not have {n_facets} entries")
    });
    for (f, (&value, facet)) in problem.start_setup.iter().zip(&problem.facets).enumerate() {
        found.index(
            &format!("start.setup[{f}]"),
            value,
            facet.values.len(),
            "value of the facet",
        );
    }
    if let Some(posture) = problem.start_posture {
        found.index("start.posture", posture, n_postures, "posture");
    }
    if let Some(end) = &problem.end {
        found.unless(end.setup.len() == n_facets, || {
            format!("end.setup does not have {n_facets} entries")
        });
        for (f, (value, facet)) in end.setup.iter().zip(&problem.facets).enumerate() {
            if let Some(value) = *value {
                found.index(
                    &format!("end.setup[{f}]"),
                    value,
                    facet.values.len(),
                    "value of the facet",
                );
            }
        }
        if let Some(posture) = end.posture {
            found.index("end.posture", posture, n_postures, "posture");
        }
    }
    found.not_negative("weights.time", problem.time_weight);
    found.not_negative("weights.stop", problem.stop_weight);
}

/// The steps.
fn steps(problem: &Problem, found: &mut Found) {
    let n_postures = problem.postures.names.len();
    for (i, step) in problem.steps.iter().enumerate() {
        let at = format!("step {i}");
        found.not_negative(&format!("{at}: duration"), step.duration);
        found.unless(step.setup.len() == problem.facets.len(), || {
            format!("{at}: setup does not have {} entries", problem.facets.len())
        });
        for (f, (choices, facet)) in step.setup.iter().zip(&problem.facets).enumerate() {
            let Some(choices) = choices else { continue };
            let what = format!("{at}: setup[{f}]");
            found.unless(!choices.is_empty(), || format!("{what} is an empty list"));
            let values: Vec<usize> = choices.iter().map(|choice| choice.value).collect();
            found.members(&what, &values, facet.values.len(), "value");
            for choice in choices {
                found.not_negative(
                    &format!("{what}: the penalty of value {}", choice.value),
                    choice.penalty,
                );
            }
        }
        found.index(
            &format!("{at}: posture[0]"),
            step.start,
            n_postures,
            "posture",
        );
        found.index(
            &format!("{at}: posture[1]"),
            step.end,
            n_postures,
            "posture",
        );
        found.unless(step.stage.is_none_or(|stage| stage <= 2), || {
            format!("{at}: stage is not 0, 1, 2 or null")
        });
        found.unless(step.optional.is_none_or(|penalty| penalty >= 0), || {
            format!("{at}: optional is negative")
        });
    }
}

/// One demand.
fn kind(problem: &Problem, kind: &Kind, at: &str, found: &mut Found) {
    let n = problem.steps.len();
    let named = |field: &str| format!("{at}: {field}");
    match kind {
        Kind::Precede(d) => {
            found.index(&named("a"), d.a, n, "step");
            found.index(&named("b"), d.b, n, "step");
            found.unless(d.a != d.b, || format!("{at}: a and b are the same step"));
        }
        Kind::Contiguous(d) => {
            found.members(&named("steps"), &d.steps, n, "step");
            found.not_negative(&named("within"), d.within);
        }
        Kind::Place(d) => {
            found.index(&named("step"), d.step, n, "step");
            found.unless(d.min != 0, || {
                format!("{at}: min is place 0; places start at 1")
            });
            found.unless(d.max != 0, || {
                format!("{at}: max is place 0; places start at 1")
            });
        }
        Kind::Window(d) => {
            found.index(&named("step"), d.step, n, "step");
            found.not_negative(&named("from"), d.from);
            found.not_negative(&named("to"), d.to);
        }
        Kind::Follow(d) => {
            found.members(&named("trigger"), &d.trigger, n, "step");
            found.members(&named("remedy"), &d.remedy, n, "step");
            found.not_negative(&named("within"), d.within);
        }
        Kind::Recovery(d) => {
            found.members(&named("steps"), &d.steps, n, "step");
            found.not_negative(&named("seconds"), d.seconds);
        }
        Kind::Longest(d) => {
            found.members(&named("steps"), &d.steps, n, "step");
            found.not_negative(&named("limit"), d.limit);
            found.not_negative(&named("rest"), d.rest);
        }
        Kind::AtMost(d) => {
            found.index(&named("facet"), d.facet, problem.facets.len(), "facet");
            found.not_negative(&named("changes"), d.changes);
        }
        Kind::Same(d) => {
            found.members(&named("steps"), &d.steps, n, "step");
            found.unless(d.steps.len() >= 2, || {
                format!("{at}: steps has fewer than two members")
            });
            found.index(&named("facet"), d.facet, problem.facets.len(), "facet");
        }
        Kind::Neighbours(d) => {
            for (i, &(a, b)) in d.pairs.iter().enumerate() {
                found.index(&named("pairs"), a, n, "step");
                found.index(&named("pairs"), b, n, "step");
                found.unless(a != b, || format!("{at}: pairs has step {a} beside itself"));
                found.unless(!d.pairs[..i].contains(&(a, b)), || {
                    format!("{at}: pairs lists [{a}, {b}] twice")
                });
            }
            found.not_negative(&named("least"), d.least.unwrap_or(0));
            found.not_negative(&named("most"), d.most.unwrap_or(0));
            found.unless(d.least.is_some() || d.most.is_some(), || {
                format!("{at}: least and most are both null")
            });
            let upside_down =
                matches!((d.least, d.most), (Some(least), Some(most)) if least > most);
            found.unless(!upside_down, || format!("{at}: least exceeds most"));
        }
        Kind::Fits(d) => found.not_negative(&named("total"), d.total),
        Kind::Fatigue(d) => {
            let loaded: Vec<usize> = d.loads.iter().map(|load| load.0).collect();
            found.members(&named("loads"), &loaded, n, "step");
            for &(step, load) in &d.loads {
                found.unless((0.0..=1.0).contains(&load), || {
                    format!("{at}: the load of step {step} is not in 0..1")
                });
            }
            for (field, rate) in [("build", d.build), ("recover", d.recover), ("rest", d.rest)] {
                found.unless(rate.is_finite() && rate >= 0.0, || {
                    format!("{at}: {field} is not a number >= 0")
                });
            }
            for (field, share) in [("start", d.start), ("ceiling", d.ceiling)] {
                found.unless((0.0..=1.0).contains(&share), || {
                    format!("{at}: {field} is not in 0..1")
                });
            }
        }
        Kind::Peak(d) => {
            found.index(&named("step"), d.step, n, "step");
            found.not_negative(&named("from"), d.from);
            found.not_negative(&named("to"), d.to);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::definition::End;
    use crate::problem::demand::Demand;
    use crate::problem::demand::fatigue::Fatigue;
    use crate::problem::demand::fits::Fits;
    use crate::problem::demand::neighbours::Neighbours;
    use crate::problem::demand::place::Place;
    use crate::problem::demand::precede::Precede;
    use crate::problem::demand::same::Same;
    use crate::problem::facet::Facet;
    use crate::problem::posture::Postures;
    use crate::problem::step::{Choice, Side, Step};

    fn sound() -> Problem {
        let step = Step {
            id: String::new(),
            side: Side::Both,
            duration: 100,
            setup: vec![Some(vec![Choice {
                value: 1,
                penalty: 0,
            }])],
            start: 0,
            end: 1,
            stage: Some(2),
            group: None,
            optional: None,
        };
        Problem {
            title: String::new(),
            facets: vec![Facet {
                name: String::new(),
                values: vec!["a".into(), "b".into()],
                change: vec![vec![0, 10], vec![20, 0]],
                reach: Some(vec![1]),
                stop: true,
            }],
            postures: Postures {
                names: vec!["p".into(), "q".into(), "r".into()],
                path: vec![vec![0, 5, 9], vec![5, 0, 5], vec![9, 5, 0]],
            },
            start_setup: vec![0],
            start_posture: None,
            end: Some(End {
                setup: vec![None],
                posture: Some(2),
            }),
            time_weight: 1,
            stop_weight: 1,
            steps: vec![step.clone(), step],
            demands: Vec::new(),
        }
    }

    /// What is told after one change to a sound problem.
    fn told(spoil: impl FnOnce(&mut Problem)) -> Vec<String> {
        let mut problem = sound();
        spoil(&mut problem);
        check(&problem).into_iter().map(|m| m.0).collect()
    }

    fn demanding(kind: Kind) -> Vec<String> {
        told(|p| p.demands.push(Demand { kind, weight: None }))
    }

    #[test]
    fn a_sound_problem_has_no_mistakes() {
        assert_eq!(check(&sound()), []);
    }

    #[test]
    fn a_detour_that_is_shorter_is_told_with_its_way() {
        let told = told(|p| p.postures.path[0][2] = 11);
        assert_eq!(
            told,
            ["postures: path[0][2] is 11, yet by way of 1 it is 10"]
        );
    }

    #[test]
    fn a_matrix_of_the_wrong_size_is_told_once() {
        let told = told(|p| p.facets[0].change[1] = vec![0]);
        assert_eq!(told, ["facet 0: change is not 2 by 2"]);
    }

    #[test]
    fn references_to_nothing_are_told_with_their_place() {
        assert_eq!(
            told(|p| p.facets[0].reach = Some(vec![1, 1, 3])).len(),
            2,
            "twice 1, and no posture 3"
        );
        assert_eq!(told(|p| p.facets[0].reach = Some(Vec::new())).len(), 1);
        assert!(told(|p| p.steps[1].end = 3)[0].starts_with("step 1: posture[1] is 3"));
        assert!(told(|p| p.start_posture = Some(3))[0].starts_with("start.posture is 3"));
        assert_eq!(told(|p| p.start_setup.push(0)).len(), 1);
        let end = told(|p| {
            p.end = Some(End {
                setup: vec![Some(2)],
                posture: Some(3),
            });
        });
        assert_eq!(end.len(), 2);
    }

    #[test]
    fn a_step_that_allows_nothing_or_has_no_such_stage_is_told() {
        let nothing = told(|p| p.steps[0].setup[0] = Some(Vec::new()));
        assert_eq!(nothing, ["step 0: setup[0] is an empty list"]);
        assert_eq!(told(|p| p.steps[0].stage = Some(3)).len(), 1);
        assert_eq!(told(|p| p.steps[0].optional = Some(-1)).len(), 1);
        assert_eq!(told(|p| p.steps[0].duration = -1).len(), 1);
        assert_eq!(told(|p| p.steps[0].setup.clear()).len(), 1);
    }

    #[test]
    fn demands_that_mean_nothing_are_told() {
        let precede = demanding(Kind::Precede(Precede { a: 1, b: 1 }));
        assert_eq!(precede, ["demand 0: a and b are the same step"]);
        let same = demanding(Kind::Same(Same {
            steps: vec![0],
            facet: 1,
        }));
        assert_eq!(same.len(), 2, "{same:?}");
        let neighbours = |pairs: &[(usize, usize)], least, most| {
            let pairs = pairs.to_vec();
            demanding(Kind::Neighbours(Neighbours { pairs, least, most })).len()
        };
        assert_eq!(neighbours(&[(0, 1), (1, 0)], Some(1), None), 0);
        assert_eq!(neighbours(&[(0, 1), (0, 1)], Some(1), None), 1);
        assert_eq!(neighbours(&[(0, 0)], Some(1), None), 1);
        assert_eq!(neighbours(&[], None, None), 1);
        assert_eq!(neighbours(&[], Some(2), Some(1)), 1);
    }

    #[test]
    fn figures_beyond_what_can_be_counted_are_told() {
        let weight = told(|p| p.stop_weight = i64::MAX / 3);
        assert_eq!(weight.len(), 1, "{weight:?}");
        assert!(
            weight[0].starts_with("a score could reach 92"),
            "{weight:?}"
        );
        let long = told(|p| p.steps[0].duration = i64::MAX);
        assert!(long[0].starts_with("the class could take 92"), "{long:?}");
        let kind = Kind::Fits(Fits { total: i64::MAX });
        assert!(demanding(kind)[0].starts_with("demand 0: total is 9223372036854775807"));
        let kind = Kind::Place(Place {
            step: 0,
            min: i64::MIN,
            max: 1,
        });
        assert_eq!(demanding(kind).len(), 1);
    }

    #[test]
    fn fatigue_takes_rates_and_shares_alone() {
        let sound = Fatigue {
            region: "wrists".into(),
            loads: vec![(0, 0.5)],
            build: 0.01,
            recover: 0.001,
            rest: 15.0,
            start: 0.0,
            ceiling: 0.3,
        };
        assert_eq!(demanding(Kind::Fatigue(sound.clone())).len(), 0);
        let wrong = Fatigue {
            loads: vec![(0, 1.5)],
            build: f64::NAN,
            ceiling: 1.1,
            ..sound
        };
        assert_eq!(demanding(Kind::Fatigue(wrong)).len(), 3);
    }
}
