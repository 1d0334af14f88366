//! Which step stands at which place.
//!
//! **Columns.** `x[s][k]`: step s stands at place k. `w[s][t][k]`: s at place k - 1, t at place k. `e[s][k]`: s is the last step, at place k.
//! **Rows.** One unit flows from the start through the places, one place at a time, to the end: what comes into (s, k) by `w` is `x[s][k]`,
//! and what goes out of it by `w` and `e`. Each step is passed once; an optional one at most once.
//! **Why exact.** Where `x` is whole, the unit takes one path, and `w` and `e` are whole with it; a path that passes each step once is
//! an order. Places that a step cannot have (steps that must hold come before it) have no columns.

use super::program::{Linear, Program, Var};
use crate::problem::Problem;
use crate::problem::demand::Kind;

/// The columns of the order.
pub(super) struct Places {
    /// Places, numbered from 1.
    pub(super) many: usize,
    /// Steps that must be done.
    pub(super) fewest: usize,
    /// `at[s][k]`, place 0 always empty; `None`: it cannot stand there.
    at: Vec<Vec<Option<Var>>>,
    /// `(s, t, column)` for each place k from 2: s at k - 1, t at k.
    pairs: Vec<Vec<(usize, usize, Var)>>,
    /// `last[s][k]`; `None` where the class cannot end there.
    last: Vec<Vec<Option<Var>>>,
    /// The class has no steps at all, where that is possible.
    nothing: Option<Var>,
}

impl Places {
    /// Step `s` stands at place `k`; 0 beyond the places.
    pub(super) fn at(&self, s: usize, k: usize) -> Linear {
        self.at[s]
            .get(k)
            .copied()
            .flatten()
            .map_or_else(Linear::default, Linear::from)
    }

    /// One of `steps` stands at place `k`.
    pub(super) fn any(&self, steps: &[usize], k: usize) -> Linear {
        steps.iter().map(|&s| self.at(s, k)).sum()
    }

    /// One of `steps` stands at one of the places `from..to`.
    pub(super) fn between(&self, steps: &[usize], from: usize, to: usize) -> Linear {
        (from..to).map(|k| self.any(steps, k)).sum()
    }

    /// Step `s` is in use.
    pub(super) fn used(&self, s: usize) -> Linear {
        self.between(&[s], 1, self.many + 1)
    }

    /// The place of step `s`; 0 if it is left out.
    pub(super) fn place(&self, s: usize) -> Linear {
        (1..=self.many).map(|k| self.at(s, k) * k as i64).sum()
    }

    /// `(s, t, column)`: s stands at place `k - 1` and t at `k`, for k from 2.
    pub(super) fn pairs(&self, k: usize) -> &[(usize, usize, Var)] {
        &self.pairs[k]
    }

    /// Step `s` is the last, wherever.
    pub(super) fn ends_with(&self, s: usize) -> Linear {
        self.last[s].iter().flatten().copied().sum()
    }

    /// The class has `k` steps.
    pub(super) fn ends_at(&self, k: usize) -> Linear {
        if k == 0 {
            return self.nothing.map_or_else(Linear::default, Linear::from);
        }
        self.last.iter().filter_map(|last| last[k]).sum()
    }

    /// Whether every class has as many steps as there are.
    pub(super) fn all_needed(&self) -> bool {
        self.fewest == self.many
    }
}

/// `before[a][b]`: where both are used, a comes before b in every order that is allowed.
fn forced(problem: &Problem) -> Vec<Vec<bool>> {
    let n = problem.steps.len();
    let stage = |s: usize| problem.steps[s].stage;
    let mut before: Vec<Vec<bool>> = (0..n)
        .map(|a| {
            (0..n)
                .map(|b| matches!((stage(a), stage(b)), (Some(x), Some(y)) if x < y))
                .collect()
        })
        .collect();
    for demand in &problem.demands {
        if let (Kind::Precede(d), None) = (&demand.kind, demand.weight) {
            before[d.a][d.b] = true;
        }
    }
    // Through a step that may be left out nothing follows.
    for via in (0..n).filter(|&s| problem.steps[s].optional.is_none()) {
        for a in 0..n {
            for b in 0..n {
                before[a][b] |= before[a][via] && before[via][b];
            }
        }
    }
    before
}

/// The columns and rows of the order, and the rows of what must come before what.
pub(super) fn places(problem: &Problem, program: &mut Program) -> Places {
    let n = problem.steps.len();
    let needed: Vec<usize> = (0..n)
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let before = forced(problem);
    let at: Vec<Vec<Option<Var>>> = (0..n)
        .map(|s| {
            let earlier = needed.iter().filter(|&&a| before[a][s]).count();
            let later = needed.iter().filter(|&&b| before[s][b]).count();
            (0..=n)
                .map(|k| (earlier < k && k + later <= n).then(|| program.binary()))
                .collect()
        })
        .collect();
    let mut pairs = vec![Vec::new(); n + 1];
    for k in 2..=n {
        for s in 0..n {
            for t in 0..n {
                let parted = needed.iter().any(|&m| before[s][m] && before[m][t]);
                if s != t
                    && !before[t][s]
                    && !parted
                    && at[s][k - 1].is_some()
                    && at[t][k].is_some()
                {
                    pairs[k].push((s, t, program.share(1)));
                }
            }
        }
    }
    let last = (0..n)
        .map(|s| {
            (0..=n)
                .map(|k| (k >= needed.len() && at[s][k].is_some()).then(|| program.share(1)))
                .collect()
        })
        .collect();
    let nothing = needed.is_empty().then(|| program.share(1));
    let places = Places {
        many: n,
        fewest: needed.len(),
        at,
        pairs,
        last,
        nothing,
    };
    flow(&places, program);
    for (s, step) in problem.steps.iter().enumerate() {
        match step.optional {
            None => program.equal(places.used(s), 1),
            Some(penalty) => {
                program.at_most(places.used(s), 1);
                program.costs(places.used(s) * penalty);
            }
        }
    }
    for a in 0..n {
        for b in (0..n).filter(|&b| before[a][b]) {
            let parted = needed.iter().any(|&m| before[a][m] && before[m][b]);
            // Rows of a circle are all kept: they are what has no solution.
            if !parted || before[b][a] {
                in_turn(&places, program, a, b, &Linear::default());
            }
        }
    }
    places
}

/// One unit from the start to the end.
fn flow(places: &Places, program: &mut Program) {
    let all: Vec<usize> = (0..places.many).collect();
    program.equal(places.any(&all, 1) + places.ends_at(0), 1);
    for k in 1..=places.many {
        for s in 0..places.many {
            let Some(here) = places.at[s][k] else {
                continue;
            };
            if k > 1 {
                let come: Linear = (places.pairs[k].iter())
                    .filter(|pair| pair.1 == s)
                    .map(|pair| pair.2)
                    .sum();
                program.equal(come, here);
            }
            let next = places.pairs.get(k + 1).map_or(&[][..], |pairs| pairs);
            let go: Linear = (next.iter())
                .filter(|pair| pair.0 == s)
                .map(|pair| pair.2)
                .sum();
            let stay = places.last[s][k].map_or_else(Linear::default, Linear::from);
            program.equal(go + stay, here);
        }
    }
}

/// Asks that `a` comes before `b` where both are used, unless `broken` is 1: where b stands at one of the first k places, a stands before k.
pub(super) fn in_turn(places: &Places, program: &mut Program, a: usize, b: usize, broken: &Linear) {
    let n = places.many;
    for k in 1..=n {
        let b_by_then = places.between(&[b], 1, k + 1);
        // Where a has no earlier place or is left out, this is what is left.
        let a_before = places.between(&[a], 1, k);
        let a_left_out = Linear::from(1) - places.used(a);
        if !b_by_then.terms.is_empty() {
            program.at_most(b_by_then, a_before + a_left_out + broken.clone());
        }
    }
}
