//! Members have the same value of a facet.

use crate::problem::timeline::Timeline;

/// Members have the same value of a facet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Same {
    /// The members, at least two.
    pub steps: Vec<usize>,
    /// Index of the facet.
    pub facet: usize,
}

impl Same {
    /// The number of members in use whose value of the facet differs from that of the member in use before them.
    ///
    /// A member that does not care about the facet has the value that the set-up then has.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let values: Vec<usize> = (timeline.order.iter())
            .zip(&timeline.setups)
            .filter(|(step, _)| self.steps.contains(step))
            .map(|(_, setup)| setup[self.facet])
            .collect();
        values.windows(2).filter(|pair| pair[0] != pair[1]).count() as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn violations(order: &[usize], values: &[usize]) -> i64 {
        let demand = Same {
            steps: vec![0, 1, 2],
            facet: 1,
        };
        let timeline = Timeline {
            order: order.to_vec(),
            setups: values.iter().map(|&value| vec![9, value]).collect(),
            ..Timeline::default()
        };
        demand.violations(&timeline)
    }

    #[test]
    fn members_on_one_value_agree_whatever_stands_between() {
        assert_eq!(violations(&[0, 5, 1, 2], &[3, 4, 3, 3]), 0);
    }

    #[test]
    fn there_and_back_is_two_violations() {
        assert_eq!(violations(&[0, 1, 2], &[3, 4, 3]), 2);
    }

    #[test]
    fn one_that_stays_different_is_one_violation() {
        assert_eq!(violations(&[2, 0, 1], &[4, 3, 3]), 1);
    }

    #[test]
    fn a_single_member_in_use_agrees_with_itself() {
        assert_eq!(violations(&[5, 0], &[4, 3]), 0);
    }
}
