//! The best plan so far.

use super::outcome::Plan;

/// Rules of acceptance: what counts as better than the incumbent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// A lower score.
    Score,
    /// A lower score, or the same score nearer to the order as written.
    ScoreThenOrder,
}

/// The incumbent: the best plan so far and how far it strays from the order as written.
#[derive(Debug, Clone)]
pub struct Incumbent {
    /// The plan.
    pub plan: Option<Plan>,
    /// Pairs of steps that stand the other way round than written.
    pub strays: u32,
    /// While there is no plan: nothing at or above this is of interest.
    pub ceiling: i64,
}

impl Default for Incumbent {
    fn default() -> Self {
        Self {
            plan: None,
            strays: 0,
            ceiling: i64::MAX / 4,
        }
    }
}

impl Incumbent {
    /// Nothing at or above this is of interest.
    pub fn below(&self) -> i64 {
        self.plan.as_ref().map_or(self.ceiling, |p| p.score)
    }
}

/// Pairs of steps of an order that stand the other way round than written; only the earlier of the two, as written, must be one that `counts`.
pub fn strays(order: &[usize], counts: impl Fn(usize) -> bool) -> u32 {
    let pairs = order.iter().enumerate().map(|(i, &a)| {
        let after = order[i + 1..].iter();
        after.filter(|&&b| b < a && counts(b)).count()
    });
    u32::try_from(pairs.sum::<usize>()).expect("steps are few")
}
