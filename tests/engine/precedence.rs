//! What is worked out about who comes before whom, against every order that is allowed.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle::seeds::seeds;
use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::demand::contiguous::Contiguous;
use segue::problem::demand::place::Place;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::{Demand, Kind};
use segue::problem::step::{Side, Step};
use segue::problem::timeline::Timeline;
use segue::search::precedence::Precedence;

/// Steps, some of which may be left out, with demands on the order that must hold.
fn problem(die: &mut ChaCha8Rng) -> Problem {
    let n = die.random_range(2..=6);
    let steps = (0..n).map(|_| Step {
        id: String::new(),
        side: Side::Both,
        duration: 0,
        setup: Vec::new(),
        start: 0,
        end: 0,
        stage: *[None, None, None, Some(0), Some(1), Some(2)]
            .choose(die)
            .unwrap(),
        group: None,
        optional: die.random_bool(0.3).then_some(0),
    });
    let mut made = Problem {
        steps: steps.collect(),
        ..Problem::default()
    };
    for _ in 0..die.random_range(1..=4) {
        let mut some: Vec<usize> = (0..n).collect();
        some.shuffle(die);
        let kind = match die.random_range(0..5) {
            0 => Kind::Place(Place {
                step: some[0],
                min: *[1, -1, -2].choose(die).unwrap(),
                max: *[1, 2, -1].choose(die).unwrap(),
            }),
            1 | 2 => Kind::Precede(Precede {
                a: some[0],
                b: some[1],
            }),
            _ => {
                some.truncate(die.random_range(2..=n));
                Kind::Contiguous(Contiguous {
                    steps: some,
                    ordered: die.random_bool(0.3),
                    within: *[0, 0, 0, 1].choose(die).unwrap(),
                })
            }
        };
        made.demands.push(Demand { kind, weight: None });
    }
    made
}

/// Calls `f` with every order of every choice of steps that keeps the demands and the stages.
fn orders(problem: &Problem, order: &mut Vec<usize>, f: &mut impl FnMut(&[usize])) {
    let steps = &problem.steps;
    let whole = (0..steps.len()).all(|s| steps[s].optional.is_some() || order.contains(&s));
    let timeline = Timeline {
        order: order.clone(),
        ..Timeline::default()
    };
    let kept = |d: &Demand| d.kind.violations(steps, &timeline) == 0;
    if whole && problem.demands.iter().all(kept) {
        f(order);
    }
    let reached = order.iter().filter_map(|&s| steps[s].stage).max();
    for (s, step) in steps.iter().enumerate() {
        let out_of_turn = step.stage.is_some_and(|stage| Some(stage) < reached);
        if !order.contains(&s) && !out_of_turn {
            order.push(s);
            orders(problem, order, f);
            order.pop();
        }
    }
}

#[test]
fn what_is_said_to_come_before_does_so_in_every_order() {
    let (mut told, mut possible) = (0, 0);
    for seed in seeds(2000) {
        let problem = problem(&mut ChaCha8Rng::seed_from_u64(seed));
        let said = Precedence::of(&problem);
        orders(&problem, &mut Vec::new(), &mut |order| {
            possible += 1;
            for (i, &b) in order.iter().enumerate() {
                for &a in &order[i..] {
                    assert!(
                        !said.is_before(a, b),
                        "seed {seed}: step {a} is said to come before {b}, and {order:?} is allowed\n{problem:?}"
                    );
                    told += usize::from(said.is_before(b, a));
                }
            }
        });
    }
    assert!(told > 0 && possible > 0, "nothing was tried");
}
