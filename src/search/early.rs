//! Which values a facet may be given early: those that the next step to care about it (or the end) may ask for.
//!
//! Which step can be the next to care depends on the done set alone, so it is looked up once for a done set and all facets, and kept by
//! number: done sets that ask for the same values share what is worked out for them in [`Moves`].

use super::done_set::Bits;
use super::moves::Moves;
use super::tables::{FacetSet, Tables};

/// What a view knows of early changes.
#[derive(Debug)]
pub struct Early<const N: usize> {
    /// Facets that may change early.
    facets: Vec<Caring<N>>,
    /// For each step the steps that can no longer come after it.
    drops: Vec<Bits<N>>,
}

/// The steps that care about a facet.
#[derive(Debug)]
struct Caring<const N: usize> {
    facet: usize,
    all: Bits<N>,
    /// Each of them.
    steps: Vec<Carer<N>>,
    /// The value that the end asks for.
    end: Option<u16>,
}

#[derive(Debug)]
struct Carer<const N: usize> {
    step: usize,
    /// Others that care and come before it.
    need: Bits<N>,
    /// The first step with the same list of values: it stands for the list.
    like: usize,
}

impl<const N: usize> Early<N> {
    /// For the facets in `facets`.
    pub fn new(t: &Tables<'_, N>, facets: FacetSet) -> Self {
        let values = |s: usize, f: usize| -> Vec<usize> {
            let choices = t.choices(s, f).into_iter().flatten();
            choices.map(|c| c.value).collect()
        };
        let caring = |f: usize| {
            let carer = |s: usize| Carer {
                step: s,
                need: t.need[s].and(&t.cares[f]),
                like: (t.cares[f].iter())
                    .find(|&o| values(o, f) == values(s, f))
                    .unwrap_or(s),
            };
            let end = t.problem.end.as_ref().and_then(|e| e.setup[f]);
            Caring {
                facet: f,
                all: t.cares[f],
                steps: t.cares[f].iter().map(carer).collect(),
                end: end.map(|v| u16::try_from(v).expect("values are few")),
            }
        };
        let after = |s: usize| Bits::of(&(0..t.n).filter(|&c| t.bar[c].has(s)).collect::<Vec<_>>());
        Self {
            facets: (0..t.n_facets)
                .filter(|f| facets >> f & 1 == 1)
                .map(caring)
                .collect(),
            drops: (0..t.n).map(after).collect(),
        }
    }

    /// For each candidate after `done` the number, in [`Moves`], of the values that facets may be given before it.
    pub fn before(
        &self,
        candidates: &[usize],
        done: &Bits<N>,
        t: &Tables<'_, N>,
        moves: &mut Moves<N>,
    ) -> Vec<u32> {
        let next: Vec<Vec<&Carer<N>>> = (self.facets.iter())
            .map(|caring| {
                let steps = caring.steps.iter();
                steps
                    .filter(|c| {
                        !done.has(c.step) && done.covers(&c.need) && !t.bar[c.step].meets(done)
                    })
                    .collect()
            })
            .collect();
        let ended: Vec<bool> = (self.facets.iter())
            .map(|c| c.end.is_some() && !c.all.minus(done).meets(&t.must))
            .collect();
        let mut asked: Vec<Bits<N>> = Vec::with_capacity(self.facets.len() + 1);
        let before = |&step: &usize| {
            asked.clear();
            let mut ends = Bits::default();
            for ((caring, next), ended) in self.facets.iter().zip(&next).zip(&ended) {
                let mut like = Bits::default();
                if !caring.all.has(step) {
                    let drops = &self.drops[step];
                    for carer in next.iter().filter(|c| !drops.has(c.step)) {
                        like.insert(carer.like);
                    }
                    if *ended {
                        ends.insert(caring.facet);
                    }
                }
                asked.push(like);
            }
            asked.push(ends);
            moves.early(&asked, |asked| self.lists(asked, t))
        };
        candidates.iter().map(before).collect()
    }

    /// For each facet of the problem the values, ascending.
    fn lists(&self, asked: &[Bits<N>], t: &Tables<'_, N>) -> Vec<Vec<u16>> {
        let mut lists = vec![Vec::new(); t.n_facets];
        let ends = asked.last().expect("the ends come last");
        for (caring, like) in self.facets.iter().zip(asked) {
            let list = &mut lists[caring.facet];
            for step in like.iter() {
                let choices = t.choices(step, caring.facet).into_iter().flatten();
                list.extend(choices.map(|c| u16::try_from(c.value).expect("values are few")));
            }
            if ends.has(caring.facet) {
                list.extend(caring.end);
            }
            list.sort_unstable();
            list.dedup();
        }
        lists
    }
}
