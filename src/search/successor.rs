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
//! **Tested by** `brute_force` (random problems with clocks, reach and facets that do not halt, against every early change tried).

use super::done_set::Bits;
use super::state::Layout;
use super::tables::{FacetSet, Tables};
use super::track::event::{Advance, Settle};
use super::track::order::OrderTracker;

/// What depends on the done set alone, worked out once for all states that share it.
#[derive(Debug, Clone)]
pub struct DoneInfo {
    /// Steps that may come next.
    pub candidates: Vec<usize>,
    /// For each candidate, for each facet: values that it may be given early, ascending.
    pub early: Vec<Vec<Vec<u16>>>,
    /// Whether every step that must be done is.
    pub complete: bool,
    /// No class takes longer than this from here to its end.
    pub longest: i64,
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
    kept_trackers: Vec<usize>,
}

#[derive(Clone, Copy)]
struct Option1 {
    value: u16,
    cost: i64,
    time: i64,
    changed: bool,
    due: bool,
    early: bool,
}

struct Leaf<'s> {
    step: usize,
    before: &'s [u16],
    patient: bool,
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
        let kept = (0..tables.n_facets)
            .filter(|f| facets >> f & 1 == 1)
            .collect();
        let kept_trackers = (0..trackers.len())
            .filter(|&k| trackers[k].facet().is_none_or(|f| facets >> f & 1 == 1))
            .collect();
        Self {
            tables,
            layout,
            trackers,
            facets,
            clockless,
            kept,
            kept_trackers,
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
        DoneInfo {
            candidates,
            early,
            complete: done.covers(&t.must),
            longest,
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
                    list.extend(
                        t.choices(next, f)
                            .into_iter()
                            .flatten()
                            .map(|c| u16::try_from(c.value).expect("values are few")),
                    );
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

    /// Every transition out of `key`, at `place` (from 1). `may_gain(step)`: whether a delay of the step could serve a demand on the
    /// clock; a relaxation without its clock says `false`.
    pub fn expand(
        &self,
        key: &Bits<N>,
        info: &DoneInfo,
        place: i64,
        may_gain: &dyn Fn(usize) -> bool,
        emit: &mut dyn FnMut(Successor<N>),
    ) {
        let before: Vec<u16> = self
            .layout
            .value
            .iter()
            .map(|&f| u16::try_from(key.get(f)).expect("values are few"))
            .collect();
        let mut options: Vec<Vec<Option1>> = vec![Vec::new(); self.kept.len()];
        for (k, &step) in info.candidates.iter().enumerate() {
            let patient = !may_gain(step);
            if !self.options(key, step, &info.early[k], &before, patient, &mut options) {
                continue;
            }
            let leaf = Leaf {
                step,
                before: &before,
                patient,
            };
            let Some(fixed) = self.fixed_cost(key, step) else {
                continue;
            };
            let mut pick = vec![0; options.len()];
            loop {
                self.leaf(key, &leaf, &options, &pick, fixed, place, emit);
                let mut k = 0;
                while k < pick.len() {
                    pick[k] += 1;
                    if pick[k] < options[k].len() {
                        break;
                    }
                    pick[k] = 0;
                    k += 1;
                }
                if k == pick.len() {
                    break;
                }
            }
        }
    }

    /// Cost of placing `step` whatever its set-up: its penalty if it is optional, soft `precede` demands and, without the clock, rests
    /// that are certainly too short. `None`: it cannot come now.
    fn fixed_cost(&self, key: &Bits<N>, step: usize) -> Option<i64> {
        let t = self.tables;
        let late: i64 = t.late[step]
            .iter()
            .filter(|c| key.has(c.other) == c.when_done)
            .map(|c| c.weight)
            .sum();
        let class = usize::try_from(key.get(self.layout.class)).expect("classes are few");
        let rest = if self.clockless {
            t.short_rest[class * t.n + step]?
        } else {
            0
        };
        Some(late + rest + t.problem.steps[step].optional.unwrap_or(0))
    }

    /// Fills in what each facet may do before `step`; `false` if one can do nothing.
    fn options(
        &self,
        key: &Bits<N>,
        step: usize,
        early: &[Vec<u16>],
        before: &[u16],
        patient: bool,
        options: &mut [Vec<Option1>],
    ) -> bool {
        let t = self.tables;
        for (list, &f) in options.iter_mut().zip(&self.kept) {
            list.clear();
            let now = before[f];
            let due = key.get(self.layout.due[f]) == 1;
            let change = &t.problem.facets[f].change[now as usize];
            let to = |value: usize, penalty: i64, due: bool, early: bool| Option1 {
                value: u16::try_from(value).expect("values are few"),
                cost: change[value] * t.problem.time_weight + penalty,
                time: change[value],
                changed: value != now as usize,
                due,
                early,
            };
            match t.choices(step, f) {
                Some(choices) if due => {
                    list.extend(
                        choices
                            .iter()
                            .filter(|c| c.value == now as usize)
                            .map(|c| to(c.value, c.penalty, false, false)),
                    );
                }
                Some(choices) => {
                    list.extend(choices.iter().map(|c| to(c.value, c.penalty, false, false)))
                }
                None => {
                    list.push(to(now as usize, 0, due, false));
                    let bit = 1 << f;
                    let tried = (t.loose | t.halts) & bit != 0 || !patient;
                    if !due && tried {
                        list.extend(
                            early[f]
                                .iter()
                                .filter(|&&v| v != now)
                                .map(|&v| to(v as usize, 0, true, true)),
                        );
                    }
                }
            }
            if list.is_empty() {
                return false;
            }
        }
        true
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the inner loop; its context is spread over what does not change within it"
    )]
    fn leaf(
        &self,
        key: &Bits<N>,
        leaf: &Leaf<'_>,
        options: &[Vec<Option1>],
        pick: &[usize],
        fixed: i64,
        place: i64,
        emit: &mut dyn FnMut(Successor<N>),
    ) {
        let t = self.tables;
        let (mut cost, mut time) = (fixed, 0);
        let (mut changed, mut early, mut mask): (FacetSet, FacetSet, u32) = (0, 0, 0);
        for ((list, &p), &f) in options.iter().zip(pick).zip(&self.kept) {
            let o = &list[p];
            cost += o.cost;
            time += o.time;
            if o.changed {
                changed |= 1 << f;
                mask |= t.reach_bit[f];
                if o.early {
                    early |= 1 << f;
                }
            }
        }
        let halting = changed & t.halts;
        let company = halting & (!early | t.loose) != 0 || !self.whole();
        let alone = early & !t.loose;
        let delayed = if company { alone & !t.halts } else { alone };
        if delayed != 0 && leaf.patient {
            return;
        }
        let last_class = usize::try_from(key.get(self.layout.class)).expect("classes are few");
        let way = t.way(
            mask,
            t.class_posture[last_class],
            t.problem.steps[leaf.step].start,
        );
        time += way;
        cost += way * t.problem.time_weight;
        if halting != 0 {
            cost += t.problem.stop_weight;
        }
        let mut next = *key;
        next.insert(leaf.step);
        next.set(self.layout.class, t.class_of[leaf.step] as u64);
        let mut setup = [0u16; super::tables::MAX_FACETS];
        setup[..leaf.before.len()].copy_from_slice(leaf.before);
        for ((list, &p), &f) in options.iter().zip(pick).zip(&self.kept) {
            let o = &list[p];
            setup[f] = o.value;
            next.set(self.layout.value[f], u64::from(o.value));
            next.set(self.layout.due[f], u64::from(o.due));
        }
        let advance = Advance {
            done: key,
            must: &t.must,
            step: leaf.step,
            place,
            last_class,
            changed,
            setup: &setup[..t.n_facets],
        };
        let Some(charged) = self.advance_trackers(key, &advance, &mut next) else {
            return;
        };
        emit(Successor {
            step: leaf.step,
            key: next,
            cost: cost + charged,
            changeover: time,
            delayed,
        });
    }

    /// Moves the trackers of this view one step on: writes their states into `next`, returns their cost.
    pub fn advance_trackers(
        &self,
        key: &Bits<N>,
        advance: &Advance<'_, N>,
        next: &mut Bits<N>,
    ) -> Option<i64> {
        let mut cost = 0;
        for &k in &self.kept_trackers {
            let field = self.layout.tracker[k];
            let (state, charged) = self.trackers[k].advance(key.get(field), advance)?;
            next.set(field, state);
            cost += charged;
        }
        Some(cost)
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
        for &k in &self.kept_trackers {
            cost += self.trackers[k].settle(key.get(self.layout.tracker[k]), &settle)?;
        }
        Some((cost, time))
    }
}
