//! Which of a set of orders, of a given number, are farthest apart: the smallest distance between any two as large as can be.
//!
//! **Claim.** With [`Spread::exact`], no other choice of as many from these orders has a larger smallest distance, and no larger choice
//! keeps to what two of them must be apart.
//! **Why.** For each distance that occurs, all choices whose members are at least that far apart are looked through (a clique of the graph of
//! those that are); a choice with a larger smallest distance would be one at the next larger distance.
//! Where that takes too long, the choice is the greedy one, always the order farthest from those chosen (at least half as far apart as the
//! best choice, as for any metric: Ravi, Rosenkrantz and Tayi 1994, Oper Res 42:299-310), made better by exchanges.
//! **Tested by** `the_exact_choice_is_the_best_of_all_choices` below and `the_best_spread_of_a_short_list_equals_trying_all` in `tests/engine/variants.rs`.

/// A choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spread<D> {
    /// Indices into the orders.
    pub chosen: Vec<usize>,
    /// The smallest distance between two of them; `None` with fewer than two.
    pub least: Option<D>,
    /// Whether no choice is better.
    pub exact: bool,
}

/// Chooses up to `count` of `n`, of which any two must be at least `apart` from one another. `between(i, j)` is symmetric; `None` where the
/// two may not both be chosen. Earlier ones are preferred where distances are equal.
/// It gives up being exact after `tries`.
pub fn spread<D: Copy + Ord>(
    n: usize,
    count: usize,
    apart: D,
    mut tries: u64,
    between: impl Fn(usize, usize) -> Option<D>,
) -> Spread<D> {
    let distances: Vec<Option<D>> = (0..n * n)
        .map(|k| between(k / n, k % n).filter(|d| *d >= apart && k / n != k % n))
        .collect();
    let table = Table { n, distances };
    let mut exact = true;
    let mut chosen = table.greedy(count);
    // As many as can be.
    while chosen.len() < count.min(n) {
        match table.find(apart, chosen.len() + 1, &mut tries) {
            Some(Some(more)) => chosen = more,
            Some(None) => break,
            None => {
                exact = false;
                break;
            }
        }
    }
    chosen = table.exchanged(chosen);
    // As far apart as can be.
    let mut levels: Vec<D> = table.distances.iter().copied().flatten().collect();
    levels.sort_unstable();
    levels.dedup();
    while exact && chosen.len() > 1 {
        let now = table.least(&chosen);
        let Some(&next) = levels.iter().find(|&&d| Some(d) > now) else {
            break;
        };
        match table.find(next, chosen.len(), &mut tries) {
            Some(Some(better)) => chosen = better,
            Some(None) => break,
            None => exact = false,
        }
    }
    chosen.sort_unstable();
    Spread {
        least: table.least(&chosen),
        chosen,
        exact,
    }
}

struct Table<D> {
    n: usize,
    distances: Vec<Option<D>>,
}

impl<D: Copy + Ord> Table<D> {
    fn at(&self, i: usize, j: usize) -> Option<D> {
        self.distances[i * self.n + j]
    }

    /// The smallest distance; `None` where two may not be chosen together, or there are no two.
    fn least(&self, chosen: &[usize]) -> Option<D> {
        let pairs = (0..chosen.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        let distances = pairs.map(|(i, j)| self.at(chosen[i], chosen[j]));
        distances.min().flatten()
    }

    /// The smallest distance from one to the others.
    fn from(&self, one: usize, others: &[usize]) -> Option<Option<D>> {
        let distances = others.iter().filter(|&&o| o != one);
        distances.map(|&o| self.at(one, o)).min()
    }

    /// Always the one farthest from those chosen.
    fn greedy(&self, count: usize) -> Vec<usize> {
        let mut chosen = Vec::new();
        if self.n > 0 && count > 0 {
            chosen.push(0);
        }
        while chosen.len() < count {
            let left = (0..self.n).filter(|i| !chosen.contains(i));
            let far = |&i: &usize| (self.from(i, &chosen).flatten(), std::cmp::Reverse(i));
            match left.max_by_key(far) {
                Some(next) if self.from(next, &chosen).flatten().is_some() => chosen.push(next),
                Some(_) | None => break,
            }
        }
        chosen
    }

    /// Exchanges one that is nearest to another, as long as the smallest distance grows.
    fn exchanged(&self, mut chosen: Vec<usize>) -> Vec<usize> {
        while chosen.len() > 1 {
            let now = self.least(&chosen);
            let places = (0..chosen.len()).filter(|&k| self.from(chosen[k], &chosen) == Some(now));
            let mut best: Option<(Option<D>, Vec<usize>)> = None;
            for k in places {
                for other in (0..self.n).filter(|o| !chosen.contains(o)) {
                    let mut tried = chosen.clone();
                    tried[k] = other;
                    let least = self.least(&tried);
                    if least > now && best.as_ref().is_none_or(|(b, _)| least > *b) {
                        best = Some((least, tried));
                    }
                }
            }
            match best {
                Some((_, better)) => chosen = better,
                None => break,
            }
        }
        chosen
    }

    /// A choice of `size` whose members are at least `apart` from one another; `Some(None)`: there is none; `None`: not settled.
    fn find(&self, apart: D, size: usize, tries: &mut u64) -> Option<Option<Vec<usize>>> {
        let mut chosen = Vec::new();
        let all: Vec<usize> = (0..self.n).collect();
        self.grow(apart, size, &mut chosen, &all, tries)
            .map(|found| found.then_some(chosen))
    }

    fn grow(
        &self,
        apart: D,
        size: usize,
        chosen: &mut Vec<usize>,
        open: &[usize],
        tries: &mut u64,
    ) -> Option<bool> {
        if chosen.len() == size {
            return Some(true);
        }
        for (k, &next) in open.iter().enumerate() {
            if chosen.len() + open.len() - k < size {
                return Some(false);
            }
            *tries = tries.checked_sub(1)?;
            let far = |&o: &usize| self.at(next, o).is_some_and(|d| d >= apart);
            let left: Vec<usize> = open[k + 1..].iter().copied().filter(far).collect();
            chosen.push(next);
            if self.grow(apart, size, chosen, &left, tries)? {
                return Some(true);
            }
            chosen.pop();
        }
        Some(false)
    }
}

#[cfg(test)]
mod tests {
    use rand::{RngExt as _, SeedableRng as _};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    /// The best smallest distance of `size` of `n`, and whether there is such a choice at all, by trying all sets.
    fn by_trying(n: usize, size: usize, d: &[u32], apart: u32) -> Option<u32> {
        let sets = (0..1_u32 << n).filter(|set| set.count_ones() as usize == size);
        let least = sets.map(|set| {
            let of: Vec<usize> = (0..n).filter(|i| set >> i & 1 == 1).collect();
            let pairs = of.iter().flat_map(|&i| of.iter().map(move |&j| (i, j)));
            let apart = pairs.filter(|(i, j)| i < j).map(|(i, j)| d[i * n + j]);
            apart.min().unwrap_or(u32::MAX)
        });
        least.filter(|l| *l >= apart).max()
    }

    #[test]
    fn the_exact_choice_is_the_best_of_all_choices() {
        let mut fewer = 0;
        for seed in 0..200 {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let n = rng.random_range(1..10);
            let mut d = vec![0; n * n];
            for i in 0..n {
                for j in 0..i {
                    let far = rng.random_range(0..8);
                    (d[i * n + j], d[j * n + i]) = (far, far);
                }
            }
            let count = rng.random_range(1..6);
            let found = spread(n, count, 3, 100_000, |i, j| Some(d[i * n + j]));
            assert!(found.exact);
            let most = (1..=count.min(n))
                .rev()
                .find(|&k| by_trying(n, k, &d, 3).is_some())
                .expect("one alone is a choice");
            assert_eq!(found.chosen.len(), most, "{seed}");
            fewer += u32::from(most < count.min(n));
            if most > 1 {
                assert_eq!(found.least, by_trying(n, most, &d, 3), "{seed}");
            }
        }
        assert!(fewer > 10, "{fewer}");
    }

    #[test]
    fn two_that_may_not_both_be_chosen_are_not() {
        let found = spread(3, 3, 0, 100, |i, j| (i + j != 1).then_some(1));
        assert_eq!((found.chosen.len(), found.exact), (2, true));
    }
}
