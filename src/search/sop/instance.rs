//! A problem that is a sequential ordering problem in disguise: found out here, and brought into its usual form.
//!
//! **Claim.** If [`Sop::of`] gives an instance, the plans of the problem that matter are exactly the orders of the instance, with every facet
//! left as it is at the start, and the score of a plan is `base + unit * cost` of its order.
//!
//! **Why.** Every step must be done; every demand is a precedence that must hold (or says that a step is first or last, which is one); stages
//! are precedences too. A facet whose start value every step and the end take at no penalty never needs to change, and a plan without its
//! changes costs no more, since ways get no longer and no demand speaks of facets or of the clock. What is left of the score is the way from
//! each step to the next. A source before all steps and a sink after them carry the ways from the start posture and to the end posture. In
//! every order each node but the sink is left once and each but the source is entered once, so what all arcs out of (or into) a node have in common
//! is paid by every order: it is `base`. An arc over which some third step would have to be between is in no order.
//!
//! **Tested by** `the_score_of_an_order_is_what_its_cost_says`, `tests/engine/sop.rs`.

use crate::problem::Problem;
use crate::problem::demand::Kind;

/// The cost of an arc that is in no order.
pub const NEVER: i32 = 1 << 28;
/// Problems with arcs dearer than this, in units, are left to the general search: sums must stay small.
const DEAREST: i64 = 1 << 25;

/// A sequential ordering instance: nodes 0 (the source, first in every order) to n - 1 (the sink, last in every order).
#[derive(Debug, Clone)]
pub struct Sop {
    /// Nodes, source and sink included: at least 2.
    pub n: usize,
    /// `cost[i * n + j]`, in units above the base; [`NEVER`] where no order has j directly after i.
    cost: Vec<i32>,
    /// Row i: the nodes that come before i in every order, as bits.
    before: Vec<u64>,
    /// Row i: the nodes that come after i in every order, as bits.
    after: Vec<u64>,
    /// Words of a row of bits.
    pub words: usize,
    /// The part of every score that does not depend on the order.
    pub base: i64,
    /// Score of one unit of cost, at least 1.
    pub unit: i64,
    /// The step of each node; `None` for a source or a sink that was added.
    step: Vec<Option<usize>>,
}

/// What a problem turned out to be.
#[derive(Debug, Clone)]
pub enum Disguise {
    /// Not (only) a sequential ordering problem.
    None,
    /// One whose precedences run in a circle: there is no order.
    Impossible,
    /// One with its instance.
    Sop(Box<Sop>),
}

impl Sop {
    /// Looks behind the disguise. The problem must be well formed.
    pub fn of(problem: &Problem) -> Disguise {
        let Some(mut precedence) = precedences(problem) else {
            return Disguise::None;
        };
        if !facets_rest(problem) {
            return Disguise::None;
        }
        let n_steps = problem.steps.len();
        close(&mut precedence, n_steps);
        if (0..n_steps).any(|i| bit(&precedence, n_steps.div_ceil(64), i, i)) {
            return Disguise::Impossible;
        }
        Self::build(problem, &precedence).map_or(Disguise::None, |sop| Disguise::Sop(Box::new(sop)))
    }

    fn build(problem: &Problem, precedence: &[u64]) -> Option<Self> {
        let n_steps = problem.steps.len();
        let old_words = n_steps.div_ceil(64);
        let precedes = |a: usize, b: usize| bit(precedence, old_words, a, b);
        let path = &problem.postures.path;
        let first = |s: usize| {
            let start = problem.start_posture;
            start.map_or(0, |p| path[p][problem.steps[s].start])
        };
        let last = |s: usize| {
            let end = problem.end.as_ref().and_then(|end| end.posture);
            end.map_or(0, |p| path[problem.steps[s].end][p])
        };
        // A step that is first or last in every order is the source or the sink itself; what it costs there is the same in every order.
        let others = |s: usize| (0..n_steps).filter(move |&o| o != s);
        let head = (0..n_steps).find(|&s| others(s).all(|o| precedes(s, o)));
        let tail = (0..n_steps).find(|&s| others(s).all(|o| precedes(o, s)));
        let (head, tail) = if head == tail {
            (None, None)
        } else {
            (head, tail)
        };
        let inner = (0..n_steps).filter(|&s| Some(s) != head && Some(s) != tail);
        let step: Vec<Option<usize>> = std::iter::once(head)
            .chain(inner.map(Some))
            .chain(std::iter::once(tail))
            .collect();
        let n = step.len();
        let words = n.div_ceil(64);
        let mut sop = Self {
            n,
            cost: vec![NEVER; n * n],
            before: vec![0; n * words],
            after: vec![0; n * words],
            words,
            base: 0,
            unit: 1,
            step,
        };
        for i in 0..n {
            for j in 0..n {
                let ordered = match (sop.step[i], sop.step[j]) {
                    _ if i == j => false,
                    (Some(a), Some(b)) => precedes(a, b),
                    _ => i == 0 || j == n - 1,
                };
                if ordered {
                    sop.after[i * words + j / 64] |= 1 << (j % 64);
                    sop.before[j * words + i / 64] |= 1 << (i % 64);
                }
            }
        }
        let way = |i: usize, j: usize| -> i64 {
            let ways = match (sop.step[i], sop.step[j]) {
                (Some(a), Some(b)) => path[problem.steps[a].end][problem.steps[b].start],
                (None, Some(b)) => first(b),
                (Some(a), None) => last(a),
                (None, None) => 0,
            };
            ways.saturating_mul(problem.time_weight)
        };
        let mut ways: Vec<Option<i64>> = vec![None; n * n];
        for i in 0..n {
            for j in (0..n).filter(|&j| sop.may_follow(i, j)) {
                ways[i * n + j] = Some(way(i, j));
            }
        }
        let ends = head.map_or(0, first) + tail.map_or(0, last);
        sop.base = ends.saturating_mul(problem.time_weight);
        sop.reduce(&ways).then_some(sop)
    }

    /// Sets costs, base and unit from the ways of the arcs that may be in an order; whether they are small enough.
    fn reduce(&mut self, ways: &[Option<i64>]) -> bool {
        let n = self.n;
        let mut ways = ways.to_vec();
        for line in 0..2 * n {
            let cells = |k: usize| {
                if line < n {
                    line * n + k
                } else {
                    k * n + line - n
                }
            };
            let least = (0..n).filter_map(|k| ways[cells(k)]).min().unwrap_or(0);
            for k in 0..n {
                if let Some(way) = &mut ways[cells(k)] {
                    *way -= least;
                }
            }
            self.base = self.base.saturating_add(least);
        }
        let unit = ways.iter().flatten().fold(0, |g, &way| gcd(g, way));
        self.unit = unit.max(1);
        for (cell, way) in self.cost.iter_mut().zip(&ways) {
            if let Some(way) = way {
                let units = way / self.unit;
                if units > DEAREST {
                    return false;
                }
                *cell = i32::try_from(units).expect("it was compared above");
            }
        }
        self.base.checked_mul(2).is_some()
    }

    /// Whether some order may have j directly after i, as far as precedences say.
    fn may_follow(&self, i: usize, j: usize) -> bool {
        let between = (self.after(i).iter().zip(self.before(j))).any(|(&a, &b)| a & b != 0);
        i != j && !self.is_before(j, i) && !between && (i != 0 || j != self.n - 1 || self.n == 2)
    }

    /// The cost of j directly after i, in units; [`NEVER`] if no order has it.
    #[inline]
    pub fn cost(&self, i: usize, j: usize) -> i32 {
        self.cost[i * self.n + j]
    }

    /// Whether i comes before j in every order.
    #[inline]
    pub fn is_before(&self, i: usize, j: usize) -> bool {
        bit(&self.after, self.words, i, j)
    }

    /// The nodes before i in every order, as bits.
    #[inline]
    pub fn before(&self, i: usize) -> &[u64] {
        &self.before[i * self.words..(i + 1) * self.words]
    }

    /// The nodes after i in every order, as bits.
    #[inline]
    pub fn after(&self, i: usize) -> &[u64] {
        &self.after[i * self.words..(i + 1) * self.words]
    }

    /// What an order of all nodes costs, in units.
    pub fn cost_of(&self, order: &[usize]) -> i64 {
        order
            .windows(2)
            .map(|w| i64::from(self.cost(w[0], w[1])))
            .sum()
    }

    /// Whether an order has all nodes, once each, and keeps the precedences.
    pub fn keeps(&self, order: &[usize]) -> bool {
        let mut met = vec![0u64; self.words];
        for &node in order {
            let ready = (self.before(node).iter().zip(&met)).all(|(&b, &m)| b & !m == 0);
            if !ready || met[node / 64] >> (node % 64) & 1 == 1 {
                return false;
            }
            met[node / 64] |= 1 << (node % 64);
        }
        order.len() == self.n
    }

    /// The score of a cost.
    pub fn score(&self, cost: i64) -> i64 {
        self.base + self.unit * cost
    }

    /// The steps of an order.
    pub fn steps(&self, order: &[usize]) -> Vec<usize> {
        order.iter().filter_map(|&node| self.step[node]).collect()
    }
}

fn bit(rows: &[u64], words: usize, i: usize, j: usize) -> bool {
    rows[i * words + j / 64] >> (j % 64) & 1 == 1
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Row a: the steps that are said to come after a; `None` if the problem says anything else as well.
fn precedences(problem: &Problem) -> Option<Vec<u64>> {
    let n = problem.steps.len();
    let words = n.div_ceil(64);
    let mut after = vec![0u64; n * words];
    let mut say = |a: usize, b: usize| after[a * words + b / 64] |= 1 << (b % 64);
    if n == 0 || problem.steps.iter().any(|s| s.optional.is_some()) || problem.time_weight < 0 {
        return None;
    }
    for (a, one) in problem.steps.iter().enumerate() {
        for (b, other) in problem.steps.iter().enumerate() {
            if let (Some(x), Some(y)) = (one.stage, other.stage)
                && x < y
            {
                say(a, b);
            }
        }
    }
    for demand in &problem.demands {
        match (&demand.kind, demand.weight) {
            (Kind::Precede(d), None) => say(d.a, d.b),
            (Kind::Place(d), None) if (d.min, d.max) == (1, 1) => {
                (0..n).filter(|&o| o != d.step).for_each(|o| say(d.step, o));
            }
            (Kind::Place(d), None) if (d.min, d.max) == (-1, -1) => {
                (0..n).filter(|&o| o != d.step).for_each(|o| say(o, d.step));
            }
            _ => return None,
        }
    }
    Some(after)
}

/// Whether every facet may rest at its start value, at no penalty, whatever the order.
fn facets_rest(problem: &Problem) -> bool {
    problem.start_setup.iter().enumerate().all(|(f, &value)| {
        let takes = |choices: &Option<Vec<crate::problem::step::Choice>>| {
            choices
                .as_ref()
                .is_none_or(|list| list.iter().any(|c| c.value == value && c.penalty == 0))
        };
        let end = problem.end.as_ref().and_then(|end| end.setup[f]);
        problem.steps.iter().all(|s| takes(&s.setup[f])) && end.is_none_or(|e| e == value)
    })
}

/// Makes a relation transitive: rows of bits, n of them (S. Warshall, *A theorem on Boolean matrices*, JACM 9:11-12, 1962).
fn close(rows: &mut [u64], n: usize) {
    let words = n.div_ceil(64);
    for via in 0..n {
        let row: Vec<u64> = rows[via * words..(via + 1) * words].to_vec();
        for a in 0..n {
            if bit(rows, words, a, via) {
                for (cell, &more) in rows[a * words..].iter_mut().zip(&row) {
                    *cell |= more;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::problem::check::check;
    use crate::problem::demand::Demand;
    use crate::problem::demand::fits::Fits;
    use crate::problem::demand::place::Place;
    use crate::problem::demand::precede::Precede;
    use crate::problem::facet::Facet;
    use crate::problem::step::Choice;
    use crate::score::evaluate;

    #[test]
    fn the_score_of_an_order_is_what_its_cost_says() {
        for seed in 0..100 {
            let problem = sample::problem(seed, 5);
            assert_eq!(check(&problem), [], "seed {seed}");
            let sop = sample::instance(&problem);
            for (order, cost) in sample::orders(&sop) {
                assert!(sop.keeps(&order), "seed {seed}");
                let steps = sop.steps(&order);
                let judged = evaluate(&problem, &steps, &vec![Vec::new(); 5]);
                assert!(judged.feasible(), "seed {seed}: {judged:?}");
                if cost < i64::from(NEVER) {
                    assert_eq!(judged.score, sop.score(cost), "seed {seed}: {steps:?}");
                }
            }
        }
    }

    #[test]
    fn every_order_runs_over_arcs_that_are_in_some_order() {
        for seed in 0..50 {
            let sop = sample::instance(&sample::problem(seed, 6));
            let orders = sample::orders(&sop);
            assert!(!orders.is_empty(), "seed {seed}");
            assert!(orders.iter().all(|&(_, cost)| cost < i64::from(NEVER)));
        }
    }

    #[test]
    fn stages_and_first_and_last_places_are_precedences() {
        let mut problem = sample::problem(3, 4);
        problem.demands.clear();
        problem.steps[2].stage = Some(0);
        problem.steps[0].stage = Some(1);
        problem.demands.push(Demand {
            kind: Kind::Place(Place {
                step: 1,
                min: -1,
                max: -1,
            }),
            weight: None,
        });
        let sop = sample::instance(&problem);
        for (order, _) in sample::orders(&sop) {
            let steps = sop.steps(&order);
            assert!(evaluate(&problem, &steps, &vec![Vec::new(); 4]).feasible());
        }
        // 0 after 2, 1 last, 3 anywhere before it.
        assert_eq!(sample::orders(&sop).len(), 3);
    }

    #[test]
    fn a_facet_that_may_rest_does_no_harm_and_one_that_may_not_takes_the_disguise_away() {
        let mut problem = sample::problem(4, 3);
        problem.facets.push(Facet {
            name: "bar".into(),
            values: vec!["low".into(), "high".into()],
            change: vec![vec![0, 5], vec![5, 0]],
            reach: None,
            stop: true,
        });
        problem.start_setup.push(1);
        if let Some(end) = &mut problem.end {
            end.setup.push(None);
        }
        for step in &mut problem.steps {
            step.setup.push(None);
        }
        assert!(matches!(Sop::of(&problem), Disguise::Sop(_)));
        let choice = |value| Choice { value, penalty: 0 };
        problem.steps[0].setup[0] = Some(vec![choice(0), choice(1)]);
        assert!(matches!(Sop::of(&problem), Disguise::Sop(_)));
        problem.steps[0].setup[0] = Some(vec![choice(0)]);
        assert!(matches!(Sop::of(&problem), Disguise::None));
    }

    #[test]
    fn what_is_more_than_precedence_is_no_disguise() {
        let mut problem = sample::problem(5, 3);
        problem.demands.push(Demand {
            kind: Kind::Fits(Fits { total: 1000 }),
            weight: None,
        });
        assert!(matches!(Sop::of(&problem), Disguise::None));
        problem.demands.pop();
        problem.steps[1].optional = Some(3);
        assert!(matches!(Sop::of(&problem), Disguise::None));
        problem.steps[1].optional = None;
        for (a, b) in [(0, 1), (1, 0)] {
            problem.demands.push(Demand {
                kind: Kind::Precede(Precede { a, b }),
                weight: None,
            });
        }
        assert!(matches!(Sop::of(&problem), Disguise::Impossible));
    }
}
