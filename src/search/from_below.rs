//! Bounds where the tables do not fit: the set-ups that an order has to [stand in](super::cover), once; then the problem with [fewer steps](super::fewer) and
//! [walks](super::walks), in turns: whichever leads higher goes on.

use super::aim::Search;
use super::budget::Meter;
use super::cover::Cover;
use super::fewer::{self, Rounds};
use super::outcome::Plan;
use super::tables::Tables;
use super::walks::ascent::{Ascent, Then};
use crate::problem::Problem;

/// The problem with fewer steps is searched for this part of all nodes so far, each time; for the second where there are no walks.
const SOON_SHARE: u64 = 8;
const FEWER_SHARE: u64 = 2;
/// Walks may take this part of the memory.
const WALKS_MEMORY: u64 = 6;
/// While there are tables, walks take this part of all nodes, and so many at least for each step beyond the first ones.
const ASIDE_SHARE: u64 = 6;
const AT_ONCE: u64 = 10_000;
const FIRST_STEPS: u64 = 28;

/// What there is to raise the bound with.
#[derive(Debug)]
pub struct FromBelow<'p, const N: usize> {
    problem: &'p Problem,
    search: Search,
    ascent: Option<Ascent<'p, N>>,
    rounds: Option<Rounds>,
    /// Whether fewer steps have come to be too many for now, and whether they ever have.
    slow: bool,
    slowed: bool,
    /// The highest bound of either kind.
    highest: i64,
    /// Nodes that walks took while there were tables.
    aside: u64,
}

/// What has come of a turn.
#[derive(Debug, Default)]
pub struct Turn {
    /// No plan costs less.
    pub bound: i64,
    /// A better plan.
    pub plan: Option<Plan>,
    /// Whether there is nothing more to try.
    pub over: bool,
}

impl<'p, const N: usize> FromBelow<'p, N> {
    /// Makes ready; `search` solves the problems with fewer steps, `best` is a plan that is known.
    pub fn new(
        t: &'p Tables<'p, N>,
        search: Search,
        best: Option<&Plan>,
        meter: &mut Meter<'_>,
    ) -> Self {
        let bytes = usize::try_from(meter.memory() / WALKS_MEMORY).unwrap_or(usize::MAX);
        let mut ascent = Ascent::new(t, bytes);
        if let Some(ascent) = &mut ascent {
            let known = best.map(|plan| plan.score);
            ascent.settle(known, &mut |nodes| meter.spend(nodes));
        }
        Self {
            problem: t.problem,
            search,
            ascent,
            rounds: None,
            slow: false,
            slowed: false,
            highest: Cover::new(t.problem).bound(best.map(|plan| plan.score)),
            aside: 0,
        }
    }

    /// One turn, for plans that cost less than `below`; `best` is one that is known.
    pub fn turn(&mut self, best: Option<&Plan>, below: i64, meter: &mut Meter<'_>) -> Turn {
        let walks = self.ascent.is_some();
        let Some(best) = best.filter(|_| !walks || !self.slow) else {
            let turn = self.walk(best, u64::MAX, meter);
            // Walks that lead no higher than fewer steps did leave it to them again.
            self.slow = turn.bound > self.highest && !turn.over;
            self.highest = self.highest.max(turn.bound);
            return Turn {
                over: !walks,
                ..turn
            };
        };
        let rounds =
            (self.rounds).get_or_insert_with(|| Rounds::new(self.problem, best, self.search));
        let share = if walks && !self.slowed {
            SOON_SHARE
        } else {
            FEWER_SHARE
        };
        let limits = meter.part(meter.nodes() / share, meter.memory() / 2);
        let round = rounds.next(below, &limits);
        meter.count(round.nodes);
        self.highest = self.highest.max(round.bound);
        self.slow = round.then != fewer::Then::More;
        self.slowed |= self.slow;
        Turn {
            bound: round.bound,
            plan: round.plan,
            over: round.then == fewer::Then::Over && !walks,
        }
    }

    /// No plan costs less, as far as is known.
    pub fn bound(&self) -> i64 {
        self.highest
    }

    /// Walks alone, for what is left of their share while there are tables.
    pub fn aside(&mut self, best: Option<&Plan>, meter: &mut Meter<'_>) -> Turn {
        let before = meter.nodes();
        let beyond = (self.problem.steps.len() as u64).saturating_sub(FIRST_STEPS);
        let share = (before / ASIDE_SHARE).max(beyond * AT_ONCE);
        let left = share.saturating_sub(self.aside);
        let turn = self.walk(best, left, meter);
        self.aside += meter.nodes() - before;
        turn
    }

    /// A climb of at most so many nodes; over if that was not enough for anything.
    fn walk(&mut self, best: Option<&Plan>, nodes: u64, meter: &mut Meter<'_>) -> Turn {
        let mut turn = Turn::default();
        let before = meter.nodes();
        if let Some(ascent) = &mut self.ascent {
            let most = before.saturating_add(nodes);
            let known = best.map(|plan| plan.score);
            let mut go_on = |nodes| meter.nodes() < most && meter.spend(nodes);
            let then = ascent.climb(known, &mut go_on);
            turn.bound = ascent.bound();
            if then == Then::Over {
                self.ascent = None;
            }
        }
        turn.over = meter.nodes() == before;
        turn
    }
}
