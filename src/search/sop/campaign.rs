//! What runs when for a sequential ordering problem: local search, bound and exact search by turns, each time with more of everything, until they
//! meet.

use std::sync::Arc;

use super::ascent::Ascent;
use super::assignment::Prices;
use super::exchange::Nearest;
use super::instance::Sop;
use super::iterated::{Iterated, greedy};
use super::layers::{Guide, words_of};
use super::memory::MOST_KEPT;
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::{Ended, Outcome, Plan, Progress};

/// Kicks of the first local search, for each node.
const FIRST_KICKS: u64 = 150;
/// Kicks of the first local search at most.
const MOST_FIRST_KICKS: u64 = 8_000;
/// Steps of a climb at most.
const CLIMB: usize = 1000;
/// Nodes that each node remembers at first, at most.
const FIRST_KEPT: usize = 3;
/// Width of the first exact search.
const FIRST_WIDTH: usize = 4_000;
/// Cells of the table of the first memories.
const FIRST_CELLS: usize = 100_000;
/// States that a kick of the local search counts as.
const KICK: u64 = 8;
/// Shares of the three kinds of work.
const BOUND_SHARE: u64 = 4;
const EXACT_SHARE: u64 = 5;
const LOCAL_SHARE: u64 = 1;
/// Nanoseconds that an arc from a state, an expansion and a kick take, about.
const ARC_TIME: u64 = 2;
const EXPANSION_TIME: u64 = 400;
const KICK_TIME: u64 = 6_000;
/// Rounds without news, at the most memory, after which a search without limits gives up.
const PATIENCE: usize = 5;

/// A kind of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Work {
    /// Raise the bound.
    Bound,
    /// Search through partial orders.
    Exact,
    /// Look for better orders nearby.
    Local,
}

/// What each kind of work has taken so far, in nanoseconds as they are reckoned below: from counts and not from a clock, so that a search can be
/// repeated.
#[derive(Debug, Clone, Copy, Default)]
struct Spent {
    bound: u64,
    exact: u64,
    local: u64,
}

/// A search under way. Costs and bounds are in units of the instance.
struct Campaign<'a, 'p> {
    sop: &'a Sop,
    /// The set-up of every step.
    setup: &'a [usize],
    limits: &'a Limits,
    meter: Meter<'a>,
    best: (Vec<usize>, i64),
    bound: i64,
    proven: bool,
    spent: Spent,
    trace: Vec<(f64, i64)>,
    progress: &'p mut dyn FnMut(&Progress),
}

/// Searches until the proof or a limit. `setup`: that of every step, one value for each facet.
pub fn run(
    sop: &Sop,
    setup: &[usize],
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    let meter = Meter::new(limits);
    let order = greedy(sop);
    let cost = sop.cost_of(&order);
    let mut campaign = Campaign {
        sop,
        setup,
        limits,
        meter,
        best: (order, cost),
        bound: 0,
        proven: false,
        spent: Spent::default(),
        trace: Vec::new(),
        progress,
    };
    campaign.search();
    campaign.outcome()
}

impl Campaign<'_, '_> {
    fn search(&mut self) {
        let prices = Prices::of(self.sop);
        self.raise(prices.bound());
        let nearest = Nearest::of(self.sop);
        let mut local = Iterated::new(self.sop, &nearest, &self.best.0, self.limits.seed);
        let nodes = u64::try_from(self.sop.n).expect("nodes are few");
        let mut kicks = (FIRST_KICKS * nodes).min(MOST_FIRST_KICKS);
        self.kick(&mut local, kicks);
        self.say("a first plan");
        if !self.goes_on() {
            return;
        }
        let (most_cells, most_width) = self.room();
        let fits = Ascent::takes(self.sop, self.best.1, most_cells);
        let mut ascent = fits.then(|| Ascent::new(self.sop, &prices, self.best.1));
        if let Some(ascent) = &mut ascent {
            ascent.strike(self.sop, self.best.1);
            self.raise(ascent.bound());
        }
        let (mut width, mut cells) = (FIRST_WIDTH.min(most_width), FIRST_CELLS.min(most_cells));
        let mut kept = FIRST_KEPT;
        let mut idle = 0;
        while self.goes_on() {
            let before = (self.bound, self.best.1);
            // Where there is no room for the walks, local search is all that is left.
            let work = ascent.as_ref().map_or(Work::Local, |_| self.turn());
            match (work, &mut ascent) {
                (Work::Bound, Some(ascent)) => {
                    self.climb(ascent);
                    if self.goes_on() && !ascent.learn(self.sop, kept, cells) {
                        kept = (kept + 1).min(MOST_KEPT);
                        cells = (cells * 3 / 2).min(most_cells);
                    }
                }
                (Work::Exact, Some(ascent)) => {
                    self.exact(ascent, width, &mut local);
                    width = (width * 2).min(most_width);
                }
                (Work::Local, _) | (_, None) => {
                    kicks = kicks * 3 / 2;
                    self.kick(&mut local, kicks);
                }
            }
            self.say(match work {
                Work::Bound => "how good it can get",
                Work::Exact => "a proof",
                Work::Local => "better plans",
            });
            idle = if before == (self.bound, self.best.1) {
                idle + 1
            } else {
                0
            };
            let endless = self.limits.until.is_none() && self.limits.nodes.is_none();
            let no_more = width == most_width || ascent.is_none();
            if endless && idle >= PATIENCE && no_more {
                return;
            }
        }
    }

    /// Whose turn it is: of the kind of work that has had least of its share of the time.
    fn turn(&self) -> Work {
        let kinds = [
            (Work::Bound, self.spent.bound / BOUND_SHARE),
            (Work::Exact, self.spent.exact / EXACT_SHARE),
            (Work::Local, self.spent.local / LOCAL_SHARE),
        ];
        let least = kinds.into_iter().min_by_key(|&(_, spent)| spent);
        least.expect("there are three kinds").0
    }

    /// The most cells of a table and the widest layer that memory allows.
    fn room(&self) -> (usize, usize) {
        let memory = usize::try_from(self.meter.memory()).unwrap_or(usize::MAX);
        // A cell is four bytes; arcs lead from each state, in two bytes each, to some ten others.
        let cells = memory / 4 / 24;
        // What a layer keeps for good, and four times what it holds while it grows.
        let state = 8 * self.sop.n + 5 * (words_of(self.sop) * 8 + 16 + 16);
        (cells, (memory / 2 / state).max(100))
    }

    fn goes_on(&self) -> bool {
        !self.proven && self.meter.stopped().is_none()
    }

    fn kick(&mut self, local: &mut Iterated<'_>, kicks: u64) {
        self.spent.local += kicks * KICK_TIME;
        for _ in 0..kicks {
            if local.best().1 <= self.bound || !self.meter.spend(KICK) {
                break;
            }
            local.step();
        }
        self.learn(local.best().0, local.best().1);
    }

    fn climb(&mut self, ascent: &mut Ascent) {
        let cells = u64::try_from(ascent.walks.cells()).unwrap_or(u64::MAX);
        let best = self.best.1;
        let arcs = u64::try_from(ascent.walks.work(&ascent.memory)).unwrap_or(u64::MAX);
        let mut steps = 3;
        let meter = &mut self.meter;
        ascent.climb(best, CLIMB, &mut || {
            steps += 1;
            meter.spend(cells)
        });
        self.spent.bound += steps * arcs * ARC_TIME;
        self.raise(ascent.bound());
        if self.goes_on() {
            ascent.strike(self.sop, best);
            self.raise(ascent.bound());
        }
    }

    fn exact(&mut self, ascent: &Ascent, width: usize, local: &mut Iterated<'_>) {
        let guide = Guide {
            sop: self.sop,
            memory: &ascent.memory,
            walks: &ascent.walks,
            tolls: &ascent.tolls,
            limit: self.best.1 - 1,
        };
        let meter = &mut self.meter;
        let before = meter.nodes();
        let found = guide.search(width, &mut || meter.go_on());
        self.spent.exact += (meter.nodes() - before) * EXPANSION_TIME;
        if let Some((order, cost)) = found.order {
            self.learn(&order, cost);
            local.learn(&order, cost);
        }
        if found.complete {
            self.raise(self.best.1);
        } else if let (Some(cut), false) = (found.cut, found.stopped) {
            self.raise(cut);
        }
    }

    fn learn(&mut self, order: &[usize], cost: i64) {
        if cost < self.best.1 {
            self.best = (order.to_vec(), cost);
        }
        self.raise(self.bound);
        let score = self.sop.score(self.best.1);
        if self.trace.last().is_none_or(|&(_, s)| s > score) {
            self.trace.push((self.meter.seconds(), score));
            let better = Some(Arc::new(self.plan()));
            self.news("better plans", better);
        }
    }

    /// The best plan so far.
    fn plan(&self) -> Plan {
        let order = self.sop.steps(&self.best.0);
        Plan {
            setups: vec![self.setup.to_vec(); order.len()],
            order,
            score: self.sop.score(self.best.1),
        }
    }

    /// No order costs less than `bound`, or than the best.
    fn raise(&mut self, bound: i64) {
        self.bound = self.bound.max(bound.min(self.best.1));
        self.proven |= self.bound >= self.best.1;
    }

    fn say(&mut self, phase: &'static str) {
        self.news(phase, None);
    }

    fn news(&mut self, phase: &'static str, better: Option<Arc<Plan>>) {
        (self.progress)(&Progress {
            better,
            score: Some(self.sop.score(self.best.1)),
            bound: Some(self.sop.score(self.bound)),
            phase,
        });
    }

    fn outcome(self) -> Outcome {
        Outcome {
            plan: Some(self.plan()),
            bound: Some(self.sop.score(self.bound)),
            ended: if self.proven {
                Ended::Proof
            } else {
                self.meter.stopped().unwrap_or(Ended::Memory)
            },
            nodes: self.meter.nodes(),
            seconds: self.meter.seconds(),
            disagreement: None,
            trace: self.trace,
        }
    }
}
