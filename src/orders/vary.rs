//! A week of classes from one list: several orders, each nearly as good as the best, as far apart as can be.
//!
//! 1. The best score is found ([`crate::search::solve`]); the ceiling lies the asked percentage above it.
//! 2. A short list is looked through ([`super::every`]); of a long one, orders are collected by leaps away from those chosen so far
//!    ([`super::diversify`]).
//!    With [movements swapped](super::swaps) there are several lists, and so for each of them.
//! 3. Of these the farthest apart are chosen ([`super::spread`]).
//! 4. Where there are fewer than asked, a search for one more either finds it or proves that there is none.
//!
//! **Claim.** Every class is valid, within the ceiling, and any two are at least as far apart as asked. With [`Sureness::Farthest`] no choice of
//! as many classes has a larger smallest distance. With [`Short::Proven`] no larger choice exists; with [`Short::NoneToAdd`] none can be added.
//! **Why.** Each is scored by the referee; an exact choice of all orders is an exact choice; a further class would have, with each one chosen,
//! at most as many pairs in common as [`Measure::at_most`] demands, and the search proves that there is none. Where two classes need only
//! differ, none to add means that these are all.
//! **Tested by** `tests/engine/variants.rs`.

use rand::seq::SliceRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::difference::{Difference, Measure};
use super::diversify::{Leaper, Pool};
use super::every::every;
use super::spread::{Spread, spread};
use crate::problem::Problem;
use crate::problem::demand::place::Place;
use crate::problem::demand::{Demand, Kind};
use crate::score::{Evaluation, evaluate};
use crate::search::budget::{Limits, Meter};
use crate::search::outcome::{Outcome, Plan, Progress};
use crate::search::{in_a_hurry, solve, solve_below};

/// Lists of up to this many steps that must be done are enumerated.
const SHORT_LIST: usize = 10;
/// Orders and searches before that is given up.
const MOST_ORDERS: usize = 400;
const MOST_SEARCHES: u64 = 4_000;
/// Nodes of the search for a first order of a list with something swapped.
const ONE_LIST: u64 = 300_000;
/// Nodes of one such search.
const ONE_SEARCH: u64 = 50_000;
/// Least number of searches for something farther from the others than the two that are nearest; more, one for each class asked for.
const LEAST_ROUNDS: usize = 3;
/// Leaps in vain before it stops.
const IDLE_LEAPS: usize = 6;
/// Nodes of a search for one more class.
const ONE_MORE: u64 = 5_000_000;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wish {
    /// Number of classes.
    pub count: usize,
    /// How far a class may score above the best, in hundredths of a percent.
    pub within: i64,
    /// Least number of neighbouring pairs not in common to any two; at least 1.
    pub apart: usize,
    /// No two begin with the same movement.
    pub opener: bool,
    /// No two end with the same movement.
    pub closer: bool,
}

/// How far apart they are compared with what could be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sureness {
    /// No as many are farther apart.
    Farthest,
    /// As far apart as was found.
    Found,
}

/// Why there are fewer than asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Short {
    /// There are not more.
    Proven,
    /// None can be added to these; whether another choice has more is open.
    NoneToAdd,
    /// Open.
    Open,
}

/// A week of classes.
#[derive(Debug, Clone)]
pub struct Week {
    /// The best order.
    pub best: Evaluation,
    /// Whether it is proven best; the percentage counts from its score.
    pub best_is_proven: bool,
    /// The highest score allowed.
    pub ceiling: i64,
    /// The classes, best first.
    pub classes: Vec<Evaluation>,
    /// For each class the list that it is made from.
    pub lists: Vec<usize>,
    /// `[i * classes + j]`: how far two are apart.
    pub apart: Vec<Difference>,
    /// Neighbouring pairs of a class that could differ.
    pub pairs: usize,
    /// How sure the spread is.
    pub sureness: Sureness,
    /// Why there are fewer than asked, if there are.
    pub short: Option<Short>,
    /// Orders to choose from.
    pub looked_at: usize,
    /// Whether it was interrupted before all of it was worked out.
    pub interrupted: bool,
}

impl Week {
    /// The smallest difference between two classes; `None` with fewer than two.
    pub fn least(&self) -> Option<Difference> {
        let n = self.classes.len();
        let pairs = (0..n).flat_map(|i| (0..i).map(move |j| i * n + j));
        pairs.map(|k| self.apart[k]).min()
    }
}

/// A list to make classes from.
#[derive(Debug, Clone)]
pub struct List<'a> {
    /// Its problem.
    pub problem: &'a Problem,
    /// For each step what its movement is called: steps of one name are the same movement, in whatever list.
    pub names: Vec<usize>,
}

/// Finds a week of classes from one list. `names` tells which steps are the same movement. The same wish, limits of nodes and seed give the same week.
///
/// # Errors
/// How the search for the best order ended, if there is none.
pub fn vary(
    problem: &Problem,
    names: Vec<usize>,
    wish: &Wish,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Week, Box<Outcome>> {
    let list = List { problem, names };
    vary_any(&[list], true, wish, limits, progress)
}

/// The same from several lists, the first being the list as written: best order and ceiling are its. `all`: whether there are no more lists.
///
/// # Errors
/// How the search for the best order of the first list ended, if there is none.
pub fn vary_any(
    lists: &[List<'_>],
    all: bool,
    wish: &Wish,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Week, Box<Outcome>> {
    let problem = lists[0].problem;
    let mut meter = Meter::new(limits);
    let outcome = solve(problem, limits, progress);
    meter.count(outcome.nodes);
    let Some(best) = outcome.plan.clone() else {
        return Err(Box::new(outcome));
    };
    let room = i128::from(best.score.max(0)) * i128::from(wish.within) / 10_000;
    let ceiling = best
        .score
        .saturating_add(i64::try_from(room).unwrap_or(i64::MAX / 8));
    progress(&Progress {
        score: Some(best.score),
        bound: outcome.bound,
        phase: "other classes",
        ..Progress::default()
    });
    let mut search = Search {
        lists,
        measures: (lists.iter())
            .map(|list| Measure::new(list.problem, list.names.clone()))
            .collect(),
        wish,
        ceiling,
        seed: limits.seed,
        pools: lists.iter().map(|_| Pool::default()).collect(),
    };
    search.pools[0].add(&search.measures[0], best.clone());
    let listed = search.first_orders(&mut meter);
    let complete = search.look_through(&mut meter) && listed && all;
    if !complete {
        search.collect(&best, &mut meter);
    }
    let mut chosen = search.choose(complete);
    let mut short = None;
    while chosen.chosen.len() < wish.count {
        if complete {
            short = Some(if chosen.exact {
                Short::Proven
            } else {
                Short::Open
            });
            break;
        }
        if lists.len() > 1 || !all {
            short = Some(Short::Open);
            break;
        }
        let known = search.pools[0].plans.len();
        match search.one_more(&chosen, &mut meter) {
            Some(Some(plan)) => {
                search.pools[0].add(&search.measures[0], plan);
                let before = chosen.chosen.len();
                chosen = search.choose(false);
                if search.pools[0].plans.len() == known || chosen.chosen.len() <= before {
                    short = Some(Short::Open);
                }
            }
            Some(None) if wish.apart == 1 && !wish.opener && !wish.closer => {
                short = Some(Short::Proven);
            }
            Some(None) => short = Some(Short::NoneToAdd),
            None => short = Some(Short::Open),
        }
        if short.is_some() {
            break;
        }
    }
    let all_orders = search.all();
    let mut classes: Vec<(usize, &Plan)> = chosen.chosen.iter().map(|&k| all_orders[k]).collect();
    classes.sort_by_key(|(_, plan)| plan.score);
    let apart = classes
        .iter()
        .flat_map(|&one| classes.iter().map(move |&other| (one, other)))
        .map(|(one, other)| search.between(one, other))
        .collect();
    // All orders are known too where there are no more than were asked for.
    let known = short == Some(Short::Proven);
    Ok(Week {
        pairs: search.measures[0].free_pairs(&best.order).len(),
        best: evaluate(problem, &best.order, &best.setups),
        best_is_proven: outcome.proven(),
        ceiling,
        lists: classes.iter().map(|&(list, _)| list).collect(),
        classes: classes
            .iter()
            .map(|&(list, plan)| evaluate(lists[list].problem, &plan.order, &plan.setups))
            .collect(),
        apart,
        sureness: if (complete && chosen.exact) || (known && wish.apart == 1) {
            Sureness::Farthest
        } else {
            Sureness::Found
        },
        short,
        looked_at: all_orders.len(),
        interrupted: limits.cancelled(),
    })
}

struct Search<'a> {
    lists: &'a [List<'a>],
    measures: Vec<Measure>,
    wish: &'a Wish,
    ceiling: i64,
    seed: u64,
    pools: Vec<Pool>,
}

impl Search<'_> {
    /// All orders so far, with their lists.
    fn all(&self) -> Vec<(usize, &Plan)> {
        let pools = self.pools.iter().enumerate();
        pools
            .flat_map(|(list, pool)| pool.plans.iter().map(move |plan| (list, plan)))
            .collect()
    }

    fn between(&self, one: (usize, &Plan), other: (usize, &Plan)) -> Difference {
        let measure = &self.measures[other.0];
        self.measures[one.0].across(&one.1.order, measure, &other.1.order)
    }

    /// An order within the ceiling of each list that has one. Whether for each list that has none that was proven.
    fn first_orders(&mut self, meter: &mut Meter<'_>) -> bool {
        let mut sure = true;
        for (k, list) in self.lists.iter().enumerate().skip(1) {
            let limits = meter.part(ONE_LIST, meter.memory() / 2);
            let found = solve_below(list.problem, &limits, self.ceiling + 1);
            meter.count(found.nodes);
            sure &= found.plan.is_some() || found.proven();
            let hurried = || {
                let limits = meter.part(ONE_SEARCH, meter.memory() / 8);
                in_a_hurry(list.problem, &limits).map(|plan| Plan {
                    score: evaluate(list.problem, &plan.order, &plan.setups).score,
                    ..plan
                })
            };
            let plan = found.plan.or_else(hurried);
            if let Some(plan) = plan.filter(|plan| plan.score <= self.ceiling) {
                self.pools[k].add(&self.measures[k], plan);
            }
        }
        sure
    }

    /// Every order of short lists. Whether these are all.
    fn look_through(&mut self, meter: &mut Meter<'_>) -> bool {
        let short = |list: &List<'_>| {
            let must = list.problem.steps.iter().filter(|s| s.optional.is_none());
            must.count() <= SHORT_LIST
        };
        if !self.lists.iter().all(short) {
            return false;
        }
        let mut complete = true;
        let mut rng = ChaCha8Rng::seed_from_u64(self.seed);
        for (k, list) in self.lists.iter().enumerate() {
            let Some(best) = self.pools[k].plans.first().cloned() else {
                continue;
            };
            let limits = meter.part(ONE_SEARCH, meter.memory() / 8);
            let found = every(
                list.problem,
                &best,
                self.ceiling,
                MOST_ORDERS / self.lists.len().min(MOST_ORDERS),
                MOST_SEARCHES,
                &limits,
            );
            for plan in found.plans {
                self.pools[k].add(&self.measures[k], plan);
            }
            complete &= found.complete;
            // Another seed prefers others among those that are as far apart.
            self.pools[k].shuffle(&self.measures[k], |plans| plans.shuffle(&mut rng));
        }
        complete
    }

    /// Leaps away from what is chosen, then again from all but one of the two that are nearest to one another; from list to list by chance.
    fn collect(&mut self, best: &Plan, meter: &mut Meter<'_>) {
        let lists = self.lists;
        let measures = self.measures.clone();
        let with: Vec<usize> = (0..lists.len())
            .filter(|&k| !self.pools[k].plans.is_empty())
            .collect();
        let mut leapers: Vec<Leaper<'_>> = (with.iter())
            .map(|&k| {
                let seed = self.seed.wrapping_add(k as u64);
                Leaper::new(
                    lists[k].problem,
                    &measures[k],
                    best.score,
                    self.ceiling,
                    seed,
                )
            })
            .collect();
        let mut rng = ChaCha8Rng::seed_from_u64(self.seed);
        let mut from: Vec<(usize, Vec<usize>)> = vec![(0, best.order.clone())];
        let mut idle = 0;
        let mut improving = 0;
        while improving <= self.wish.count.max(LEAST_ROUNDS)
            && idle < IDLE_LEAPS
            && meter.stopped().is_none()
        {
            let at = rng.random_range(0..with.len());
            let list = with[at];
            let orders: Vec<Vec<usize>> = (from.iter())
                .map(|(of, order)| measures[list].translated(&measures[*of], order))
                .collect();
            let new = leapers[at].leap(&mut self.pools[list], &orders, meter);
            idle = if new { 0 } else { idle + 1 };
            let chosen = self.choose(false);
            let all = self.all();
            let mut orders: Vec<(usize, &Plan)> = chosen.chosen.iter().map(|&k| all[k]).collect();
            if orders.len() >= self.wish.count {
                orders.remove(self.nearest(&orders));
                improving += 1;
            }
            from = (orders.iter())
                .map(|(list, plan)| (*list, plan.order.clone()))
                .collect();
        }
    }

    /// The first of the two that are nearest to one another.
    fn nearest(&self, orders: &[(usize, &Plan)]) -> usize {
        let pairs = (0..orders.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        let near = pairs.min_by_key(|&(i, j)| self.between(orders[i], orders[j]));
        near.map_or(0, |(i, _)| i)
    }

    fn choose(&self, complete: bool) -> Spread<Difference> {
        let all = self.all();
        let least = Difference {
            pairs: self.wish.apart,
            turned: 0,
        };
        let spelled: Vec<Vec<usize>> = (all.iter())
            .map(|(list, plan)| self.measures[*list].spelled(&plan.order))
            .collect();
        let clash = |i: usize, j: usize| {
            (self.wish.opener && spelled[i].first() == spelled[j].first())
                || (self.wish.closer && spelled[i].last() == spelled[j].last())
        };
        let tries = if complete { 1_000_000 } else { 10_000 };
        spread(all.len(), self.wish.count, least, tries, |i, j| {
            (!clash(i, j)).then(|| self.between(all[i], all[j]))
        })
    }

    /// A class that can be added to those chosen; `Some(None)`: there is none.
    fn one_more(&self, chosen: &Spread<Difference>, meter: &mut Meter<'_>) -> Option<Option<Plan>> {
        let (mut problem, measure) = (self.lists[0].problem.clone(), &self.measures[0]);
        let must = |kind| Demand { kind, weight: None };
        for &k in &chosen.chosen {
            let order = &self.pools[0].plans[k].order;
            let pairs = measure.free_pairs(order).len();
            let Some(most) = pairs.checked_sub(self.wish.apart) else {
                return Some(None);
            };
            let demand = measure.at_most(order, most);
            problem
                .demands
                .extend(demand.map(|d| must(Kind::Neighbours(d))));
            let kept: Vec<usize> = (order.iter().copied())
                .filter(|&s| problem.steps[s].optional.is_none())
                .collect();
            for (asked, end, min, max) in [
                (self.wish.opener, kept.first(), 2, -1),
                (self.wish.closer, kept.last(), 1, -2),
            ] {
                if let (true, Some(&step)) = (asked, end) {
                    let same = measure.same_name(step);
                    problem.demands.extend(
                        same.into_iter()
                            .map(|step| must(Kind::Place(Place { step, min, max }))),
                    );
                }
            }
        }
        let limits = meter.part(ONE_MORE, meter.memory());
        let ended = solve_below(&problem, &limits, self.ceiling + 1);
        meter.count(ended.nodes);
        match ended.plan {
            Some(plan) => {
                let judged = evaluate(self.lists[0].problem, &plan.order, &plan.setups);
                Some(Some(Plan {
                    score: judged.score,
                    ..plan
                }))
            }
            None if ended.proven() => Some(None),
            None => None,
        }
    }
}
