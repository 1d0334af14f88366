//! How sure the answer is: whether anything better exists, and by how much at most.

use crate::compile::Compiled;
use crate::lesson::wording::count;
use crate::problem::Problem;
use crate::score::Evaluation;
use crate::search::cover::stops_at_least;
use crate::search::outcome::{Ended, Outcome};

/// How sure the answer is.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Nothing better exists.
    Best,
    /// There may be something better, by at most this many seconds; `None`: unknown by how much.
    AtMost {
        /// Seconds, as the class counts them.
        seconds: Option<f64>,
        /// Whether no order can have fewer stops and better kept rules, so that the seconds are change-over time alone.
        time_only: bool,
        /// Why it is not known better.
        why: Ended,
    },
    /// No order exists.
    Impossible,
    /// None was found, and it is not known whether there is one.
    Unsettled {
        /// Why.
        why: Ended,
    },
    /// The plan and its score did not agree: a bug of the program.
    Disagreement(String),
    /// The class is larger than the program takes.
    TooLarge(String),
}

/// The verdict on how a search ended.
pub fn verdict(compiled: &Compiled, outcome: &Outcome) -> Verdict {
    if let Some(text) = &outcome.disagreement {
        return match outcome.ended {
            Ended::Refused => Verdict::TooLarge(text.clone()),
            Ended::Proof | Ended::Time | Ended::Nodes | Ended::Memory | Ended::Cancelled => {
                Verdict::Disagreement(text.clone())
            }
        };
    }
    match (&outcome.plan, outcome.proven()) {
        (Some(_), true) => Verdict::Best,
        (None, true) => Verdict::Impossible,
        (None, false) => Verdict::Unsettled { why: outcome.ended },
        (Some(plan), false) => {
            let gap = outcome.bound.map(|bound| (plan.score - bound).max(0));
            // Under `changes` a hundredth of change-over weighs 1 and everything else a number above the change-over of any order.
            let scale = compiled.score_per_second / 100;
            let time_only = compiled.problem.time_weight < scale && gap.is_some_and(|g| g < scale);
            let seconds = gap.map(|gap| {
                if time_only {
                    gap as f64 / 100.0
                } else {
                    compiled.seconds_of(gap)
                }
            });
            Verdict::AtMost {
                seconds,
                time_only,
                why: outcome.ended,
            }
        }
    }
}

/// How many stops any order has, where there must be some: for a plan that is not proven best.
pub fn fewest(problem: &Problem) -> Option<String> {
    let least = stops_at_least(problem);
    (least > 0).then(|| format!("No order has fewer than {}.", count(least, "stop", "stops")))
}

/// Why a search stopped, to stand after "stopped".
pub fn why(ended: Ended) -> &'static str {
    match ended {
        Ended::Proof => "because it was done",
        Ended::Time => "because the time was up",
        Ended::Nodes => "at the limit of orders to examine",
        Ended::Memory => "because it reached its memory limit",
        Ended::Cancelled => "because it was interrupted",
        Ended::Refused => "because it is too large",
    }
}

/// When something was left open, to stand after "not settled".
pub fn by_then(interrupted: bool) -> &'static str {
    if interrupted {
        "before it was interrupted"
    } else {
        "in the time"
    }
}

/// One sentence for paper.
pub fn sentence(verdict: &Verdict) -> String {
    match verdict {
        Verdict::Best => "Nothing better exists.".into(),
        Verdict::AtMost {
            seconds: Some(seconds),
            time_only,
            why: ended,
        } => {
            let what = if *time_only {
                "s better, with the same stops"
            } else {
                "s better"
            };
            format!(
                "Another order can be at most {} {what}; stopped before it was settled, {}.",
                up(*seconds),
                why(*ended)
            )
        }
        Verdict::AtMost {
            seconds: None,
            why: ended,
            ..
        } => format!(
            "Another order may be better; stopped before it was settled, {}.",
            why(*ended)
        ),
        Verdict::Impossible => "There is no order that keeps everything that has to hold.".into(),
        Verdict::Unsettled { why: ended } => format!(
            "No order was found, and it is not known whether there is one; stopped before it was settled, {}.",
            why(*ended)
        ),
        Verdict::Disagreement(_) => "The plan failed its own check, so it is not shown.".into(),
        Verdict::TooLarge(_) => "The class is too large to put in order.".into(),
    }
}

/// Seconds rounded up, so that "at most" stays true.
fn up(seconds: f64) -> i64 {
    seconds.ceil() as i64
}

/// Whether the order as written keeps what must hold and is within a tenth of `least`, which no order scores less than.
pub fn own_order_will_do(least: i64, as_given: &Evaluation) -> bool {
    as_given.feasible() && as_given.score.saturating_sub(least) <= least / 10
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample::compiled;
    use crate::search::outcome::Plan;

    fn outcome(score: i64, bound: Option<i64>, ended: Ended) -> Outcome {
        Outcome {
            plan: Some(Plan {
                score,
                ..Plan::default()
            }),
            bound,
            ended,
            ..Outcome::default()
        }
    }

    #[test]
    fn at_most_is_rounded_up_to_whole_seconds() {
        let found = verdict(
            &compiled().compiled,
            &outcome(10_050, Some(8_000), Ended::Time),
        );
        assert!(sentence(&found).contains("at most 21 s better"));
    }

    #[test]
    fn a_proven_plan_is_the_best_and_a_proven_absence_is_impossible() {
        let compiled = compiled().compiled;
        let proven = outcome(100, Some(100), Ended::Proof);
        assert_eq!(verdict(&compiled, &proven), Verdict::Best);
        assert_eq!(verdict(&compiled, &Outcome::default()), Verdict::Impossible);
    }

    #[test]
    fn her_own_order_will_do_within_a_tenth_if_it_keeps_what_must_hold() {
        let of = |score, broken: Vec<usize>| Evaluation {
            score,
            broken,
            ..Evaluation::default()
        };
        assert!(own_order_will_do(1_000, &of(1_100, vec![])));
        assert!(!own_order_will_do(1_000, &of(1_101, vec![])));
        assert!(!own_order_will_do(1_000, &of(1_000, vec![3])));
    }
}
