//! The mixed-integer model: random problems against trying everything and against the search, published values, what it refuses; in `mip/by_hand.rs`
//! cases worked by hand.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod by_hand;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Instant, SystemTime, UNIX_EPOCH};

use crate::oracle;
use crate::oracle::random::{Size, problem};
use crate::oracle::tight::tight;
use by_hand::{best, three, with_facet};
use segue::exchange::{problem_file, tsplib};
use segue::mip::{MOST_STEPS, solve};
use segue::problem::Problem;
use segue::problem::demand::fatigue::Fatigue;
use segue::problem::demand::fits::Fits;
use segue::problem::demand::{Demand, Kind};
use segue::problem::figures::greatest_score;
use segue::search;
use segue::search::budget::Limits;
use segue::search::outcome::Ended;
use segue::source::Source;

/// How many random problems of each make, beginning with seed 0.
const MANY: u64 = 300;
/// How many more, beginning with a seed that is new in each run.
const FRESH: u64 = 60;
const SIZES: [Size; 2] = [
    Size {
        timed: 4,
        untimed: 5,
        facets: 3,
    },
    Size {
        timed: 5,
        untimed: 6,
        facets: 2,
    },
];

/// Makes a problem of a seed.
type Make = fn(u64) -> Problem;

/// Scores above it, where no two costs share a factor, are more than the model can prove (`mip`, "Limits").
const MOST_SCORE: i128 = 1 << 26;

/// Random problems that the model takes (without `fatigue`, with weights of time and stops that floating point can tell from one another), with a
/// name for each. A few have wishes that weigh so much that they may be refused.
fn problems(from: u64, many: u64) -> impl Iterator<Item = (String, Problem)> {
    let makes: [(&str, Make); 3] = [
        ("many facets", |seed| problem(seed, &SIZES[0])),
        ("many steps", |seed| problem(seed, &SIZES[1])),
        ("tight", |seed| tight(seed, &SIZES[0])),
    ];
    makes.into_iter().flat_map(move |(make, made)| {
        (from..from + many).map(move |seed| {
            let mut problem = made(seed);
            (problem.demands).retain(|d| !matches!(d.kind, Kind::Fatigue(_)));
            problem.stop_weight = problem.stop_weight.min(1_000_000);
            problem.time_weight = problem.time_weight.min(1_000);
            (format!("{make}, seed {seed}"), problem)
        })
    })
}

/// What came of many problems.
#[derive(Default)]
struct Tally {
    wrong: Vec<String>,
    possible: u64,
    impossible: u64,
    refused: u64,
}

/// Compares the model and the search with trying everything. The model may refuse a problem that has scores too great for it.
fn compare(problems: impl Iterator<Item = (String, Problem)>) -> Tally {
    let mut tally = Tally::default();
    for (name, problem) in problems {
        let truth = oracle::best(&problem).map(|best| best.0);
        let outcome = solve(&problem, None);
        let searched = search::solve(&problem, &Limits::default(), &mut |_| {});
        let found = outcome.plan.as_ref().map(|plan| plan.score);
        let engine = searched.plan.as_ref().map(|plan| plan.score);
        let refused = outcome.ended == Ended::Refused && greatest_score(&problem) > MOST_SCORE;
        let settled = outcome.proven() && found == truth && outcome.bound == truth;
        if engine != truth || !(settled || refused) {
            tally.wrong.push(format!(
                "{name}: trying everything gives {truth:?}, the search {engine:?}, the model {outcome:?}\n{}",
                problem_file::write(&problem)
            ));
        }
        match truth {
            _ if refused => tally.refused += 1,
            Some(_) => tally.possible += 1,
            None => tally.impossible += 1,
        }
    }
    tally
}

#[test]
fn the_model_finds_what_trying_everything_finds() {
    let Tally {
        wrong,
        possible,
        impossible,
        refused,
    } = compare(problems(0, MANY));
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong[0]);
    assert!(
        possible > MANY && impossible > MANY / 10 && refused < MANY / 100,
        "the problems are too much alike: {possible} with a plan, {impossible} without, {refused} refused"
    );
}

#[test]
fn the_model_finds_what_trying_everything_finds_on_problems_nobody_saw_before() {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
    let from = now.as_secs() * FRESH;
    println!("seeds from {from}");
    let wrong = compare(problems(from, FRESH)).wrong;
    assert!(
        wrong.is_empty(),
        "seeds from {from}: {} wrong\n{}",
        wrong.len(),
        wrong[0]
    );
}

/// Seeds at which `microlp` 0.6.0 takes a basis for singular when it is asked once; at the second and the third also with rows in another order.
#[test]
fn a_backend_that_gives_up_is_asked_again() {
    let facets = [10_774_399_743_195, 107_744_018_664_511];
    let facets = facets
        .into_iter()
        .flat_map(|seed| problems(seed, 1).take(1));
    let peaks = problems(10_774_399_745_439, 1).skip(2);
    let Tally { wrong, refused, .. } = compare(facets.chain(peaks));
    assert_eq!((wrong, refused), (Vec::new(), 0));
}

#[test]
fn the_random_problems_hold_every_kind_of_demand_but_fatigue_hard_and_soft() {
    let mut kinds: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for demand in problems(0, MANY).flat_map(|(_, problem)| problem.demands) {
        let hard = demand.weight.is_none();
        *kinds.entry((demand.kind.name(), hard)).or_default() += 1;
    }
    assert_eq!(kinds.len(), 12 * 2, "{kinds:?}");
    assert!(kinds.values().all(|&many| many >= 10), "{kinds:?}");
}

/// 2125 is published: the list of best-known values beside the file (`tests/data/sop/README.md`).
#[test]
fn a_sequential_ordering_instance_is_proven_at_its_published_optimum() {
    let text = std::fs::read_to_string("tests/data/sop/ESC07.sop").unwrap();
    let name = "ESC07".to_owned();
    let problem = tsplib::read(&Arc::new(Source { name, text })).unwrap();
    assert_eq!(best(&problem), Some(2125));
}

/// 12099 was proven by independent programs (`tests/data/problems/README.md`).
#[test]
fn a_shared_problem_is_proven_at_its_best_known_score() {
    let text = std::fs::read_to_string("tests/data/problems/packed-006.json").unwrap();
    assert_eq!(best(&problem_file::read(&text).unwrap()), Some(12099));
}

fn fatigue(weight: Option<i64>) -> Demand {
    let kind = Kind::Fatigue(Fatigue {
        region: "wrists".into(),
        loads: vec![(0, 0.5)],
        build: 0.01,
        recover: 0.001,
        rest: 15.0,
        start: 0.0,
        ceiling: 0.3,
    });
    Demand { kind, weight }
}

#[test]
fn all_that_cannot_be_stated_is_refused_by_name_at_once() {
    let mut problem = three();
    problem.demands = vec![
        fatigue(None),
        Demand {
            kind: Kind::Fits(Fits { total: 9000 }),
            weight: None,
        },
        fatigue(Some(5)),
        fatigue(Some(0)),
    ];
    problem.steps[0].duration = 1 << 24;
    problem.steps = vec![problem.steps[0].clone(); MOST_STEPS + 1];
    let outcome = solve(&problem, None);
    assert_eq!(outcome.ended, Ended::Refused);
    assert!(!outcome.proven());
    let why = outcome.disagreement.unwrap();
    let told: Vec<&str> = why.lines().collect();
    assert_eq!(told.len(), 4, "{why}");
    assert!(told[0].starts_with("demand 0:") && told[0].contains("`fatigue`"));
    assert!(told[1].starts_with("demand 2:") && told[1].contains("`fatigue`"));
    assert!(told[2].contains("at most 40 steps"), "{why}");
    assert!(told[3].contains("hundredths"), "{why}");
}

#[test]
fn scores_that_cannot_be_told_apart_are_refused() {
    let mut problem = three();
    problem.stop_weight = 1_000_000_007;
    let problem = with_facet(problem, true, [Some(&[(1, 0)]), None, None]);
    let outcome = solve(&problem, None);
    assert_eq!(outcome.ended, Ended::Refused);
    assert!(
        outcome
            .disagreement
            .unwrap()
            .contains("make the weights smaller")
    );
}

#[test]
fn scores_that_all_share_a_factor_are_divided_by_it() {
    let mut problem = with_facet(three(), true, [Some(&[(1, 0)]), None, None]);
    problem.time_weight = 1_000_000;
    problem.stop_weight = 500_000_000;
    assert_eq!(best(&problem), Some(800_000_000));
}

#[test]
fn a_wish_that_weighs_nothing_is_not_refused() {
    let mut problem = three();
    problem.demands = vec![fatigue(Some(0))];
    assert_eq!(best(&problem), Some(200));
}

#[test]
fn no_time_at_all_settles_nothing() {
    let outcome = solve(&three(), Some(Instant::now()));
    assert_eq!(outcome.ended, Ended::Time);
    assert_eq!((outcome.plan, outcome.bound), (None, None));
}
