//! What the facets may do before a step: every set-up that it may have, from the set-up before it.
//!
//! The list depends on the set-up before, on the posture before, on the step and on what may change early, and on nothing else of a
//! state: so it is worked out once and kept, cheapest first. It is worked out up to a cost, and again if more is asked for.

use std::collections::HashMap;

use rustc_hash::FxBuildHasher;

use super::done_set::Bits;
use super::state::Layout;
use super::tables::{FacetSet, Tables};

/// The facets that a view of the problem keeps.
#[derive(Debug)]
pub struct Kept<'a, const N: usize> {
    /// The tables.
    pub tables: &'a Tables<'a, N>,
    /// Where values stand in a key.
    pub layout: &'a Layout,
    /// The facets.
    pub facets: Vec<usize>,
    /// Whether none is left out.
    pub whole: bool,
}

/// What all facets that are kept do before one step.
#[derive(Debug, Clone, Copy)]
pub struct FacetMove<const N: usize> {
    /// Values, and which are due: the set-up part of the new key.
    pub bits: Bits<N>,
    /// Cost: time of the change-over at its weight, the stop, penalties.
    pub cost: i64,
    /// Time of the change-over, way included.
    pub changeover: i64,
    /// The facets that change.
    pub changed: FacetSet,
    /// Facets changed early against the rules (a) to (c) of [`super::successor`].
    pub delayed: FacetSet,
}

#[derive(PartialEq, Eq, Hash)]
struct Place<const N: usize> {
    setup: Bits<N>,
    step_and_row: u32,
    early: u32,
}

#[derive(Debug, Clone, Copy)]
struct List {
    /// Whatever costs less is in the list.
    room: i64,
    from: usize,
    to: usize,
}

/// The lists of one view.
#[derive(Debug, Default)]
pub struct Moves<const N: usize> {
    early: HashMap<Vec<Bits<N>>, u32, FxBuildHasher>,
    numbers: HashMap<Vec<Vec<u16>>, u32, FxBuildHasher>,
    values: Vec<Vec<Vec<u16>>>,
    lists: HashMap<Place<N>, List, FxBuildHasher>,
    arena: Vec<FacetMove<N>>,
}

impl<const N: usize> std::fmt::Debug for Place<N> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}", self.setup)
    }
}

/// The lists are dropped and begun again once they hold so many bytes.
const MOST_BYTES: usize = 48 << 20;

/// What one facet does before a step.
#[derive(Debug, Clone, Copy)]
struct Move {
    value: u16,
    cost: i64,
    time: i64,
    /// Bits of the facet in the sets that it joins.
    changed: FacetSet,
    early: FacetSet,
    mask: u32,
    due: bool,
}

/// What the facets chosen so far come to.
#[derive(Clone, Copy)]
struct Sum<const N: usize> {
    bits: Bits<N>,
    cost: i64,
    time: i64,
    changed: FacetSet,
    early: FacetSet,
    mask: u32,
}

/// What does not change while the set-ups of one step are tried.
struct Trial<'v, 'a, const N: usize> {
    kept: &'v Kept<'a, N>,
    step: usize,
    row: usize,
    patient: bool,
    room: i64,
    options: Vec<Vec<Move>>,
}

impl<const N: usize> Moves<N> {
    /// The number of the lists of values (for each facet those that it may be given early) that are `asked` for; `lists` looks them up.
    pub fn early(
        &mut self,
        asked: &[Bits<N>],
        lists: impl FnOnce(&[Bits<N>]) -> Vec<Vec<u16>>,
    ) -> u32 {
        if let Some(&number) = self.early.get(asked) {
            return number;
        }
        let lists = lists(asked);
        let new = u32::try_from(self.values.len()).expect("lists are bounded by memory");
        let number = *self.numbers.entry(lists).or_insert_with_key(|lists| {
            self.values.push(lists.clone());
            new
        });
        self.early.insert(asked.to_vec(), number);
        number
    }

    /// All moves of at most the cost `room` (and perhaps some more), cheapest first.
    #[expect(clippy::too_many_arguments, reason = "what a list depends on")]
    #[inline]
    pub fn list(
        &mut self,
        kept: &Kept<'_, N>,
        setup: &Bits<N>,
        step: usize,
        row: usize,
        patient: bool,
        early: u32,
        room: i64,
    ) -> &[FacetMove<N>] {
        let packed = (step * kept.tables.rows() + row) * 2 + usize::from(patient);
        let place = Place {
            setup: *setup,
            step_and_row: u32::try_from(packed).expect("steps and postures are few"),
            early,
        };
        if let Some(list) = self.lists.get(&place)
            && list.room >= room
        {
            return &self.arena[list.from..list.to];
        }
        self.make(kept, place, step, row, patient, room)
    }

    fn make(
        &mut self,
        kept: &Kept<'_, N>,
        place: Place<N>,
        step: usize,
        row: usize,
        patient: bool,
        room: i64,
    ) -> &[FacetMove<N>] {
        if self.arena.len() * size_of::<FacetMove<N>>() > MOST_BYTES {
            self.arena.clear();
            self.lists.clear();
        }
        // With a margin, so that a little more asked for later is there already.
        let room = room.saturating_add(room / 2);
        let trial = Trial {
            kept,
            step,
            row,
            patient,
            room,
            options: options(
                kept,
                &place.setup,
                step,
                patient,
                &self.values[place.early as usize],
            ),
        };
        let from = self.arena.len();
        let sum = Sum {
            bits: Bits::default(),
            cost: 0,
            time: 0,
            changed: 0,
            early: 0,
            mask: 0,
        };
        trial.choose(0, &sum, &mut self.arena);
        self.arena[from..].sort_by_key(|m| m.cost);
        let list = List {
            room,
            from,
            to: self.arena.len(),
        };
        self.lists.insert(place, list);
        &self.arena[from..]
    }
}

/// For each facet that is kept what it may do.
fn options<const N: usize>(
    kept: &Kept<'_, N>,
    setup: &Bits<N>,
    step: usize,
    patient: bool,
    early: &[Vec<u16>],
) -> Vec<Vec<Move>> {
    let t = kept.tables;
    let of = |&f: &usize| -> Vec<Move> {
        let now = kept.layout.value_in(setup, f);
        let due = setup.get(kept.layout.due[f]) == 1;
        let to = |value: usize, penalty: i64| {
            let time = t.problem.facets[f].change[now][value];
            let moved = value != now;
            Move {
                value: u16::try_from(value).expect("values are few"),
                cost: time * t.problem.time_weight + penalty,
                time,
                changed: FacetSet::from(moved) << f,
                early: 0,
                mask: if moved { t.reach_bit[f] } else { 0 },
                due: false,
            }
        };
        match t.choices(step, f) {
            Some(choices) => choices
                .iter()
                .filter(|c| !due || c.value == now)
                .map(|c| to(c.value, c.penalty))
                .collect(),
            None => {
                let bit: FacetSet = 1 << f;
                let stays = Move { due, ..to(now, 0) };
                let may = !due && ((t.loose | t.halts) & bit != 0 || !patient);
                let others = early[f].iter().map(|&v| usize::from(v));
                let others = others.filter(|&v| may && v != now).map(|v| Move {
                    due: true,
                    early: bit,
                    ..to(v, 0)
                });
                std::iter::once(stays).chain(others).collect()
            }
        }
    };
    kept.facets.iter().map(of).collect()
}

impl<const N: usize> Trial<'_, '_, N> {
    /// Tries what the facets from the `depth`-th on may do.
    fn choose(&self, depth: usize, sum: &Sum<N>, out: &mut Vec<FacetMove<N>>) {
        if sum.cost >= self.room {
            return;
        }
        let Some(&f) = self.kept.facets.get(depth) else {
            self.chosen(sum, out);
            return;
        };
        for m in &self.options[depth] {
            let mut next = Sum {
                bits: sum.bits,
                cost: sum.cost + m.cost,
                time: sum.time + m.time,
                changed: sum.changed | m.changed,
                early: sum.early | m.early,
                mask: sum.mask | m.mask,
            };
            next.bits.set(self.kept.layout.value[f], u64::from(m.value));
            next.bits.set(self.kept.layout.due[f], u64::from(m.due));
            self.choose(depth + 1, &next, out);
        }
    }

    fn chosen(&self, sum: &Sum<N>, out: &mut Vec<FacetMove<N>>) {
        let t = self.kept.tables;
        let halting = sum.changed & t.halts;
        let company = halting & (!sum.early | t.loose) != 0 || !self.kept.whole;
        let alone = sum.early & !t.loose;
        let delayed = if company { alone & !t.halts } else { alone };
        if delayed != 0 && self.patient {
            return;
        }
        let way = t.way(sum.mask, self.row, t.problem.steps[self.step].start);
        let mut cost = sum.cost + way * t.problem.time_weight;
        if halting != 0 {
            cost += t.problem.stop_weight;
        }
        if cost < self.room {
            out.push(FacetMove {
                bits: sum.bits,
                cost,
                changeover: sum.time + way,
                changed: sum.changed,
                delayed,
            });
        }
    }
}
