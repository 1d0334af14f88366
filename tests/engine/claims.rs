//! The claims of the search one by one, on problems where seconds decide, against the truth found by trying everything: the tables and the
//! beams that a small problem would never need, since its first narrow beam proves it already.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle;
use crate::oracle::eager::eager;
use crate::oracle::named::{
    a_stretch_paid_ahead, company_of_a_bar, one_stop_for_two, twins_but_for_what_follows,
    two_ways_to_one_state, what_has_changed_early, whose_time_to_come,
};
use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::{asked, seeds};
use crate::oracle::tight::tight;
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::score::evaluate;
use segue::search::aim::Aim;
use segue::search::beam::Guide;
use segue::search::bound::backward;
use segue::search::bound::charges::Charges;
use segue::search::bound::forward::{Forward, Frame};
use segue::search::bound::leftout::LeftOut;
use segue::search::bound::simple::Simple;
use segue::search::bound::table::Table;
use segue::search::budget::{Limits, Meter};
use segue::search::campaign;
use segue::search::cover::{Cover, stops_at_least};
use segue::search::fewer::{self, Rounds, Then};
use segue::search::incumbent::{Better, Incumbent};
use segue::search::outcome::{Outcome, Plan, Progress};
use segue::search::solve;
use segue::search::state::Layout;
use segue::search::successor::{Scope, View};
use segue::search::tables::Tables;
use segue::search::track::clock_set::ClockSet;
use segue::search::track::order::OrderTracker;

const SIZES: [Size; 4] = [
    Size {
        timed: 3,
        untimed: 3,
        facets: 5,
    },
    Size {
        timed: 4,
        untimed: 4,
        facets: 3,
    },
    Size {
        timed: 5,
        untimed: 5,
        facets: 2,
    },
    Size {
        timed: 6,
        untimed: 6,
        facets: 1,
    },
];

/// The problems, with a name for each: tight ones, and every fourth a plain one.
fn problems(usual: u64) -> impl Iterator<Item = (String, Problem)> {
    seeds(usual).flat_map(|seed| {
        SIZES.iter().enumerate().map(move |(s, size)| {
            let plain = seed % 4 == 3;
            let made = if plain {
                problem(seed, size)
            } else {
                tight(seed, size)
            };
            (format!("size {s}, seed {seed}"), made)
        })
    })
}

/// Complains, with the problem, if it does not hold.
fn hold(wrong: &mut Vec<String>, holds: bool, name: &str, problem: &Problem, what: &str) {
    if !holds {
        let text = format!("{name}: {what}\n{}", problem_file::write(problem));
        if asked() {
            eprintln!("{text}");
        }
        wrong.push(text);
    }
}

fn agree(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong: {}", wrong.len(), wrong[0]);
}

/// Above every score.
const EVERYTHING: i64 = i64::MAX / 4;

#[test]
fn the_search_proves_what_trying_everything_finds_where_seconds_decide() {
    let mut wrong = Vec::new();
    let (mut possible, mut impossible) = (0, 0);
    for (name, problem) in problems(700) {
        let truth = oracle::best(&problem).map(|best| best.0);
        match truth {
            Some(_) => possible += 1,
            None => impossible += 1,
        }
        for memory in [None, Some(1), Some(3_000), Some(12_000), Some(40_000)] {
            let limits = Limits {
                memory,
                nodes: Some(if memory.is_none() {
                    10_000_000
                } else {
                    100_000
                }),
                ..Limits::default()
            };
            let (mut lies, mut told) = (Vec::new(), Some(EVERYTHING));
            let outcome = solve(&problem, &limits, &mut |news: &Progress| {
                let below = news.bound.unwrap_or(0);
                if below > truth.unwrap_or(EVERYTHING) || news.score < truth && news.score.is_some()
                {
                    lies.push(news.clone());
                }
                if let Some(better) = &news.better {
                    let judged = evaluate(&problem, &better.order, &better.setups);
                    if !judged.feasible() || Some(judged.score) != news.score || news.score >= told
                    {
                        lies.push(news.clone());
                    }
                    told = news.score;
                }
            });
            let found = outcome.plan.as_ref().map(|plan| plan.score);
            // Each better plan comes with the news of it, the last of them being the answer.
            let honest = lies.is_empty()
                && told.filter(|&score| score < EVERYTHING) == found
                && outcome.disagreement.is_none()
                && (!outcome.proven() || found == truth)
                && (found.is_none() || truth.is_some() && found >= truth)
                && truth.is_none_or(|truth| outcome.bound.is_none_or(|bound| bound <= truth))
                && (outcome.proven() || memory.is_some());
            let what = format!("memory {memory:?}: truth {truth:?}, {outcome:?}, said {lies:?}");
            hold(&mut wrong, honest, &name, &problem, &what);
        }
    }
    agree(&wrong);
    assert!(possible > impossible && impossible > 0, "too much alike");
}

/// Problems that the first beams do not prove, with so little memory that some tables fit and others do not, or with few states: what is said
/// in the end must be so. The truth is what the search says that has all it wants; it must hold up, however little the others have.
#[test]
fn whichever_way_the_search_has_to_go_it_says_nothing_that_is_not_so() {
    let size = Size {
        timed: 10,
        untimed: 12,
        facets: 3,
    };
    let mut wrong = Vec::new();
    let mut hard = 0;
    for seed in seeds(60) {
        let problem = tight(seed, &size);
        let name = format!("seed {seed}");
        let ask = |memory, nodes| {
            let limits = Limits {
                memory,
                nodes: Some(nodes),
                ..Limits::default()
            };
            solve(&problem, &limits, &mut |_| {})
        };
        let score = |outcome: &Outcome| outcome.plan.as_ref().map(|plan| plan.score);
        let mut answers = vec![ask(None, 1_000_000)];
        for memory in [20_000, 60_000, 150_000, 400_000, 1_000_000, 4_000_000] {
            answers.push(ask(Some(memory), 300_000));
        }
        for nodes in [500, 3_000, 20_000] {
            answers.push(ask(None, nodes));
        }
        // The proven ones agree, and no bound is above the best plan that anybody has found.
        let best = answers.iter().filter_map(score).min();
        let honest = answers.iter().all(|answer| {
            answer.disagreement.is_none()
                && (!answer.proven() || score(answer) == best)
                && best.is_none_or(|best| answer.bound.is_none_or(|bound| bound <= best))
        });
        hard += usize::from(answers[0].nodes > 5_000);
        let what = format!("best {best:?}: {answers:?}");
        hold(&mut wrong, honest, &name, &problem, &what);
    }
    agree(&wrong);
    assert!(hard > 0, "no problem is hard enough");
}

/// Each table and each beam on its own, for figures below, at and above the truth.
#[test]
fn tables_and_beams_keep_what_they_promise_below_any_figure() {
    keep_what_they_promise(problems(700));
}

/// The same where facets are changed early for the sake of the clock: what a plan and its shadow differ in is what is at stake.
#[test]
fn tables_and_beams_keep_what_they_promise_where_early_changes_pay() {
    keep_what_they_promise(seeds(2000).map(|seed| (format!("eager, seed {seed}"), eager(seed))));
}

/// Tables are made below a good plan and go on below a better one.
#[test]
fn tables_and_beams_keep_what_they_promise_where_the_figure_is_lowered_on_the_way() {
    let mut wrong = Vec::new();
    for (name, problem) in problems(200) {
        let Some(truth) = oracle::best(&problem).map(|best| best.0) else {
            continue;
        };
        Bench::new(&problem).run(|bench| {
            for below in [truth / 2, truth, truth + 1] {
                for what in bench.wrong(truth + truth / 4 + 100, below, Some(truth)) {
                    hold(&mut wrong, false, &name, &problem, &what);
                }
            }
        });
    }
    agree(&wrong);
}

/// See [`whose_time_to_come`]: beams that read the other plan's time to come lose the optimum.
#[test]
fn the_least_time_to_come_is_that_of_the_plan_that_is_forgotten() {
    keep_what_is_named(whose_time_to_come(), 50);
}

/// See [`what_has_changed_early`]: so does who forgets that a plan has changed something already.
#[test]
fn the_least_time_to_come_is_less_by_what_has_changed_early() {
    keep_what_is_named(what_has_changed_early(), 1);
}

/// See [`one_stop_for_two`].
#[test]
fn a_change_that_waits_in_the_shadow_joins_a_stop_that_is_made_anyway() {
    keep_what_is_named(one_stop_for_two(), 2100);
}

/// See [`a_stretch_paid_ahead`].
#[test]
fn a_stretch_that_is_paid_ahead_is_counted_once() {
    keep_what_is_named(a_stretch_paid_ahead(), 500);
}

/// See [`company_of_a_bar`].
#[test]
fn what_changes_early_where_it_is_reached_is_company_for_what_is_reached_from_everywhere() {
    keep_what_is_named(company_of_a_bar(), 700);
}

/// See [`twins_but_for_what_follows`].
#[test]
fn steps_that_others_have_to_follow_are_no_twins_of_steps_that_none_has_to() {
    keep_what_is_named(twins_but_for_what_follows(), 0);
}

/// See [`two_ways_to_one_state`].
#[test]
fn how_late_a_step_may_start_is_told_by_the_way_that_pays_least_for_other_things() {
    keep_what_is_named(two_ways_to_one_state(), 1800);
}

fn keep_what_is_named(problem: Problem, best: i64) {
    assert_eq!(oracle::best(&problem).map(|best| best.0), Some(best));
    keep_what_they_promise([(problem.title.clone(), problem)].into_iter());
}

fn keep_what_they_promise(problems: impl Iterator<Item = (String, Problem)>) {
    let mut wrong = Vec::new();
    for (name, problem) in problems {
        let truth = oracle::best(&problem).map(|best| best.0);
        let optimum = truth.unwrap_or(EVERYTHING);
        let figures = [
            Some(optimum / 2),
            Some(optimum),
            truth.map(|t| t + 1),
            truth.map(|t| t + t / 10 + 60),
            Some(EVERYTHING),
        ];
        let bench = Bench::new(&problem);
        bench.run(|bench| {
            for below in figures.into_iter().flatten() {
                for what in bench.wrong(below, below, truth) {
                    hold(&mut wrong, false, &name, &problem, &what);
                }
            }
        });
    }
    agree(&wrong);
}

/// A problem with fewer steps, whichever are left out of those that may go.
#[test]
fn fewer_steps_cost_no_more() {
    let mut wrong = Vec::new();
    let mut smaller = 0;
    for (name, problem) in problems(700) {
        smaller += with_fewer_steps(&problem, &name, &mut wrong);
    }
    agree(&wrong);
    assert!(smaller > 1000, "only {smaller} smaller problems");
}

/// The bound by what set-ups an order has to stand in; its fewest stops against the optimum of the problem in which nothing else counts.
#[test]
fn no_plan_has_fewer_stops_or_costs_less_than_the_set_ups_that_it_stands_in() {
    let mut wrong = Vec::new();
    let (mut tried, mut tight) = (0, 0);
    for (name, problem) in problems(300) {
        let Some(best) = oracle::best(&problem).map(|best| best.0) else {
            continue;
        };
        let cover = Cover::new(&problem);
        for known in [None, Some(best), Some(best + best / 2 + 500)] {
            let bound = cover.bound(known);
            let what = format!("bound {bound} with {known:?} known, the optimum is {best}");
            hold(&mut wrong, bound <= best, &name, &problem, &what);
        }
        let stops = oracle::best(&stops_alone(&problem)).map(|best| best.0);
        let least = stops_at_least(&problem);
        let what = format!("no fewer than {least} stops, one has {stops:?}");
        let holds = stops.is_none_or(|stops| least <= stops);
        hold(&mut wrong, holds, &name, &problem, &what);
        if let Some(stops) = stops.filter(|&stops| stops > 0) {
            tried += 1;
            tight += usize::from(least == stops);
        }
    }
    agree(&wrong);
    assert!(tried > 100 && 3 * tight > tried, "{tight} tight of {tried}");
}

/// The same problem, in which a stop counts 1 and nothing else anything.
fn stops_alone(problem: &Problem) -> Problem {
    let mut alone = problem.clone();
    (alone.time_weight, alone.stop_weight) = (0, 1);
    for step in &mut alone.steps {
        step.optional = step.optional.map(|_| 0);
        for choice in step.setup.iter_mut().flatten().flatten() {
            choice.penalty = 0;
        }
    }
    for demand in &mut alone.demands {
        demand.weight = demand.weight.map(|_| 0);
    }
    alone
}

/// Two steps that care about nothing have a value in common with one that sets it: nothing may be asked of them where that is left out.
#[test]
fn a_value_in_common_is_not_asked_of_fewer_steps_where_a_member_does_not_care() {
    let step = |id: &str, setup: &str| {
        format!(
            r#"{{ "id": "{id}", "side": "both", "duration": 100, "setup": [{setup}], "posture": [0, 0], "stage": null, "group": null, "optional": null }}"#
        )
    };
    let steps = [
        "[[2, 0]]", "null", "[[1, 0]]", "[[3, 0]]", "[[2, 0]]", "null",
    ];
    let steps: Vec<String> = steps.iter().map(|setup| step("s", setup)).collect();
    let next = |b: usize| {
        format!(
            r#"{{ "kind": "precede", "a": {}, "b": {b}, "weight": null }}"#,
            b - 1
        )
    };
    let chain: Vec<String> = (1..steps.len()).map(next).collect();
    let text = format!(
        r#"{{ "segue_problem": 1, "title": "",
        "facets": [{{ "name": "f", "values": ["0", "1", "2", "3"], "change": [[0, 1, 1, 1], [1, 0, 1, 1], [1, 1, 0, 1], [1, 1, 1, 0]], "reach": null, "stop": false }}],
        "postures": {{ "names": ["there"], "path": [[0]] }}, "start": {{ "setup": [0], "posture": 0 }}, "end": null, "weights": {{ "time": 1, "stop": 0 }},
        "steps": [{}],
        "demands": [{}, {{ "kind": "same", "steps": [0, 1, 5], "facet": 0, "weight": null }}] }}"#,
        steps.join(","),
        chain.join(",")
    );
    let mut wrong = Vec::new();
    with_fewer_steps(&problem_file::read(&text).unwrap(), "in common", &mut wrong);
    agree(&wrong);
}

/// Rounds with more steps each time, in searches that have all they want and in such that are cut short.
#[test]
fn no_round_with_fewer_steps_says_more_than_the_best_plan_costs() {
    fn search(problem: &Problem, limits: &Limits, aim: &Aim) -> Outcome {
        campaign::search::<N>(problem, limits, aim, &mut |_| {})
    }
    let mut wrong = Vec::new();
    let (mut cut, mut more) = (0, 0);
    for (name, problem) in problems(1000) {
        let Some((truth, order, setups)) = oracle::best(&problem) else {
            continue;
        };
        let known = Plan {
            order,
            setups,
            score: truth,
        };
        for nodes in [1, 20, 100_000] {
            let limits = Limits {
                nodes: Some(nodes),
                ..Limits::default()
            };
            let below = 2 * truth + 1000;
            let mut rounds = Rounds::new(&problem, &known, search);
            for turn in 0..8 {
                let round = rounds.next(below, &limits);
                let score = round.plan.as_ref().map(|plan| plan.score);
                let holds = round.bound <= truth && score.is_none_or(|score| score >= truth);
                let what = format!("turn {turn}, {nodes} nodes: {round:?}, the optimum is {truth}");
                hold(&mut wrong, holds, &name, &problem, &what);
                cut += usize::from(round.then == Then::Longer);
                more += usize::from(turn > 0 && round.then == Then::More);
                if round.then == Then::Over {
                    break;
                }
            }
        }
    }
    agree(&wrong);
    assert!(
        cut > 50 && more > 20,
        "{cut} cut short, {more} with more steps"
    );
}

/// Leaves out steps in every way, and complains where the rest costs more than the whole; how many ways there are.
fn with_fewer_steps(problem: &Problem, name: &str, wrong: &mut Vec<String>) -> usize {
    let Some(best) = oracle::best(problem).map(|best| best.0) else {
        return 0;
    };
    let n = problem.steps.len();
    let mut smaller = 0;
    for out in 1..1u32 << n {
        let goes = |s: usize| out >> s & 1 == 1;
        let kept: Vec<usize> = (0..n).filter(|&s| !goes(s)).collect();
        if !(0..n).all(|s| !goes(s) || fewer::may_go(problem, s)) || kept.is_empty() {
            continue;
        }
        smaller += 1;
        let apart: i64 = (0..n)
            .filter(|&s| goes(s))
            .map(|s| fewer::least_penalty(problem, s))
            .sum();
        let rest = oracle::best(&fewer::without(problem, &kept)).map(|best| best.0 + apart);
        let holds = rest.is_some_and(|rest| rest <= best);
        let what = format!("with {kept:?} alone {rest:?}, all {best}");
        hold(wrong, holds, name, problem, &what);
    }
    smaller
}

/// Words of a state, more than enough for small problems.
const N: usize = 8;

/// What tables and beams are made from.
struct Bench<'p> {
    problem: &'p Problem,
}

struct Ready<'a, 'p> {
    problem: &'p Problem,
    tables: &'a Tables<'p, N>,
    layout: &'a Layout,
    trackers: &'a [OrderTracker<N>],
    clock: &'a ClockSet<N>,
}

impl<'p> Bench<'p> {
    fn new(problem: &'p Problem) -> Self {
        Self { problem }
    }

    fn run(&self, mut f: impl FnMut(&Ready<'_, 'p>)) {
        let tables = Tables::<N>::new(self.problem);
        let trackers = OrderTracker::all(&tables);
        let layout = Layout::of(&tables, &trackers);
        assert!(layout.words <= N);
        f(&Ready {
            problem: self.problem,
            tables: &tables,
            layout: &layout,
            trackers: &trackers,
            clock: &ClockSet::new(self.problem),
        });
    }
}

impl Ready<'_, '_> {
    /// What is not as it should be. Tables are begun for plans of less than `begun` and, where that is more, lowered to `below` on the way.
    fn wrong(&self, begun: i64, below: i64, truth: Option<i64>) -> Vec<String> {
        let mut wrong = Vec::new();
        let limits = Limits::default();
        let mut meter = Meter::new(&limits);
        let simple = Simple::new(self.tables);
        let charges = Charges::new(self.tables, self.clock.trackers());
        let leftout = LeftOut::new(self.tables);
        let everything = Scope {
            facets: self.tables.all,
            order: true,
        };
        let whole = View::new(self.tables, self.layout, self.trackers, everything, false);
        let there = truth.filter(|&t| t < below);
        let mut previous: Option<Table<N>> = None;
        // With no table, then with those of the first facets, one more each time; the first without what the order asks for.
        for facets in 0..=self.problem.facets.len() {
            if facets > 0 || self.problem.facets.is_empty() {
                let set = self.tables.all & ((1u32 << facets) - 1);
                let scope = Scope {
                    facets: set,
                    order: facets != 1,
                };
                let view = View::new(self.tables, self.layout, self.trackers, scope, true);
                let frame = Frame {
                    below: begun,
                    previous: previous.as_ref().filter(|table| table.below >= begun),
                    simple: &simple,
                    leftout: &leftout,
                    charges: &charges,
                    memory: usize::MAX,
                };
                let mut forward = Forward::new(&view, &frame);
                // Once some layers are made.
                let mut pause = if begun > below { 500 } else { usize::MAX };
                while !forward.run(&mut meter, pause).expect("no limit") {
                    forward.lower(below);
                    pause = usize::MAX;
                }
                let table = backward::sweep(&view, forward, &mut meter).expect("no limit");
                let root = table.root.map(|root| root.cost);
                if let Some(there) = there
                    && root.is_none_or(|root| root > there)
                {
                    wrong.push(format!("a table of {facets} facets below {below} says {root:?}, the optimum is {there}"));
                }
                previous = Some(table);
            }
            // A beam that goes on past the figure of its table may find more, and must not say that there is no more.
            for (width, limit) in [
                (3, below),
                (40, below),
                (1_000_000, below),
                (1_000_000, EVERYTHING),
            ] {
                let guide = Guide {
                    view: &whole,
                    clock: self.clock,
                    table: previous.as_ref(),
                    simple: &simple,
                    leftout: &leftout,
                    memory: 1 << 30,
                    limit,
                };
                let mut incumbent = Incumbent::default();
                let swept = guide.sweep(width, Better::Score, &mut incumbent, &mut meter);
                let found = incumbent.plan.map(|plan| plan.score);
                let least = swept.cut.unwrap_or(limit).min(found.unwrap_or(limit));
                let there = truth.filter(|&t| t < limit);
                let good = if swept.complete {
                    found == there || found >= Some(limit) && there.is_none()
                } else {
                    there.is_none_or(|there| least <= there)
                };
                let whole = swept.complete || width < 1_000_000 || limit > below;
                if !good || !whole {
                    wrong.push(format!("a beam of {width} below {limit} with a table of {facets} facets below {below}: {found:?}, {swept:?}, the optimum is {truth:?}"));
                }
            }
        }
        wrong
    }
}
