//! Published instances and shared problems, solved to their published or best-known values.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use segue::exchange::{problem_file, tsplib};
use segue::problem::{Problem, check::check};
use segue::score::evaluate;
use segue::search::budget::Limits;
use segue::search::solve;
use segue::source::Source;

/// A sequential ordering instance of TSPLIB.
fn instance(name: &str) -> Problem {
    let path = Path::new("tests/data/sop").join(format!("{name}.sop"));
    let text = fs::read_to_string(path).expect("the file is there");
    let name = name.to_owned();
    tsplib::read(&Arc::new(Source { name, text })).expect("the file is well formed")
}

/// Optima: P, S and T in the list of best-known values beside the files (`tests/data/sop/README.md`); data: TSPLIB, G. Reinelt, ORSA Journal
/// on Computing 3(4):376-384, 1991.
#[test]
fn sequential_ordering_instances_are_proven_at_their_published_optima() {
    for (name, optimum) in [
        ("ESC07", 2125),
        ("ESC11", 2075),
        ("ESC12", 1675),
        ("ESC25", 1681),
        ("ESC47", 1288),
        ("ESC63", 62),
        ("br17.10", 55),
        ("br17.12", 55),
        ("ft53.4", 14425),
        ("prob.42", 243),
        ("rbg048a", 351),
        ("rbg050c", 467),
        ("rbg109a", 1038),
        ("rbg150a", 1750),
    ] {
        let problem = instance(name);
        let outcome = solve(&problem, &Limits::default(), &mut |_| {});
        assert!(outcome.proven(), "{name}");
        assert_eq!(outcome.plan.map(|p| p.score), Some(optimum), "{name}");
    }
}

#[test]
fn a_published_instance_becomes_a_well_formed_problem() {
    for name in ["ESC07", "br17.12", "rbg050c"] {
        assert_eq!(check(&instance(name)), [], "{name}");
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
