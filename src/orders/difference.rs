//! How alike two orders of one list are: neighbouring pairs in common first, then Kendall's distance.
//!
//! What a regular notices are neighbours, so a pair of movements counts whichever side is meant; a short rest that was put in does not
//! count, and neither does a pair that stands in every order because a block, a series or the two sides of a movement force it.
//!
//! The pairs that are not in common are the *directed adjacency (breakpoint) distance* (Watterson et al. 1982, J Theor Biol 99:1-7); Kendall's
//! distance is the number of pairs whose order differs (Kendall 1938, Biometrika 30:81-93). Where a movement stands more than once (two
//! sides, rounds), its first place is compared with the first place in the other order, and so on.

use std::collections::BTreeMap;

use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::problem::demand::neighbours::Neighbours;

/// How far two orders are apart: compared by pairs first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Difference {
    /// Neighbouring pairs of the one that are not neighbours in the other.
    pub pairs: usize,
    /// Pairs of movements that stand the other way round (Kendall).
    pub turned: usize,
}

/// What is compared in the orders of a problem.
#[derive(Debug, Clone)]
pub struct Measure {
    /// For each step what it is called; steps of one name are not told apart.
    names: Vec<usize>,
    /// Steps that may be left out: they are passed over.
    passed: Vec<bool>,
    /// `[a * n + b]`: b follows a in every order, or a follows b and nobody minds which.
    forced: Vec<bool>,
}

impl Measure {
    /// `names` has one entry for each step of the problem.
    pub fn new(problem: &Problem, names: Vec<usize>) -> Self {
        let n = problem.steps.len();
        let mut forced = vec![false; n * n];
        for demand in problem.demands.iter().filter(|d| d.weight.is_none()) {
            if let Kind::Contiguous(c) = &demand.kind
                && c.within == 0
            {
                if c.ordered {
                    for two in c.steps.windows(2) {
                        forced[two[0] * n + two[1]] = true;
                    }
                } else if let [a, b] = c.steps[..] {
                    forced[a * n + b] = true;
                    forced[b * n + a] = true;
                }
            }
        }
        Self {
            names,
            passed: problem.steps.iter().map(|s| s.optional.is_some()).collect(),
            forced,
        }
    }

    /// Whether b directly after a is forced, or nobody minds which comes first.
    pub fn is_forced(&self, a: usize, b: usize) -> bool {
        self.forced[a * self.names.len() + b]
    }

    /// The names of an order, rests passed over: orders with the same are the same class.
    pub fn spelled(&self, order: &[usize]) -> Vec<usize> {
        self.kept(order).map(|s| self.names[s]).collect()
    }

    /// The steps that must be done and are called as a step is, itself among them.
    pub fn same_name(&self, step: usize) -> Vec<usize> {
        let same = |&s: &usize| self.names[s] == self.names[step] && !self.passed[s];
        (0..self.names.len()).filter(same).collect()
    }

    fn kept<'a>(&'a self, order: &'a [usize]) -> impl Iterator<Item = usize> + 'a {
        order.iter().copied().filter(|&s| !self.passed[s])
    }

    /// Neighbouring steps that are not forced.
    pub fn free_pairs(&self, order: &[usize]) -> Vec<(usize, usize)> {
        let n = self.names.len();
        let kept: Vec<usize> = self.kept(order).collect();
        let pairs = kept.windows(2).map(|two| (two[0], two[1]));
        pairs.filter(|(a, b)| !self.forced[a * n + b]).collect()
    }

    /// Neighbouring pairs that both orders have.
    pub fn common(&self, a: &[usize], b: &[usize]) -> usize {
        self.common_with(a, self, b)
    }

    /// The same with an order of another list, whose names mean the same.
    fn common_with(&self, a: &[usize], other: &Self, b: &[usize]) -> usize {
        let mut left: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (x, y) in other.free_pairs(b) {
            *left.entry((other.names[x], other.names[y])).or_default() += 1;
        }
        let stands = |(x, y): (usize, usize)| match left.get_mut(&(self.names[x], self.names[y])) {
            Some(more) if *more > 0 => {
                *more -= 1;
                true
            }
            Some(_) | None => false,
        };
        self.free_pairs(a)
            .into_iter()
            .map(stands)
            .filter(|s| *s)
            .count()
    }

    /// How far two orders of the same steps are apart.
    pub fn between(&self, a: &[usize], b: &[usize]) -> Difference {
        self.across(a, self, b)
    }

    /// How far an order is from one of another list, whose names mean the same. Where a movement was swapped for another, all its neighbours differ; only
    /// movements that both have can stand the other way round.
    pub fn across(&self, a: &[usize], other: &Self, b: &[usize]) -> Difference {
        let most = self.free_pairs(a).len().max(other.free_pairs(b).len());
        Difference {
            pairs: most - self.common_with(a, other, b),
            turned: kendall(&self.spelled(a), &other.spelled(b)),
        }
    }

    /// The steps of this list that an order of another goes through, as far as both have them.
    pub fn translated(&self, other: &Self, order: &[usize]) -> Vec<usize> {
        let all: Vec<usize> = (0..self.names.len()).filter(|&s| !self.passed[s]).collect();
        let of_all: Vec<usize> = all.iter().map(|&s| self.names[s]).collect();
        let here: BTreeMap<(usize, usize), usize> =
            numbered(&of_all).into_iter().zip(all).collect();
        let there = numbered(&other.spelled(order));
        there
            .iter()
            .filter_map(|name| here.get(name).copied())
            .collect()
    }

    /// All ordered pairs of steps that would be in common with an order, if they stood. With `surely`, only those of which no two of one
    /// name can stand at once, so that no more of them stand than are in common.
    pub fn alike(&self, order: &[usize], surely: bool) -> Vec<(usize, usize)> {
        let n = self.names.len();
        let of = |name: usize| -> Vec<usize> {
            (0..n)
                .filter(|&s| self.names[s] == name && !self.passed[s])
                .collect()
        };
        let mut pairs = Vec::new();
        for (x, y) in self.free_pairs(order) {
            let (from, into) = (of(self.names[x]), of(self.names[y]));
            if surely && from.len() > 1 && into.len() > 1 {
                continue;
            }
            for &s in &from {
                let next = into.iter().filter(|&&t| t != s && !self.forced[s * n + t]);
                pairs.extend(next.map(|&t| (s, t)));
            }
        }
        pairs.sort_unstable();
        pairs.dedup();
        pairs
    }

    /// At most this many pairs in common with an order, as a demand that no order breaks that really has no more: rests between two
    /// neighbours part them here, and names that stand many times are let off.
    pub fn at_most(&self, order: &[usize], most: usize) -> Option<Neighbours> {
        let pairs = self.alike(order, true);
        (!pairs.is_empty()).then(|| Neighbours {
            pairs,
            least: None,
            most: Some(i64::try_from(most).expect("an order has few pairs")),
        })
    }
}

/// Kendall's distance of two orders of the same names: pairs whose order differs.
pub fn kendall(a: &[usize], b: &[usize]) -> usize {
    let place = places(b);
    let in_b: Vec<usize> = numbered(a)
        .into_iter()
        .filter_map(|name| place.get(&name).copied())
        .collect();
    let later = |i: usize| in_b[i + 1..].iter().filter(|&&p| p < in_b[i]).count();
    (0..in_b.len()).map(later).sum()
}

/// Each name with how often it has stood before.
fn numbered(order: &[usize]) -> Vec<(usize, usize)> {
    let mut seen: BTreeMap<usize, usize> = BTreeMap::new();
    let number = |&name: &usize| {
        let times = seen.entry(name).or_default();
        *times += 1;
        (name, *times - 1)
    };
    order.iter().map(number).collect()
}

fn places(order: &[usize]) -> BTreeMap<(usize, usize), usize> {
    let numbered = numbered(order).into_iter().enumerate();
    numbered.map(|(place, name)| (name, place)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::demand::Demand;
    use crate::problem::demand::contiguous::Contiguous;
    use crate::problem::step::{Side, Step};

    fn problem(n: usize, together: &[(&[usize], bool)]) -> Problem {
        let step = |_| Step {
            id: String::new(),
            side: Side::Both,
            duration: 0,
            setup: Vec::new(),
            start: 0,
            end: 0,
            stage: None,
            group: None,
            optional: None,
        };
        let demand = |&(steps, ordered): &(&[usize], bool)| Demand {
            kind: Kind::Contiguous(Contiguous {
                steps: steps.to_vec(),
                ordered,
                within: 0,
            }),
            weight: None,
        };
        Problem {
            steps: (0..n).map(step).collect(),
            demands: together.iter().map(demand).collect(),
            ..Problem::default()
        }
    }

    fn plain(n: usize) -> Measure {
        Measure::new(&problem(n, &[]), (0..n).collect())
    }

    /// Worked values: five orders of A to H beside A B C D E F G H. Kendall's distance K from its definition (Kendall 1938), whose
    /// (1 - tau) / 2 = K / 28 was computed with scipy's `kendalltau` (tau 0.8571, -0.1429, -1, 0.5714, 0.5714); the directed adjacency
    /// distance counted from its definition (Watterson et al. 1982).
    #[test]
    fn worked_values_of_five_orders_come_out() {
        let letters = |text: &str| -> Vec<usize> {
            text.bytes()
                .map(|letter| usize::from(letter - b'A'))
                .collect()
        };
        let measure = plain(8);
        let straight = letters("ABCDEFGH");
        for (order, turned, pairs) in [
            ("BACDEFHG", 2, 4),
            ("EFGHABCD", 16, 1),
            ("HGFEDCBA", 28, 7),
            ("ACEGBDFH", 6, 7),
            ("DABCHEFG", 6, 3),
        ] {
            let found = measure.between(&straight, &letters(order));
            assert_eq!(found, Difference { pairs, turned }, "{order}");
            let back = measure.between(&letters(order), &straight);
            assert_eq!(back, found, "{order}");
        }
    }

    #[test]
    fn what_a_series_or_two_sides_force_does_not_count() {
        let both = problem(6, &[(&[0, 1, 2], true), (&[3, 4], false)]);
        let measure = Measure::new(&both, (0..6).collect());
        // Forced: 0-1, 1-2 and 3-4 either way round.
        assert_eq!(measure.free_pairs(&[0, 1, 2, 3, 4, 5]), [(2, 3), (4, 5)]);
        let found = measure.between(&[0, 1, 2, 3, 4, 5], &[5, 4, 3, 0, 1, 2]);
        assert_eq!(found.pairs, 2);
    }

    #[test]
    fn the_other_side_first_is_no_other_class() {
        let both = problem(4, &[(&[1, 2], false)]);
        let measure = Measure::new(&both, vec![0, 1, 1, 2]);
        let found = measure.between(&[0, 1, 2, 3], &[0, 2, 1, 3]);
        assert_eq!(found, Difference::default());
    }

    #[test]
    fn a_rest_between_two_neighbours_does_not_part_them() {
        let mut with_rest = problem(4, &[]);
        with_rest.steps[3].optional = Some(1000);
        let measure = Measure::new(&with_rest, (0..4).collect());
        let found = measure.between(&[0, 1, 2], &[0, 3, 1, 2]);
        assert_eq!(found, Difference::default());
    }

    #[test]
    fn a_pair_that_stands_twice_is_in_common_as_often_as_both_have_it() {
        let measure = Measure::new(&problem(4, &[]), vec![0, 1, 0, 1]);
        // a b a b beside a b b a: a b once, b a once.
        assert_eq!(measure.common(&[0, 1, 2, 3], &[0, 1, 3, 2]), 2);
        assert_eq!(measure.common(&[0, 1, 2, 3], &[2, 3, 0, 1]), 3);
    }

    #[test]
    fn no_order_has_more_sure_pairs_than_it_has_in_common() {
        let measure = Measure::new(&problem(5, &[]), vec![0, 1, 1, 2, 2]);
        let order = [0, 1, 3, 2, 4];
        let sure = measure.alike(&order, true);
        let mut other = [0, 1, 2, 3, 4];
        // Every order of five, by Heap's way of exchanging.
        let mut counts = [0; 5];
        let mut i = 0;
        while i < 5 {
            if counts[i] < i {
                other.swap(if i % 2 == 0 { 0 } else { counts[i] }, i);
                let standing = other.windows(2).filter(|w| sure.contains(&(w[0], w[1])));
                assert!(
                    standing.count() <= measure.common(&order, &other),
                    "{other:?}"
                );
                counts[i] += 1;
                i = 0;
            } else {
                counts[i] = 0;
                i += 1;
            }
        }
    }
}
