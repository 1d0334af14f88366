//! Transitions out of a state: which step comes next, with which set-up, and what that costs without the clock.
//!
//! # Early changes
//!
//! A facet that a step does not care about keeps its value, or changes once and for good to what the next step that cares (or the
//! end) has. Trying every early change everywhere would be exact and slow.
//!
//! **Claim.** Without a demand on single times it suffices to change early (a) facets with a reach, or whose value counts at a step
//! that does not care (a `same` demand), anywhere; (b) other facets that halt the class, only in company: in a change-over that
//! halts anyway for a facet that the step cares about or one of (a); (c) other facets never.
//!
//! **Why.** A facet of (c) takes its time and nothing else wherever it changes, so the step that cares may as well change it. Facets of
//! (b) changed early without company make a stop of their own; let them all wait for the first step that cares about one of them:
//! there is one stop there for the one here. With metric costs a second change in between gains nothing (and is not allowed).
//!
//! **Claim.** Where single times matter, early changes outside (a) to (c) are needed only directly before a step that may gain by a delay
//! ([`super::track::clock::ClockTracker::may_gain_by_delay`]).
//!
//! **Why.** Move such a change from before step k to before the next step: only k starts and ends earlier, which is no worse for any demand
//! if k cannot gain by a delay; the score without the clock stays or falls, as above. Repeat until it stands before a step that can,
//! or where (a) to (c) allow it.
//!
//! **Relaxations.** With some facets left out, the company of (b) may be a facet that is left out, so (b) is allowed anywhere.
//!
//! **Tested by** `brute_force` and `claims` (problems with clocks, reach and facets that do not halt, against every early change tried),
//! the promise of a delay by `trackers` (`a_step_that_cannot_gain_by_a_delay_does_not`).

use super::done_set::Bits;
use super::state::Layout;
use super::tables::{FacetSet, MAX_FACETS, Tables};
use super::track::event::{Advance, Settle};
use super::track::order::OrderTracker;

/// What depends on the done set alone, worked out once for all states that share it.
#[derive(Debug, Clone)]
pub struct DoneInfo {
    /// Steps that may come next.
    pub candidates: Vec<usize>,
    /// For each candidate, for each facet: values that it may be given early, ascending.
    pub early: Vec<Vec<Vec<u16>>>,
    /// No class takes longer than this from here to its end.
    pub longest: i64,
    /// Durations of all steps done.
    pub worked: i64,
}

/// One transition.
#[derive(Debug, Clone, Copy)]
pub struct Successor<const N: usize> {
    /// The step.
    pub step: usize,
    /// Key of the new state.
    pub key: Bits<N>,
    /// What it adds to the score, without demands on the clock.
    pub cost: i64,
    /// Time of the change-over.
    pub changeover: i64,
    /// Facets changed early against (a) to (c) of the module docs.
    pub delayed: FacetSet,
}

/// A view of the problem: with all facets, or a relaxation to some.
#[derive(Debug)]
pub struct View<'a, const N: usize> {
    /// The tables.
    pub tables: &'a Tables<'a, N>,
    /// The layout, the same in all views.
    pub layout: &'a Layout,
    /// The order trackers of the problem.
    pub trackers: &'a [OrderTracker<N>],
    /// The facets that are kept.
    pub facets: FacetSet,
    /// Whether the clock is dropped: rests that are certainly too short are then counted between direct neighbours.
    pub clockless: bool,
    kept: Vec<usize>,
    /// Trackers that read no facet, and those that read one that is kept.
    plain: Vec<usize>,
    faceted: Vec<usize>,
    /// `[step * kept + k][value]`: what the k-th kept facet may do before a step that cares about it, from a value.
    caring: Vec<Vec<Vec<Move>>>,
}

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
    key: Bits<N>,
    cost: i64,
    time: i64,
    changed: FacetSet,
    early: FacetSet,
    mask: u32,
}

/// What does not change while the set-ups of one step are tried.
struct Trial<'s, const N: usize> {
    key: &'s Bits<N>,
    step: usize,
    place: i64,
    last_class: usize,
    patient: bool,
    /// Nothing that costs this much or more is of interest.
    room: i64,
    lists: [&'s [Move]; MAX_FACETS],
}

impl<'a, const N: usize> View<'a, N> {
    /// The view of `facets`, with the clock or without.
    pub fn new(
        tables: &'a Tables<'a, N>,
        layout: &'a Layout,
        trackers: &'a [OrderTracker<N>],
        facets: FacetSet,
        clockless: bool,
    ) -> Self {
        let facets = facets & tables.all;
        let kept: Vec<usize> = (0..tables.n_facets)
            .filter(|f| facets >> f & 1 == 1)
            .collect();
        let plain = (0..trackers.len())
            .filter(|&k| trackers[k].facet().is_none())
            .collect();
        let faceted = (0..trackers.len())
            .filter(|&k| trackers[k].facet().is_some_and(|f| facets >> f & 1 == 1))
            .collect();
        let mut view = Self {
            tables,
            layout,
            trackers,
            facets,
            clockless,
            kept,
            plain,
            faceted,
            caring: Vec::new(),
        };
        for step in 0..tables.n {
            for &f in &view.kept {
                let choices = tables.choices(step, f).unwrap_or(&[]);
                let values = 0..tables.problem.facets[f].values.len();
                let row = values.map(|now| {
                    choices
                        .iter()
                        .map(|c| view.step_to(f, now, c.value, c.penalty))
                        .collect()
                });
                let row = row.collect();
                view.caring.push(row);
            }
        }
        view
    }

    fn step_to(&self, f: usize, now: usize, value: usize, penalty: i64) -> Move {
        let t = self.tables;
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
    }

    /// Whether nothing is left out.
    pub fn whole(&self) -> bool {
        self.facets == self.tables.all
    }

    /// What depends on the done set of `key` alone.
    pub fn done_info(&self, key: &Bits<N>) -> DoneInfo {
        let t = self.tables;
        let done = key.and(&Layout::done_mask(t.n));
        let mut allowed: Option<Bits<N>> = None;
        for (members, sure) in &t.blocks {
            if members.meets(&done) && !done.covers(sure) {
                allowed = Some(allowed.map_or(*members, |a| a.and(members)));
            }
        }
        let candidates: Vec<usize> = (0..t.n)
            .filter(|&s| {
                !done.has(s)
                    && allowed.is_none_or(|a| a.has(s))
                    && done.covers(&t.need[s])
                    && !t.bar[s].meets(&done)
            })
            .collect();
        let early = candidates
            .iter()
            .map(|&s| self.early_values(&done, s))
            .collect();
        let undone = (0..t.n).filter(|&s| !done.has(s));
        let longest = t.longest_final
            + undone
                .map(|s| t.longest_entry[s] + t.problem.steps[s].duration)
                .sum::<i64>();
        let worked = done.iter().map(|s| t.problem.steps[s].duration).sum();
        DoneInfo {
            candidates,
            early,
            longest,
            worked,
        }
    }

    /// For each facet that `step` does not care about, the values that a step which can be the next to care lists.
    fn early_values(&self, done: &Bits<N>, step: usize) -> Vec<Vec<u16>> {
        let t = self.tables;
        let mut after = *done;
        after.insert(step);
        let mut lists = vec![Vec::new(); t.n_facets];
        for &f in &self.kept {
            if t.choices(step, f).is_some() {
                continue;
            }
            let left = t.cares[f].minus(&after);
            let list = &mut lists[f];
            for next in left.iter() {
                if after.covers(&t.need[next].and(&t.cares[f])) && !t.bar[next].meets(&after) {
                    let choices = t.choices(next, f).into_iter().flatten();
                    list.extend(choices.map(|c| u16::try_from(c.value).expect("values are few")));
                }
            }
            if !left.meets(&t.must) {
                let end = t.problem.end.as_ref().and_then(|e| e.setup[f]);
                list.extend(end.map(|v| u16::try_from(v).expect("values are few")));
            }
            list.sort_unstable();
            list.dedup();
        }
        lists
    }

    /// Every transition out of `key`, at `place` (from 1), that costs less than `room`. `may_gain(step)`: whether a delay of the step
    /// could serve a demand on the clock; a relaxation without its clock says `false`.
    pub fn expand(
        &self,
        key: &Bits<N>,
        info: &DoneInfo,
        place: i64,
        room: i64,
        may_gain: impl Fn(usize) -> bool,
        mut emit: impl FnMut(Successor<N>),
    ) {
        let t = self.tables;
        let layout = self.layout;
        let last_class = usize::try_from(key.get(layout.class)).expect("classes are few");
        let mut scratch: Vec<Vec<Move>> = vec![Vec::new(); self.kept.len()];
        for (k, &step) in info.candidates.iter().enumerate() {
            let Some(fixed) = self.fixed_cost(key, step, last_class) else {
                continue;
            };
            let patient = !may_gain(step);
            let mut base = *key;
            base.insert(step);
            base.set(layout.class, t.class_of[step] as u64);
            // Trackers that read no facet say the same for every set-up.
            let advance = Advance {
                done: key,
                must: &t.must,
                step,
                place,
                last_class,
                changed: 0,
                setup: &[],
            };
            let Some(charged) = self.advance_trackers(&self.plain, key, &advance, &mut base) else {
                continue;
            };
            if fixed + charged >= room {
                continue;
            }
            for (list, &f) in scratch.iter_mut().zip(&self.kept) {
                list.clear();
                let now = usize::try_from(key.get(layout.value[f])).expect("values are few");
                let due = key.get(layout.due[f]) == 1;
                match t.choices(step, f) {
                    Some(choices) if due => {
                        list.extend(
                            choices
                                .iter()
                                .filter(|c| c.value == now)
                                .map(|c| self.step_to(f, now, now, c.penalty)),
                        );
                    }
                    Some(_) => {}
                    None => {
                        list.push(Move {
                            due,
                            ..self.step_to(f, now, now, 0)
                        });
                        let bit: FacetSet = 1 << f;
                        if !due && ((t.loose | t.halts) & bit != 0 || !patient) {
                            let others = info.early[k][f]
                                .iter()
                                .map(|&v| usize::from(v))
                                .filter(|&v| v != now);
                            list.extend(others.map(|v| Move {
                                due: true,
                                early: bit,
                                ..self.step_to(f, now, v, 0)
                            }));
                        }
                    }
                }
            }
            let mut lists: [&[Move]; MAX_FACETS] = [&[]; MAX_FACETS];
            let mut served = true;
            for (j, &f) in self.kept.iter().enumerate() {
                let cares = t.choices(step, f).is_some() && key.get(layout.due[f]) == 0;
                let now = usize::try_from(key.get(layout.value[f])).expect("values are few");
                lists[j] = if cares {
                    &self.caring[step * self.kept.len() + j][now]
                } else {
                    &scratch[j]
                };
                served &= !lists[j].is_empty();
            }
            if served {
                let trial = Trial {
                    key,
                    step,
                    place,
                    last_class,
                    patient,
                    room,
                    lists,
                };
                let sum = Sum {
                    key: base,
                    cost: fixed + charged,
                    time: 0,
                    changed: 0,
                    early: 0,
                    mask: 0,
                };
                self.choose(&trial, 0, &sum, &mut emit);
            }
        }
    }

    /// Tries what the facets from the `depth`-th on may do.
    fn choose(
        &self,
        trial: &Trial<'_, N>,
        depth: usize,
        sum: &Sum<N>,
        emit: &mut impl FnMut(Successor<N>),
    ) {
        if sum.cost >= trial.room {
            return;
        }
        let Some(&f) = self.kept.get(depth) else {
            self.chosen(trial, sum, emit);
            return;
        };
        for m in trial.lists[depth] {
            let mut next = Sum {
                key: sum.key,
                cost: sum.cost + m.cost,
                time: sum.time + m.time,
                changed: sum.changed | m.changed,
                early: sum.early | m.early,
                mask: sum.mask | m.mask,
            };
            next.key.set(self.layout.value[f], u64::from(m.value));
            next.key.set(self.layout.due[f], u64::from(m.due));
            self.choose(trial, depth + 1, &next, emit);
        }
    }

    fn chosen(&self, trial: &Trial<'_, N>, sum: &Sum<N>, emit: &mut impl FnMut(Successor<N>)) {
        let t = self.tables;
        let halting = sum.changed & t.halts;
        let company = halting & (!sum.early | t.loose) != 0 || !self.whole();
        let alone = sum.early & !t.loose;
        let delayed = if company { alone & !t.halts } else { alone };
        if delayed != 0 && trial.patient {
            return;
        }
        let way = t.way(
            sum.mask,
            t.class_posture[trial.last_class],
            t.problem.steps[trial.step].start,
        );
        let mut cost = sum.cost + way * t.problem.time_weight;
        if halting != 0 {
            cost += t.problem.stop_weight;
        }
        if cost >= trial.room {
            return;
        }
        let mut key = sum.key;
        if !self.faceted.is_empty() {
            let setup = self.setup_of(&key);
            let advance = Advance {
                done: trial.key,
                must: &t.must,
                step: trial.step,
                place: trial.place,
                last_class: trial.last_class,
                changed: sum.changed,
                setup: &setup[..t.n_facets],
            };
            let Some(charged) = self.advance_trackers(&self.faceted, trial.key, &advance, &mut key)
            else {
                return;
            };
            cost += charged;
        }
        emit(Successor {
            step: trial.step,
            key,
            cost,
            changeover: sum.time + way,
            delayed,
        });
    }

    fn setup_of(&self, key: &Bits<N>) -> [u16; MAX_FACETS] {
        let mut setup = [0u16; MAX_FACETS];
        for (value, field) in setup.iter_mut().zip(&self.layout.value) {
            *value = u16::try_from(key.get(*field)).expect("values are few");
        }
        setup
    }

    /// Cost of placing `step` whatever its set-up: its penalty if it is optional, soft `precede` demands and, without the clock, rests
    /// that are certainly too short. `None`: it cannot come now.
    fn fixed_cost(&self, key: &Bits<N>, step: usize, last_class: usize) -> Option<i64> {
        let t = self.tables;
        let late: i64 = t.late[step]
            .iter()
            .filter(|c| key.has(c.other) == c.when_done)
            .map(|c| c.weight)
            .sum();
        let rest = if self.clockless {
            t.short_rest[last_class * t.n + step]?
        } else {
            0
        };
        Some(late + rest + t.idle_penalty[step] + t.problem.steps[step].optional.unwrap_or(0))
    }

    fn advance_trackers(
        &self,
        which: &[usize],
        key: &Bits<N>,
        advance: &Advance<'_, N>,
        next: &mut Bits<N>,
    ) -> Option<i64> {
        let mut cost = 0;
        for &k in which {
            let field = self.layout.tracker[k];
            let (state, charged) = self.trackers[k].advance(key.get(field), advance)?;
            next.set(field, state);
            cost += charged;
        }
        Some(cost)
    }

    /// Costs that [`Self::expand`] adds besides changes, ways and stops, for a transition whose set-ups are already written in `next`
    /// (for the shadow of a plan): writes the trackers' states.
    pub fn other_costs(
        &self,
        key: &Bits<N>,
        step: usize,
        place: i64,
        changed: FacetSet,
        next: &mut Bits<N>,
    ) -> Option<i64> {
        let last_class = usize::try_from(key.get(self.layout.class)).expect("classes are few");
        let setup = self.setup_of(next);
        let advance = Advance {
            done: key,
            must: &self.tables.must,
            step,
            place,
            last_class,
            changed,
            setup: &setup[..self.tables.n_facets],
        };
        let fixed = self.fixed_cost(key, step, last_class)?;
        let plain = self.advance_trackers(&self.plain, key, &advance, next)?;
        Some(fixed + plain + self.advance_trackers(&self.faceted, key, &advance, next)?)
    }

    /// Ends the class in `key` with `used` steps: cost without demands on the clock, and time of the final change-over. `None` if a step
    /// that must be done is not, or a demand that must hold is broken. Facets that are due must be what the end asks for.
    pub fn settle(&self, key: &Bits<N>, used: i64) -> Option<(i64, i64)> {
        let t = self.tables;
        if !key.covers(&t.must) {
            return None;
        }
        let (mut cost, mut time, mut changed, mut mask) = (0, 0, 0, 0);
        let end = t.problem.end.as_ref();
        for &f in &self.kept {
            let now = usize::try_from(key.get(self.layout.value[f])).expect("values are few");
            let wanted = end.and_then(|e| e.setup[f]);
            if key.get(self.layout.due[f]) == 1 && wanted != Some(now) {
                return None;
            }
            if let Some(v) = wanted.filter(|&v| v != now) {
                time += t.problem.facets[f].change[now][v];
                changed |= 1 << f;
                mask |= t.reach_bit[f];
            }
        }
        if let Some(end) = end {
            let class = usize::try_from(key.get(self.layout.class)).expect("classes are few");
            time += t.way(mask, t.class_posture[class], t.row(end.posture));
            cost += time * t.problem.time_weight;
            if changed & t.halts != 0 {
                cost += t.problem.stop_weight;
            }
        }
        let settle = Settle { used, changed };
        for &k in self.plain.iter().chain(&self.faceted) {
            cost += self.trackers[k].settle(key.get(self.layout.tracker[k]), &settle)?;
        }
        Some((cost, time))
    }
}
