//! Each bound and the dominance on every partial plan of small problems: all partial plans are made, the best end of each is known from its own
//! ends, and no bound may lie above it, no plan that is dominated may end better.
//!
//! `SEGUE_SEEDS=FROM..TO` looks at those seeds instead of the usual few.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::HashMap;

use crate::oracle;
use crate::oracle::eager::eager;
use crate::oracle::named::whose_time_to_come;
use crate::oracle::random::{Size, problem};
use crate::oracle::seeds::{asked, seeds};
use crate::oracle::tight::tight;
use segue::exchange::problem_file;
use segue::problem::Problem;
use segue::search::bound::backward;
use segue::search::bound::charges::Charges;
use segue::search::bound::forward::Frame;
use segue::search::bound::leftout::LeftOut;
use segue::search::bound::simple::Simple;
use segue::search::bound::table::Table;
use segue::search::budget::{Limits, Meter};
use segue::search::dominance::dominates;
use segue::search::done_set::Bits;
use segue::search::moves::Moves;
use segue::search::shadow::follow;
use segue::search::state::Layout;
use segue::search::successor::{Scope, View};
use segue::search::tables::Tables;
use segue::search::track::clock_set::{ClockSet, Clocked};
use segue::search::track::event::{Ahead, Timed, Words};
use segue::search::track::order::OrderTracker;

/// Words of a state, more than enough for small problems.
const N: usize = 4;
/// Above every score.
const EVERYTHING: i64 = i64::MAX / 4;
/// Problems with more partial plans are left out.
const MOST: usize = 6_000;

/// A partial plan.
struct Node {
    parent: usize,
    key: Bits<N>,
    shadow: Bits<N>,
    cost: i64,
    shadow_cost: i64,
    now: i64,
    shadow_now: i64,
    words: Vec<Words>,
    /// No class takes longer than this from here to its end.
    longest: i64,
    /// Score and end of the class if it ends here.
    ends: Option<(i64, i64)>,
    /// The least score of all plans that begin so; above everything if there is none.
    best: i64,
}

/// All partial plans of a problem by the number of steps done.
struct Tree<'a, 'p> {
    tables: &'a Tables<'p, N>,
    layout: &'a Layout,
    trackers: &'a [OrderTracker<N>],
    clock: &'a ClockSet<N>,
    layers: Vec<Vec<Node>>,
}

/// Makes all partial plans and looks at them; `false`: there are too many.
fn with_tree(problem: &Problem, look: impl FnOnce(&Tree<'_, '_>)) -> bool {
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
    let mut tree = Tree {
        tables: &tables,
        layout: &layout,
        trackers: &trackers,
        clock: &clock,
        layers: Vec::new(),
    };
    let grown = tree.grow(&whole);
    if grown {
        tree.look_back();
        look(&tree);
    }
    grown
}

impl Tree<'_, '_> {
    fn grow(&mut self, whole: &View<'_, N>) -> bool {
        let t = self.tables;
        let key = self.layout.begin(t);
        let mut moves = Moves::default();
        self.layers.push(vec![Node {
            parent: 0,
            key,
            shadow: key,
            cost: 0,
            shadow_cost: 0,
            now: 0,
            shadow_now: 0,
            words: self.clock.begin(),
            longest: whole.done_info(&key, &mut moves).longest,
            ends: None,
            best: EVERYTHING,
        }]);
        let mut count = 0;
        for used in 0i64.. {
            let layer = self.layers.last_mut().unwrap();
            let mut next = Vec::new();
            for (index, node) in layer.iter_mut().enumerate() {
                node.ends = whole.settle(&node.key, used).and_then(|(cost, time)| {
                    let clocked = self.clock.settle(&node.words, node.now + time)?;
                    Some((node.cost + cost + clocked, node.now + time))
                });
                let info = whole.done_info(&node.key, &mut moves);
                let gains = |step| self.clock.may_gain_by_delay(&node.words, node.now, step);
                let room = |_, _| EVERYTHING;
                whole.expand(&mut moves, &node.key, &info, used + 1, room, gains, |s| {
                    let duration = t.problem.steps[s.step].duration;
                    let start = node.now + s.changeover;
                    let timed = Timed {
                        step: s.step,
                        start,
                        end: start + duration,
                    };
                    let mut words = Vec::new();
                    let Some(clocked) = self.clock.advance(&node.words, &timed, &mut words) else {
                        return;
                    };
                    let (shadow, cost, time) = follow(whole, &node.shadow, &node.key, &s);
                    next.push(Node {
                        parent: index,
                        key: s.key,
                        shadow,
                        cost: node.cost + s.cost + clocked,
                        shadow_cost: node.shadow_cost + cost + clocked,
                        now: timed.end,
                        shadow_now: node.shadow_now + time + duration,
                        words,
                        longest: 0,
                        ends: None,
                        best: EVERYTHING,
                    });
                });
            }
            count += next.len();
            if count > MOST {
                return false;
            }
            if next.is_empty() {
                return true;
            }
            for node in &mut next {
                node.longest = whole.done_info(&node.key, &mut moves).longest;
            }
            self.layers.push(next);
        }
        true
    }

    /// The best end of each partial plan, from the last layer on.
    fn look_back(&mut self) {
        for used in (0..self.layers.len()).rev() {
            let (before, here) = self.layers.split_at_mut(used);
            for node in &mut here[0] {
                node.best = node.best.min(node.ends.map_or(EVERYTHING, |e| e.0));
                if let Some(parents) = before.last_mut() {
                    let parent = &mut parents[node.parent];
                    parent.best = parent.best.min(node.best);
                }
            }
        }
    }

    /// For each partial plan the earliest end of a class that begins so and costs less than `below`.
    fn soonest(&self, below: i64) -> Vec<Vec<i64>> {
        let ends = |node: &Node| match node.ends {
            Some((score, finish)) if score < below => finish,
            _ => EVERYTHING,
        };
        let mut all: Vec<Vec<i64>> = (self.layers.iter())
            .map(|layer| layer.iter().map(ends).collect())
            .collect();
        for used in (1..all.len()).rev() {
            let (before, here) = all.split_at_mut(used);
            for (node, soonest) in self.layers[used].iter().zip(&here[0]) {
                let parent = &mut before[used - 1][node.parent];
                *parent = (*parent).min(*soonest);
            }
        }
        all
    }

    /// Tables of one facet more each time, without what the order asks for and then with it, for plans below a figure.
    fn climb(&self, below: i64, simple: &Simple, leftout: &LeftOut<N>) -> Vec<Table<N>> {
        let charges = Charges::new(self.tables, self.clock.trackers());
        let limits = Limits::default();
        let mut meter = Meter::new(&limits);
        let mut made: Vec<Table<N>> = Vec::new();
        let facets = self.tables.n_facets;
        for (count, order) in (0..=facets).map(|k| (k, k != 1)).chain([(facets, true)]) {
            let scope = Scope {
                facets: self.tables.all & ((1u32 << count) - 1),
                order,
            };
            // A table of no facets that knows the order is no part of one of a facet that does not.
            let previous = made.last().filter(|_| count != 1);
            let view = View::new(self.tables, self.layout, self.trackers, scope, true);
            let frame = Frame {
                below,
                previous,
                simple,
                leftout,
                charges: &charges,
                memory: usize::MAX,
            };
            made.push(backward::table(&view, &frame, &mut meter).expect("no limit"));
        }
        made
    }

    fn nodes(&self) -> impl Iterator<Item = (usize, usize, &Node)> {
        let numbered = |(used, layer): (usize, &'_ Vec<Node>)| (used, layer.len());
        let counts: Vec<(usize, usize)> = self.layers.iter().enumerate().map(numbered).collect();
        let all = counts
            .into_iter()
            .flat_map(|(u, many)| (0..many).map(move |i| (u, i)));
        all.map(|(used, i)| (used, i, &self.layers[used][i]))
    }

    fn optimum(&self) -> i64 {
        self.layers[0][0].best
    }
}

/// Looks at the partial plans of many problems: those where early changes pay, tight ones, plain ones.
fn each(usual: u64, mut look: impl FnMut(&Tree<'_, '_>, &str)) {
    let size = Size {
        timed: 4,
        untimed: 4,
        facets: 2,
    };
    let (mut all, mut left_out) = (0, 0);
    for seed in seeds(usual) {
        for made in [eager(seed), tight(seed, &size), problem(seed, &size)] {
            let named = format!("seed {seed}\n{}", problem_file::write(&made));
            all += 1;
            left_out += usize::from(!with_tree(&made, |tree| look(tree, &named)));
        }
    }
    assert!(2 * left_out < all, "most problems are too large");
}

#[test]
fn all_partial_plans_together_hold_the_optimum_that_trying_everything_finds() {
    each(5000, |tree, named| {
        let truth = oracle::best(tree.tables.problem).map_or(EVERYTHING, |best| best.0);
        assert_eq!(tree.optimum(), truth, "{named}");
    });
}

#[test]
fn the_plain_bound_never_lies_above_the_best_end_of_a_partial_plan() {
    each(2000, |tree, named| {
        let t = tree.tables;
        let simple = Simple::new(t);
        let soonest = tree.soonest(EVERYTHING);
        for (used, i, node) in tree.nodes() {
            if node.best < EVERYTHING {
                let cost = node.cost + simple.rest(t, &node.key);
                assert!(cost <= node.best, "{cost} > {} {named}", node.best);
                let time = node.now + simple.time(t, &node.key);
                assert!(time <= soonest[used][i], "{time} {named}");
            }
        }
    });
}

#[test]
fn what_facets_cost_by_themselves_never_lies_above_the_best_end_of_a_partial_plan() {
    each(2000, |tree, named| {
        let t = tree.tables;
        let leftout = LeftOut::new(t);
        for (_, _, node) in tree.nodes() {
            let rests = leftout.rest(t.all, &node.key);
            let cost = node.cost + leftout.cost(&rests, tree.layout, &node.key);
            assert!(cost <= node.best, "{cost} > {} {named}", node.best);
        }
    });
}

/// Tables of every scope, for figures that the optimum just stays below and others, each with what facets cost that it leaves out.
#[test]
fn no_table_lies_above_the_best_end_of_a_partial_plan() {
    each(4000, |tree, named| {
        let t = tree.tables;
        let (simple, leftout) = (Simple::new(t), LeftOut::new(t));
        let optimum = tree.optimum();
        for below in [
            optimum / 2,
            optimum + 1,
            optimum + optimum / 10 + 60,
            EVERYTHING,
        ] {
            let below = below.min(EVERYTHING);
            let soonest = tree.soonest(below);
            for table in tree.climb(below, &simple, &leftout) {
                for (used, i, node) in tree.nodes().filter(|(_, _, n)| n.best < below) {
                    let told = || format!("{} facets below {below} {named}", table.facets);
                    let Some(to_go) = table.get(used, &node.shadow) else {
                        panic!("a state is missing that leads to {}: {}", node.best, told());
                    };
                    let rests = leftout.rest(t.all & !table.facets, &node.shadow);
                    let apart = leftout.cost(&rests, tree.layout, &node.shadow);
                    let ahead = tree.clock.paid_ahead(&node.words, node.now, &node.key);
                    let cost = node.shadow_cost + to_go.cost + apart - ahead;
                    assert!(cost <= node.best, "{cost} > {}: {}", node.best, told());
                    // Every class takes as long as its shadow: so for the shadow this holds without credit.
                    let finish = node.shadow_now + to_go.time;
                    assert!(finish <= soonest[used][i], "{finish}: {}", told());
                    let credited = node.now + to_go.time - t.ahead;
                    assert!(credited <= soonest[used][i], "{credited}: {}", told());
                }
            }
        }
    });
}

/// Pairs of partial plans with the same key of which one may forget the other, for plans below a figure: how many, in how many the one that is
/// kept ends better, and the first in which the one that is forgotten does. `forgotten`: whose entry in the table tells the time to come.
fn pairs(tree: &Tree<'_, '_>, below: i64, forgotten: bool) -> (usize, usize, Option<String>) {
    let t = tree.tables;
    let table = tree.climb(below, &Simple::new(t), &LeftOut::new(t)).pop();
    let table = table.unwrap();
    let (mut many, mut better, mut wrong) = (0, 0, None);
    for (used, layer) in tree.layers.iter().enumerate() {
        let mut alike: HashMap<Bits<N>, Vec<&Node>> = HashMap::new();
        for node in layer
            .iter()
            .filter(|n| table.get(used, &n.shadow).is_some())
        {
            alike.entry(node.key).or_default().push(node);
        }
        let nodes = alike.values();
        let all = nodes.flat_map(|v| v.iter().flat_map(move |a| v.iter().map(move |b| (*a, *b))));
        for (a, b) in all.filter(|(a, b)| !std::ptr::eq(*a, *b)) {
            let read = if forgotten { b } else { a };
            let to_go = table.get(used, &read.shadow).unwrap();
            let ahead = Ahead {
                done: &b.key,
                longest: b.longest,
                least: (to_go.time - t.ahead).max(0),
            };
            let [x, y] = [a, b].map(|n| Clocked {
                now: n.now,
                words: &n.words,
            });
            if dominates(tree.clock, (a.cost, &x), (b.cost, &y), &ahead) {
                many += 1;
                better += usize::from(a.best < b.best);
                if a.best > b.best && b.best < below {
                    wrong.get_or_insert(format!("{} forgets {} below {below}", a.best, b.best));
                }
            }
        }
    }
    (many, better, wrong)
}

#[test]
fn a_partial_plan_that_is_dominated_never_ends_better() {
    let (mut dominated, mut dearer) = (0, 0);
    each(2000, |tree, named| {
        let optimum = tree.optimum();
        for below in [optimum + 1, optimum + optimum / 10 + 60, EVERYTHING] {
            let (many, better, wrong) = pairs(tree, below.min(EVERYTHING), true);
            dominated += many;
            dearer += better;
            assert_eq!(wrong, None, "{named}");
        }
    });
    assert!(dominated > dearer && dearer > 0 || asked());
}

/// What [`whose_time_to_come`] is built for: it does matter whose time to come is read.
#[test]
fn read_from_the_plan_that_is_kept_the_time_to_come_would_forget_the_best() {
    assert!(with_tree(&whose_time_to_come(), |tree| {
        assert_eq!(tree.optimum(), 50);
        assert_eq!(pairs(tree, 51, true).2, None);
        assert!(pairs(tree, 51, false).2.is_some());
    }));
}
