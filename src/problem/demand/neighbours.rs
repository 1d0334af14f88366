//! A given number of the listed pairs stand directly one after the other.

use crate::problem::timeline::Timeline;

/// A given number of the listed pairs stand directly one after the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Neighbours {
    /// Ordered pairs: the second directly after the first.
    pub pairs: Vec<(usize, usize)>,
    /// At least this many.
    pub least: Option<i64>,
    /// At most this many.
    pub most: Option<i64>,
}

impl Neighbours {
    /// The number of pairs too few or too many.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let standing = (timeline.order.windows(2))
            .filter(|two| self.pairs.contains(&(two[0], two[1])))
            .count() as i64;
        let too_few = self.least.map_or(0, |least| (least - standing).max(0));
        let too_many = self.most.map_or(0, |most| (standing - most).max(0));
        too_few + too_many
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn violations(least: Option<i64>, most: Option<i64>, order: &[usize]) -> i64 {
        let demand = Neighbours {
            pairs: vec![(0, 1), (1, 2), (2, 3)],
            least,
            most,
        };
        demand.violations(&Timeline::in_order(order))
    }

    #[test]
    fn each_pair_missing_counts() {
        assert_eq!(violations(Some(3), None, &[0, 1, 2, 3]), 0);
        assert_eq!(violations(Some(3), None, &[0, 1, 3, 2]), 2);
    }

    #[test]
    fn each_pair_too_many_counts() {
        assert_eq!(violations(None, Some(1), &[0, 1, 2, 3]), 2);
        assert_eq!(violations(None, Some(0), &[3, 2, 1, 0]), 0);
    }

    #[test]
    fn a_pair_has_a_direction() {
        assert_eq!(violations(Some(1), None, &[1, 0, 3, 2]), 1);
    }

    #[test]
    fn a_step_left_out_or_between_parts_the_pair() {
        assert_eq!(violations(Some(1), None, &[0, 2, 9]), 1);
        assert_eq!(violations(Some(1), None, &[0, 9, 1]), 1);
    }

    #[test]
    fn both_limits_hold_at_once() {
        assert_eq!(violations(Some(1), Some(2), &[0, 1, 2, 9]), 0);
        assert_eq!(violations(Some(1), Some(2), &[0, 1, 2, 3]), 1);
    }
}
