//! Published instances and shared problems, solved to their published or best-known values.

use std::fs;
use std::path::Path;

use segue::exchange::problem_file;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::{Demand, Kind};
use segue::problem::posture::Postures;
use segue::problem::step::{Side, Step};
use segue::problem::{Problem, check::check};
use segue::score::evaluate;
use segue::search::budget::Limits;
use segue::search::solve;

/// A sequential ordering instance of TSPLIB as a problem: no facets, two postures a step, `path[end of i][start of j]` the cost of i, j
/// (the largest cost of the file where it has -1), `path[start of i][end of i]` that largest cost too, the matrix then closed.
fn problem_of(sop: &str) -> Problem {
    let numbers: Vec<i64> = sop
        .split_once("EDGE_WEIGHT_SECTION")
        .expect("the section is there")
        .1
        .split_whitespace()
        .map_while(|w| w.parse().ok())
        .collect();
    let n = usize::try_from(numbers[0]).expect("a size is not negative");
    let cost = |i: usize, j: usize| numbers[1 + i * n + j];
    let largest = *numbers[1..].iter().max().expect("a matrix is not empty");
    let mut path = vec![vec![largest; 2 * n]; 2 * n];
    for (p, row) in path.iter_mut().enumerate() {
        row[p] = 0;
        if p % 2 == 1 {
            for j in (0..n).filter(|&j| j != p / 2 && cost(p / 2, j) >= 0) {
                row[2 * j] = cost(p / 2, j);
            }
        }
    }
    for via in 0..2 * n {
        for p in 0..2 * n {
            for q in 0..2 * n {
                path[p][q] = path[p][q].min(path[p][via] + path[via][q]);
            }
        }
    }
    let mut demands = Vec::new();
    for i in 0..n {
        for j in (0..n).filter(|&j| cost(i, j) == -1) {
            demands.push(Demand {
                kind: Kind::Precede(Precede { a: j, b: i }),
                weight: None,
            });
        }
    }
    let step = |i: usize| Step {
        id: i.to_string(),
        side: Side::Both,
        duration: 0,
        setup: Vec::new(),
        start: 2 * i,
        end: 2 * i + 1,
        stage: None,
        group: None,
        optional: None,
    };
    Problem {
        title: "TSPLIB".to_owned(),
        facets: Vec::new(),
        postures: Postures {
            names: (0..2 * n).map(|p| p.to_string()).collect(),
            path,
        },
        start_setup: Vec::new(),
        start_posture: None,
        end: None,
        time_weight: 1,
        stop_weight: 0,
        steps: (0..n).map(step).collect(),
        demands,
    }
}

/// Optima: P and T in the list of best-known values beside the files (`tests/data/sop/README.md`); data: TSPLIB, G. Reinelt, ORSA Journal
/// on Computing 3(4):376-384, 1991.
#[test]
fn small_sequential_ordering_instances_are_proven_at_their_published_optima() {
    for (name, optimum) in [
        ("ESC07", 2125),
        ("ESC11", 2075),
        ("ESC12", 1675),
        ("br17.12", 55),
    ] {
        let text =
            fs::read_to_string(Path::new("tests/data/sop").join(format!("{name}.sop"))).unwrap();
        let problem = problem_of(&text);
        assert_eq!(check(&problem), [], "{name}");
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        assert!(outcome.proven(), "{name}");
        assert_eq!(outcome.plan.map(|p| p.score), Some(optimum), "{name}");
    }
}

/// Values: proven by independent programs (an exact search compared with exhaustive search, CP-SAT, dynamic programming); see
/// `tests/data/problems/README.md`.
#[test]
fn small_shared_problems_are_proven_at_their_best_known_scores() {
    let known: [(&str, Option<i64>); 12] = [
        ("packed-006", Some(12099)),
        ("tight-006", Some(10624)),
        ("packed-008", Some(212_520)),
        ("springs-heavy-008", Some(13510)),
        ("studio-008", Some(24266)),
        ("sides-010", Some(24173)),
        ("tight-010", Some(21770)),
        ("week-010", Some(24560)),
        ("calm-012", Some(22080)),
        ("packed-012", Some(25248)),
        ("studio-012", Some(29162)),
        ("tight-012-impossible", None),
    ];
    for (name, score) in known {
        let text =
            fs::read_to_string(Path::new("tests/data/problems").join(format!("{name}.json")))
                .unwrap();
        let problem = problem_file::read(&text).unwrap();
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        assert!(outcome.proven(), "{name}: {outcome:?}");
        assert_eq!(outcome.plan.as_ref().map(|p| p.score), score, "{name}");
        if let Some(plan) = outcome.plan {
            let judged = evaluate(&problem, &plan.order, &plan.setups);
            assert!(judged.feasible(), "{name}");
            assert_eq!(judged.score, plan.score, "{name}");
        }
    }
}

#[test]
fn a_problem_file_that_is_written_reads_back_as_the_same_problem() {
    for entry in fs::read_dir("tests/data/problems").unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "json") {
            let problem = problem_file::read(&fs::read_to_string(&path).unwrap()).unwrap();
            assert_eq!(
                problem_file::read(&problem_file::write(&problem)),
                Ok(problem),
                "{}",
                path.display()
            );
        }
    }
}
