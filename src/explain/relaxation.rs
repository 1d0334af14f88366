//! Which single change makes an order possible, each tried for real: the brief is read again with it and solved.
//!
//! What is claimed of a change is what its own plan has, scored by the referee; that it works when typed in follows from how it was tried.

use std::sync::Arc;

use super::allowance::Allowance;
use super::conflict::Conflict;
use super::easing::{Blamed, Candidate, Easing, as_wish, blamed, others, with_figure};
use super::edit::Change;
use super::figure::{Scale, figure, scale};
use super::savings::broken_wishes;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::score::evaluate;

/// A brief that was read again.
pub type Reread = (Arc<Brief>, Arc<Compiled>);

/// How a text becomes a class; `None` if it has a mistake.
pub type Reader<'r> = &'r dyn Fn(&str) -> Option<Reread>;

/// A change that makes an order possible.
#[derive(Debug, Clone, PartialEq)]
pub struct Relaxation {
    /// The change.
    pub easing: Easing,
    /// What to type.
    pub change: Change,
    /// The score that it leads to, in seconds as the class with the change counts them.
    pub seconds: f64,
    /// Stops.
    pub stops: i64,
    /// Change-over time, hundredths.
    pub changeover: i64,
    /// Whole class, hundredths.
    pub finish: i64,
    /// Wishes that are not met.
    pub unmet: i64,
    /// By how many seconds another order with the same change could be better; `None`: nobody knows.
    pub better_by: Option<f64>,
}

/// What came of trying single changes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Relaxations {
    /// Those that help, best first.
    pub found: Vec<Relaxation>,
    /// How many were tried.
    pub tried: usize,
    /// How many were not settled in the time.
    pub open: usize,
}

/// Tries single changes to what a conflict names.
pub fn relaxations(
    class: &Reread,
    conflict: &Conflict,
    reader: Reader<'_>,
    allowance: &mut Allowance,
) -> Relaxations {
    let (brief, compiled) = class;
    let text = &brief.span.source.text;
    let rules = blamed(compiled, &conflict.demands);
    let mut trial = Trial {
        text,
        reader,
        allowance,
        found: Relaxations::default(),
        left: 2 * rules.len(),
    };
    let others = others(text, brief, compiled, &conflict.demands);
    trial.left += others.len();
    for rule in &rules {
        if let Some(wish) = as_wish(text, rule) {
            trial.attempt(wish);
        }
        trial.figures(compiled, rule);
    }
    for candidate in others {
        trial.attempt(candidate);
    }
    let mut found = trial.found;
    found.found.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
    found
}

/// Changes under trial.
struct Trial<'t> {
    text: &'t str,
    reader: Reader<'t>,
    allowance: &'t mut Allowance,
    found: Relaxations,
    /// How many are still to be tried, about.
    left: usize,
}

impl Trial<'_> {
    fn parts(&self) -> u32 {
        u32::try_from(self.left).unwrap_or(u32::MAX).max(1)
    }

    /// Reads and solves the brief with a change, and keeps it if there is an order.
    fn attempt(&mut self, candidate: Candidate) {
        let parts = self.parts();
        self.left = self.left.saturating_sub(1);
        let Some((_, compiled)) = (self.reader)(&candidate.text) else {
            return;
        };
        self.found.tried += 1;
        let Some(outcome) = self.allowance.solve(&compiled.problem, parts) else {
            self.found.open += 1;
            return;
        };
        let Some(plan) = &outcome.plan else {
            self.found.open += usize::from(!outcome.proven());
            return;
        };
        let judged = evaluate(&compiled.problem, &plan.order, &plan.setups);
        let bound = outcome.bound.map(|b| compiled.seconds_of(plan.score - b));
        self.found.found.push(Relaxation {
            easing: candidate.easing,
            change: Change::between(self.text, &candidate.text),
            seconds: compiled.seconds_of(plan.score),
            stops: judged.stops,
            changeover: judged.changeover,
            finish: judged.timeline.finish,
            unmet: broken_wishes(&compiled, &judged),
            better_by: if outcome.proven() { Some(0.0) } else { bound },
        });
    }

    /// Whether there is an order with a change.
    fn helps(&mut self, candidate: &Candidate) -> bool {
        let parts = self.parts();
        let Some((_, compiled)) = (self.reader)(&candidate.text) else {
            return false;
        };
        let outcome = self.allowance.first(&compiled.problem, parts);
        outcome.is_some_and(|o| o.plan.is_some())
    }

    /// Tries what a rule would have to ask for instead: between the figure as written and the one that the best order without the rule
    /// has, the nearest to the former.
    fn figures(&mut self, compiled: &Compiled, rule: &Blamed) {
        let parts = self.parts();
        self.left = self.left.saturating_sub(1);
        let of_rule = |k: &usize| {
            let entry = &compiled.ledger.entries[*k];
            entry.rule == rule.rule && entry.span == rule.span
        };
        let problem = &compiled.problem;
        let (own, others): (Vec<usize>, Vec<usize>) = (0..problem.demands.len()).partition(of_rule);
        let kinds: Vec<&Kind> = own.iter().map(|&k| &problem.demands[k].kind).collect();
        if !kinds.iter().any(|kind| has_figure(kind)) {
            return;
        }
        let free = Problem {
            demands: others.iter().map(|&k| problem.demands[k].clone()).collect(),
            ..problem.clone()
        };
        let Some(plan) = self.allowance.solve(&free, parts).and_then(|o| o.plan) else {
            return;
        };
        let timeline = evaluate(&free, &plan.order, &plan.setups).timeline;
        let figures: Option<Vec<f64>> = (kinds.iter())
            .map(|kind| figure(problem, kind, &timeline))
            .collect();
        let Some(figures) = figures.filter(|f| !f.is_empty()) else {
            return;
        };
        let Some(scale) = scale(kinds[0]) else {
            let (setting, value) = pinned(kinds[0], &figures);
            if let Some(there) = with_figure(self.text, rule, setting, value) {
                self.attempt(there);
            }
            return;
        };
        let steps = figures.iter().map(|&f| scale.of(f));
        let Some(needed) = steps.reduce(|a, b| scale.laxer(a, b)) else {
            return;
        };
        self.nearest(rule, scale, needed);
    }

    /// The figure nearest to the one as written with which there is an order; with `needed` there is one, if that figure may be written.
    fn nearest(&mut self, rule: &Blamed, scale: Scale, needed: i64) {
        let text = self.text;
        let with = |steps| with_figure(text, rule, scale.setting, scale.text(steps));
        // Not every figure may be written.
        let toward = (scale.now - needed).signum();
        let writable = |steps: &i64| with(*steps).is_some_and(|c| (self.reader)(&c.text).is_some());
        let far = (0..(scale.now - needed).abs())
            .map(|back| needed + back * toward)
            .find(writable);
        let Some((far, mut best)) = far.and_then(|far| Some((far, with(far)?))) else {
            return;
        };
        if !self.helps(&best) {
            return;
        }
        // What asks for less allows at least as many orders.
        let (mut no, mut yes) = (scale.now, far);
        while (yes - no).abs() > 1 {
            let middle = no + (yes - no) / 2;
            match with(middle).filter(|there| self.helps(there)) {
                Some(there) => (yes, best) = (middle, there),
                None => no = middle,
            }
        }
        self.attempt(best);
    }
}

/// Whether a demand has a figure, or a place or time, that could be another one.
fn has_figure(kind: &Kind) -> bool {
    scale(kind).is_some() || matches!(kind, Kind::Place(_) | Kind::Window(_))
}

/// The setting of a pin for steps that stand at these places or start at these times.
fn pinned(kind: &Kind, figures: &[f64]) -> (&'static str, String) {
    let least = figures.iter().copied().fold(f64::INFINITY, f64::min);
    let most = figures.iter().copied().fold(0.0, f64::max);
    if let Kind::Window(window) = kind {
        // Out to whole minutes, and no narrower than it was.
        let from = (least.min(window.from as f64) / 6_000.0).floor();
        let to = (most.max(window.to as f64) / 6_000.0).ceil();
        return ("minutes", format!("[{from}, {to}]"));
    }
    ("at", format!("{least}"))
}
