//! The bookkeeping of demands on growing orders against their definitions on finished ones, and what the trackers promise of the future
//! against the futures themselves. No search takes part, so a few lines of random times try what a search would meet once in a year.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::{asked, seeds};
use crate::oracle::tight::{KINDS, just_so, plan, tight};
use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::problem::demand::Demand;
use segue::problem::timeline::Timeline;
use segue::score::{cost_of, evaluate};
use segue::search::done_set::Bits;
use segue::search::tables::Tables;
use segue::search::track::clock_set::{ClockSet, Clocked};
use segue::search::track::event::{Advance, Ahead, Settle, Span, Timed, Words};
use segue::search::track::order::OrderTracker;

/// Words of a set of steps.
const N: usize = 2;
const SIZE: Size = Size {
    timed: 7,
    untimed: 7,
    facets: 2,
};
/// How many futures are tried for each problem.
const TRIES: usize = 40;

fn problems(usual: u64) -> impl Iterator<Item = (u64, Problem, ChaCha8Rng)> {
    seeds(usual).map(|seed| {
        let mut die = ChaCha8Rng::seed_from_u64(!seed);
        let made = match seed % 4 {
            0 => tight(seed, &SIZE),
            1 => problem(seed, &SIZE),
            _ => alone(problem(seed, &SIZE), &mut die),
        };
        (seed, made, die)
    })
}

/// The problem with a few demands on the clock of one kind or two and no other, whose figures fit times as they are drawn here.
fn alone(mut problem: Problem, die: &mut ChaCha8Rng) -> Problem {
    problem.demands.clear();
    let mut order: Vec<usize> = (0..problem.steps.len()).collect();
    order.shuffle(die);
    let mut timeline = Timeline::default();
    for &step in &order {
        let start = timeline.finish + gap(die);
        timeline.finish = start + problem.steps[step].duration;
        timeline.start.push(start);
        timeline.end.push(timeline.finish);
    }
    timeline.order = order;
    let kinds = [die.random_range(0..KINDS), die.random_range(0..KINDS)];
    for _ in 0..die.random_range(1..=4) {
        let again = problem.demands.choose(die).map(|d| d.kind.clone());
        let kind = match again.filter(|_| die.random_bool(0.2)) {
            Some(again) => Some(again),
            None => just_so(&problem, &timeline, *kinds.choose(die).unwrap(), die),
        };
        let weight = *[None, Some(0), Some(70), Some(100), Some(3000)]
            .choose(die)
            .unwrap();
        problem
            .demands
            .extend(kind.map(|kind| Demand { kind, weight }));
    }
    problem
}

/// Steps on the clock, and what the trackers make of them.
#[derive(Clone)]
struct Walk<'a> {
    problem: &'a Problem,
    clock: &'a ClockSet<N>,
    done: Bits<N>,
    now: i64,
    words: Vec<Words>,
    /// `None`: a demand that must hold is broken.
    paid: Option<i64>,
}

impl<'a> Walk<'a> {
    fn new(problem: &'a Problem, clock: &'a ClockSet<N>) -> Self {
        Self {
            problem,
            clock,
            done: Bits::default(),
            now: 0,
            words: clock.begin(),
            paid: Some(0),
        }
    }

    /// A step that starts at `start`.
    fn step(&mut self, step: usize, start: i64) {
        assert!(start >= self.now);
        let end = start + self.problem.steps[step].duration;
        let mut next = Vec::new();
        let told = self
            .clock
            .advance(&self.words, &Timed { step, start, end }, &mut next);
        if told.is_some() {
            self.words = next;
        }
        self.paid = self.paid.and_then(|paid| Some(paid + told?));
        self.done.insert(step);
        self.now = end;
    }

    /// Steps, each so long after the one before it.
    fn steps(&mut self, steps: &[(usize, i64)]) {
        for &(step, gap) in steps {
            self.step(step, self.now + gap);
        }
    }

    /// Cost of it all, if the class ends so long after the last step.
    fn end(mut self, gap: i64) -> Option<i64> {
        self.now += gap;
        Some(self.paid? + self.clock.settle(&self.words, self.now)?)
    }
}

/// Short times and long ones, so that some are equal and some sums too.
fn gap(die: &mut ChaCha8Rng) -> i64 {
    *[0, 0, 0, 50, 100, 100, 150, 200, 300, 600, 1000]
        .choose(die)
        .unwrap()
}

fn with_gaps(steps: &[usize], die: &mut ChaCha8Rng) -> Vec<(usize, i64)> {
    steps.iter().map(|&s| (s, gap(die))).collect()
}

/// The steps in a random order, some of them left out if they may be, cut in two at a random place.
fn halves(problem: &Problem, die: &mut ChaCha8Rng) -> (Vec<usize>, Vec<usize>) {
    let mut steps: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none() || die.random_bool(0.7))
        .collect();
    steps.shuffle(die);
    let after = steps.split_off(die.random_range(0..=steps.len()));
    (steps, after)
}

fn told(problem: &Problem, seed: u64) -> String {
    format!("seed {seed}\n{}", problem_file::write(problem))
}

#[test]
fn a_tracker_counts_what_its_definition_counts() {
    for (seed, problem, mut die) in problems(20_000) {
        let tables = Tables::<N>::new(&problem);
        let order_trackers = OrderTracker::all(&tables);
        let clock = ClockSet::<N>::new(&problem);
        for _ in 0..3 {
            let (order, setups) = plan(&problem, &mut die);
            let judged = evaluate(&problem, &order, &setups);
            let mut walk = Walk::new(&problem, &clock);
            let mut states = vec![0; order_trackers.len()];
            let mut paid = Some(0);
            let mut last_class = tables.start_class;
            let mut before = problem.start_setup.clone();
            for (i, (&step, setup)) in order.iter().zip(&setups).enumerate() {
                let changed = (0..setup.len()).filter(|&f| setup[f] != before[f]);
                let narrow: Vec<u16> = setup.iter().map(|&v| u16::try_from(v).unwrap()).collect();
                let advance = Advance {
                    done: &walk.done,
                    must: &tables.must,
                    step,
                    place: i64::try_from(i).unwrap() + 1,
                    last_class,
                    changed: changed.map(|f| 1 << f).sum(),
                    setup: &narrow,
                };
                for (tracker, state) in order_trackers.iter().zip(&mut states) {
                    let news = tracker.advance(*state, &advance);
                    *state = news.map_or(*state, |news| news.0);
                    assert!(*state <= tracker.greatest(), "{}", told(&problem, seed));
                    paid = paid.and_then(|paid| Some(paid + news?.1));
                }
                walk.step(step, judged.timeline.start[i]);
                last_class = tables.class_of[step];
                before.clone_from(setup);
            }
            let end = problem.end.as_ref();
            let last = (0..before.len())
                .filter(|&f| end.and_then(|e| e.setup[f]).is_some_and(|v| v != before[f]));
            let settle = Settle {
                used: i64::try_from(order.len()).unwrap(),
                changed: last.map(|f| 1 << f).sum(),
            };
            for (tracker, state) in order_trackers.iter().zip(&states) {
                paid = paid.and_then(|paid| Some(paid + tracker.settle(*state, &settle)?));
            }
            let timed = walk.end(judged.timeline.final_changeover);
            // `precede` and blocks in one piece are kept by the tables.
            let tracked = |k: usize| {
                let demand = &problem.demands[k];
                let name = demand.kind.name();
                name != "precede" && (name != "contiguous" || demand.weight.is_some())
            };
            let costs = (0..problem.demands.len()).filter(|&k| tracked(k));
            let wanted: i64 = costs.map(|k| cost_of(&problem, k, judged.counts[k])).sum();
            let broken = judged.broken.iter().any(|&k| tracked(k));
            let sum = paid.and_then(|paid| Some(paid + timed?));
            // A block that must hold is tracked where steps of it may be left out.
            let blocks = judged.broken.iter().any(|&k| !tracked(k));
            if broken || !blocks {
                assert_eq!(
                    sum,
                    (!broken).then_some(wanted),
                    "{order:?} {setups:?} {}",
                    told(&problem, seed)
                );
            }
        }
    }
}

/// `ClockSet::harm`, for two ways to do the same steps and a common future.
#[test]
fn no_future_harms_a_plan_more_than_is_said() {
    let (mut bounded, mut worse) = (0, 0);
    for (seed, problem, mut die) in problems(20_000) {
        let clock = ClockSet::<N>::new(&problem);
        for _ in 0..TRIES {
            let (mut past, future) = halves(&problem, &mut die);
            let mut a = Walk::new(&problem, &clock);
            a.steps(&with_gaps(&past, &mut die));
            if die.random_bool(0.5) {
                past.shuffle(&mut die);
            }
            let mut b = Walk::new(&problem, &clock);
            b.steps(&with_gaps(&past, &mut die));
            if a.paid.is_none() || b.paid.is_none() {
                continue;
            }
            let future = with_gaps(&future, &mut die);
            let last = gap(&mut die);
            let takes = future
                .iter()
                .map(|&(s, gap)| gap + problem.steps[s].duration)
                .sum::<i64>()
                + last;
            let slack = [0, 0, 100, 2000];
            let done = a.done;
            let ahead = Ahead {
                done: &done,
                longest: takes + slack.choose(&mut die).unwrap(),
                least: (takes - slack.choose(&mut die).unwrap()).max(0),
            };
            let side = |walk: &Walk<'_>| (walk.now, walk.words.clone());
            let ((now_a, words_a), (now_b, words_b)) = (side(&a), side(&b));
            let harm = clock.harm(
                &Clocked {
                    now: now_a,
                    words: &words_a,
                },
                &Clocked {
                    now: now_b,
                    words: &words_b,
                },
                &ahead,
                i64::MAX / 4,
            );
            let (paid_a, paid_b) = (a.paid.unwrap(), b.paid.unwrap());
            a.steps(&future);
            b.steps(&future);
            let (Some(harm), Some(after_b)) = (harm, b.end(last)) else {
                continue;
            };
            bounded += 1;
            let after_a = a.end(last).map(|cost| cost - paid_a);
            let after_b = after_b - paid_b;
            worse += usize::from(after_a.is_some_and(|after_a| after_a > after_b));
            assert!(
                after_a.is_some_and(|after_a| after_a - after_b <= harm),
                "from {now_a} {words_a:?} it costs {after_a:?}, from {now_b} {words_b:?} {after_b}, harm {harm}; {future:?} {last} {}",
                told(&problem, seed)
            );
        }
    }
    assert!(bounded > 0 && worse > 0 || asked());
}

/// `ClockTracker::may_gain_by_delay`, for a step that starts sooner or later and a future that starts at the same time after both.
#[test]
fn a_step_that_cannot_gain_by_a_delay_does_not() {
    for (seed, problem, mut die) in problems(20_000) {
        let clock = ClockSet::<N>::new(&problem);
        for _ in 0..TRIES {
            let (past, future) = halves(&problem, &mut die);
            let Some((&step, future)) = future.split_first() else {
                continue;
            };
            let mut soon = Walk::new(&problem, &clock);
            soon.steps(&with_gaps(&past, &mut die));
            if clock.may_gain_by_delay(&soon.words, soon.now, step) {
                continue;
            }
            let mut late = soon.clone();
            let start = soon.now + gap(&mut die);
            soon.step(step, start);
            late.step(step, start + gap(&mut die));
            soon.now = late.now;
            let (future, last) = (with_gaps(future, &mut die), gap(&mut die));
            soon.steps(&future);
            late.steps(&future);
            if let Some(late) = late.end(last) {
                let soon = soon.end(last);
                assert!(
                    soon.is_some_and(|soon| soon <= late),
                    "step {step} after {past:?}: sooner {soon:?}, later {late}; {future:?} {last} {}",
                    told(&problem, seed)
                );
            }
        }
    }
}

/// `ClockTracker::sure`, `owed` and `paid_ahead`: at any time what is paid and what is sure is no more than the whole.
#[test]
fn what_is_paid_and_sure_to_come_is_never_more_than_the_whole() {
    for (seed, problem, mut die) in problems(20_000) {
        let clock = ClockSet::<N>::new(&problem);
        for _ in 0..TRIES / 4 {
            let (past, future) = halves(&problem, &mut die);
            let mut walk = Walk::new(&problem, &clock);
            walk.steps(&with_gaps(&past, &mut die));
            let Some(paid) = walk.paid else { continue };
            let (words, now, done) = (walk.words.clone(), walk.now, walk.done);
            let (future, last) = (with_gaps(&future, &mut die), gap(&mut die));
            let mut starts = Vec::new();
            for &(step, gap) in &future {
                let start = walk.now + gap;
                starts.push((step, start));
                walk.step(step, start);
            }
            let finish = walk.now + last;
            let mut wide = |time: i64| Span {
                from: time - [0, 0, 70, 900].choose(&mut die).unwrap(),
                to: time + [0, 0, 70, 900].choose(&mut die).unwrap(),
            };
            let ends = wide(finish);
            let sure: Option<i64> = starts
                .iter()
                .flat_map(|&(step, start)| {
                    let begins = wide(start);
                    let trackers = clock.trackers().iter();
                    trackers
                        .map(|t| t.sure(step, &begins, &ends))
                        .collect::<Vec<_>>()
                })
                .sum();
            let owed = clock.owed(&words, &ends);
            let ahead = clock.paid_ahead(&words, now, &done);
            if let Some(whole) = walk.end(last) {
                assert!(
                    sure.is_some_and(|sure| paid + sure + owed - ahead <= whole),
                    "paid {paid}, sure {sure:?}, owed {owed}, paid ahead {ahead}: {whole}; {past:?} {future:?} {last} {}",
                    told(&problem, seed)
                );
            }
        }
    }
}
