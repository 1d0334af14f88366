//! The rest of a class that has begun, in the minutes that are left.
//!
//! What has been done stands as it was, with its set-ups and its times, so that everything that carries over does: set-up and position, rests
//! that are owed, something that rounds the back after a back bend, the other side. What is left is put in order anew. If it does not fit,
//! up to three movements are cut.
//!
//! **Claim.** Each cut named leads to a rest that fits, keeps what must hold, and has no more stops than the best rest without a cut. Unless
//! they are called open, no fewer movements cut would do, and every choice of as many that does is named.
//! **Why.** Choices of one, then two, then three are each searched, but for those whose work alone is longer than the minutes. Of a choice
//! the best rest is looked at.
//! **Tested by** `tests/engine/late.rs`.

use std::collections::BTreeMap;

use crate::compile::Compiled;
use crate::problem::Problem;
use crate::problem::demand::fits::Fits;
use crate::problem::demand::place::Place;
use crate::problem::demand::{Demand, Kind};
use crate::problem::step::Choice;
use crate::problem::without::without;
use crate::score::{Evaluation, evaluate};
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::{Outcome, Progress};
use crate::search::solve;

/// At most this many movements are cut.
pub const MOST_CUTS: usize = 3;
/// Longer than any class (hundredths).
const ANY_LENGTH: i64 = 1_000_000_000_000;
/// Nodes of one search for a cut.
const ONE_SEARCH: u64 = 2_000_000;

/// A class under way.
#[derive(Debug, Clone)]
pub struct Begun {
    /// The whole class.
    pub problem: Problem,
    /// The plan that it followed.
    pub plan: Evaluation,
    /// Steps of it that are done.
    pub done: usize,
    /// Whether the plan is proven the best: planned again, one that is not may begin in another way.
    pub plan_is_proven: bool,
    /// Time that is left from the end of the last of them, hundredths.
    pub left: i64,
    /// By how much the class is behind its plan at that time, hundredths; 0 where nobody knows.
    pub behind: i64,
    /// What can be cut: for each movement that has not begun its steps.
    pub movements: Vec<Vec<usize>>,
}

/// A rest of a class.
#[derive(Debug, Clone)]
pub struct Rest {
    /// The problem with the beginning held fast; its steps are those of the class but for the ones cut.
    pub problem: Problem,
    /// For each of its steps the number in the class.
    pub steps: Vec<usize>,
    /// For each of its demands the number in the class; the last, which is new, asks that it fits.
    pub demands: Vec<usize>,
    /// Indices into [`Begun::movements`].
    pub cut: Vec<usize>,
    /// The order, beginning included.
    pub found: Evaluation,
    /// Whether no rest with these cuts is better.
    pub proven: bool,
    /// What it saves of the time of the rest without a cut, hundredths.
    pub saves: i64,
}

/// What can be done.
#[derive(Debug, Clone)]
pub struct Late {
    /// The best rest without a cut, whatever the minutes.
    pub whole: Rest,
    /// When the class has to end on the clock of the plan, hundredths.
    pub until: i64,
    /// Cuts that make it fit, as few as will do, the one that leaves the best class first. Empty where the whole rest fits.
    pub cuts: Vec<Rest>,
    /// Whether these are all with so few movements.
    pub settled: bool,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Late {
    /// Whether it fits without a cut.
    pub fn fits(&self) -> bool {
        self.whole.found.timeline.finish <= self.until
    }
}

/// Plans the rest.
///
/// # Errors
/// How the search for the rest without a cut ended, if it found none: unless that is proven, there may be one.
pub fn late(
    begun: &Begun,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Late, Box<Outcome>> {
    let found = within(begun, limits, progress);
    found.map(|late| Late {
        interrupted: limits.cancelled(),
        ..late
    })
}

fn within(
    begun: &Begun,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Late, Box<Outcome>> {
    let mut meter = Meter::new(limits);
    let timeline = &begun.plan.timeline;
    let now = begun.done.checked_sub(1).map_or(0, |k| timeline.end[k]);
    let until = now.saturating_add(begun.left);
    let whole = rest(begun, &[], None);
    let outcome = solve(&whole.problem, limits, progress);
    meter.count(outcome.nodes);
    let unknown = outcome.plan.is_none() && !outcome.proven();
    let whole = if unknown {
        as_planned(begun, whole)
    } else {
        judged(whole, &outcome, None)
    };
    let Some(whole) = whole else {
        return Err(Box::new(outcome));
    };
    let mut late = Late {
        whole,
        until,
        cuts: Vec::new(),
        settled: true,
        interrupted: false,
    };
    if late.fits() {
        // The rest that fits the minutes best is the whole one.
        return Ok(late);
    }
    if let Some(fitting) = attempt(
        begun,
        &[],
        until,
        &late.whole,
        &mut meter,
        &mut late.settled,
    ) {
        late.whole = fitting;
        return Ok(late);
    }
    for many in 1..=MOST_CUTS {
        progress(&Progress {
            phase: "what could be cut",
            ..Progress::default()
        });
        let mut found = Vec::new();
        for cut in choices(begun.movements.len(), many) {
            if meter.stopped().is_some() {
                late.settled = false;
                break;
            }
            found.extend(attempt(
                begun,
                &cut,
                until,
                &late.whole,
                &mut meter,
                &mut late.settled,
            ));
        }
        if !found.is_empty() || !late.settled {
            // The better class, then the one that loses less of its work.
            found.sort_by_key(|r: &Rest| (r.found.score, r.saves, r.cut.clone()));
            late.cuts = found;
            break;
        }
    }
    Ok(late)
}

/// The best rest with these cuts, if it fits and adds no stop.
fn attempt(
    begun: &Begun,
    cut: &[usize],
    until: i64,
    whole: &Rest,
    meter: &mut Meter<'_>,
    settled: &mut bool,
) -> Option<Rest> {
    let part = meter.part(ONE_SEARCH, meter.memory());
    let tried = rest(begun, cut, Some(until));
    let work: i64 = tried
        .problem
        .steps
        .iter()
        .filter(|s| s.optional.is_none())
        .map(|s| s.duration)
        .sum();
    if work > until {
        return None;
    }
    let outcome = solve(&tried.problem, &part, &mut |_| {});
    meter.count(outcome.nodes + 1);
    let proven = outcome.proven();
    let found = judged(tried, &outcome, Some(whole)).filter(|r| r.found.stops <= whole.found.stops);
    // One with more stops that is not the best says nothing of the best.
    *settled &= found.is_some() || proven;
    found
}

/// The problem of a rest with these cuts (indices into [`Begun::movements`]), not yet solved; with `until` it has to end by then.
pub fn rest(begun: &Begun, cut: &[usize], until: Option<i64>) -> Rest {
    let timeline = &begun.plan.timeline;
    let mut problem = begun.problem.clone();
    let done = &timeline.order[..begun.done];
    for (place, (&step, setup)) in done.iter().zip(&timeline.setups).enumerate() {
        let held = &mut problem.steps[step];
        held.optional = None;
        for (choices, &value) in held.setup.iter_mut().zip(setup) {
            let chosen = choices.iter().flatten().find(|c| c.value == value);
            let penalty = chosen.map_or(0, |c| c.penalty);
            *choices = Some(vec![Choice { value, penalty }]);
        }
        let place = i64::try_from(place + 1).expect("a class has few steps");
        problem.demands.push(Demand {
            kind: Kind::Place(Place {
                step,
                min: place,
                max: place,
            }),
            weight: None,
        });
    }
    for demand in &mut problem.demands {
        if let Kind::Window(window) = &mut demand.kind
            && !done.contains(&window.step)
        {
            // On the clock of the plan all that follows comes earlier by what the class is behind.
            window.from = (window.from - begun.behind).max(0);
            window.to = (window.to - begun.behind).max(window.from);
        }
        if let Kind::Fits(fits) = &mut demand.kind {
            // The minutes that are left stand in for those of the class.
            fits.total = until.unwrap_or(ANY_LENGTH);
        }
    }
    if let Some(total) = until {
        problem.demands.push(Demand {
            kind: Kind::Fits(Fits { total }),
            weight: None,
        });
    }
    let mut gone = vec![false; problem.steps.len()];
    for &k in cut {
        for &s in &begun.movements[k] {
            gone[s] = true;
        }
    }
    let (left, demands) = without(&problem, &gone);
    Rest {
        problem: left,
        steps: (0..gone.len()).filter(|&s| !gone[s]).collect(),
        demands,
        cut: cut.to_vec(),
        found: Evaluation::default(),
        proven: false,
        saves: 0,
    }
}

/// The rest in the order of the plan, if that still keeps what must hold: for a search that was cut short before it found any.
fn as_planned(begun: &Begun, rest: Rest) -> Option<Rest> {
    let timeline = &begun.plan.timeline;
    let found = evaluate(&rest.problem, &timeline.order, &timeline.setups);
    found.feasible().then_some(Rest { found, ..rest })
}

fn judged(mut rest: Rest, outcome: &Outcome, whole: Option<&Rest>) -> Option<Rest> {
    let plan = outcome.plan.as_ref()?;
    rest.found = evaluate(&rest.problem, &plan.order, &plan.setups);
    rest.proven = outcome.proven();
    rest.saves = whole.map_or(0, |w| w.found.timeline.finish - rest.found.timeline.finish);
    Some(rest)
}

/// What can be cut of a class: for each movement of the list, and each of its rounds, that has not begun, its steps.
pub fn not_begun(compiled: &Compiled, done: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<(usize, u32), Vec<usize>> = BTreeMap::new();
    for (s, step) in compiled.class.steps.iter().enumerate() {
        if let Some(entry) = step.entry {
            groups.entry((entry, step.round)).or_default().push(s);
        }
    }
    let untouched = |steps: &Vec<usize>| !steps.iter().any(|s| done.contains(s));
    groups.into_values().filter(untouched).collect()
}

/// A rest as a class of its own, to be shown: the class without what is cut, the beginning no longer held fast, and its score.
pub fn as_class(compiled: &Compiled, rest: &Rest) -> (Compiled, Evaluation) {
    let known = compiled.problem.demands.len();
    let mut shown = compiled.clone();
    shown.problem.steps = rest.problem.steps.clone();
    shown.class.steps = (rest.steps.iter())
        .map(|&s| compiled.class.steps[s].clone())
        .collect();
    let kept: Vec<usize> = (0..rest.demands.len())
        .filter(|&k| rest.demands[k] < known)
        .collect();
    shown.problem.demands = (kept.iter())
        .map(|&k| rest.problem.demands[k].clone())
        .collect();
    shown.ledger.entries = (kept.iter())
        .map(|&k| compiled.ledger.entries[rest.demands[k]].clone())
        .collect();
    let timeline = &rest.found.timeline;
    let scored = evaluate(&shown.problem, &timeline.order, &timeline.setups);
    (shown, scored)
}

/// All choices of `many` of `n`.
fn choices(n: usize, many: usize) -> Vec<Vec<usize>> {
    if many == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for last in (0..n).rev() {
        for mut rest in choices(last, many - 1) {
            rest.push(last);
            all.push(rest);
        }
    }
    all
}
