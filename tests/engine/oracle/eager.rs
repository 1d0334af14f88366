//! Random small problems in which changing a facet early pays for the sake of the clock: few steps, most of which care about few facets; facets
//! that are changed from everywhere and take long; demands on the clock that count, whose figures are those of a plan that changes early, and
//! stretches that one step exceeds by itself; often two steps that are alike and must follow each other.

use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::check::check;
use segue::problem::demand::contiguous::Contiguous;
use segue::problem::demand::longest::Longest;
use segue::problem::demand::{Demand, Kind};
use segue::problem::facet::Facet;
use segue::problem::posture::Postures;
use segue::problem::step::{Choice, Side, Step};
use segue::problem::{End, Problem};
use segue::score::evaluate;

use super::tight::{just_so, plan};

/// A problem that depends on the seed alone.
pub fn eager(seed: u64) -> Problem {
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x6561_6765_7200);
    let n_facets = die.random_range(1..=3);
    let n = die.random_range(2..=if n_facets == 3 { 4 } else { 5 });
    let n_postures = die.random_range(1..=2);
    let facets: Vec<Facet> = (0..n_facets).map(|f| facet(f, &mut die)).collect();
    let far = pick(&mut die, &[0, 50, 400]);
    let mut made = Problem {
        title: format!("eager {seed}"),
        postures: Postures {
            names: (0..n_postures).map(|p| format!("p{p}")).collect(),
            path: (0..n_postures)
                .map(|p| {
                    (0..n_postures)
                        .map(|q| if p == q { 0 } else { far })
                        .collect()
                })
                .collect(),
        },
        start_setup: vec![0; n_facets],
        start_posture: Some(0),
        end: die.random_bool(0.4).then(|| End {
            setup: (0..n_facets)
                .map(|f| die.random_bool(0.6).then(|| facets[f].values.len() - 1))
                .collect(),
            posture: None,
        }),
        time_weight: pick(&mut die, &[0, 1, 1, 1]),
        stop_weight: pick(&mut die, &[0, 100, 100, 500]),
        steps: (0..n)
            .map(|i| step(i, n_postures, &facets, &mut die))
            .collect(),
        facets,
        demands: Vec::new(),
    };
    if n > 2 && die.random_bool(0.4) {
        with_pair(&mut made, &mut die);
    }
    // Figures come from two plans, so that one keeps what the other breaks.
    for _ in 0..2 {
        let (order, setups) = plan(&made, &mut die);
        let judged = evaluate(&made, &order, &setups);
        for _ in 0..die.random_range(0..=2) {
            let kind = match pick(&mut die, &[0, 1, 2, 4, 5, 5, 5, 6, 6]) {
                6 => Some(overlong(&made, &mut die)),
                kind => just_so(&made, &judged.timeline, kind, &mut die),
            };
            let weight = pick(&mut die, &[30, 99, 100, 101, 250, 1000, 3000]);
            let weight = (!die.random_bool(0.15)).then_some(weight);
            made.demands
                .extend(kind.map(|kind| Demand { kind, weight }));
        }
    }
    assert_eq!(check(&made), [], "seed {seed} makes no sound problem");
    made
}

/// The first two steps become alike and must follow each other.
fn with_pair(made: &mut Problem, die: &mut ChaCha8Rng) {
    let [first, second, ..] = &mut made.steps[..] else {
        return;
    };
    (first.optional, first.end) = (None, first.start);
    for (f, list) in first.setup.iter_mut().enumerate() {
        // A choice of two values: the pair may change between its steps.
        if let Some(choices) = list.as_mut().filter(|_| die.random_bool(0.5)) {
            let value = (choices[0].value + 1) % made.facets[f].values.len();
            let penalty = pick(die, &[0, 0, 50, 300]);
            choices.push(Choice { value, penalty });
        }
    }
    *second = Step {
        id: second.id.clone(),
        ..first.clone()
    };
    made.demands.push(Demand {
        kind: Kind::Contiguous(Contiguous {
            steps: vec![0, 1],
            ordered: die.random_bool(0.3),
            within: 0,
        }),
        weight: None,
    });
}

fn pick<T: Copy>(die: &mut ChaCha8Rng, of: &[T]) -> T {
    *of.choose(die).expect("there is something to draw")
}

/// Changed from everywhere, now and then from one posture alone.
fn facet(f: usize, die: &mut ChaCha8Rng) -> Facet {
    let n = pick(die, &[2, 2, 3]);
    let time = pick(die, &[100, 300, 300, 1000, 3000]);
    Facet {
        name: format!("f{f}"),
        values: (0..n).map(|v| format!("v{v}")).collect(),
        change: (0..n)
            .map(|u| (0..n).map(|v| if u == v { 0 } else { time }).collect())
            .collect(),
        reach: die.random_bool(0.15).then(|| vec![0]),
        stop: die.random_bool(0.5),
    }
}

fn step(i: usize, n_postures: usize, facets: &[Facet], die: &mut ChaCha8Rng) -> Step {
    let setup = (facets.iter())
        .map(|facet| {
            let value = die.random_range(0..facet.values.len());
            let penalty = pick(die, &[0, 0, 50, 300]);
            die.random_bool(0.35)
                .then(|| vec![Choice { value, penalty }])
        })
        .collect();
    Step {
        id: format!("s{i}"),
        side: Side::Both,
        duration: pick(die, &[0, 100, 300, 500, 1000, 2000]),
        setup,
        start: die.random_range(0..n_postures),
        end: die.random_range(0..n_postures),
        stage: None,
        group: None,
        optional: die.random_bool(0.1).then_some(50),
    }
}

/// A stretch that is too long as soon as one of its members, or two, are done.
fn overlong(p: &Problem, die: &mut ChaCha8Rng) -> Kind {
    Kind::Longest(Longest {
        steps: (0..p.steps.len())
            .filter(|_| die.random_bool(0.8))
            .collect(),
        limit: pick(die, &[0, 200, 400, 900]),
        rest: pick(die, &[100, 300, 301, 1000, 3000]),
    })
}
