//! All that the future depends on, packed into one row of bits.
//!
//! **Claim.** Two partial plans with the same [key](Layout) have the same completions: the same steps may follow with the same
//! set-ups, at the same change-over times and costs, and every demand that does not look at the clock counts the same from here on.
//!
//! **Why.** What may follow depends on the done set (precedences, stages, blocks) alone. The next change-over depends on the
//! posture in which the last step ends (in the class of the last step), on the value of each facet, and, since an early change is
//! final, on which facets have changed early and are not yet used (*due*). A demand on the order or the set-ups is carried by its
//! tracker, whose state is in the key. The clock is not in the key: what it adds is compared by `dominance`.
//!
//! **Tested by** `brute_force` and `claims` (the optimum of random problems against exhaustive search), the trackers' states by `trackers`
//! (`a_tracker_counts_what_its_definition_counts`).

use super::done_set::{Bits, Field};
use super::tables::{FacetSet, Tables};
use super::track::order::OrderTracker;

/// Where everything stands in a key. The first bits are the done set.
#[derive(Debug)]
pub struct Layout {
    /// Class of the last step.
    pub class: Field,
    /// The part of it that tells the posture alone.
    pub row: Field,
    /// For each facet its value.
    pub value: Vec<Field>,
    /// For each facet 1 if it changed early and is not yet used.
    pub due: Vec<Field>,
    /// For each order tracker its state.
    pub tracker: Vec<Field>,
    /// Words that all this takes.
    pub words: usize,
}

impl Layout {
    /// The layout for `n_steps` steps, `n_classes` classes (of which so many bits tell kinds), facets with so many values and trackers
    /// with such greatest states.
    pub fn new(
        n_steps: usize,
        (n_classes, kind_bits): (usize, u32),
        values: &[usize],
        greatest: &[u64],
    ) -> Self {
        let mut word = n_steps / 64;
        let mut used = u32::try_from(n_steps % 64).expect("a remainder of 64");
        let mut place = |largest: u64| {
            let width = u64::BITS - largest.leading_zeros();
            if used + width > 64 {
                word += 1;
                used = 0;
            }
            let field = Field::new(word, used.min(63), width);
            used += width;
            field
        };
        let class = place(n_classes.saturating_sub(1) as u64);
        let value: Vec<Field> = values
            .iter()
            .map(|&v| place(v.saturating_sub(1) as u64))
            .collect();
        let due: Vec<Field> = values.iter().map(|_| place(1)).collect();
        let tracker: Vec<Field> = greatest.iter().map(|&g| place(g)).collect();
        Self {
            class,
            row: class.above(kind_bits),
            value,
            due,
            tracker,
            words: word + 1,
        }
    }

    /// The layout of a problem, before its width is known.
    pub fn of<const N: usize>(tables: &Tables<'_, N>, trackers: &[OrderTracker<N>]) -> Self {
        let values: Vec<usize> = tables
            .problem
            .facets
            .iter()
            .map(|f| f.values.len())
            .collect();
        let greatest: Vec<u64> = trackers.iter().map(OrderTracker::greatest).collect();
        let classes = (tables.class_step.len(), tables.kind_bits);
        Self::new(tables.n, classes, &values, &greatest)
    }

    /// The key before the first step.
    pub fn begin<const N: usize>(&self, tables: &Tables<'_, N>) -> Bits<N> {
        let mut key = Bits::default();
        key.set(self.class, tables.start_class as u64);
        for (field, &value) in self.value.iter().zip(&tables.problem.start_setup) {
            key.set(*field, value as u64);
        }
        key
    }

    /// The class of the last step.
    #[inline]
    pub fn class_in<const N: usize>(&self, key: &Bits<N>) -> usize {
        usize::try_from(key.get(self.class)).expect("classes are few")
    }

    /// The value of a facet.
    #[inline]
    pub fn value_in<const N: usize>(&self, key: &Bits<N>, facet: usize) -> usize {
        usize::try_from(key.get(self.value[facet])).expect("values are few")
    }

    /// A mask of the values of these facets, and which of them are due.
    pub fn setup_mask<const N: usize>(&self, facets: FacetSet) -> Bits<N> {
        let mut mask = Bits::default();
        for (f, (value, due)) in self.value.iter().zip(&self.due).enumerate() {
            if facets >> f & 1 == 1 {
                mask.cover(*value);
                mask.cover(*due);
            }
        }
        mask
    }

    /// A mask of the done set alone.
    pub fn done_mask<const N: usize>(n_steps: usize) -> Bits<N> {
        Bits::first(n_steps)
    }
}
