//! Steps in one run, or nearly.

use crate::problem::timeline::Timeline;

/// Steps in one run, or nearly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contiguous {
    /// The members, distinct.
    pub steps: Vec<usize>,
    /// Whether they come in the order listed.
    pub ordered: bool,
    /// How many other steps may stand between the first and the last.
    pub within: i64,
}

impl Contiguous {
    /// 1 if the members in use spread wider than allowed or, where `ordered`, do not come in the order listed; else 0.
    ///
    /// Members left out are not counted: the count is that of the members in use.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let places: Vec<i64> = self
            .steps
            .iter()
            .filter_map(|&step| timeline.index_of(step))
            .map(|place| place as i64)
            .collect();
        let (Some(first), Some(last)) = (places.iter().min(), places.iter().max()) else {
            return 0;
        };
        let strangers = last - first - (places.len() as i64 - 1);
        let in_turn = !self.ordered || places.is_sorted();
        i64::from(strangers > self.within || !in_turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn violations(ordered: bool, within: i64, order: &[usize]) -> i64 {
        let demand = Contiguous {
            steps: vec![1, 3, 5],
            ordered,
            within,
        };
        demand.violations(&Timeline::in_order(order))
    }

    #[test]
    fn members_side_by_side_in_any_order_are_together() {
        assert_eq!(violations(false, 0, &[0, 5, 1, 3, 2]), 0);
        assert_eq!(violations(false, 0, &[5, 0, 1, 3, 2]), 1);
    }

    #[test]
    fn so_many_strangers_may_stand_between_in_all() {
        assert_eq!(violations(false, 2, &[5, 0, 1, 2, 3]), 0);
        assert_eq!(violations(false, 1, &[5, 0, 1, 2, 3]), 1);
    }

    #[test]
    fn an_ordered_demand_wants_the_order_listed() {
        assert_eq!(violations(true, 0, &[0, 1, 3, 5]), 0);
        assert_eq!(violations(true, 0, &[0, 1, 5, 3]), 1);
    }

    #[test]
    fn a_member_left_out_leaves_no_hole() {
        assert_eq!(violations(true, 0, &[1, 5, 0]), 0);
        assert_eq!(violations(true, 0, &[1, 0, 5]), 1);
        assert_eq!(violations(true, 0, &[3, 0]), 0);
        assert_eq!(violations(true, 0, &[0]), 0);
    }

    #[test]
    fn spread_and_order_broken_together_are_one_violation() {
        assert_eq!(violations(true, 0, &[5, 0, 1, 2, 3]), 1);
    }
}
