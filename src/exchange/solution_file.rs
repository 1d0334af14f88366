//! A solution as JSON (format `segue_solution` 1).

use serde_json::{Value, json};

use crate::score::Evaluation;
use crate::search::outcome::Outcome;

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
                "segue_solution": 1,
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
            "segue_solution": 1, "order": null, "proven": true, "conflict": null, "seconds_taken": outcome.seconds,
        }),
        _ => json!({
            "segue_solution": 1, "order": null, "proven": false, "bound": outcome.bound, "seconds_taken": outcome.seconds,
        }),
    }
}
