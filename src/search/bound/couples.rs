//! Couples: two steps that are alike in what they ask for and must follow each other, such as the sides of a movement. A table takes both in
//! one transition, so that it has no states between them.
//!
//! **Claim.** With couples taken in one, with one set-up for both steps, a table still gives no more than what is to come before or after
//! a couple, and still has every state that a plan of interest passes there.
//!
//! **Why.** Let a plan have the set-up v for the first step and w for the second. Where v has the lesser penalties, both may have v, and what
//! changed between the two changes where one of these facets is next cared about, the others in its company; else both may have w, and it
//! changes before the first. Either way there is no more to pay: costs are metric, the first step ends where the second starts (so ways
//! are too), one stop stands for one, and what changes early between the two may as well change before the first, for the same steps
//! care next. The state after the couple, with w, is reached by the transition with w for both, which is dearer than the plan by no more
//! than the penalties of w exceed the least: so much less is counted for it on the way forward. Demands on the order see both steps in their
//! order. Where a demand in the view counts the changes of a facet or compares its values, only couples that allow one value of it are
//! taken; else the state after them could differ. Demands on the clock charge the first from the time that the step before ends, since
//! what changes may change after it.
//!
//! **Tested by** `claims` (tables with couples below, at and above the optimum), `brute_force`.

use crate::search::done_set::Bits;
use crate::search::successor::View;
use crate::search::track::order::OrderTracker;

/// The couples of a view.
#[derive(Debug, Clone, Default)]
pub struct Couples {
    /// For each step the other one of its couple.
    partner: Vec<Option<usize>>,
    pairs: Vec<(usize, usize)>,
}

impl Couples {
    /// Finds them.
    pub fn of<const N: usize>(view: &View<'_, N>) -> Self {
        let t = view.tables;
        let mut partner = vec![None; t.n];
        let mut pairs = Vec::new();
        let mut taken = vec![false; t.n];
        for (members, sure) in &t.blocks {
            let both: Vec<usize> = members.iter().collect();
            let &[a, b] = &both[..] else { continue };
            if members != sure || taken[a] || taken[b] {
                continue;
            }
            let (x, y) = (&t.problem.steps[a], &t.problem.steps[b]);
            let alike = x.setup == y.setup
                && x.duration == y.duration
                && x.start == y.start
                && x.end == y.end
                && x.start == x.end;
            if alike && !is_watched(view, a) && !is_watched(view, b) {
                (taken[a], taken[b]) = (true, true);
                (partner[a], partner[b]) = (Some(b), Some(a));
                pairs.push((a, b));
            }
        }
        Self { partner, pairs }
    }

    /// The other step of the couple that a step is of.
    #[inline]
    pub fn partner(&self, step: usize) -> Option<usize> {
        self.partner[step]
    }

    /// The step that must come next, because a couple is half done.
    #[inline]
    pub fn open<const N: usize>(&self, done: &Bits<N>) -> Option<usize> {
        let half = (self.pairs.iter()).find(|(a, b)| done.has(*a) != done.has(*b));
        half.map(|&(a, b)| if done.has(a) { b } else { a })
    }
}

/// Whether a demand on a facet in the view could tell two set-ups of the couple from one.
fn is_watched<const N: usize>(view: &View<'_, N>, step: usize) -> bool {
    let in_view = |f: usize| view.scope.facets >> f & 1 == 1;
    view.trackers.iter().any(|tracker| {
        let Some(f) = tracker.facet().filter(|&f| in_view(f)) else {
            return false;
        };
        let values = view.tables.choices(step, f).map_or(0, <[_]>::len);
        values > 1 || matches!(tracker, OrderTracker::Same(t) if t.concerns(step))
    })
}
