//! The cheapest assignment of a successor to each node: prices to begin with.
//!
//! **Claim.** The sum of the prices is at most the cost of any order; no arc costs less than the prices of its ends together.
//!
//! **Why.** The prices are a feasible solution of the dual of the assignment problem, and an order is an assignment (H. W. Kuhn, *The Hungarian
//! method for the assignment problem*, Naval Research Logistics Quarterly 2:83-97, 1955; by shortest augmenting paths).
//!
//! **Tested by** `prices_are_dual_feasible_and_below_every_order`.

use super::instance::Sop;

/// Dual prices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prices {
    /// Of leaving each node; 0 for the sink.
    pub leave: Vec<i64>,
    /// Of entering each node; 0 for the source.
    pub enter: Vec<i64>,
}

impl Prices {
    /// The sum of all prices, in units: no order costs less.
    pub fn bound(&self) -> i64 {
        self.leave.iter().chain(&self.enter).sum()
    }

    /// Prices of an instance, in units. Arcs that are in no order count as very dear ones.
    pub fn of(sop: &Sop) -> Self {
        // Rows: nodes that are left, 0..n-1. Columns: nodes that are entered, 1..n, one less each.
        let m = sop.n - 1;
        let cost = |row: usize, column: usize| i64::from(sop.cost(row, column + 1));
        let mut row_price = vec![0i64; m + 1];
        let mut column_price = vec![0i64; m + 1];
        // The row of each column; column m is the one from which a path begins.
        let mut row_of = vec![m; m + 1];
        for row in 0..m {
            row_of[m] = row;
            let mut column = m;
            let mut least = vec![i64::MAX; m];
            let mut from = vec![m; m];
            let mut done = vec![false; m + 1];
            loop {
                done[column] = true;
                let here = row_of[column];
                let (mut step, mut next) = (i64::MAX, m);
                for c in (0..m).filter(|&c| !done[c]) {
                    let slack = cost(here, c) - row_price[here] - column_price[c];
                    if slack < least[c] {
                        least[c] = slack;
                        from[c] = column;
                    }
                    if least[c] < step {
                        step = least[c];
                        next = c;
                    }
                }
                for c in 0..=m {
                    if done[c] {
                        row_price[row_of[c]] += step;
                        column_price[c] -= step;
                    } else if c < m {
                        least[c] -= step;
                    }
                }
                column = next;
                if row_of[column] == m {
                    break;
                }
            }
            while column != m {
                let previous = from[column];
                row_of[column] = row_of[previous];
                column = previous;
            }
        }
        let mut leave: Vec<i64> = row_price[..m].to_vec();
        leave.push(0);
        let enter = std::iter::once(0)
            .chain(column_price[..m].iter().copied())
            .collect();
        Self { leave, enter }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn prices_are_dual_feasible_and_below_every_order() {
        for seed in 0..100 {
            let sop = sample::instance(&sample::problem(seed, 6));
            let prices = Prices::of(&sop);
            for i in 0..sop.n - 1 {
                for j in 1..sop.n {
                    let both = prices.leave[i] + prices.enter[j];
                    assert!(both <= i64::from(sop.cost(i, j)), "seed {seed}: {i} {j}");
                }
            }
            let best = sample::orders(&sop).into_iter().map(|(_, cost)| cost).min();
            assert!(Some(prices.bound()) <= best, "seed {seed}");
        }
    }

    #[test]
    fn without_precedences_that_bind_the_bound_is_the_cheapest_assignment() {
        // Two steps: source to a, a to b, b to sink, or the other way round; an assignment is an order here or two loops, which no order is.
        for seed in 0..20 {
            let mut problem = sample::problem(seed, 2);
            problem.demands.clear();
            let sop = sample::instance(&problem);
            let prices = Prices::of(&sop);
            // Every way to give each of 0, 1, 2 another successor among 1, 2, 3.
            let mut least = i64::MAX;
            for a in 1..4 {
                for b in 1..4 {
                    for c in 1..4 {
                        if a != b && b != c && a != c {
                            let costs = [(0, a), (1, b), (2, c)].map(|(i, j)| sop.cost(i, j));
                            least = least.min(costs.iter().map(|&c| i64::from(c)).sum());
                        }
                    }
                }
            }
            assert_eq!(prices.bound(), least, "seed {seed}");
        }
    }
}
