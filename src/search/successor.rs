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
use super::early::Early;
use super::moves::{FacetMove, Kept, Moves};
use super::state::Layout;
use super::tables::{FacetSet, MAX_FACETS, Tables};
use super::track::event::{Advance, Settle};
use super::track::order::OrderTracker;

/// What depends on the done set alone, worked out once for all states that share it.
#[derive(Debug, Clone)]
pub struct DoneInfo {
    /// Steps that may come next.
    pub candidates: Vec<usize>,
    /// For each candidate the number, in [`Moves`], of what may change early before it.
    pub early: Vec<u32>,
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

/// Which part of the problem a view keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scope {
    /// These facets, and the demands that read them.
    pub facets: FacetSet,
    /// The demands on the order that need a tracker and read no facet, and what depends on the kind of the last step.
    pub order: bool,
}

/// A view of the problem: the whole, or a relaxation to some scope.
#[derive(Debug)]
pub struct View<'a, const N: usize> {
    /// The tables.
    pub tables: &'a Tables<'a, N>,
    /// The layout, the same in all views.
    pub layout: &'a Layout,
    /// The order trackers of the problem.
    pub trackers: &'a [OrderTracker<N>],
    /// What is kept.
    pub scope: Scope,
    /// Whether the clock is dropped: rests that are certainly too short are then counted between direct neighbours.
    pub clockless: bool,
    /// The bits of a key that matter here.
    pub mask: Bits<N>,
    /// Those that do not change with the set-up of a step: done set, class, trackers that read no facet.
    pub spine: Bits<N>,
    /// Those of values and of facets changed early.
    pub setup: Bits<N>,
    kept: Kept<'a, N>,
    early: Early<N>,
    /// Trackers that read no facet.
    plain: Vec<usize>,
    /// Trackers that read a facet that is kept, and for each step those that it means something to.
    faceted: Vec<usize>,
    faceted_by_step: Vec<Vec<usize>>,
    /// Bits of the faceted trackers.
    faceted_mask: Bits<N>,
}

/// What placing a step comes to whatever its set-up.
#[derive(Debug, Clone, Copy)]
pub struct Onward<const N: usize> {
    /// The spine of the new state.
    pub spine: Bits<N>,
    /// Cost.
    pub cost: i64,
}

impl<'a, const N: usize> View<'a, N> {
    /// The view of `scope`, with the clock or without.
    pub fn new(
        tables: &'a Tables<'a, N>,
        layout: &'a Layout,
        trackers: &'a [OrderTracker<N>],
        scope: Scope,
        clockless: bool,
    ) -> Self {
        let facets = scope.facets & tables.all;
        let of = |keep: &dyn Fn(Option<usize>) -> bool| -> Vec<usize> {
            (0..trackers.len())
                .filter(|&k| keep(trackers[k].facet()))
                .collect()
        };
        let plain = of(&|f| f.is_none() && scope.order);
        let faceted = of(&|f| f.is_some_and(|f| facets >> f & 1 == 1));
        let mut spine = Layout::done_mask(tables.n);
        spine.cover(if scope.order {
            layout.class
        } else {
            layout.row
        });
        // Facets that cannot change keep their values in every key.
        spine = spine.or(&layout.setup_mask(!tables.all));
        let mut faceted_mask = Bits::default();
        for &k in &plain {
            spine.cover(layout.tracker[k]);
        }
        for &k in &faceted {
            faceted_mask.cover(layout.tracker[k]);
        }
        let setup = layout.setup_mask(facets);
        let faceted_by_step = (0..tables.n)
            .map(|s| {
                let mine = faceted.iter().copied();
                mine.filter(|&k| trackers[k].concerns(s)).collect()
            })
            .collect();
        Self {
            tables,
            layout,
            trackers,
            scope: Scope { facets, ..scope },
            clockless,
            mask: spine.or(&setup).or(&faceted_mask),
            spine,
            setup,
            // Without the clock no step gains by a delay: only what (a) and (b) allow changes early.
            early: Early::new(
                tables,
                if clockless {
                    facets & (tables.loose | tables.halts)
                } else {
                    facets
                },
            ),
            kept: Kept {
                tables,
                layout,
                facets: (0..tables.n_facets)
                    .filter(|f| facets >> f & 1 == 1)
                    .collect(),
                whole: facets == tables.all,
            },
            plain,
            faceted,
            faceted_by_step,
            faceted_mask,
        }
    }

    /// What depends on the done set of `key` alone.
    pub fn done_info(&self, key: &Bits<N>, moves: &mut Moves<N>) -> DoneInfo {
        let t = self.tables;
        let done = key.and(&Layout::done_mask(t.n));
        let allowed = self.allowed(&done);
        let candidates: Vec<usize> = (0..t.n)
            .filter(|&s| self.may_follow(&done, &allowed, s))
            .collect();
        let early = self.early.before(&candidates, &done, t, moves);
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

    /// The steps of all blocks that are begun and not yet done.
    fn allowed(&self, done: &Bits<N>) -> Bits<N> {
        let t = self.tables;
        let open = t
            .blocks
            .iter()
            .filter(|(members, sure)| members.meets(done) && !done.covers(sure));
        open.fold(Layout::done_mask(t.n), |allowed, (members, _)| {
            allowed.and(members)
        })
    }

    fn may_follow(&self, done: &Bits<N>, allowed: &Bits<N>, step: usize) -> bool {
        let t = self.tables;
        !done.has(step)
            && allowed.has(step)
            && done.covers(&t.need[step])
            && !t.bar[step].meets(done)
    }

    /// Places `step` at `place` (from 1) after the spine of `key`; `None`: it cannot come now.
    pub fn onward(&self, key: &Bits<N>, step: usize, place: i64) -> Option<Onward<N>> {
        let t = self.tables;
        let last_class = self.layout.class_in(key);
        let fixed = self.fixed_cost(key, step, last_class)?;
        let mut spine = key.and(&self.spine);
        spine.insert(step);
        spine.set(self.layout.class, t.class_of[step] as u64);
        let advance = Advance {
            done: key,
            must: &t.must,
            step,
            place,
            last_class,
            changed: 0,
            setup: &[],
        };
        let charged = self.advance_trackers(&self.plain, key, &advance, &mut spine)?;
        Some(Onward {
            spine: spine.and(&self.spine),
            cost: fixed + charged,
        })
    }

    /// Every transition out of `key` to the `k`-th candidate that costs less than `room`. `patient`: no delay of the step could serve a
    /// demand on the clock.
    #[expect(
        clippy::too_many_arguments,
        reason = "a state, a step, and what bounds both"
    )]
    #[inline]
    pub fn expand_step(
        &self,
        moves: &mut Moves<N>,
        key: &Bits<N>,
        onward: &Onward<N>,
        info: &DoneInfo,
        k: usize,
        place: i64,
        room: i64,
        patient: bool,
        mut emit: impl FnMut(Successor<N>),
    ) {
        let left = room - onward.cost;
        if left <= 0 {
            return;
        }
        let step = info.candidates[k];
        let last_class = self.layout.class_in(key);
        let setup = key.and(&self.setup);
        let row = self.tables.row_of(last_class);
        let base = onward.spine.or(&key.and(&self.faceted_mask));
        for m in moves.list(&self.kept, &setup, step, row, patient, info.early[k], left) {
            if m.cost >= left {
                break;
            }
            let mut next = base.or(&m.bits);
            let mut cost = onward.cost + m.cost;
            if !self.faceted_by_step[step].is_empty() {
                match self.charge_setup(key, step, place, last_class, m, &mut next) {
                    Some(charged) => cost += charged,
                    None => continue,
                }
            }
            emit(Successor {
                step,
                key: next,
                cost,
                changeover: m.changeover,
                delayed: m.delayed,
            });
        }
    }

    fn charge_setup(
        &self,
        key: &Bits<N>,
        step: usize,
        place: i64,
        last_class: usize,
        m: &FacetMove<N>,
        next: &mut Bits<N>,
    ) -> Option<i64> {
        let setup = self.setup_of(next);
        let advance = Advance {
            done: key,
            must: &self.tables.must,
            step,
            place,
            last_class,
            changed: m.changed,
            setup: &setup[..self.tables.n_facets],
        };
        self.advance_trackers(&self.faceted_by_step[step], key, &advance, next)
    }

    /// Every transition out of `key`, at `place` (from 1), that costs less than `room(k, patient)` for the k-th candidate.
    /// `may_gain(step)`: whether a delay of the step could serve a demand on the clock; it is patient where none could.
    #[expect(
        clippy::too_many_arguments,
        reason = "a state and what bounds its transitions"
    )]
    pub fn expand(
        &self,
        moves: &mut Moves<N>,
        key: &Bits<N>,
        info: &DoneInfo,
        place: i64,
        room: impl Fn(usize, bool) -> i64,
        may_gain: impl Fn(usize) -> bool,
        mut emit: impl FnMut(Successor<N>),
    ) {
        for (k, &step) in info.candidates.iter().enumerate() {
            let patient = !may_gain(step);
            let room = room(k, patient);
            if room <= 0 {
                continue;
            }
            if let Some(onward) = self.onward(key, step, place) {
                self.expand_step(
                    moves, key, &onward, info, k, place, room, patient, &mut emit,
                );
            }
        }
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
        let rest = if self.clockless && self.scope.order {
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
        let last_class = self.layout.class_in(key);
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
        for &f in &self.kept.facets {
            let now = self.layout.value_in(key, f);
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
            let row = t.row_of(self.layout.class_in(key));
            time += t.way(mask, row, t.row(end.posture));
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
