//! Better plans from good ones: parts of a plan are searched again, exactly ([`neighbourhood`](super::neighbourhood)), and where that has nothing more to
//! give, the plan is *turned against itself* and searched again from there.
//!
//! Turning: two steps are drawn, and the best plan of some part is found in which they stand the other way round. The turn is held while
//! parts of that plan are searched, then let go. If nothing better has come of it, the walk is back at the incumbent (an iterated local
//! search; Lourenço, Martin and Stützle 2003). Every plan on the way is a plan of the whole problem.

use std::sync::Mutex;
use std::thread;
use std::time::Duration;

use rand::RngExt as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::aim::{Aim, Of, Search};
use super::budget::Limits;
use super::neighbourhood::{Neighbourhoods, restricted};
use super::outcome::{Ended, Plan};
use super::stop::Stop;
use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};

/// A part is searched with so many nodes at most, and this part of the memory.
pub const PART_NODES: u64 = 100_000;
/// See [`PART_NODES`].
pub const PART_MEMORY: u64 = 8;
/// It counts as so many nodes at least: what it takes to set it up.
const PART_FLOOR: u64 = 5_000;
/// Steps that are free in the first part that is searched.
const FIRST_PART: usize = 8;
/// So many parts in vain, and the plan is turned, or a turn is let go.
const IDLE_PARTS: usize = 24;
/// Two steps that are turned stand so far from each other at most.
const FARTHEST: usize = 10;
/// A turn may cost this part of the score.
const TURN_COST: i64 = 20;

/// A walk from plan to plan.
#[derive(Debug)]
pub struct Walker {
    search: Search,
    neighbourhoods: Neighbourhoods,
    rng: ChaCha8Rng,
    /// Steps that are free in the next part.
    count: usize,
    at: Option<At>,
    /// Turns in vain since the last better plan.
    pub vain: usize,
}

/// Where a walk stands.
#[derive(Debug)]
struct At {
    plan: Plan,
    /// Score of the incumbent that it set out from.
    base: i64,
    /// The second comes before the first.
    turned: Option<(usize, usize)>,
    /// Parts in vain.
    idle: usize,
}

impl At {
    fn the(best: &Plan) -> Self {
        Self {
            plan: best.clone(),
            base: best.score,
            turned: None,
            idle: 0,
        }
    }
}

/// What has come of one part.
#[derive(Debug)]
pub struct Found {
    /// A plan that is better than the incumbent.
    pub plan: Option<Plan>,
    /// What it counts for.
    pub nodes: u64,
}

impl Walker {
    /// A walk that depends on the seed.
    pub fn new(problem: &Problem, seed: u64, search: Search) -> Self {
        Self {
            search,
            neighbourhoods: Neighbourhoods::new(problem),
            rng: ChaCha8Rng::seed_from_u64(seed),
            count: FIRST_PART.min(problem.steps.len()),
            at: None,
            vain: 0,
        }
    }

    /// Searches one more part. `problem` is always the same one, `best` its incumbent.
    pub fn next(&mut self, problem: &Problem, best: &Plan, limits: &Limits) -> Found {
        let here = self.at.take().filter(|at| at.base == best.score);
        let mut at = here.unwrap_or_else(|| At::the(best));
        if at.idle > IDLE_PARTS {
            if at.turned.take().is_some() {
                at.idle = 0;
            } else {
                self.vain += 1;
                at = At::the(best);
                if let Some(found) = self.turn(problem, &mut at, limits) {
                    return self.arrive(at, found, best);
                }
            }
        }
        let free = self
            .neighbourhoods
            .draw(&at.plan.order, self.count, &mut self.rng);
        let found = self.part(problem, &at, &free, at.plan.score, limits);
        // As large as can be searched to the end.
        self.count = if found.1 == Ended::Proof {
            (self.count + 1).min(problem.steps.len())
        } else {
            (self.count - 1).max(2)
        };
        self.arrive(at, (found.0, found.2), best)
    }

    /// Goes on from a plan, if there is one.
    fn arrive(&mut self, mut at: At, (plan, nodes): (Option<Plan>, u64), best: &Plan) -> Found {
        at.idle += 1;
        let mut better = None;
        if let Some(plan) = plan {
            at.idle = 0;
            if plan.score < best.score {
                self.vain = 0;
                at.base = plan.score;
                better = Some(plan.clone());
            }
            at.plan = plan;
        }
        self.at = Some(at);
        Found {
            plan: better,
            nodes: nodes.max(PART_FLOOR),
        }
    }

    /// Turns two steps of the plan; `None`: there are no two.
    fn turn(
        &mut self,
        problem: &Problem,
        at: &mut At,
        limits: &Limits,
    ) -> Option<(Option<Plan>, u64)> {
        let order = &at.plan.order;
        if order.len() < 2 {
            return None;
        }
        let first = self.rng.random_range(0..order.len() - 1);
        let last = (first + FARTHEST).min(order.len() - 1);
        let second = self.rng.random_range(first + 1..=last);
        let mut free = self.neighbourhoods.draw(order, self.count, &mut self.rng);
        for &s in &order[first..=second] {
            self.neighbourhoods.free_with(&mut free, s);
        }
        at.turned = Some((order[first], order[second]));
        let score = at.plan.score;
        let ceiling = score.saturating_add(score / TURN_COST + 1);
        let (plan, _, nodes) = self.part(problem, at, &free, ceiling, limits);
        if plan.is_none() {
            // They cannot be turned, or not cheaply.
            at.turned = None;
            at.idle = IDLE_PARTS;
        }
        Some((plan, nodes))
    }

    /// The best plan of a part that scores below a ceiling, if it was found; how the search for it ended, and its nodes.
    fn part(
        &self,
        problem: &Problem,
        at: &At,
        free: &[bool],
        ceiling: i64,
        limits: &Limits,
    ) -> (Option<Plan>, Ended, u64) {
        let mut part = restricted(problem, &at.plan.order, free);
        part.demands.extend(at.turned.map(|(a, b)| Demand {
            kind: Kind::Precede(Precede { a: b, b: a }),
            weight: None,
        }));
        let outcome = (self.search)(&part, limits, &Aim::below(Of::Part, ceiling));
        (outcome.plan, outcome.ended, outcome.nodes)
    }
}

/// See [`Shared::over_when_dropped`].
#[derive(Debug)]
pub struct Over<'s>(&'s Stop);

impl Drop for Over<'_> {
    fn drop(&mut self) {
        self.0.ask();
    }
}

/// What the threads of one search know together.
#[derive(Debug, Default)]
pub struct Shared {
    best: Mutex<Option<Plan>>,
    /// The search is over.
    pub over: Stop,
}

impl Shared {
    /// Takes a plan over if it is better than what all have, and gives back the best if that is better.
    pub fn exchange(&self, mine: Option<&Plan>) -> Option<Plan> {
        let mut best = self.best.lock().expect("no thread panics");
        let score = |plan: Option<&Plan>| plan.map_or(i64::MAX, |p| p.score);
        let (theirs, own) = (score(best.as_ref()), score(mine));
        if own < theirs {
            *best = mine.cloned();
        }
        (theirs < own).then(|| best.clone()).flatten()
    }

    /// Ends the search for all when it goes, however that comes.
    pub fn over_when_dropped(&self) -> Over<'_> {
        Over(&self.over)
    }

    /// Searches parts of the best plan of all until the search is over. `limits` are those of one part.
    pub fn help(&self, problem: &Problem, limits: &Limits, search: Search) {
        let mut walker = Walker::new(problem, limits.seed, search);
        while !self.over.is_asked() {
            match self.exchange(None) {
                None => thread::sleep(Duration::from_millis(1)),
                Some(best) => {
                    let found = walker.next(problem, &best, limits);
                    self.exchange(found.plan.as_ref());
                }
            }
        }
    }
}
