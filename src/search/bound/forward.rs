//! The way forward of a table: all states of a relaxed problem that may still lead below a figure, layer by layer, and the transitions
//! between them.
//!
//! A layer is filled one done set at a time, from all the done sets that lead to it: its states are then a small set of their own, what
//! the table before says of them lies together, and a state is dropped for good once all ways to it are known to be too dear. What a
//! step comes to whatever its set-up is worked out once for all states that differ in their set-ups alone.

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::charges::{Charges, Clocked, Placed};
use super::layer::{AllTakes, Edge, Layer, Reached, Takes};
use super::leftout::{LeftOut, Rest};
use super::simple::Simple;
use super::table::{Abandoned, Group, Table};
use super::to_go::ToGo;
use crate::search::budget::Meter;
use crate::search::done_set::Bits;
use crate::search::moves::Moves;
use crate::search::state::Layout;
use crate::search::successor::{DoneInfo, Onward, Successor, View};
use crate::search::tables::FacetSet;

/// While a front is made the clock is looked at once in so many done sets.
const LOOK: usize = 1024;

/// Within which a table is made.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a, const N: usize> {
    /// Only plans that cost less are of interest.
    pub below: i64,
    /// The table of a view with a part of the scope, made for at least this `below`.
    pub previous: Option<&'a Table<N>>,
    /// The plain bound.
    pub simple: &'a Simple,
    /// What facets that are left out cost.
    pub leftout: &'a LeftOut<N>,
    /// The sure charges of demands on the clock.
    pub charges: &'a Charges<'a, N>,
    /// Bytes that it may take.
    pub memory: usize,
}

/// The way forward: all states and transitions that may lead below.
pub struct Forward<'f, 'v, const N: usize> {
    view: &'f View<'v, N>,
    frame: &'f Frame<'f, N>,
    /// The bits of the done set.
    pub done_mask: Bits<N>,
    /// Facets that are left out cost this much at least.
    pub apart: i64,
    /// Only plans that cost less are of interest; it can be [lowered](Self::lower) on the way.
    pub limit: i64,
    /// `limit` without what is left out.
    pub below: i64,
    /// Layers that are made.
    pub layers: Vec<Layer<N>>,
    /// What leads on from the last of them.
    front: Front<N>,
    /// Bytes of the layers before these.
    full: usize,
    /// Facets that are here and not in the table before.
    added: FacetSet,
    moves: Moves<N>,
    /// What transitions take.
    pub takes: AllTakes,
    target: Target<N>,
}

/// The states of one done set that are being reached.
#[derive(Default)]
struct Target<const N: usize> {
    index: HashMap<Bits<N>, u32, FxBuildHasher>,
    keys: Vec<Bits<N>>,
    reached: Vec<Reached>,
    rest: Vec<ToGo>,
    edges: Vec<Edge>,
}

/// What is known of a layer while it is being left.
#[derive(Default)]
struct Front<const N: usize> {
    /// For each state.
    reached: Vec<Reached>,
    /// For each done set.
    infos: Vec<DoneInfo>,
    /// Ways to the next layer.
    ways: Vec<Arrivals<N>>,
    /// Bytes that all this takes.
    bytes: usize,
}

/// What is known of a done set before its states are.
struct Entry<'f, const N: usize> {
    previous: Option<Group<'f, N>>,
    plain: ToGo,
    added: Vec<Rest>,
    /// No state of it costs less from here on.
    least: i64,
}

/// A done set and the ways to it.
type Arrivals<const N: usize> = (Bits<N>, Vec<Way>);

/// A way from one done set to another: the first is in a group of a layer, the step is one of its candidates.
#[derive(Clone, Copy)]
struct Way {
    group: u32,
    candidate: u32,
}

impl<'f, 'v, const N: usize> Forward<'f, 'v, N> {
    /// Makes ready.
    pub fn new(view: &'f View<'v, N>, frame: &'f Frame<'f, N>) -> Self {
        let t = view.tables;
        let done_mask = Layout::done_mask(t.n);
        let left = t.all & !view.scope.facets;
        let begin = view.layout.begin(t);
        let rests = frame.leftout.rest(left, &Bits::default());
        let apart = frame.leftout.cost(&rests, view.layout, &begin);
        Self {
            view,
            frame,
            done_mask,
            apart,
            limit: frame.below,
            below: frame.below - apart,
            layers: Vec::new(),
            front: Front::default(),
            full: 0,
            added: frame.previous.map_or(0, |p| view.scope.facets & !p.facets),
            moves: Moves::default(),
            takes: AllTakes::default(),
            target: Target::default(),
        }
    }

    /// From here on only plans that cost less are of interest.
    pub fn lower(&mut self, limit: i64) {
        self.limit = self.limit.min(limit);
        self.below = self.limit - self.apart;
    }

    /// Makes the layers, or goes on making them: until all are there (`true`) or, between two of them, they take so many bytes (`false`).
    ///
    /// # Errors
    /// [`Abandoned`] if they grow past their memory or the search has to stop.
    pub fn run(&mut self, meter: &mut Meter<'_>, pause: usize) -> Result<bool, Abandoned> {
        let n = self.view.tables.n;
        if self.layers.is_empty() {
            let root = self
                .view
                .layout
                .begin(self.view.tables)
                .and(&self.view.mask);
            let layer = Layer {
                groups: vec![(root.and(&self.done_mask), 0, 1)],
                keys: vec![root],
                cost: vec![0],
                edges: Vec::new(),
            };
            let reached = Reached {
                cost: 0,
                other: 0,
                time: 0,
            };
            self.front = self.front(&layer, vec![reached], meter)?;
            self.layers.push(layer);
        }
        for used in self.layers.len()..=n {
            if self.full > pause {
                return Ok(false);
            }
            let mut last = self.layers.pop().expect("there is a layer");
            let front = std::mem::take(&mut self.front);
            let mut next = Layer::default();
            let mut arrived = Vec::new();
            for (done, ways) in &front.ways {
                let Some(entry) = self.entry(done, used) else {
                    continue;
                };
                for way in ways {
                    self.arrive(&last, &front, *way, &entry, used - 1, meter)?;
                }
                self.keep(done, &mut last.edges, &mut next, &mut arrived);
                let growing = last.bytes()
                    + next.bytes()
                    + arrived.capacity() * size_of::<Reached>()
                    + front.bytes;
                if self.full + growing > self.frame.memory {
                    return Err(Abandoned::TooLarge);
                }
            }
            last.shrink();
            self.full += last.bytes();
            self.layers.push(last);
            if next.keys.is_empty() {
                break;
            }
            self.front = self.front(&next, arrived, meter)?;
            self.layers.push(next);
        }
        Ok(true)
    }

    /// What may follow each done set of a layer, and the done sets that this leads to.
    fn front(
        &mut self,
        layer: &Layer<N>,
        reached: Vec<Reached>,
        meter: &mut Meter<'_>,
    ) -> Result<Front<N>, Abandoned> {
        let most = self.frame.memory;
        let mut infos = Vec::with_capacity(layer.groups.len());
        let mut ways: Vec<Arrivals<N>> = Vec::new();
        let mut index: HashMap<Bits<N>, usize, FxBuildHasher> = HashMap::default();
        for (g, (done, _, _)) in layer.groups.iter().enumerate() {
            if g.is_multiple_of(LOOK) {
                if meter.is_over() {
                    return Err(Abandoned::Stopped);
                }
                if self.full + layer.bytes() + taken(&infos, &ways, index.capacity()) > most {
                    return Err(Abandoned::TooLarge);
                }
            }
            let info = self.view.done_info(done, &mut self.moves);
            for (k, &step) in info.candidates.iter().enumerate() {
                let mut target = *done;
                target.insert(step);
                let at = *index.entry(target).or_insert_with(|| {
                    ways.push((target, Vec::new()));
                    ways.len() - 1
                });
                let number = |x: usize| u32::try_from(x).expect("layers are bounded by memory");
                ways[at].1.push(Way {
                    group: number(g),
                    candidate: number(k),
                });
            }
            infos.push(info);
        }
        let bytes = reached.capacity() * size_of::<Reached>() + taken(&infos, &ways, 0);
        Ok(Front {
            reached,
            infos,
            ways,
            bytes,
        })
    }

    /// What is known of a done set; `None`: the table before has no state of it.
    fn entry(&self, done: &Bits<N>, used: usize) -> Option<Entry<'f, N>> {
        let t = self.view.tables;
        let previous = match self.frame.previous {
            None => None,
            Some(table) => Some(table.group(used, done)?),
        };
        // The plain bound counts the facets that are left out as well, so it is not added to what they cost by themselves.
        let plain = ToGo {
            cost: (self.frame.simple.rest(t, done) - self.apart).max(0),
            other: 0,
            time: self.frame.simple.time(t, done),
        };
        let least = previous.map_or(0, |p| p.least()).max(plain.cost);
        Some(Entry {
            previous,
            plain,
            added: self.frame.leftout.rest(self.added, done),
            least,
        })
    }

    /// All transitions from the states of a group with `used` steps done by one candidate.
    fn arrive(
        &mut self,
        layer: &Layer<N>,
        front: &Front<N>,
        way: Way,
        entry: &Entry<'f, N>,
        used: usize,
        meter: &mut Meter<'_>,
    ) -> Result<(), Abandoned> {
        let (view, frame, below) = (self.view, self.frame, self.below);
        let (_, first, last) = layer.groups[way.group as usize];
        let info = &front.infos[way.group as usize];
        let k = way.candidate as usize;
        let step = info.candidates[k];
        let place = i64::try_from(used + 1).expect("places are few");
        let mut onward: Option<(Bits<N>, Option<Onward<N>>)> = None;
        let mut arrival = Arrival {
            view,
            frame,
            below,
            apart: self.apart,
            info,
            entry,
            from: 0,
            reached: Reached {
                cost: 0,
                other: 0,
                time: 0,
            },
            charged: frame.charges.concerns(step),
        };
        for i in first..last {
            if !meter.go_on() {
                return Err(Abandoned::Stopped);
            }
            let key = &layer.keys[i as usize];
            let spine = key.and(&view.spine);
            let placed = match &onward {
                Some((of, placed)) if *of == spine => *placed,
                _ => {
                    let placed = view.onward(key, step, place);
                    onward = Some((spine, placed));
                    placed
                }
            };
            let Some(placed) = placed else { continue };
            arrival.from = i;
            arrival.reached = front.reached[i as usize];
            let room = below - arrival.reached.cost - entry.least;
            let (target, takes) = (&mut self.target, &mut self.takes);
            view.expand_step(
                &mut self.moves,
                key,
                &placed,
                info,
                k,
                place,
                room,
                true,
                |s| arrival.take(&s, target, takes),
            );
        }
        Ok(())
    }

    /// Keeps the states of a done set that may lead below, with their edges.
    fn keep(
        &mut self,
        done: &Bits<N>,
        edges: &mut Vec<Edge>,
        next: &mut Layer<N>,
        arrived: &mut Vec<Reached>,
    ) {
        let target = &mut self.target;
        let mut live: Vec<u32> = (0..u32::try_from(target.keys.len()).expect("bounded by memory"))
            .filter(|&i| {
                let (reached, rest) = (&target.reached[i as usize], &target.rest[i as usize]);
                reached.cost + rest.cost < self.below
            })
            .collect();
        let spine = &self.view.spine;
        live.sort_unstable_by_key(|&i| {
            let key = target.keys[i as usize];
            (key.and(spine), key)
        });
        let first = u32::try_from(next.keys.len()).expect("layers are bounded by memory");
        let mut number = vec![u32::MAX; target.keys.len()];
        for (new, &old) in (first..).zip(&live) {
            number[old as usize] = new;
            next.keys.push(target.keys[old as usize]);
            next.cost.push(target.reached[old as usize].cost);
            arrived.push(target.reached[old as usize]);
        }
        if !live.is_empty() {
            let last = u32::try_from(next.keys.len()).expect("layers are bounded by memory");
            next.groups.push((*done, first, last));
        }
        for edge in target.edges.drain(..) {
            let to = number[edge.to as usize];
            if to != u32::MAX {
                edges.push(Edge { to, ..edge });
            }
        }
        target.index.clear();
        target.keys.clear();
        target.reached.clear();
        target.rest.clear();
    }
}

/// Bytes that a front takes while it is made, with room for so many entries in its index. What each done set holds is reckoned from the last,
/// which is like the others of its layer.
fn taken<const N: usize>(infos: &[DoneInfo], ways: &[Arrivals<N>], indexed: usize) -> usize {
    let of_info = infos.last().map_or(0, |info| {
        let step = size_of::<usize>() + size_of::<u32>();
        size_of::<DoneInfo>() + info.candidates.capacity() * (step + 2 * size_of::<Way>())
    });
    let of_ways = ways.len().next_power_of_two() * size_of::<Arrivals<N>>();
    let of_index = indexed * (size_of::<(Bits<N>, usize)>() + 1);
    infos.len() * of_info + of_ways + of_index
}

/// A step placed after a state.
struct Arrival<'x, 'v, const N: usize> {
    view: &'x View<'v, N>,
    frame: &'x Frame<'x, N>,
    below: i64,
    apart: i64,
    info: &'x DoneInfo,
    entry: &'x Entry<'x, N>,
    from: u32,
    reached: Reached,
    charged: bool,
}

impl<const N: usize> Arrival<'_, '_, N> {
    /// What is to come from a new state; `None`: nothing below.
    fn rest(&self, key: &Bits<N>) -> Option<ToGo> {
        let mut rest = self.entry.plain;
        if let Some(previous) = &self.entry.previous {
            let to_go = previous.get(key)?;
            let added = self
                .frame
                .leftout
                .cost(&self.entry.added, self.view.layout, key);
            rest.cost = rest.cost.max(to_go.cost + added);
            rest.other = to_go.other;
            rest.time = rest.time.max(to_go.time);
        }
        Some(rest)
    }

    fn take(&self, s: &Successor<N>, target: &mut Target<N>, takes: &mut AllTakes) {
        let t = self.view.tables;
        let (key, cost, duration) = (s.key, s.cost, t.problem.steps[s.step].duration);
        let known = target.index.get(&key).copied();
        let rest = match known {
            Some(at) => target.rest[at as usize],
            None => match self.rest(&key) {
                Some(rest) => rest,
                None => return,
            },
        };
        let mut edge = Takes {
            cost,
            other: cost - s.changeover * t.problem.time_weight,
            time: s.changeover + duration,
        };
        if self.charged {
            let Some(sure) = self.sure(s, &edge, &rest) else {
                return;
            };
            edge.cost += sure;
            edge.other += sure;
        }
        let cost = self.reached.cost + edge.cost;
        let (other, time) = (
            self.reached.other + edge.other,
            self.reached.time + edge.time,
        );
        if cost + rest.cost >= self.below {
            return;
        }
        let to = if let Some(to) = known {
            let state = &mut target.reached[to as usize];
            state.cost = state.cost.min(cost);
            state.other = state.other.min(other);
            state.time = state.time.min(time);
            to
        } else {
            let to = u32::try_from(target.keys.len()).expect("layers are bounded by memory");
            target.index.insert(key, to);
            target.keys.push(key);
            target.reached.push(Reached { cost, other, time });
            target.rest.push(rest);
            to
        };
        target.edges.push(Edge {
            from: self.from,
            to,
            takes: takes.number(edge),
        });
    }

    /// What the demands on the clock surely cost.
    fn sure(&self, s: &Successor<N>, edge: &Takes, rest: &ToGo) -> Option<i64> {
        let placed = Placed {
            step: s.step,
            soonest: self.reached.time + s.changeover,
            worked: self.info.worked,
            longest: self.info.longest,
            other: self.reached.other + edge.other,
        };
        let limit = self.below + self.apart;
        let clocked = Clocked::of(self.view.tables, &placed, rest, limit);
        self.frame.charges.least(s.step, &clocked)
    }
}
