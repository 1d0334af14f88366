//! The search on problems that its first beams do not close, so that tables, bounds and dominance decide, against an optimum that is known: a small
//! core whose truth is found by trying everything, behind or before steps that are too many to be seen through (`oracle::embed`).
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle::eager::eager;
use crate::oracle::embed::{Embedded, after, before};
use crate::oracle::pairs::pairs;
use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::{asked, seeds};
use crate::oracle::tight::tight;
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::search::budget::Limits;
use segue::search::outcome::Progress;
use segue::search::solve;

const SIZE: Size = Size {
    timed: 4,
    untimed: 4,
    facets: 3,
};
/// Fillers: so many that a beam of a hundred states cuts, so few that a proof is there in no time.
const FILLERS: [usize; 3] = [5, 6, 7];

/// A core: what is said of the search is tried on problems of each kind.
fn core(kind: u64, seed: u64) -> Problem {
    match kind {
        0 => problem(seed, &SIZE),
        1 => tight(seed, &SIZE),
        2 => eager(seed),
        _ => pairs(seed),
    }
}

/// Cores of every kind, behind fillers and before them.
fn embedded(usual: u64) -> impl Iterator<Item = (String, Embedded)> {
    seeds(usual).flat_map(|seed| {
        (0..4).flat_map(move |kind| {
            let core = core(kind, seed);
            let fillers = FILLERS[usize::try_from(seed % 3).unwrap()];
            let name = format!("core {kind}, seed {seed}, {fillers} fillers");
            let there = (format!("{name} before"), before(&core, fillers, seed));
            let here = after(&core, fillers, seed).map(|e| (format!("{name} after"), e));
            std::iter::once(there).chain(here)
        })
    })
}

fn told(name: &str, what: &str, problem: &Problem) -> String {
    let text = format!("{name}: {what}\n{}", problem_file::write(problem));
    if asked() {
        eprintln!("{text}");
    }
    text
}

#[test]
fn the_search_proves_the_optimum_that_is_known_of_a_problem_too_large_for_trying_everything() {
    let mut wrong = Vec::new();
    let (mut possible, mut impossible, mut tabled) = (0, 0, 0);
    for (name, made) in embedded(150) {
        let truth = made.truth();
        match truth {
            Some(_) => possible += 1,
            None => impossible += 1,
        }
        let mut tables = false;
        let outcome = solve(&made.whole, &Limits::default(), &mut |news: &Progress| {
            tables |= news.phase == "how good it can get";
        });
        tabled += usize::from(tables);
        let found = outcome.plan.as_ref().map(|plan| plan.score);
        if !outcome.proven() || found != truth {
            let what = format!("the optimum is {truth:?}, the search says {outcome:?}");
            wrong.push(told(&name, &what, &made.whole));
        }
    }
    assert!(wrong.is_empty(), "{} wrong: {}", wrong.len(), wrong[0]);
    let all = possible + impossible;
    assert!(
        possible > all / 2 && impossible > all / 50 && tabled > all / 2,
        "of {all} problems {impossible} have no order, {tabled} needed a table"
    );
}

/// With so little memory that tables fit in part or not at all, and with few states: what is left are walks, fewer steps and wide beams.
#[test]
fn what_is_said_of_a_problem_of_known_optimum_with_little_memory_is_so() {
    let mut wrong = Vec::new();
    let mut open = 0;
    for (name, made) in embedded(40) {
        let truth = made.truth();
        let limits = [
            (1, 5_000),
            (20_000, 20_000),
            (60_000, 50_000),
            (150_000, 50_000),
        ];
        for (memory, nodes) in limits {
            let limits = Limits {
                memory: Some(memory),
                nodes: Some(nodes),
                ..Limits::default()
            };
            let mut lies = Vec::new();
            let outcome = solve(&made.whole, &limits, &mut |news: &Progress| {
                let above = news.bound.unwrap_or(0) > truth.unwrap_or(i64::MAX);
                if above || news.score.is_some_and(|score| Some(score) < truth) {
                    lies.push(news.clone());
                }
            });
            let found = outcome.plan.as_ref().map(|plan| plan.score);
            let honest = lies.is_empty()
                && outcome.disagreement.is_none()
                && (!outcome.proven() || found == truth)
                && (found.is_none() || truth.is_some() && found >= truth)
                && truth.is_none_or(|truth| outcome.bound.is_none_or(|bound| bound <= truth));
            open += usize::from(!outcome.proven());
            if !honest {
                let what = format!(
                    "memory {memory}, nodes {nodes}: the optimum is {truth:?}, {outcome:?}, said {lies:?}"
                );
                wrong.push(told(&name, &what, &made.whole));
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong: {}", wrong.len(), wrong[0]);
    assert!(open > 100, "little memory hinders nothing: {open}");
}
