//! How far the order as written can be kept: for each number of its neighbouring pairs, the best order that keeps at least as many.
//!
//! **Claim.** A point that is proven is exact: no order that keeps as many of its pairs scores less. Unless [`Curve::between`], numbers between
//! two points are those of the point above them.
//! **Why.** First orders are found that are best at a price for each pair lost: at such a price no order that keeps as many can be better, or
//! it would have been found (Everett 1963, Oper Res 11:399-417, generalised Lagrange multipliers), as long as a class cannot begin with a
//! rest, which would be a pair too many. Then each number is searched below the score that is known for it, with the demand that this many of its pairs are kept
//! (`neighbours`, must hold). A pair that a block, a series or two sides force is not counted; a rest between two neighbours parts them.
//! **Tested by** `the_curve_agrees_with_trying_all` in `tests/engine/own_order.rs`.

use std::collections::BTreeMap;

use super::difference::Measure;
use crate::problem::Problem;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::{Demand, Kind};
use crate::score::{Evaluation, evaluate};
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::{Outcome, Plan, Progress};
use crate::search::{solve, solve_below};

/// Nodes of one search.
const ONE_SEARCH: u64 = 10_000_000;
/// At most this many prices are tried.
const PRICES: usize = 9;

/// The best order for a number of pairs.
#[derive(Debug, Clone)]
pub struct Point {
    /// Pairs of the order as written that it keeps.
    pub kept: usize,
    /// The order.
    pub found: Evaluation,
    /// Whether nothing that keeps as many is better.
    pub proven: bool,
}

/// The curve.
#[derive(Debug, Clone)]
pub struct Curve {
    /// Neighbouring pairs of the order as written that can be kept or not.
    pub pairs: usize,
    /// From the best order on, each with more pairs kept than the one before.
    pub points: Vec<Point>,
    /// Fewest pairs that no feasible order keeps; `None`: all can be kept.
    pub impossible_from: Option<usize>,
    /// Numbers of pairs that were not settled: from this one on.
    pub open_from: Option<usize>,
    /// Whether there may be better orders for numbers between two points.
    pub between: bool,
}

/// The pairs of an order that count, without names: step after step.
fn own_pairs(problem: &Problem, order: &[usize]) -> Vec<(usize, usize)> {
    Measure::new(problem, (0..problem.steps.len()).collect()).free_pairs(order)
}

fn standing(pairs: &[(usize, usize)], order: &[usize]) -> usize {
    let two = order.windows(2).map(|two| (two[0], two[1]));
    two.filter(|pair| pairs.contains(pair)).count()
}

/// The problem in which at least this many pairs of an order are kept.
pub fn keeping(problem: &Problem, own: &[usize], least: usize) -> Problem {
    let mut kept = problem.clone();
    let pairs = own_pairs(problem, own);
    if !pairs.is_empty() && least > 0 {
        kept.demands.push(Demand {
            kind: Kind::Neighbours(Neighbours {
                pairs,
                least: Some(i64::try_from(least).expect("an order has few pairs")),
                most: None,
            }),
            weight: None,
        });
    }
    kept
}

/// The curve of `own`, an order of the steps that must be done.
///
/// # Errors
/// How the search for the best order ended, if there is none.
pub fn nearest(
    problem: &Problem,
    own: &[usize],
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Curve, Box<Outcome>> {
    let mut meter = Meter::new(limits);
    let first = solve(problem, limits, progress);
    meter.count(first.nodes);
    match &first.plan {
        Some(plan) => Ok(curve(
            problem,
            own,
            (plan, first.proven()),
            &mut meter,
            progress,
        )),
        None => Err(Box::new(first)),
    }
}

/// The same where a plan of the problem is known, and whether it is proven best.
pub fn nearest_from(
    problem: &Problem,
    own: &[usize],
    known: (&Plan, bool),
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Curve {
    let mut meter = Meter::new(limits);
    // Somebody may have asked to stop before.
    meter.count(0);
    curve(problem, own, known, &mut meter, progress)
}

fn curve(
    problem: &Problem,
    own: &[usize],
    (plan, proven): (&Plan, bool),
    meter: &mut Meter<'_>,
    progress: &mut dyn FnMut(&Progress),
) -> Curve {
    progress(&Progress {
        phase: "keeping more of your order",
        ..Progress::default()
    });
    let mut hunt = Hunt {
        problem,
        own,
        pairs: own_pairs(problem, own),
        points: BTreeMap::new(),
        prices: PRICES,
    };
    hunt.add(plan, proven);
    let begins = problem.demands.iter().any(|d| {
        matches!(&d.kind, Kind::Place(p) if d.weight.is_none() && (p.min, p.max) == (1, 1)
            && problem.steps[p.step].optional.is_none())
    });
    let exact = begins || problem.steps.iter().all(|s| s.optional.is_none());
    // Whatever one pair more costs, it is not more than all that an order costs.
    if let Some((kept, _)) = hunt.points.first_key_value()
        && *kept < hunt.pairs.len()
    {
        let from = *kept;
        let most = plan.score.saturating_add(1);
        if let Some(to) = hunt.at_price(most, exact, meter) {
            hunt.between(from, to, exact, meter);
        }
    }
    hunt.settle(meter)
}

struct Hunt<'a> {
    problem: &'a Problem,
    own: &'a [usize],
    pairs: Vec<(usize, usize)>,
    /// By pairs kept: the best order known, and whether it is exact.
    points: BTreeMap<usize, (Evaluation, bool)>,
    /// Prices that may still be tried.
    prices: usize,
}

impl Hunt<'_> {
    /// Takes an order over, if it is the best known for its pairs. Its pairs.
    fn add(&mut self, plan: &Plan, exact: bool) -> usize {
        let kept = standing(&self.pairs, &plan.order);
        let found = evaluate(self.problem, &plan.order, &plan.setups);
        let known = self.points.get(&kept);
        if known.is_none_or(|(e, sure)| found.score < e.score || (found.score == e.score && !sure))
        {
            self.points.insert(kept, (found, exact));
        }
        kept
    }

    /// The best order at a price for each pair lost: its pairs.
    fn at_price(&mut self, price: i64, exact: bool, meter: &mut Meter<'_>) -> Option<usize> {
        if meter.stopped().is_some() {
            return None;
        }
        self.prices = self.prices.checked_sub(1)?;
        let n = self.problem.steps.len();
        let must = |s: usize| self.problem.steps[s].optional.is_none();
        let forced = Measure::new(self.problem, (0..n).collect());
        let lost: Vec<(usize, usize)> = (0..n * n)
            .map(|k| (k / n, k % n))
            .filter(|&(a, b)| a != b && must(b))
            .filter(|pair| !self.pairs.contains(pair) && !forced.is_forced(pair.0, pair.1))
            .collect();
        let mut priced = self.problem.clone();
        if !lost.is_empty() {
            priced.demands.push(Demand {
                kind: Kind::Neighbours(Neighbours {
                    pairs: lost,
                    least: None,
                    most: Some(0),
                }),
                weight: Some(price.max(1)),
            });
        }
        let part = meter.part(ONE_SEARCH, meter.memory());
        let ended = solve(&priced, &part, &mut |_| {});
        meter.count(ended.nodes);
        let plan = ended.plan.as_ref()?;
        Some(self.add(plan, exact && ended.proven()))
    }

    /// Orders between two that are known, at the price at which both are as good.
    fn between(&mut self, from: usize, to: usize, exact: bool, meter: &mut Meter<'_>) {
        if to <= from + 1 || meter.stopped().is_some() {
            return;
        }
        let (low, high) = (self.points[&from].0.score, self.points[&to].0.score);
        let lost = i64::try_from(to - from).expect("an order has few pairs");
        let price = (high - low) / lost;
        if price <= 0 {
            return;
        }
        let Some(at) = self.at_price(price, exact, meter) else {
            return;
        };
        if from < at && at < to {
            self.between(from, at, exact, meter);
            self.between(at, to, exact, meter);
        }
    }

    /// The best known order that keeps at least this many: its pairs, itself, and whether it is exact for them.
    fn known(&self, least: usize) -> Option<(usize, Evaluation, bool)> {
        (self.points.range(least..))
            .min_by_key(|(kept, (e, _))| (e.score, std::cmp::Reverse(**kept)))
            .map(|(kept, (e, sure))| (*kept, e.clone(), *sure))
    }

    /// Number by number: nothing better, or a better order.
    fn settle(mut self, meter: &mut Meter<'_>) -> Curve {
        let all = self.pairs.len();
        let mut curve = Curve {
            pairs: all,
            points: Vec::new(),
            impossible_from: None,
            open_from: None,
            between: false,
        };
        let mut least = 0;
        while least <= all {
            let mut known = self.known(least);
            // What is exact for its own number is so for this one too if that is its own.
            let settled = least == 0 || matches!(&known, Some((kept, _, true)) if *kept == least);
            let below = known.as_ref().map_or(i64::MAX / 4, |(_, e, _)| e.score);
            let mut sure = settled && known.as_ref().is_some_and(|k| k.2);
            if !sure && meter.stopped().is_none() {
                let part = meter.part(ONE_SEARCH, meter.memory());
                let ended = solve_below(&keeping(self.problem, self.own, least), &part, below);
                meter.count(ended.nodes + 1);
                sure = ended.proven();
                if let Some(plan) = &ended.plan {
                    self.add(plan, sure);
                    if sure {
                        let kept = standing(&self.pairs, &plan.order);
                        curve.points.push(Point {
                            kept,
                            found: evaluate(self.problem, &plan.order, &plan.setups),
                            proven: true,
                        });
                        least = kept + 1;
                        continue;
                    }
                    known = self.known(least);
                }
            }
            match known {
                Some((kept, found, exact)) => {
                    curve.between |= !sure && kept > least;
                    curve.points.push(Point {
                        kept,
                        found,
                        proven: sure || exact,
                    });
                    least = kept + 1;
                }
                None if sure => {
                    curve.impossible_from = Some(least);
                    break;
                }
                None => {
                    curve.open_from = Some(least);
                    break;
                }
            }
        }
        curve
    }
}
