//! A class in order: search, have the referee score what was found, and the order as written beside it.

use std::sync::Arc;

use super::Session;
use crate::answer::class::{Class, ClassFormat, Text};
use crate::answer::machines::{Moved, Own};
use crate::answer::planned::{Answer, AsGiven};
use crate::diagnostic::{Code, Diagnostic};
use crate::explain::allowance::Allowance;
use crate::explain::conflict::{Conflict, conflict};
use crate::explain::machines::compare;
use crate::explain::relaxation::{Relaxations, relaxations};
use crate::explain::savings::{Savings, savings};
use crate::lesson::rule_report::{RuleReport, rule_reports};
use crate::problem::Problem;
use crate::score::{Evaluation, evaluate};
use crate::search::budget::Limits;
use crate::search::outcome::{Ended, Outcome, Plan, Progress};
use crate::search::{best_setups, solve};

/// How many states finding set-ups for the order as written may take: the same on every computer.
pub const OWN_ORDER: u64 = 150_000;

/// An order with its set-ups, judged.
#[derive(Debug, Clone)]
pub struct Judged {
    /// What the referee makes of it.
    pub found: Evaluation,
    /// How each rule fares.
    pub rules: Vec<RuleReport>,
}

impl Session {
    /// Plans the class, and where there is no order tries which changes to its text would help.
    pub fn plan(&self, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Answer {
        // First, so that the time it takes is not on top of the search's.
        let own = self.as_given(limits);
        let outcome = solve(&self.class.compiled.problem, limits, progress);
        self.concluded(own, outcome, limits)
    }

    /// The same from a search that has ended, within what it has left of its limits. `own`: the order as written.
    pub fn concluded(&self, own: Option<AsGiven>, outcome: Outcome, limits: &Limits) -> Answer {
        let (mut answer, mut allowance) = judged(&self.class, own, outcome, limits);
        answer.relaxations = (answer.conflict.as_ref()).map(|c| self.eased(c, &mut allowance));
        answer.interrupted = limits.cancelled();
        answer
    }

    /// The order as written: first side before second, no rest put in, with the cheapest set-ups, its broken rules counted.
    ///
    /// `None` if no set-ups were found within [`OWN_ORDER`] expanded states. Of `limits` only deadline and token count.
    pub fn as_given(&self, limits: &Limits) -> Option<AsGiven> {
        let problem = &self.class.compiled.problem;
        let order = as_written(problem);
        let limits = Limits {
            nodes: Some(OWN_ORDER),
            until: limits.until,
            stop: limits.stop.clone(),
            ..Limits::default()
        };
        let (setups, proven) = best_setups(problem, &order, &limits)?;
        Some(AsGiven {
            found: evaluate(problem, &order, &setups),
            proven,
        })
    }

    /// The mistake of a class whose order as written [cannot be judged](Self::as_given): it is no larger than allowed, and yet too much.
    pub fn not_judged(&self) -> Diagnostic {
        let brief = &self.class.brief;
        Diagnostic::mistake(
            Code::TooLarge,
            brief.span.clone(),
            format!("the set-ups of {} could not be worked out", brief.title),
            "too much for one class",
            "split it into several classes, or take rules and blocks away",
        )
    }

    /// Judges any order at once. `order`: numbers of steps; `setups`: one entry for each of them, one value for each facet. What is no order
    /// of the class has errors in what was found.
    pub fn judge(&self, order: &[usize], setups: &[Vec<usize>]) -> Judged {
        let compiled = &self.class.compiled;
        let found = evaluate(&compiled.problem, order, setups);
        let rules = if found.errors.is_empty() {
            rule_reports(compiled, &found)
        } else {
            Vec::new()
        };
        Judged { found, rules }
    }

    /// What one order saves against another, and which change-overs are gone, new or altered.
    pub fn compared(&self, from: &Evaluation, to: &Evaluation) -> Savings {
        let compiled = &self.class.compiled;
        savings((compiled, from), (compiled, to))
    }

    /// Plans the class on another machine, and on its own beside it: half of the limits for each, the other machine first, in case that there
    /// is no time for both. `own`: the class on its own machine, or why it is none there. The other machine is that of this session.
    pub fn beside_its_own(
        &self,
        own: &Result<Self, Vec<Diagnostic>>,
        limits: &Limits,
        progress: &mut dyn FnMut(&Progress),
    ) -> Moved {
        let answer = match own {
            Ok(_) => self.plan(&limits.share_of_time(2), progress),
            Err(_) => self.plan(limits, progress),
        };
        let own = match (own, &answer.best) {
            (Err(mistakes), _) => Own::NoClass(mistakes.clone()),
            (Ok(_), None) => Own::NotAsked,
            (Ok(own), Some(_)) if limits.cancelled() => {
                Own::NotBegun(own.class.compiled.apparatus.name.clone())
            }
            (Ok(own), Some(here)) => {
                let there = own.plan(limits, progress);
                let made = there
                    .best
                    .as_ref()
                    .map(|best| compare((&there.compiled, best), (&answer.compiled, here)));
                match made {
                    Some(made) => Own::Compared(Box::new(there), Box::new(made)),
                    None => Own::Nothing(Box::new(there)),
                }
            }
        };
        Moved {
            answer,
            own,
            interrupted: limits.cancelled(),
        }
    }

    /// Single changes to a brief that make an order possible. A list or a table has no lines for rules, so nothing is tried with it.
    fn eased(&self, conflict: &Conflict, allowance: &mut Allowance) -> Relaxations {
        if self.text.format != ClassFormat::Brief {
            return Relaxations::default();
        }
        let machine = &self.class.compiled.apparatus.id;
        let reread = |text: &str| {
            let changed = Text::new(&self.text.source.name, text, self.text.format);
            let read = Self::open(&self.studio, changed, Some(machine)).ok()?;
            Some((read.class.brief, read.class.compiled))
        };
        let class = (
            Arc::clone(&self.class.brief),
            Arc::clone(&self.class.compiled),
        );
        relaxations(&class, conflict, &reread, allowance)
    }
}

/// What comes of a search, and what it leaves of the limits.
pub(super) fn judged(
    class: &Class,
    as_given: Option<AsGiven>,
    mut outcome: Outcome,
    limits: &Limits,
) -> (Answer, Allowance) {
    let problem = &class.compiled.problem;
    if let Some(own) = &as_given {
        beside_her_own(&mut outcome, &own.found);
    }
    let best = outcome
        .plan
        .as_ref()
        .map(|plan| evaluate(problem, &plan.order, &plan.setups));
    let impossible = outcome.plan.is_none() && outcome.proven();
    let mut allowance = Allowance::after(limits, &outcome);
    let conflict = impossible.then(|| conflict(&class.compiled, &mut allowance));
    let answer = Answer {
        brief: Arc::clone(&class.brief),
        compiled: Arc::clone(&class.compiled),
        outcome,
        best,
        as_given,
        keeps: None,
        conflict,
        relaxations: None,
        notes: class.notes.clone(),
        interrupted: limits.cancelled(),
    };
    (answer, allowance)
}

/// A search that was cut short may have found nothing as good as the order as written, which is then the best so far. A proven plan cannot be beaten by it.
fn beside_her_own(outcome: &mut Outcome, own: &Evaluation) {
    let better = match &outcome.plan {
        Some(plan) => own.score < plan.score,
        None => outcome.ended != Ended::Refused && outcome.disagreement.is_none(),
    };
    if !own.feasible() || !better {
        return;
    }
    if outcome.proven() {
        outcome.disagreement = Some(format!(
            "the search proves {:?}, the order as written scores {}",
            outcome.plan.as_ref().map(|plan| plan.score),
            own.score
        ));
        outcome.plan = None;
        return;
    }
    outcome.plan = Some(Plan {
        order: own.timeline.order.clone(),
        setups: own.timeline.setups.clone(),
        score: own.score,
    });
    outcome.bound = outcome.bound.map(|bound| bound.min(own.score));
}

/// The steps as written, without the rests that may be put in.
pub(super) fn as_written(problem: &Problem) -> Vec<usize> {
    (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect()
}
