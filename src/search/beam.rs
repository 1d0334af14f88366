//! The search of the full problem: layer by layer, one step more in each, keeping the most promising partial plans. A width at which
//! nothing was cut has seen everything that could be better: its end is the proof (complete anytime beam search; Zhang 1998, Kuroiwa
//! and Beck, ICAPS 2023).
//!
//! A plan is read in the table as its [shadow](super::shadow).

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::bound::leftout::LeftOut;
use super::bound::simple::Simple;
use super::bound::table::Table;
use super::bound::to_go::ToGo;
use super::budget::Meter;
use super::dominance::dominates;
use super::done_set::Bits;
use super::incumbent::{Better, Incumbent};
use super::moves::Moves;
use super::outcome::Plan;
use super::shadow::follow;
use super::state::Layout;
use super::successor::{DoneInfo, Successor, View};
use super::track::clock::ClockTracker;
use super::track::clock_set::{ClockSet, Clocked};
use super::track::event::{Ahead, Span, Timed, Words};
use crate::problem::demand::Kind;

/// What a beam searches with.
pub struct Guide<'a, const N: usize> {
    /// The whole problem with its clock.
    pub view: &'a View<'a, N>,
    /// The clock trackers.
    pub clock: &'a ClockSet<N>,
    /// The best table so far, if there is one.
    pub table: Option<&'a Table<N>>,
    /// The plain bound behind it.
    pub simple: &'a Simple,
    /// What facets cost that the table leaves out.
    pub leftout: &'a LeftOut<N>,
    /// Bytes that it may take.
    pub memory: usize,
    /// Only plans that cost less are of interest. Where the table was made for less, what it leaves out counts as cut.
    pub limit: i64,
}

/// How a beam ended.
#[derive(Debug, Default)]
pub struct Swept {
    /// Nothing was cut and nobody stopped it: whatever is better than the incumbent was found.
    pub complete: bool,
    /// The least that anything cut may lead to; `None`: nothing was cut (or it was stopped: then nothing is known).
    pub cut: Option<i64>,
    /// It had to stop.
    pub stopped: bool,
    /// Memory kept it narrower than asked for in some layer: a wider one would be no wider.
    pub narrow: bool,
}

#[derive(Clone, Copy)]
struct Node<const N: usize> {
    key: Bits<N>,
    shadow: Bits<N>,
    cost: i64,
    shadow_cost: i64,
    now: i64,
    shadow_now: i64,
    least: i64,
    /// Least time until the class ends, in plans of less than the limit.
    to_go: i64,
    strays: u32,
    parent: u32,
    next: u32,
    dead: bool,
}

const NOBODY: u32 = u32::MAX;

/// States that a layer may hold however little memory there is.
const LEAST: usize = 1000;

/// No plan costs as much: what reaches this breaks a demand that must hold.
const DEAD: i64 = i64::MAX / 16 + 1;

/// One layer: its nodes and, for each, the words of the clock trackers.
struct Layer<const N: usize> {
    nodes: Vec<Node<N>>,
    words: Vec<Words>,
}

impl<const N: usize> Guide<'_, N> {
    /// How many states a layer may hold, where the layers before it keep `past` of them: a layer and the next one, with the index of the next,
    /// take most of the memory; of the past the way back is kept.
    fn most(&self, past: usize) -> usize {
        let state = size_of::<Node<N>>() + self.clock.words() * size_of::<i64>();
        let index = 2 * size_of::<(Bits<N>, u32)>();
        let left = (self.memory).saturating_sub(past * size_of::<(Bits<N>, u32)>());
        (left / (2 * state + index)).max(LEAST)
    }

    /// Runs a beam of this width. Better plans replace `incumbent` as they are found.
    pub fn sweep(
        &self,
        width: usize,
        better: Better,
        incumbent: &mut Incumbent,
        meter: &mut Meter<'_>,
    ) -> Swept {
        let t = self.view.tables;
        let done_mask = Layout::done_mask(t.n);
        let key = self.view.layout.begin(t);
        let root = Node {
            key,
            shadow: key,
            cost: 0,
            shadow_cost: 0,
            now: 0,
            shadow_now: 0,
            least: 0,
            to_go: 0,
            strays: 0,
            parent: NOBODY,
            next: NOBODY,
            dead: false,
        };
        let count = self.clock.words();
        let mut past: Vec<Vec<(Bits<N>, u32)>> = Vec::new();
        let mut layer = Layer {
            nodes: vec![root],
            words: self.clock.begin(),
        };
        let mut held = 0;
        let mut swept = Swept {
            complete: true,
            ..Swept::default()
        };
        let mut moves = Moves::default();
        let slack = i64::from(better == Better::ScoreThenOrder);
        for used in 0.. {
            past.push(layer.nodes.iter().map(|n| (n.key, n.parent)).collect());
            held += layer.nodes.len();
            let most = self.most(held);
            swept.narrow |= most < width;
            let width = width.min(most);
            let mut next: Layer<N> = Layer {
                nodes: Vec::new(),
                words: Vec::new(),
            };
            let mut heads: HashMap<Bits<N>, u32, FxBuildHasher> = HashMap::default();
            let mut infos: HashMap<Bits<N>, (DoneInfo, Vec<Option<i64>>), FxBuildHasher> =
                HashMap::default();
            for index in 0..layer.nodes.len() {
                if !meter.go_on() {
                    swept.complete = false;
                    swept.stopped = true;
                    return swept;
                }
                let node = layer.nodes[index];
                if node.least >= self.below(incumbent, slack) {
                    continue;
                }
                let words = &layer.words[index * count..(index + 1) * count];
                self.finish(&node, words, used, better, incumbent, &past, index);
                let (info, ahead) = infos.entry(node.key.and(&done_mask)).or_insert_with(|| {
                    let info = self.view.done_info(&node.key, &mut moves);
                    let ahead = self.least_ahead(&node.key, &info, used);
                    (info, ahead)
                });
                let may_gain = |step: usize| self.clock.may_gain_by_delay(words, node.now, step);
                let below = self.below(incumbent, slack);
                let (info, ahead) = (&*info, &*ahead);
                let plain = node.shadow == node.key;
                // A plan that has changed something earlier than its shadow has paid some of what the table still has to come.
                let spare = below - node.cost;
                let paid_ahead = self.clock.paid_ahead(words, node.now, &node.key);
                let room = |k: usize, patient: bool| match ahead[k] {
                    None => 0,
                    Some(least) if plain && patient => spare.min(spare + paid_ahead - least),
                    Some(_) => spare,
                };
                self.view
                    .expand(&mut moves, &node.key, info, used + 1, room, may_gain, |s| {
                        self.place(
                            &node, index, words, info, &s, below, used, &mut next, &mut heads,
                        );
                    });
                if next.nodes.len() > (4 * width).max(1000).min(most) {
                    let cut = trim(&mut next, width, count);
                    swept.note_cut(cut);
                    heads.clear();
                    for (i, node) in next.nodes.iter_mut().enumerate() {
                        let i = u32::try_from(i).expect("layers are bounded by memory");
                        node.next = heads.insert(node.key, i).unwrap_or(NOBODY);
                    }
                }
            }
            let cut = trim(&mut next, width, count);
            swept.note_cut(cut);
            if next.nodes.is_empty() {
                // The table may have cut what costs as much as it was made for, or more.
                let told = self.table.map_or(i64::MAX, |table| table.below);
                if told < self.below(incumbent, 0) {
                    swept.note_cut(Some(told));
                }
                return swept;
            }
            layer = next;
        }
        swept
    }

    fn below(&self, incumbent: &Incumbent, slack: i64) -> i64 {
        self.limit.min(incumbent.below() + slack)
    }

    /// Ends the class after `node`, if that can be done, and keeps the plan if it is better.
    #[expect(
        clippy::too_many_arguments,
        reason = "the state of the sweep, borrowed in parts"
    )]
    fn finish(
        &self,
        node: &Node<N>,
        words: &[Words],
        used: i64,
        better: Better,
        incumbent: &mut Incumbent,
        past: &[Vec<(Bits<N>, u32)>],
        index: usize,
    ) {
        let Some((cost, time)) = self.view.settle(&node.key, used) else {
            return;
        };
        let finish = node.now + time;
        let Some(clocked) = self.clock.settle(words, finish) else {
            return;
        };
        let score = node.cost + cost + clocked;
        let nearer = better == Better::ScoreThenOrder
            && score == incumbent.below()
            && node.strays < incumbent.strays;
        if score < incumbent.below() || nearer {
            let (order, setups) = self.trace(past, index);
            *incumbent = Incumbent {
                plan: Some(Plan {
                    order,
                    setups,
                    score,
                }),
                strays: node.strays,
                ..*incumbent
            };
        }
    }

    fn trace(&self, past: &[Vec<(Bits<N>, u32)>], index: usize) -> (Vec<usize>, Vec<Vec<usize>>) {
        let (mut order, mut setups) = (Vec::new(), Vec::new());
        let done_mask = Layout::done_mask(self.view.tables.n);
        let mut at = index;
        for depth in (1..past.len()).rev() {
            let (key, parent) = past[depth][at];
            let before = past[depth - 1][parent as usize].0;
            let step = key
                .minus(&before)
                .and(&done_mask)
                .iter()
                .next()
                .expect("a layer has one step more");
            order.push(step);
            let value = |f| usize::try_from(key.get(f)).expect("values are few");
            setups.push(self.view.layout.value.iter().map(|&f| value(f)).collect());
            at = parent as usize;
        }
        order.reverse();
        setups.reverse();
        (order, setups)
    }

    /// Puts a successor into the next layer, unless it cannot be better than `below` or something there dominates it.
    #[expect(
        clippy::too_many_arguments,
        reason = "the state of the sweep, borrowed in parts"
    )]
    fn place(
        &self,
        node: &Node<N>,
        index: usize,
        words: &[Words],
        info: &DoneInfo,
        s: &Successor<N>,
        below: i64,
        used: i64,
        next: &mut Layer<N>,
        heads: &mut HashMap<Bits<N>, u32, FxBuildHasher>,
    ) {
        let t = self.view.tables;
        let duration = t.problem.steps[s.step].duration;
        let start = node.now + s.changeover;
        let timed = Timed {
            step: s.step,
            start,
            end: start + duration,
        };
        let base = next.words.len();
        let Some(clocked) = self.clock.advance(words, &timed, &mut next.words) else {
            return;
        };
        let (shadow, shadow_cost, shadow_time) = if node.shadow == node.key && s.delayed == 0 {
            (s.key, s.cost, s.changeover)
        } else {
            follow(self.view, &node.shadow, &node.key, s)
        };
        let strays = (0..s.step)
            .filter(|&e| t.must.has(e) && !node.key.has(e))
            .count();
        let mut new = Node {
            key: s.key,
            shadow,
            cost: node.cost + s.cost + clocked,
            shadow_cost: node.shadow_cost + shadow_cost + clocked,
            now: timed.end,
            shadow_now: node.shadow_now + shadow_time + duration,
            least: node.least,
            to_go: 0,
            strays: node.strays + u32::try_from(strays).expect("steps are few"),
            parent: u32::try_from(index).expect("layers are bounded by memory"),
            next: NOBODY,
            dead: false,
        };
        let to_go = match self.table {
            None => Some(ToGo {
                cost: self.simple.rest(t, &new.key),
                other: 0,
                time: self.simple.time(t, &new.key),
            }),
            Some(table) => self.look_up(
                table,
                usize::try_from(used + 1).expect("places are few"),
                &new.shadow,
            ),
        };
        let to_go = to_go.filter(|to_go| {
            let words = &next.words[base..];
            let ahead = self.clock.paid_ahead(words, new.now, &new.key);
            let paid = new.shadow_cost - ahead;
            let owed = self.owed(&new, words, paid, to_go, info, duration, below);
            new.least = new.least.max(paid + to_go.cost + owed);
            new.to_go = (to_go.time - t.ahead).max(0);
            new.least < below.min(DEAD) && self.in_time(&new, to_go.time, info, s.step)
        });
        if to_go.is_none() {
            next.words.truncate(base);
            return;
        }
        let count = self.clock.words();
        let (done, longest) = (new.key, info.longest - duration);
        // What follows is known to take so long only in plans of less than the limit, so it is the one to be forgotten that tells.
        let ahead = |least: i64| Ahead {
            done: &done,
            longest,
            least,
        };
        let head = heads.get(&new.key).copied().unwrap_or(NOBODY);
        let fresh = Clocked {
            now: new.now,
            words: &next.words[base..],
        };
        let mut at = head;
        let mut forgotten = false;
        while at != NOBODY && !forgotten {
            let i = at as usize;
            let old = &mut next.nodes[i];
            at = old.next;
            if old.dead {
                continue;
            }
            let a = (
                old.cost,
                &Clocked {
                    now: old.now,
                    words: &next.words[i * count..(i + 1) * count],
                },
            );
            let b = (new.cost, &fresh);
            let (for_new, for_old) = (ahead(new.to_go), ahead(old.to_go));
            let tie = old.cost == new.cost && old.strays > new.strays;
            if !tie && dominates(self.clock, a, b, &for_new) {
                forgotten = true;
            } else if dominates(self.clock, b, a, &for_old) {
                old.dead = true;
            } else if tie && dominates(self.clock, a, b, &for_new) {
                forgotten = true;
            }
        }
        if forgotten {
            next.words.truncate(base);
            return;
        }
        new.next = head;
        heads.insert(
            new.key,
            u32::try_from(next.nodes.len()).expect("layers are bounded by memory"),
        );
        next.nodes.push(new);
    }

    /// For each candidate the least that is still to come after it, in any set-up; `None`: nothing below.
    fn least_ahead(&self, key: &Bits<N>, info: &DoneInfo, used: i64) -> Vec<Option<i64>> {
        let Some(table) = self.table else {
            return vec![Some(0); info.candidates.len()];
        };
        let used = usize::try_from(used + 1).expect("places are few");
        let after = |&step: &usize| {
            let mut key = *key;
            key.insert(step);
            table.group(used, &key).map(|g| g.least())
        };
        info.candidates.iter().map(after).collect()
    }

    fn look_up(&self, table: &Table<N>, used: usize, key: &Bits<N>) -> Option<ToGo> {
        let mut to_go = table.get(used, key)?;
        let left = self.view.tables.all & !table.facets;
        if left != 0 {
            let rests = self.leftout.rest(left, key);
            to_go.cost += self.leftout.cost(&rests, self.view.layout, key);
        }
        Some(to_go)
    }

    /// What the demands on the clock are sure to cost on top of what is paid and what the table has: see `ClockTracker::owed`. `paid`: what
    /// the shadow has paid, less what is paid of charges that the table still has.
    #[expect(
        clippy::too_many_arguments,
        reason = "the state of the sweep, borrowed in parts"
    )]
    fn owed(
        &self,
        new: &Node<N>,
        words: &[Words],
        paid: i64,
        to_go: &ToGo,
        info: &DoneInfo,
        duration: i64,
        below: i64,
    ) -> i64 {
        let t = self.view.tables;
        let left = match t.problem.time_weight {
            0 => i64::MAX / 4,
            weight => (below - 1 - paid - to_go.other).max(0) / weight + t.ahead,
        };
        let undone = t.all_durations - info.worked - duration;
        let least = new.shadow_now + to_go.time;
        let finish = Span {
            from: least,
            to: (new.now + (undone + left).min(info.longest - duration)).max(least),
        };
        self.clock.owed(words, &finish)
    }

    /// Whether the demands on the clock that must hold can still be kept, as far as times alone tell. `time`: least time to come.
    fn in_time(&self, new: &Node<N>, time: i64, info: &DoneInfo, step: usize) -> bool {
        let t = self.view.tables;
        self.clock.trackers().iter().all(|tracker| match tracker {
            ClockTracker::Fits(f) => f
                .must_end_by()
                .is_none_or(|total| new.shadow_now + time <= total),
            _ => true,
        }) && t
            .problem
            .demands
            .iter()
            .filter(|d| d.weight.is_none())
            .all(|d| match &d.kind {
                Kind::Window(w) if t.must.has(w.step) && !new.key.has(w.step) => {
                    let sum =
                        |s: &Bits<N>| s.iter().map(|s| t.problem.steps[s].duration).sum::<i64>();
                    let soonest = new.now + sum(&t.need[w.step].minus(&new.key));
                    let after = sum(&t.bar[w.step].and(&t.must));
                    let duration = |s: usize| t.problem.steps[s].duration;
                    let latest = new.now + info.longest - duration(step) - duration(w.step) - after;
                    soonest <= w.to && latest >= w.from
                }
                _ => true,
            })
    }
}

impl Swept {
    fn note_cut(&mut self, cut: Option<i64>) {
        if let Some(least) = cut {
            self.complete = false;
            self.cut = Some(self.cut.map_or(least, |c| c.min(least)));
        }
    }
}

/// Drops the dominated nodes, orders the rest by promise and keeps the first `width`; the least that a node cut off may lead to.
fn trim<const N: usize>(layer: &mut Layer<N>, width: usize, count: usize) -> Option<i64> {
    let mut live: Vec<usize> = (0..layer.nodes.len())
        .filter(|&i| !layer.nodes[i].dead)
        .collect();
    live.sort_by_key(|&i| {
        (
            layer.nodes[i].least,
            layer.nodes[i].cost,
            layer.nodes[i].strays,
        )
    });
    let cut = live.get(width).map(|&i| layer.nodes[i].least);
    live.truncate(width);
    layer.words = live
        .iter()
        .flat_map(|&i| layer.words[i * count..(i + 1) * count].to_vec())
        .collect();
    layer.nodes = live
        .iter()
        .map(|&i| Node {
            next: NOBODY,
            ..layer.nodes[i]
        })
        .collect();
    cut
}
