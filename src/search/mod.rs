//! The solver. Knows the waist alone; the same answer for the same input and node budget.
//!
//! First a narrow beam for an incumbent; then exact backward tables of the problem without its clock, for more and more facets, each cut
//! by the one before it ([`bound::backward`]); after each a short beam that it guides; at last beams of growing width, the last of which
//! cuts nothing and so is the proof ([`beam`]).

pub mod beam;
pub mod bound;
pub mod budget;
pub mod dominance;
pub mod done_set;
pub mod outcome;
pub mod precedence;
pub mod setups;
pub mod state;
pub mod successor;
pub mod tables;
pub mod track;

use crate::problem::Problem;
use crate::score::evaluate;
use beam::{Better, Guide, Incumbent};
use bound::backward::{Abandoned, Table};
use bound::simple::Simple;
use budget::{Limits, Meter};
use outcome::{Ended, Outcome, Progress};
use state::Layout;
use successor::View;
use tables::{FacetSet, Tables};
use track::clock::ClockTracker;
use track::order::OrderTracker;

/// Finds the best order and set-ups, and proves it or says how far off it may be. The result was scored again by `score`.
///
/// `progress` is called with each better plan or bound. The problem must be well formed ([`crate::problem::check`]).
pub fn solve(problem: &Problem, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Outcome {
    if let Some(why) = tables::refusal(problem) {
        return Outcome {
            ended: Ended::Refused,
            disagreement: Some(why),
            ..Outcome::default()
        };
    }
    // The width is found with tables of the least width that holds the done set, then the tables are made again.
    match width(problem) {
        0..=2 => run::<2>(problem, limits, progress),
        3..=4 => run::<4>(problem, limits, progress),
        5..=8 => run::<8>(problem, limits, progress),
        9..=16 => run::<16>(problem, limits, progress),
        17..=32 => run::<32>(problem, limits, progress),
        words => Outcome {
            ended: Ended::Refused,
            disagreement: Some(format!(
                "the search keeps a state in at most 2048 bits; this problem takes {}",
                words * 64
            )),
            ..Outcome::default()
        },
    }
}

/// Words that a state of the problem takes.
fn width(problem: &Problem) -> usize {
    fn words<const N: usize>(problem: &Problem) -> usize {
        let tables = Tables::<N>::new(problem);
        let trackers = OrderTracker::all(&tables);
        Layout::of(&tables, &trackers).words
    }
    match problem.steps.len() {
        0..=128 => words::<2>(problem),
        129..=512 => words::<8>(problem),
        n if n <= 2048 => words::<32>(problem),
        n => n.div_ceil(64),
    }
}

/// Widths of the beams before the first table and after each: small ones, for a plan at once.
const FIRST_WIDTHS: [usize; 3] = [10, 100, 500];
/// Width of the beam after each table.
const GUIDED_WIDTH: usize = 300;
/// Width of the last pass, which looks for an equal score nearer to the order as written.
const POLISH_WIDTH: usize = 500;

/// The best set-ups for a fixed order (the order "as given"): exact over set-ups, soft demands counted, demands that must hold
/// counted as broken rather than forbidden (so that an answer always comes). Returns the set-ups, one entry for each step of `order`;
/// `None` if the search was stopped by `limits` before it had any.
pub fn best_setups(problem: &Problem, order: &[usize], limits: &Limits) -> Option<Vec<Vec<usize>>> {
    solve(&setups::fixed(problem, order), limits, &mut |_| {})
        .plan
        .map(|plan| plan.setups)
}

fn run<const N: usize>(
    problem: &Problem,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    let mut meter = Meter::new(limits);
    let tables = Tables::<N>::new(problem);
    let trackers = OrderTracker::all(&tables);
    let layout = Layout::of(&tables, &trackers);
    let clock = ClockTracker::all(problem);
    let simple = Simple::new(&tables);
    let view = View::new(&tables, &layout, &trackers, tables.all, false);
    let bytes = N * 8 * 2 + 64 + clock.len() * 16 + 32;
    let memory = usize::try_from(meter.memory()).unwrap_or(usize::MAX);
    let most = (memory / 2 / bytes).max(1000);
    let table_limit = memory / 2 / (N * 8 + 16) / 4;
    let mut incumbent = Incumbent::default();
    let mut bound = 0;
    let mut trace = Vec::new();
    let mut say = |phase: &'static str, incumbent: &Incumbent, bound: i64, meter: &Meter<'_>| {
        let score = incumbent.plan.as_ref().map(|p| p.score);
        if let Some(score) = score
            && trace.last().is_none_or(|&(_, s)| s > score)
        {
            trace.push((meter.seconds(), score));
        }
        progress(&Progress {
            score,
            bound: Some(bound),
            phase,
        });
    };
    let mut table: Option<Table<N>> = None;
    let mut proven = false;
    for width in FIRST_WIDTHS {
        let guide = Guide {
            view: &view,
            clock: &clock,
            table: None,
            simple: &simple,
            most,
        };
        let swept = guide.sweep(width.min(most), Better::Score, &mut incumbent, &mut meter);
        proven = swept.complete;
        say("a first plan", &incumbent, bound, &meter);
        if proven || swept.stopped {
            break;
        }
    }
    if !proven && meter.stopped().is_none() {
        for facets in hierarchy(&tables) {
            let relaxed = View::new(&tables, &layout, &trackers, facets, true);
            match Table::new(
                &relaxed,
                incumbent.below(),
                table.as_ref(),
                &simple,
                table_limit,
                &mut meter,
            ) {
                Ok(next) => {
                    bound = next.root.map_or(incumbent.below(), |r| bound.max(r.cost));
                    proven = next.root.is_none();
                    table = Some(next);
                }
                Err(Abandoned::TooLarge | Abandoned::Stopped) => break,
            }
            if !proven {
                let guide = Guide {
                    view: &view,
                    clock: &clock,
                    table: table.as_ref(),
                    simple: &simple,
                    most,
                };
                let swept = guide.sweep(
                    GUIDED_WIDTH.min(most),
                    Better::Score,
                    &mut incumbent,
                    &mut meter,
                );
                proven = swept.complete || incumbent.below() <= bound;
            }
            say("how good it can get", &incumbent, bound, &meter);
            if proven || meter.stopped().is_some() {
                break;
            }
        }
    }
    let mut full = false;
    let mut width = 1000;
    while !proven && meter.stopped().is_none() && !full {
        full = width >= most;
        let guide = Guide {
            view: &view,
            clock: &clock,
            table: table.as_ref(),
            simple: &simple,
            most,
        };
        let swept = guide.sweep(width.min(most), Better::Score, &mut incumbent, &mut meter);
        if let (Some(cut), false) = (swept.cut, swept.stopped) {
            bound = bound.max(cut.min(incumbent.below()));
        }
        proven = swept.complete || incumbent.below() <= bound;
        say("better plans", &incumbent, bound, &meter);
        width *= 4;
    }
    if proven && incumbent.plan.is_some() && meter.stopped().is_none() {
        let guide = Guide {
            view: &view,
            clock: &clock,
            table: table.as_ref(),
            simple: &simple,
            most,
        };
        let before = incumbent.below();
        guide.sweep(
            POLISH_WIDTH.min(most),
            Better::ScoreThenOrder,
            &mut incumbent,
            &mut meter,
        );
        debug_assert!(
            incumbent.below() == before,
            "a proven plan cannot be bettered"
        );
    }
    let ended = if proven {
        Ended::Proof
    } else {
        meter.stopped().unwrap_or(Ended::Memory)
    };
    let mut outcome = Outcome {
        bound: incumbent
            .plan
            .as_ref()
            .map_or((!proven).then_some(bound), |p| {
                Some(if proven { p.score } else { bound.min(p.score) })
            }),
        plan: incumbent.plan,
        ended,
        nodes: meter.nodes(),
        seconds: meter.seconds(),
        disagreement: None,
        trace,
    };
    if let Some(plan) = &outcome.plan {
        let judged = evaluate(problem, &plan.order, &plan.setups);
        if !judged.feasible() || judged.score != plan.score {
            outcome.disagreement = Some(format!(
                "the search scores the order {:?} with the set-ups {:?} {}; the referee scores it {}, errors {:?}, broken {:?}",
                plan.order, plan.setups, plan.score, judged.score, judged.errors, judged.broken
            ));
            outcome.plan = None;
        }
    }
    outcome
}

/// Sets of facets for the tables, each one facet larger than the one before: first the facets on which most is to be paid, those that halt
/// the class before those that do not.
fn hierarchy<const N: usize>(tables: &Tables<'_, N>) -> Vec<FacetSet> {
    let worth = |f: usize| {
        let facet = &tables.problem.facets[f];
        let changes: i64 = facet.change.iter().flatten().sum();
        let count = i64::try_from((facet.values.len() * facet.values.len()).max(1))
            .expect("values are few");
        let caring = i64::try_from(tables.cares[f].len()).expect("steps are few");
        (tables.halts >> f & 1, caring * (changes / count + 1))
    };
    let mut order: Vec<usize> = (0..tables.n_facets).collect();
    order.sort_by_key(|&f| std::cmp::Reverse(worth(f)));
    let mut sets: Vec<FacetSet> = Vec::new();
    let mut set = 0;
    for f in order {
        set |= 1 << f;
        sets.push(set);
    }
    if sets.is_empty() {
        sets.push(0);
    }
    sets
}
