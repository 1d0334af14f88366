//! Random instances for tests, and what trying everything says about them.

use super::chance::Chance;
use super::instance::{Disguise, Sop};
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::posture::Postures;
use crate::problem::step::{Side, Step};
use crate::problem::{End, Problem};

/// A random problem of so many steps, a sequential ordering problem in disguise: ties, zero costs, few or many precedences, and on some of them a
/// start and an end posture.
pub fn problem(seed: u64, n: usize) -> Problem {
    let mut chance = Chance::new(seed);
    let dear = [2, 10, 1000][chance.below(3)];
    let dense = chance.below(5);
    let largest = i64::try_from(dear).expect("it is small") + 3;
    let mut path = vec![vec![largest; 2 * n]; 2 * n];
    for (p, row) in path.iter_mut().enumerate() {
        for (q, cell) in row.iter_mut().enumerate() {
            if p == q {
                *cell = 0;
            } else if p % 2 == 1 && q % 2 == 0 {
                *cell = i64::try_from(chance.below(dear)).expect("it is small");
            }
        }
    }
    let mut demands = Vec::new();
    for a in 0..n {
        for b in a + 1..n {
            if chance.below(10) < dense {
                demands.push(Demand {
                    kind: Kind::Precede(Precede { a, b }),
                    weight: None,
                });
            }
        }
    }
    let step = |i: usize| Step {
        id: i.to_string(),
        side: Side::Both,
        duration: 10,
        setup: Vec::new(),
        start: 2 * i,
        end: 2 * i + 1,
        stage: None,
        group: None,
        optional: None,
    };
    let mut posture = || (chance.below(2) == 0).then(|| chance.below(2 * n));
    Problem {
        title: String::new(),
        facets: Vec::new(),
        postures: Postures {
            names: (0..2 * n).map(|p| p.to_string()).collect(),
            path,
        },
        start_setup: Vec::new(),
        start_posture: posture(),
        end: posture().map(|posture| End {
            setup: Vec::new(),
            posture: Some(posture),
        }),
        time_weight: 3,
        stop_weight: 7,
        steps: (0..n).map(step).collect(),
        demands,
    }
}

/// The instance of a problem that is one.
pub fn instance(problem: &Problem) -> Sop {
    match Sop::of(problem) {
        Disguise::Sop(sop) => *sop,
        other => panic!("it is a sequential ordering problem: {other:?}"),
    }
}

/// Every order of an instance, with its cost.
pub fn orders(sop: &Sop) -> Vec<(Vec<usize>, i64)> {
    let mut found = Vec::new();
    let mut order = vec![0];
    extend(sop, &mut order, &mut found);
    found
}

fn extend(sop: &Sop, order: &mut Vec<usize>, found: &mut Vec<(Vec<usize>, i64)>) {
    if order.len() == sop.n {
        found.push((order.clone(), sop.cost_of(order)));
        return;
    }
    for next in 0..sop.n {
        let ready = (0..sop.n).all(|b| !sop.is_before(b, next) || order.contains(&b));
        if ready && !order.contains(&next) {
            order.push(next);
            extend(sop, order, found);
            order.pop();
        }
    }
}
