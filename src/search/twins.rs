//! Steps that can be exchanged without changing the problem.
//!
//! **Claim.** Asking the first before the second (and the second only if the first is used) loses no score.
//! **Why.** Exchanging the two turns any plan that breaks this into one of the same score that keeps it: all that is said of the one is said of
//! the other. What must stand before what is compared as it follows from all such demands together: what must come after the right side of a
//! movement whose sides are one block comes after the left side too.
//!
//! **Tested by** `brute_force` and `claims` (a fifth of the steps of their random problems are twins of others, used or not).

use super::precedence::Precedence;
use crate::problem::Problem;
use crate::problem::demand::{Demand, Kind};
use crate::problem::step::{Side, Step};

/// Pairs of twins, each step with the next one like it.
pub fn twins(problem: &Problem, precedence: &Precedence) -> Vec<(usize, usize)> {
    // The name and the side are for people.
    let plain = |s: &Step| Step {
        id: String::new(),
        side: Side::Both,
        ..s.clone()
    };
    let alike = |a: &Step, b: &Step| plain(a) == plain(b);
    let n = problem.steps.len();
    let mut pairs = Vec::new();
    for a in 0..n {
        let next = (a + 1..n).find(|&b| {
            alike(&problem.steps[a], &problem.steps[b])
                && alike_in_order(problem, precedence, a, b)
                && exchangeable(problem, a, b)
        });
        pairs.extend(next.map(|b| (a, b)));
    }
    pairs
}

/// Whether exchanging the two changes nothing in what must stand before what.
fn alike_in_order(problem: &Problem, precedence: &Precedence, a: usize, b: usize) -> bool {
    let n = problem.steps.len();
    let mut others = (0..n).filter(|&o| o != a && o != b);
    let alike = |o: usize| {
        precedence.is_before(o, a) == precedence.is_before(o, b)
            && precedence.is_before(a, o) == precedence.is_before(b, o)
    };
    precedence.is_before(a, b) == precedence.is_before(b, a) && others.all(alike)
}

/// Whether exchanging the two changes nothing in the demands, but for what must stand before what.
fn exchangeable(problem: &Problem, a: usize, b: usize) -> bool {
    let swap = |s: usize| {
        if s == a {
            b
        } else if s == b {
            a
        } else {
            s
        }
    };
    let set = |steps: &[usize], f: &dyn Fn(usize) -> usize| {
        let mut list: Vec<usize> = steps.iter().map(|&s| f(s)).collect();
        list.sort_unstable();
        list
    };
    let same = |s: usize| s;
    let normal = |demand: &Demand, f: &dyn Fn(usize) -> usize| -> String {
        let kind = match demand.kind.clone() {
            Kind::Precede(mut d) => {
                (d.a, d.b) = (f(d.a), f(d.b));
                Kind::Precede(d)
            }
            Kind::Contiguous(mut d) => {
                d.steps = if d.ordered {
                    d.steps.iter().map(|&s| f(s)).collect()
                } else {
                    set(&d.steps, f)
                };
                Kind::Contiguous(d)
            }
            Kind::Place(mut d) => {
                d.step = f(d.step);
                Kind::Place(d)
            }
            Kind::Window(mut d) => {
                d.step = f(d.step);
                Kind::Window(d)
            }
            Kind::Follow(mut d) => {
                (d.trigger, d.remedy) = (set(&d.trigger, f), set(&d.remedy, f));
                Kind::Follow(d)
            }
            Kind::Recovery(mut d) => {
                d.steps = set(&d.steps, f);
                Kind::Recovery(d)
            }
            Kind::Longest(mut d) => {
                d.steps = set(&d.steps, f);
                Kind::Longest(d)
            }
            Kind::AtMost(d) => Kind::AtMost(d),
            Kind::Same(mut d) => {
                d.steps = set(&d.steps, f);
                Kind::Same(d)
            }
            Kind::Neighbours(mut d) => {
                d.pairs = d.pairs.iter().map(|&(x, y)| (f(x), f(y))).collect();
                d.pairs.sort_unstable();
                Kind::Neighbours(d)
            }
            Kind::Fits(d) => Kind::Fits(d),
            Kind::Fatigue(mut d) => {
                d.loads = d.loads.iter().map(|&(s, q)| (f(s), q)).collect();
                d.loads.sort_by_key(|&(s, _)| s);
                Kind::Fatigue(d)
            }
            Kind::Peak(mut d) => {
                d.step = f(d.step);
                Kind::Peak(d)
            }
        };
        format!("{kind:?} {:?}", demand.weight)
    };
    let collect = |f: &dyn Fn(usize) -> usize| {
        let order = |d: &&Demand| d.weight.is_none() && matches!(d.kind, Kind::Precede(_));
        let rest = problem.demands.iter().filter(|d| !order(d));
        let mut all: Vec<String> = rest.map(|d| normal(d, f)).collect();
        all.sort();
        all
    };
    collect(&same) == collect(&swap)
}
