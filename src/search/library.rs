//! The states, transitions, bounds and dominance of this search, stated to a search library, so that what the model is worth and what the
//! search is worth can be told apart. Behind the feature `peers`: tests and benches use it, no command does.
//!
//! The library is `rpid` (Kuroiwa and Beck, CP 2025): a dynamic program as traits, solved by its complete anytime beam search, which begins
//! with a width of 1 and doubles it.
//!
//! | what | as stated here |
//! | --- | --- |
//! | state | the key of [`super::state`], its [shadow](super::shadow), the clock, the words of the clock trackers |
//! | transitions | [`View::expand`], all of them: there is no room to leave dear ones out, as the library keeps costs to itself |
//! | end | a transition of its own, as optional steps may follow where the class could end |
//! | bound | with a table what it says of the shadow, less what the plan has paid beyond it; without one the plain bound |
//! | dominance | the library lets one state forget another of the same key if it costs no more and is no worse whatever the costs: so harm must be 0. In our own search a state that is cheaper by more than its harm forgets the other, too |
//!
//! Left out, as it is part of our search and not of the model: what is owed for steps done, hard windows seen to be missed before
//! their step comes, and the order as written as a tie-break.
//!
//! **Tested by** `library_search` (the optimum of random problems, with a table and without, against exhaustive search and our own).

use std::cmp::Ordering;
use std::collections::HashMap;
use std::rc::Rc;
use std::time::Instant;

use rpid::prelude::{Bound, CabsParameters, Dominance, SearchParameters};
use rpid::{DpMut, solvers};
use rustc_hash::FxBuildHasher;

use super::bound::leftout::LeftOut;
use super::bound::simple::Simple;
use super::bound::table::Table;
use super::budget::Limits;
use super::done_set::Bits;
use super::moves::Moves;
use super::outcome::Plan;
use super::shadow::follow;
use super::state::Layout;
use super::successor::{DoneInfo, View};
use super::track::clock_set::{ClockSet, Clocked};
use super::track::event::{Ahead, Timed, Words};

/// What the library searches with: the parts of our own search.
#[derive(Debug, Clone, Copy)]
pub struct Parts<'a, const N: usize> {
    /// The whole problem with its clock.
    pub view: &'a View<'a, N>,
    /// The clock trackers.
    pub clock: &'a ClockSet<N>,
    /// The plain bound.
    pub simple: &'a Simple,
    /// A table, to be the bound instead.
    pub table: Option<&'a Table<N>>,
    /// What facets cost that the table leaves out.
    pub leftout: &'a LeftOut<N>,
}

/// What the library says.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Its best plan that costs less than was asked for.
    pub plan: Option<Plan>,
    /// It has seen everything: nothing better exists, or nothing at all.
    pub proven: bool,
    /// States that it expanded.
    pub expanded: usize,
}

/// Has the library look for the best plan that costs less than `below` (and than the figure of the table). Of the limits it knows time and
/// nodes.
pub fn solve<const N: usize>(parts: Parts<'_, N>, limits: &Limits, below: i64) -> Answer {
    let told = parts.table.map_or(i64::MAX, |table| table.below);
    let model = Model {
        parts,
        moves: Moves::default(),
        infos: HashMap::default(),
    };
    let parameters = SearchParameters {
        primal_bound: Some(below.min(told)),
        quiet: true,
        time_limit: limits.until.map(|until| {
            until
                .saturating_duration_since(Instant::now())
                .as_secs_f64()
        }),
        expansion_limit: limits.nodes.and_then(|n| usize::try_from(n).ok()),
        ..SearchParameters::default()
    };
    let mut search = solvers::create_cabs(model, parameters, CabsParameters::default());
    let solution = search.search();
    let value = |key: &Bits<N>, f| parts.view.layout.value_in(key, f);
    let facets = 0..parts.view.tables.n_facets;
    let steps = solution.transitions.iter().flatten();
    let plan = solution.cost.map(|score| Plan {
        order: steps.clone().map(|&(step, _)| step).collect(),
        setups: steps
            .map(|(_, key)| facets.clone().map(|f| value(key, f)).collect())
            .collect(),
        score,
    });
    Answer {
        plan,
        proven: solution.is_optimal || solution.is_infeasible,
        expanded: solution.expanded,
    }
}

struct Model<'a, const N: usize> {
    parts: Parts<'a, N>,
    moves: Moves<N>,
    infos: HashMap<Bits<N>, Rc<DoneInfo>, FxBuildHasher>,
}

struct State<const N: usize> {
    key: Bits<N>,
    ended: bool,
    shadow: Bits<N>,
    /// What the shadow has paid more than the plan.
    shadow_owes: i64,
    now: i64,
    words: Vec<Words>,
    /// No class takes longer than this from here to its end, and none less time than `least`.
    longest: i64,
    least: i64,
}

impl<const N: usize> Model<'_, N> {
    fn used(&self, key: &Bits<N>) -> usize {
        let done = Layout::done_mask(self.parts.view.tables.n);
        key.and(&done).len()
    }

    fn info(&mut self, key: &Bits<N>) -> Rc<DoneInfo> {
        let view = self.parts.view;
        let done = key.and(&Layout::done_mask(view.tables.n));
        let moves = &mut self.moves;
        let info = self.infos.entry(done);
        Rc::clone(info.or_insert_with(|| Rc::new(view.done_info(key, moves))))
    }
}

impl<const N: usize> DpMut for Model<'_, N> {
    type State = State<N>;
    type CostType = i64;
    /// The step and the key after it; `None`: the end.
    type Label = Option<(usize, Bits<N>)>;

    fn get_target(&self) -> State<N> {
        let key = self.parts.view.layout.begin(self.parts.view.tables);
        State {
            key,
            ended: false,
            shadow: key,
            shadow_owes: 0,
            now: 0,
            words: self.parts.clock.begin(),
            longest: self.parts.view.tables.longest_class,
            least: 0,
        }
    }

    fn get_successors(
        &mut self,
        state: &State<N>,
        successors: &mut Vec<(State<N>, i64, Self::Label)>,
    ) {
        let Parts {
            view,
            clock,
            simple,
            ..
        } = self.parts;
        let t = view.tables;
        let used = i64::try_from(self.used(&state.key)).expect("steps are few");
        let end = view.settle(&state.key, used).and_then(|(cost, time)| {
            let clocked = clock.settle(&state.words, state.now + time)?;
            Some(cost + clocked)
        });
        if let Some(cost) = end {
            let ended = State {
                ended: true,
                words: Vec::new(),
                ..*state
            };
            successors.push((ended, cost, None));
        }
        let info = self.info(&state.key);
        let may_gain = |step: usize| clock.may_gain_by_delay(&state.words, state.now, step);
        let room = |_, _| i64::MAX / 8;
        view.expand(
            &mut self.moves,
            &state.key,
            &info,
            used + 1,
            room,
            may_gain,
            |s| {
                let duration = t.problem.steps[s.step].duration;
                let start = state.now + s.changeover;
                let timed = Timed {
                    step: s.step,
                    start,
                    end: start + duration,
                };
                let mut words = Vec::with_capacity(state.words.len());
                let Some(clocked) = clock.advance(&state.words, &timed, &mut words) else {
                    return;
                };
                let (shadow, shadow_cost) = if state.shadow == state.key && s.delayed == 0 {
                    (s.key, s.cost)
                } else {
                    let (shadow, cost, _) = follow(view, &state.shadow, &state.key, &s);
                    (shadow, cost)
                };
                let next = State {
                    key: s.key,
                    ended: false,
                    shadow,
                    shadow_owes: state.shadow_owes + shadow_cost - s.cost,
                    now: timed.end,
                    words,
                    longest: info.longest - duration,
                    least: simple.time(t, &s.key),
                };
                successors.push((next, s.cost + clocked, Some((s.step, s.key))));
            },
        );
    }

    fn get_base_cost(&mut self, state: &State<N>) -> Option<i64> {
        state.ended.then_some(0)
    }
}

impl<const N: usize> Dominance for Model<'_, N> {
    type State = State<N>;
    type Key = (Bits<N>, bool);

    fn get_key(&self, state: &State<N>) -> Self::Key {
        (state.key, state.ended)
    }

    fn compare(&self, a: &State<N>, b: &State<N>) -> Option<Ordering> {
        if a.ended {
            return Some(Ordering::Equal);
        }
        let no_harm = |a: &State<N>, b: &State<N>| {
            let ahead = Ahead {
                done: &b.key,
                longest: b.longest,
                least: b.least,
            };
            let [a, b] = [a, b].map(|s| Clocked {
                now: s.now,
                words: &s.words,
            });
            self.parts.clock.harm(&a, &b, &ahead, 0).is_some()
        };
        match (no_harm(a, b), no_harm(b, a)) {
            (true, true) => Some(Ordering::Equal),
            (true, false) => Some(Ordering::Greater),
            (false, true) => Some(Ordering::Less),
            (false, false) => None,
        }
    }
}

impl<const N: usize> Bound for Model<'_, N> {
    type State = State<N>;
    type CostType = i64;

    fn get_dual_bound(&self, state: &State<N>) -> Option<i64> {
        let Parts {
            view,
            clock,
            simple,
            table,
            leftout,
        } = self.parts;
        if state.ended {
            return Some(0);
        }
        let Some(table) = table else {
            return Some(simple.rest(view.tables, &state.key));
        };
        let mut cost = table.get(self.used(&state.key), &state.shadow)?.cost;
        let left = view.tables.all & !table.facets;
        if left != 0 {
            let rests = leftout.rest(left, &state.shadow);
            cost += leftout.cost(&rests, view.layout, &state.shadow);
        }
        let paid_ahead = clock.paid_ahead(&state.words, state.now, &state.key);
        Some((cost + state.shadow_owes - paid_ahead).max(0))
    }
}
