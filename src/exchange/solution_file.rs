//! A solution as JSON (format `segue_solution` 1).

use serde_json::{Value, json};

use super::walk::{Node, Object, Slips, parse};
use crate::score::Evaluation;
use crate::search::outcome::Outcome;

/// The version that is read and written.
const VERSION: i64 = 1;

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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Violation {
    /// Its number.
    pub demand: usize,
    /// How often (for a peak: hundredths of a second).
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
    if let Some(found) = version.filter(|&v| v != VERSION) {
        s.note(
            "/segue_solution",
            format!("it is {found}; this program reads version {VERSION}"),
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

/// The solution of a search. `judged`: its plan as the referee scores it; `None` if there is no plan.
///
/// Fields and their order as in the description of the problem file; times and scores in hundredths of a second.
pub fn write(outcome: &Outcome, judged: Option<&Evaluation>) -> Value {
    match (&outcome.plan, judged) {
        (Some(plan), Some(judged)) => {
            let broken = judged.counts.iter().enumerate().filter(|&(_, &c)| c > 0);
            let violations: Vec<Value> = broken
                .map(|(k, c)| json!({ "demand": k, "count": c }))
                .collect();
            json!({
                "segue_solution": VERSION,
                "order": plan.order,
                "setups": plan.setups,
                "score": judged.score,
                "bound": outcome.bound,
                "proven": outcome.proven(),
                "changeover": judged.changeover,
                "stops": judged.stops,
                "finish": judged.timeline.finish,
                "violations": violations,
                "seconds_taken": outcome.seconds,
            })
        }
        _ if outcome.proven() => json!({
            "segue_solution": VERSION, "order": null, "proven": true, "conflict": null, "seconds_taken": outcome.seconds,
        }),
        _ => json!({
            "segue_solution": VERSION, "order": null, "proven": false, "bound": outcome.bound, "seconds_taken": outcome.seconds,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::outcome::Ended;

    /// What a search that ended so writes, read back.
    fn reread(outcome: &Outcome, judged: Option<&Evaluation>) -> Solution {
        let text = write(outcome, judged).to_string();
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
