//! A bound on what an order pays for stops and penalties, whatever its ways take: which set-ups a class has to stand in at all.
//!
//! **Claim.** No plan scores less than [`Cover::bound`], nor has one fewer stops than [`stops_at_least`].
//!
//! **Why.** Every change-over into a set-up of the facets that halt the class is a stop. So a plan has as many stops at least as it stands in set-ups other than
//! the one at the start, the set-up of the end among them; and each step pays at least what it asks for in one of these, the facets that
//! do not halt as they suit it best. Which set-ups to stand in, at the weight of a stop each, with each step in the one that suits it best, is
//! an uncapacitated facility location problem. Its bound is Lagrangian, each step's being in one set-up relaxed: any multipliers give one (D. Erlenkotter, *A dual-based procedure for
//! uncapacitated facility location*, Operations Research 26:992-1009, 1978; M. L. Fisher, *The Lagrangian relaxation method for solving integer programming
//! problems*, Management Science 27:1-18, 1981). Whole numbers are counted, so nothing is rounded.
//!
//! **Relaxes** every order, all time, and facets that make the set-ups too many, with their penalties but the least.
//!
//! **Tested by** `claims` (`no_plan_has_fewer_stops_or_costs_less_than_the_set_ups_that_it_stands_in`).

use crate::problem::Problem;
use crate::problem::step::Choice;
use crate::search::tables::values_in_use;

/// A cover looks at no more set-ups than this; the facets beyond are left out.
const MOST_SETUPS: usize = 4000;
/// Additions that an ascent may take, and its fewest and most steps; of those in vain before they become shorter.
const WORK: usize = 60_000_000;
const FEWEST_STEPS: usize = 100;
const MOST_STEPS: usize = 1500;
const PATIENCE: usize = 6;
/// How much of the direction before goes into the next.
const SHARE: f64 = 0.6;
/// How far a step goes at first, of the way to the best plan known.
const GAIT: f64 = 0.5;
/// Where none is known, it is taken to be so many times the bound and a stop.
const ABOVE: f64 = 1.2;
/// A step that may not be done with a set-up.
const NEVER: i64 = i64::MAX / 4;

/// Which set-ups suit which steps.
#[derive(Debug)]
pub struct Cover {
    /// For each step that must be done, and for the end, what it pays in each set-up; [`NEVER`] where it cannot be.
    pays: Vec<Vec<i64>>,
    /// What each set-up costs: a stop, or nothing at the start.
    stop: Vec<i64>,
    /// What facets pay at least that are not among the set-ups.
    apart: i64,
}

impl Cover {
    /// The cover of a problem.
    pub fn new(problem: &Problem) -> Self {
        let mut cover = Self {
            pays: Vec::new(),
            stop: vec![0],
            apart: 0,
        };
        let must = problem.steps.iter().filter(|s| s.optional.is_none());
        let mut clients: Vec<_> = must.map(|s| &s.setup[..]).map(Some).collect();
        clients.push(None);
        cover.pays = vec![vec![0]; clients.len()];
        for (f, facet) in problem.facets.iter().enumerate() {
            let start = problem.start_setup[f];
            // At the end one value is asked for, or any.
            let end = problem.end.as_ref().and_then(|e| e.setup[f]);
            let least = |setup: &[Option<Vec<Choice>>]| {
                let choices = setup[f].iter().flatten();
                choices.map(|c| c.penalty).min().unwrap_or(0)
            };
            let values = values_in_use(problem, f);
            if !facet.stop || cover.stop.len() * values.len() > MOST_SETUPS {
                cover.apart += clients.iter().flatten().map(|s| least(s)).sum::<i64>();
                continue;
            }
            let pays = |client: &Option<&[Option<Vec<Choice>>]>, value: usize| match client {
                Some(setup) => setup[f].as_ref().map_or(0, |choices| {
                    let chosen = choices.iter().find(|c| c.value == value);
                    chosen.map_or(NEVER, |c| c.penalty)
                }),
                None if end.is_none_or(|end| end == value) => 0,
                None => NEVER,
            };
            for (client, line) in clients.iter().zip(&mut cover.pays) {
                let each = line.iter().flat_map(|&so_far| {
                    values
                        .iter()
                        .map(move |&v| so_far.saturating_add(pays(client, v)))
                });
                *line = each.map(|p| p.min(NEVER)).collect();
            }
            let each = cover
                .stop
                .iter()
                .flat_map(|&so_far| values.iter().map(move |&v| so_far | i64::from(v != start)));
            cover.stop = each.collect();
        }
        cover
            .stop
            .iter_mut()
            .for_each(|s| *s *= problem.stop_weight);
        cover
    }

    /// No plan costs less. `best`: what the best plan known costs.
    pub fn bound(&self, best: Option<i64>) -> i64 {
        let least: Vec<i64> = (self.pays.iter())
            .map(|line| line.iter().copied().min().unwrap_or(0))
            .collect();
        let stop = self.stop.iter().copied().max().unwrap_or(0);
        let mut at = least.clone();
        let (mut highest, mut best_at) = (0, at.clone());
        let (mut gait, mut idle) = (GAIT, 0);
        let mut way = vec![0.0; at.len()];
        let steps = WORK / (self.stop.len() * at.len());
        for _ in 0..steps.clamp(FEWEST_STEPS, MOST_STEPS) {
            let (value, slope) = self.price(&at);
            if value > highest {
                (highest, idle) = (value, 0);
                best_at.clone_from(&at);
            } else {
                idle += 1;
                if idle > PATIENCE {
                    (gait, idle) = (gait / 2.0, 0);
                    at.clone_from(&best_at);
                    way.fill(0.0);
                    continue;
                }
            }
            let aim = match best {
                None => highest as f64 * ABOVE + stop as f64,
                Some(best) => (best - self.apart) as f64 + 1.0,
            };
            for (way, slope) in way.iter_mut().zip(slope) {
                *way = SHARE * *way + slope as f64;
            }
            let norm: f64 = way.iter().map(|w| w * w).sum();
            if norm == 0.0 {
                break;
            }
            let length = gait * (aim - value as f64).max(1.0) / norm;
            for ((most, way), &least) in at.iter_mut().zip(&way).zip(&least) {
                // Beyond these no multiplier leads higher; and no sum of them beyond the greatest score.
                let moved = most.saturating_add((length * way).round() as i64);
                *most = moved.clamp(least, least + stop);
            }
        }
        highest.saturating_add(self.apart)
    }

    /// The bound of some multipliers (what each client pays at most for its set-up), and for each client 1 less the set-ups that it is in.
    fn price(&self, at: &[i64]) -> (i64, Vec<i64>) {
        let mut value: i64 = at.iter().sum();
        let mut slope = vec![1; at.len()];
        for (x, &stop) in self.stop.iter().enumerate() {
            let gains = self.pays.iter().zip(at).map(|(line, &most)| most - line[x]);
            let gain: i64 = gains.filter(|&g| g > 0).sum();
            if gain > stop {
                value -= gain - stop;
                for ((line, &most), slope) in self.pays.iter().zip(at).zip(&mut slope) {
                    *slope -= i64::from(most > line[x]);
                }
            }
        }
        (value, slope)
    }
}

/// No order has fewer stops.
pub fn stops_at_least(problem: &Problem) -> i64 {
    /// A stop counts so much, so that multipliers are fine enough.
    const FINE: i64 = 10_000;
    let mut stops = problem.clone();
    stops.stop_weight = FINE;
    for choice in (stops.steps.iter_mut()).flat_map(|s| s.setup.iter_mut().flatten().flatten()) {
        choice.penalty = 0;
    }
    let bound = Cover::new(&stops).bound(None);
    (bound + FINE - 1) / FINE
}
