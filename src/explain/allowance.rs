//! What a row of searches may use together: each gets a part of what the ones before it have left.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use crate::problem::Problem;
use crate::search::budget::{DEFAULT_MEMORY, Limits};
use crate::search::outcome::{Outcome, Plan};
use crate::search::solve_from;

/// Limits for a row of searches, and what they have used so far.
#[derive(Debug, Clone)]
pub struct Allowance {
    limits: Limits,
    nodes: u64,
    threads: usize,
    /// A plan of the class as it is: the searches are for classes much like it.
    known: Option<Plan>,
}

impl Allowance {
    /// All of `limits` for the whole row.
    pub fn new(limits: &Limits) -> Self {
        Self {
            limits: limits.clone(),
            nodes: 0,
            threads: 1,
            known: None,
        }
    }

    /// The same with this many searches at a time, where they do not depend on each other; they share the memory.
    pub fn on_threads(self, threads: usize) -> Self {
        Self { threads, ..self }
    }

    /// The same, of which an earlier search has used its part; those to come begin with its plan.
    pub fn after(limits: &Limits, outcome: &Outcome) -> Self {
        let mut allowance = Self::new(limits);
        allowance.known.clone_from(&outcome.plan);
        allowance.spend(outcome);
        allowance
    }

    /// Whether time or nodes are used up, or somebody asked to stop.
    pub fn is_spent(&self) -> bool {
        self.cancelled()
            || self.limits.late()
            || (self.limits.nodes).is_some_and(|most| most <= self.nodes)
    }

    /// Whether somebody asked to stop.
    pub fn cancelled(&self) -> bool {
        self.limits.cancelled()
    }

    /// Solves a problem within one part in `parts` of what is left; `None` if nothing is left.
    pub fn solve(&mut self, problem: &Problem, parts: u32) -> Option<Outcome> {
        if self.is_spent() {
            return None;
        }
        let outcome = solve_from(problem, self.known.as_ref(), &self.part(parts), &mut |_| {});
        self.spend(&outcome);
        Some(outcome)
    }

    /// Looks for any plan of a problem within one part in `parts` of what is left, and stops at the first; `None` if nothing is left.
    pub fn first(&mut self, problem: &Problem, parts: u32) -> Option<Outcome> {
        if self.is_spent() {
            return None;
        }
        let limits = Limits {
            stop: self.limits.stop.below(),
            ..self.part(parts)
        };
        let outcome = solve_from(problem, self.known.as_ref(), &limits, &mut |news| {
            if news.score.is_some() {
                limits.stop.ask();
            }
        });
        self.spend(&outcome);
        Some(outcome)
    }

    /// Solves problems of which none depends on another, some at a time, each within the given number of nodes and all within what is left. An entry is
    /// `None` where nothing was left.
    pub fn solve_all(&mut self, problems: &[Problem], most_nodes: u64) -> Vec<Option<Outcome>> {
        let many = u64::try_from(problems.len().max(1)).unwrap_or(u64::MAX);
        let share = (self.limits.nodes).map(|most| most.saturating_sub(self.nodes) / many);
        let nodes = share.map_or(most_nodes, |share| share.min(most_nodes));
        let workers = self.threads.min(problems.len()).max(1);
        let next = AtomicUsize::new(0);
        let found = Mutex::new(vec![None; problems.len()]);
        let work = || {
            let mut own = self.clone();
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                let Some(problem) = problems.get(at).filter(|_| !own.is_spent() && nodes > 0)
                else {
                    return own;
                };
                let memory = own.limits.memory.unwrap_or(DEFAULT_MEMORY);
                let limits = Limits {
                    nodes: Some(nodes),
                    memory: Some(memory / u64::try_from(workers).unwrap_or(1)),
                    ..own.part(1)
                };
                let outcome = solve_from(problem, own.known.as_ref(), &limits, &mut |_| {});
                own.spend(&outcome);
                found.lock().expect("no thread panics")[at] = Some(outcome);
            }
        };
        let ended: Vec<Self> = thread::scope(|scope| {
            let running: Vec<_> = (0..workers).map(|_| scope.spawn(work)).collect();
            (running.into_iter())
                .map(|worker| worker.join().expect("no thread panics"))
                .collect()
        });
        let before = self.nodes;
        self.nodes = ended
            .iter()
            .fold(before, |sum, own| sum.saturating_add(own.nodes - before));
        found.into_inner().expect("no thread panics")
    }

    fn part(&self, parts: u32) -> Limits {
        let left = Limits {
            nodes: (self.limits.nodes).map(|most| most.saturating_sub(self.nodes)),
            threads: 1,
            ..self.limits.clone()
        };
        left.share(parts)
    }

    fn spend(&mut self, outcome: &Outcome) {
        self.nodes = self.nodes.saturating_add(outcome.nodes);
    }
}
