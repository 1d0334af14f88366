//! Random small problems about two steps that are alike and must follow each other, as the sides of a movement do: they allow both values of one
//! facet and do not care about another, both halt the class, and demands on the clock are met by a hair by a plan that changes facets early in
//! company.

use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::check::check;
use segue::problem::demand::contiguous::Contiguous;
use segue::problem::demand::{Demand, Kind};
use segue::problem::facet::Facet;
use segue::problem::posture::Postures;
use segue::problem::step::{Choice, Side, Step};
use segue::score::evaluate;

use super::tight::{just_so, plan};

/// A problem that depends on the seed alone.
pub fn pairs(seed: u64) -> Problem {
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x7061_6972_7300);
    let n_postures = pick(&mut die, &[1, 1, 2]);
    let n_facets = pick(&mut die, &[2, 2, 3]);
    let facets: Vec<Facet> = (0..n_facets)
        .map(|f| facet(f, n_postures, &mut die))
        .collect();
    let n = pick(&mut die, &[3, 3, 4]);
    let mut steps: Vec<Step> = (0..n)
        .map(|i| step(i, n_postures, n_facets, &mut die))
        .collect();
    let mut of: Vec<usize> = (0..n_facets).collect();
    of.shuffle(&mut die);
    steps[0].end = steps[0].start;
    let choices = (0..2).map(|value| Choice {
        value,
        penalty: pick(&mut die, &[0, 0, 50]),
    });
    steps[0].setup[of[0]] = Some(choices.collect());
    steps[0].setup[of[1]] = None;
    steps[1] = Step {
        id: steps[1].id.clone(),
        ..steps[0].clone()
    };
    let way = pick(&mut die, &[0, 100, 300]);
    let mut made = Problem {
        title: format!("pairs {seed}"),
        start_setup: (0..n_facets).map(|_| die.random_range(0..2)).collect(),
        facets,
        postures: Postures {
            names: (0..n_postures).map(|p| format!("p{p}")).collect(),
            path: (0..n_postures)
                .map(|p| (0..n_postures).map(|q| way * i64::from(p != q)).collect())
                .collect(),
        },
        start_posture: Some(die.random_range(0..n_postures)),
        end: None,
        time_weight: pick(&mut die, &[1, 1, 1, 3]),
        stop_weight: pick(&mut die, &[0, 100, 500]),
        steps,
        demands: vec![Demand {
            kind: Kind::Contiguous(Contiguous {
                steps: vec![0, 1],
                ordered: die.random_bool(0.4),
                within: 0,
            }),
            weight: None,
        }],
    };
    let (order, setups) = plan(&made, &mut die);
    let judged = evaluate(&made, &order, &setups);
    for _ in 0..die.random_range(2..=4) {
        let kind = pick(&mut die, &[0, 0, 1, 1, 1, 2, 3, 5]);
        let kind = just_so(&made, &judged.timeline, kind, &mut die);
        let weight = pick(
            &mut die,
            &[None, None, None, Some(100), Some(1000), Some(3000)],
        );
        made.demands
            .extend(kind.map(|kind| Demand { kind, weight }));
    }
    assert_eq!(check(&made), [], "seed {seed} makes no sound problem");
    made
}

fn pick<T: Copy>(die: &mut ChaCha8Rng, of: &[T]) -> T {
    *of.choose(die).expect("there is something to draw")
}

/// Two values; seldom with a reach.
fn facet(f: usize, n_postures: usize, die: &mut ChaCha8Rng) -> Facet {
    let times = pick(die, &[[300, 700], [100, 1000], [300, 300], [500, 900]]);
    Facet {
        name: format!("f{f}"),
        values: vec!["v0".into(), "v1".into()],
        change: vec![vec![0, pick(die, &times)], vec![pick(die, &times), 0]],
        reach: (die.random_bool(0.15)).then(|| vec![die.random_range(0..n_postures)]),
        stop: die.random_bool(0.8),
    }
}

fn step(i: usize, n_postures: usize, n_facets: usize, die: &mut ChaCha8Rng) -> Step {
    let setup = (0..n_facets)
        .map(|_| {
            let values = match die.random_range(0..3) {
                0 => vec![0, 1],
                v => vec![v - 1],
            };
            let choices = values.into_iter().map(|value| Choice {
                value,
                penalty: pick(die, &[0, 0, 50]),
            });
            let choices = choices.collect();
            die.random_bool(0.6).then_some(choices)
        })
        .collect();
    Step {
        id: format!("s{i}"),
        side: Side::Both,
        duration: pick(die, &[100, 500, 1000]),
        setup,
        start: die.random_range(0..n_postures),
        end: die.random_range(0..n_postures),
        stage: None,
        group: None,
        optional: None,
    }
}
