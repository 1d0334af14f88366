//! Whether a problem is well formed: all mistakes at once.

use super::definition::Problem;
use super::demand::Kind;

/// A mistake in a problem, in words that name the place ("step 3: value 2 is listed twice").
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ProblemError(pub String);

/// All mistakes of a problem; empty if it is well formed.
///
/// Sums of times and weights are not bounded here: a caller that invents figures near the end of 64 bits may overflow.
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
    }
    found.0
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
