//! The fewest moves: which one, two or three moves improve the order as written most.
//!
//! A move takes a step, or a block, a series or the two sides of a movement in one piece, to another place; the set-ups follow, each time the
//! cheapest for the order. Another set-up alone is no move that saves: the order as written has the cheapest ones to begin with. Rests are neither
//! put in nor moved.
//!
//! **Claim.** Unless it is called open, no other choice of as many moves leads to a better order (fewer broken musts first, then the score).
//! **Why.** Every choice of pieces is looked at; for each, one search over all places for them, with the rest in the order as written, below the best so
//! far. What must hold and is broken in it costs more than anything else, so that it is always one of those searched.
//! **Tested by** `the_fewest_moves_agree_with_trying_all` in `tests/engine/own_order.rs`.

use crate::problem::Problem;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::figures::price_of_breaking;
use crate::score::{Evaluation, evaluate};
use crate::search::budget::{Limits, Meter};
use crate::search::solve_below;

/// At most this many moves.
pub const MOST_MOVES: usize = 3;
/// Nodes of one search.
const ONE_SEARCH: u64 = 1_000_000;

/// Pieces taken to other places.
#[derive(Debug, Clone)]
pub struct Moves {
    /// The pieces, each its steps in order.
    pub pieces: Vec<Vec<usize>>,
    /// What comes of it.
    pub found: Evaluation,
    /// Whether no other as many moves are better.
    pub proven: bool,
}

/// The best one, two and three moves, as far as each is better than fewer.
#[derive(Debug, Clone, Default)]
pub struct Fewest {
    /// The best moves, fewest first; each better than the one before.
    pub best: Vec<Moves>,
    /// Whether more moves than the last save nothing (up to [`MOST_MOVES`]); false: that was not settled.
    pub settled: bool,
}

/// The pieces of an order that can be moved: each step, and what the demands ask to stand together and does.
pub fn pieces(problem: &Problem, own: &[usize]) -> Vec<Vec<usize>> {
    let mut found: Vec<Vec<usize>> = own.iter().map(|&s| vec![s]).collect();
    for demand in &problem.demands {
        let Kind::Contiguous(c) = &demand.kind else {
            continue;
        };
        let mut places: Vec<usize> = (c.steps.iter())
            .filter_map(|s| own.iter().position(|o| o == s))
            .collect();
        places.sort_unstable();
        let together = places.windows(2).all(|two| two[1] == two[0] + 1);
        let piece: Vec<usize> = places.iter().map(|&p| own[p]).collect();
        if together && piece.len() > 1 && piece.len() < own.len() && !found.contains(&piece) {
            found.push(piece);
        }
    }
    found
}

/// The fewest moves of `own`, an order of all steps of `problem` (which has no optional ones), whose evaluation is `before`.
pub fn fewest_moves(
    problem: &Problem,
    own: &[usize],
    before: &Evaluation,
    limits: &Limits,
    news: &mut dyn FnMut(usize),
) -> Fewest {
    let mut meter = Meter::new(limits);
    // An order that keeps what must hold need not be softened for: moves that break it are never better.
    let soft = if before.feasible() {
        problem.clone()
    } else {
        softened(problem)
    };
    let mut hunt = Hunt {
        problem,
        soft: &soft,
        own,
        pieces: pieces(problem, own),
        best: evaluate(&soft, &before.timeline.order, &before.timeline.setups).score,
        found: None,
        complete: true,
    };
    let mut fewest = Fewest {
        settled: true,
        ..Fewest::default()
    };
    for many in 1..=MOST_MOVES {
        news(many);
        hunt.found = None;
        hunt.choose(&mut Vec::new(), 0, many, &mut meter);
        fewest.settled = hunt.complete;
        let Some((pieces, found)) = hunt.found.take() else {
            if hunt.complete {
                continue;
            }
            break;
        };
        fewest.best.push(Moves {
            pieces,
            found,
            proven: hunt.complete,
        });
        if !hunt.complete {
            break;
        }
    }
    fewest
}

/// What must hold as a wish that costs more than anything else.
fn softened(problem: &Problem) -> Problem {
    let price = price_of_breaking(problem);
    let mut soft = problem.clone();
    for demand in &mut soft.demands {
        let hundredths = if demand.kind.is_peak() { 100 } else { 1 };
        demand.weight.get_or_insert(price * hundredths);
    }
    soft
}

struct Hunt<'a> {
    problem: &'a Problem,
    soft: &'a Problem,
    own: &'a [usize],
    pieces: Vec<Vec<usize>>,
    best: i64,
    found: Option<(Vec<Vec<usize>>, Evaluation)>,
    complete: bool,
}

impl Hunt<'_> {
    fn choose(&mut self, chosen: &mut Vec<usize>, from: usize, more: usize, meter: &mut Meter<'_>) {
        if more == 0 {
            self.search(chosen, meter);
            return;
        }
        for k in from..self.pieces.len() {
            let apart = |&c: &usize| self.pieces[c].iter().all(|s| !self.pieces[k].contains(s));
            if !chosen.iter().all(apart) {
                continue;
            }
            chosen.push(k);
            self.choose(chosen, k + 1, more - 1, meter);
            chosen.pop();
        }
    }

    fn search(&mut self, chosen: &[usize], meter: &mut Meter<'_>) {
        if meter.stopped().is_some() {
            self.complete = false;
            return;
        }
        let pieces: Vec<Vec<usize>> = chosen.iter().map(|&k| self.pieces[k].clone()).collect();
        let limits = meter.part(ONE_SEARCH, meter.memory() / 8);
        let ended = solve_below(&moved(self.soft, self.own, &pieces), &limits, self.best);
        // Even a search that has nothing to do takes time.
        meter.count(ended.nodes + 1);
        self.complete &= ended.proven();
        if let Some(plan) = ended.plan {
            self.best = plan.score;
            let found = evaluate(self.problem, &plan.order, &plan.setups);
            self.found = Some((pieces, found));
        }
    }
}

/// The problem in which all but the pieces keep their order, and each piece stays in one piece.
fn moved(problem: &Problem, own: &[usize], pieces: &[Vec<usize>]) -> Problem {
    let mut demands = problem.demands.clone();
    let rest: Vec<usize> = (own.iter().copied())
        .filter(|s| !pieces.iter().any(|p| p.contains(s)))
        .collect();
    let precede = |two: &[usize]| {
        Kind::Precede(Precede {
            a: two[0],
            b: two[1],
        })
    };
    let whole = pieces.iter().filter(|p| p.len() > 1);
    let kinds = (rest.windows(2).map(precede)).chain(whole.map(|p| {
        Kind::Contiguous(Contiguous {
            steps: p.clone(),
            ordered: true,
            within: 0,
        })
    }));
    demands.extend(kinds.map(|kind| Demand { kind, weight: None }));
    Problem {
        demands,
        ..problem.clone()
    }
}
