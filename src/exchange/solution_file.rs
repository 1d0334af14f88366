//! A solution as JSON (format `segue_solution` 1).

use serde::Serialize;
use serde_json::Value;

use super::version::{VERSION, Version};
use super::walk::{Node, Object, Slips, parse};
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// What a solution file says. Times and scores in hundredths of a second.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// What was found.
    pub found: Found,
    /// Seconds that the search took.
    pub seconds_taken: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// A plan.
    Plan(Box<Plan>),
    /// That there is none; `conflict`: numbers of demands that cannot hold together, if they were sought.
    Impossible {
        /// Numbers of demands, minimal.
        conflict: Option<Vec<usize>>,
    },
    /// Nothing within its limits.
    Nothing {
        /// No plan scores less, if that much is known.
        bound: Option<i64>,
    },
}

/// A plan and its figures, as the file gives them: nothing has been scored again.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The steps in use, by number.
    pub order: Vec<usize>,
    /// One value for each facet, one entry for each step of the order.
    pub setups: Vec<Vec<usize>>,
    /// Its score.
    pub score: i64,
    /// No plan scores less; `None` if nothing is known.
    pub bound: Option<i64>,
    /// Whether nothing better exists.
    pub proven: bool,
    /// Sum of the change-overs.
    pub changeover: i64,
    /// Number of stops.
    pub stops: i64,
    /// The end of the class.
    pub finish: i64,
    /// Demands that are broken.
    pub violations: Vec<Violation>,
}

/// A demand that a plan breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Violation {
    /// Its number in the problem.
    pub demand: usize,
    /// How often; for a peak hundredths of a second.
    pub count: i64,
}

/// A mistake in a solution file, in words that name the place ("/order/3: ...").
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct SolutionError(pub String);

/// Reads a solution file. Whether it fits a problem is for `score::evaluate` to say.
///
/// # Errors
/// Text that is no JSON: the first such place. Else everything that is not of the form of a solution file, each with its place.
pub fn read(text: &str) -> Result<Solution, Vec<SolutionError>> {
    let value = parse(text).map_err(|e| vec![SolutionError(format!("it is no JSON: {e}"))])?;
    let mut slips = Slips::default();
    let solution = solution(&value, &mut slips);
    match solution {
        Some(solution) if slips.0.is_empty() => Ok(solution),
        Some(_) | None => Err(slips.0.into_iter().map(SolutionError).collect()),
    }
}

fn solution(value: &Value, s: &mut Slips) -> Option<Solution> {
    let mut o = Node::root(value).object(s)?;
    let version = o.whole("segue_solution", s);
    if let Some(found) = version.filter(|&v| v != 1) {
        s.note(
            "/segue_solution",
            format!("it is {found}; this program reads version 1"),
        );
        return None;
    }
    let order = o.require("order", s).map(Node::or_null);
    let proven = o.truth("proven", s);
    let seconds_taken = o.number("seconds_taken", s);
    let found = match (order, proven) {
        (Some(Some(order)), Some(proven)) => {
            let order = order.list_of(s, Node::index);
            plan(order, proven, &mut o, s)
        }
        (Some(None), Some(true)) => {
            let conflict = o.optional("conflict", s, |n, s| n.list_of(s, Node::index));
            conflict.map(|conflict| Found::Impossible { conflict })
        }
        (Some(None), Some(false)) => {
            let bound = o.optional("bound", s, Node::whole);
            bound.map(|bound| Found::Nothing { bound })
        }
        // Which keys belong here cannot be known.
        (None, _) | (_, None) => return None,
    };
    o.finish(s);
    Some(Solution {
        found: found?,
        seconds_taken: seconds_taken?,
    })
}

fn plan(
    order: Option<Vec<usize>>,
    proven: bool,
    o: &mut Object<'_>,
    s: &mut Slips,
) -> Option<Found> {
    let setups = o
        .require("setups", s)
        .and_then(|n| n.list_of(s, |setup, s| setup.list_of(s, Node::index)));
    let (score, bound) = (o.whole("score", s), o.whole_or_null("bound", s));
    let (changeover, stops) = (o.whole("changeover", s), o.whole("stops", s));
    let finish = o.whole("finish", s);
    let violations = o.require("violations", s).and_then(|n| {
        n.list_of(s, |violation, s| {
            let mut o = violation.object(s)?;
            let (demand, count) = (o.index("demand", s), o.whole("count", s));
            o.finish(s);
            Some(Violation {
                demand: demand?,
                count: count?,
            })
        })
    });
    Some(Found::Plan(Box::new(Plan {
        order: order?,
        setups: setups?,
        score: score?,
        bound: bound?,
        proven,
        changeover: changeover?,
        stops: stops?,
        finish: finish?,
        violations: violations?,
    })))
}

/// A solution of a problem file; times and scores in hundredths of a second.
///
/// With a plan all keys but `conflict` are there; without one `order`, `proven`, `seconds_taken` and, if no order exists, `conflict`, else
/// `bound`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(
    feature = "schemas",
    derive(schemars::JsonSchema),
    schemars(rename = "Solution")
)]
pub struct SolutionFile {
    /// The version of this format.
    pub segue_solution: Version,
    /// The steps in use, in order; null where there is no plan.
    pub order: Option<Vec<usize>>,
    /// For each step of the order one value for each facet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub setups: Option<Vec<Vec<usize>>>,
    /// What the plan scores.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub score: Option<i64>,
    /// No plan scores less, if anything is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bound: Option<Option<i64>>,
    /// Whether nothing better exists, or no order at all.
    pub proven: bool,
    /// All change-overs together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changeover: Option<i64>,
    /// How often the class halts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stops: Option<i64>,
    /// The end of the class.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish: Option<i64>,
    /// Demands that the plan breaks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub violations: Option<Vec<Violation>>,
    /// Demands that cannot hold together, where no order exists and they were sought.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conflict: Option<Option<Vec<usize>>>,
    /// The bound where there is no plan: it is written here then.
    #[serde(rename = "bound", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schemas", schemars(skip))]
    bound_alone: Option<Option<i64>>,
    /// Seconds that the search took.
    pub seconds_taken: f64,
}

impl SolutionFile {
    /// Names demands that cannot hold together.
    pub fn name_conflict(&mut self, demands: Vec<usize>) {
        self.conflict = Some(Some(demands));
    }
}

/// The solution of a search. `judged`: its plan as the referee scores it; `None` if there is no plan.
pub fn write(outcome: &Outcome, judged: Option<&Evaluation>) -> SolutionFile {
    let mut file = SolutionFile {
        segue_solution: VERSION,
        order: None,
        setups: None,
        score: None,
        bound: None,
        proven: outcome.proven(),
        changeover: None,
        stops: None,
        finish: None,
        violations: None,
        conflict: None,
        bound_alone: None,
        seconds_taken: outcome.seconds,
    };
    match (&outcome.plan, judged) {
        (Some(plan), Some(judged)) => {
            let broken = judged.counts.iter().enumerate().filter(|&(_, &c)| c > 0);
            file.order = Some(plan.order.clone());
            file.setups = Some(plan.setups.clone());
            file.score = Some(judged.score);
            file.bound = Some(outcome.bound);
            file.changeover = Some(judged.changeover);
            file.stops = Some(judged.stops);
            file.finish = Some(judged.timeline.finish);
            file.violations = Some(
                broken
                    .map(|(demand, &count)| Violation { demand, count })
                    .collect(),
            );
        }
        _ if file.proven => file.conflict = Some(None),
        _ => file.bound_alone = Some(outcome.bound),
    }
    file
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::outcome::Ended;
    use serde_json::json;

    /// What a search that ended so writes, read back.
    fn reread(outcome: &Outcome, judged: Option<&Evaluation>) -> Solution {
        let text = serde_json::to_string(&write(outcome, judged)).expect("it is JSON");
        read(&text).unwrap_or_else(|e| panic!("{text}: {e:?}"))
    }

    fn told(file: &Value) -> Vec<String> {
        let mistakes = read(&file.to_string()).expect_err("the file has mistakes");
        mistakes.into_iter().map(|m| m.0).collect()
    }

    #[test]
    fn a_search_without_a_plan_is_read_back_as_it_was_written() {
        let impossible = Outcome {
            ended: Ended::Proof,
            seconds: 0.25,
            ..Outcome::default()
        };
        assert_eq!(
            reread(&impossible, None),
            Solution {
                found: Found::Impossible { conflict: None },
                seconds_taken: 0.25
            }
        );
        let nothing = Outcome {
            ended: Ended::Time,
            bound: Some(70),
            ..Outcome::default()
        };
        assert_eq!(
            reread(&nothing, None).found,
            Found::Nothing { bound: Some(70) }
        );
        let named = json!({ "segue_solution": 1, "order": null, "proven": true, "conflict": [3, 5], "seconds_taken": 1 });
        let conflict = Some(vec![3, 5]);
        assert_eq!(
            read(&named.to_string()).map(|s| s.found),
            Ok(Found::Impossible { conflict })
        );
    }

    #[test]
    fn all_that_is_wrong_with_a_solution_file_is_told_at_once() {
        let file = json!({
            "segue_solution": 1, "order": [0, -1], "setups": [[0], "x"], "score": 1.5, "bound": 1, "proven": false,
            "changeover": 5, "finish": 9, "violations": [{ "demand": 0 }], "seconds_taken": 1, "colour": "red",
        });
        let told = told(&file);
        for part in [
            "/order/1: a whole number from 0",
            "/setups/1: a list",
            "/score: a whole number",
            "the key `stops` is missing",
            "/violations/0: the key `count` is missing",
            "the key `colour` means nothing here",
        ] {
            assert!(told.iter().any(|t| t.contains(part)), "{part}: {told:#?}");
        }
        assert_eq!(told.len(), 6, "{told:#?}");
        assert!(read("[1]").is_err() && read("{").is_err());
    }
}
