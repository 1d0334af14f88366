//! Our search against a search library (`rpid`) on the same states, transitions and bounds, and both against the truth of small problems, found
//! by trying everything: what all three say must be the same. A mistake in the model shows against the truth, one in our search against the library.
//!
//! `cargo test --release --features peers --test engine library_search`
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle;
use crate::oracle::random::{Size, problem};
use crate::oracle::tight::tight;
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::score::evaluate;
use segue::search::bound::backward;
use segue::search::bound::charges::Charges;
use segue::search::bound::forward::Frame;
use segue::search::bound::leftout::LeftOut;
use segue::search::bound::simple::Simple;
use segue::search::bound::table::Table;
use segue::search::budget::{Limits, Meter};
use segue::search::library::{self, Answer, Parts};
use segue::search::solve;
use segue::search::state::Layout;
use segue::search::successor::{Scope, View};
use segue::search::tables::Tables;
use segue::search::track::clock_set::ClockSet;
use segue::search::track::order::OrderTracker;

/// Words of a state, more than enough for small problems.
const N: usize = 8;
/// Above every score.
const EVERYTHING: i64 = i64::MAX / 4;

/// What the library says of plans below a figure: with the plain bound, then with tables of more and more facets.
fn answers(problem: &Problem, below: i64, plain: bool) -> Vec<Answer> {
    let tables = Tables::<N>::new(problem);
    let trackers = OrderTracker::all(&tables);
    let layout = Layout::of(&tables, &trackers);
    assert!(layout.words <= N);
    let clock = ClockSet::new(problem);
    let everything = Scope {
        facets: tables.all,
        order: true,
    };
    let whole = View::new(&tables, &layout, &trackers, everything, false);
    let (simple, leftout) = (Simple::new(&tables), LeftOut::new(&tables));
    let charges = Charges::new(&tables, clock.trackers());
    let limits = Limits::default();
    let ask = |table: Option<&Table<N>>| {
        let parts = Parts {
            view: &whole,
            clock: &clock,
            simple: &simple,
            table,
            leftout: &leftout,
        };
        library::solve(parts, &limits, below)
    };
    let mut answers = Vec::new();
    if plain {
        answers.push(ask(None));
    }
    let mut previous: Option<Table<N>> = None;
    let mut meter = Meter::new(&limits);
    let first = problem.facets.len().min(1);
    for facets in first..=problem.facets.len() {
        let scope = Scope {
            facets: tables.all & ((1u32 << facets) - 1),
            order: true,
        };
        let view = View::new(&tables, &layout, &trackers, scope, true);
        let frame = Frame {
            below,
            previous: previous.as_ref(),
            simple: &simple,
            leftout: &leftout,
            charges: &charges,
            memory: usize::MAX,
        };
        let table = backward::table(&view, &frame, &mut meter).expect("no limit");
        if plain || facets == problem.facets.len() {
            answers.push(ask(Some(&table)));
        }
        previous = Some(table);
    }
    answers
}

/// Whether an answer is this score (`None`: that there is no order) and its plan is scored so by the referee.
fn says(answer: &Answer, problem: &Problem, score: Option<i64>) -> bool {
    let fair = answer.plan.as_ref().is_none_or(|plan| {
        let judged = evaluate(problem, &plan.order, &plan.setups);
        judged.feasible() && judged.score == plan.score
    });
    answer.proven && fair && answer.plan.as_ref().map(|plan| plan.score) == score
}

fn small_problems() -> impl Iterator<Item = (String, Problem)> {
    let size = |timed, untimed, facets| Size {
        timed,
        untimed,
        facets,
    };
    let plain = [size(4, 5, 3), size(5, 6, 2)];
    let clocked = [size(3, 3, 4), size(4, 4, 3), size(5, 5, 2), size(6, 6, 1)];
    let plain = (0..1000).flat_map(move |seed| {
        let named = move |size: &Size| (format!("{size:?}, seed {seed}"), problem(seed, size));
        plain.each_ref().map(named)
    });
    plain.chain((0..1000).flat_map(move |seed| {
        let named = move |size: &Size| (format!("tight {size:?}, seed {seed}"), tight(seed, size));
        clocked.each_ref().map(named)
    }))
}

#[test]
fn a_search_library_finds_on_our_states_and_bounds_what_we_find_and_what_trying_everything_finds() {
    let (mut possible, mut impossible) = (0, 0);
    for (name, problem) in small_problems() {
        let truth = oracle::best(&problem).map(|best| best.0);
        match truth {
            Some(_) => possible += 1,
            None => impossible += 1,
        }
        let ours = solve(&problem, &Limits::default(), &mut |_| {});
        let score = ours.plan.as_ref().map(|plan| plan.score);
        let text = || format!("{name}\n{}", problem_file::write(&problem));
        assert!(ours.proven() && score == truth, "{ours:?} {}", text());
        for answer in answers(&problem, EVERYTHING, true) {
            assert!(
                says(&answer, &problem, truth),
                "the library: {answer:?}, the optimum: {truth:?} {}",
                text()
            );
        }
    }
    assert!(possible > impossible && impossible > 200, "too much alike");
}

/// Problems that are too large to try everything.
#[test]
fn a_search_library_agrees_with_us_on_problems_with_every_kind_of_demand() {
    for name in [
        "packed-008",
        "studio-008",
        "sides-010",
        "tight-010",
        "week-010",
        "packed-012",
        "studio-012",
    ] {
        let text = std::fs::read_to_string(format!("tests/data/problems/{name}.json")).unwrap();
        let problem = problem_file::read(&text).unwrap();
        let ours = solve(&problem, &Limits::default(), &mut |_| {});
        let score = ours.plan.as_ref().unwrap().score;
        assert!(ours.proven());
        for (below, wanted) in [(score + score / 20, Some(score)), (score, None)] {
            for answer in answers(&problem, below, false) {
                assert!(
                    says(&answer, &problem, wanted),
                    "{name} below {below}: {answer:?}"
                );
            }
        }
    }
}
