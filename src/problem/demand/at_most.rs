//! A facet changes at most a given number of times.

use crate::problem::timeline::Timeline;

/// A facet changes at most a given number of times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtMost {
    /// Index of the facet.
    pub facet: usize,
    /// How often it may change, the first and the final change-over included.
    pub changes: i64,
}

impl AtMost {
    /// 1 if the facet changes more often than allowed, else 0.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        i64::from(timeline.facet_changes[self.facet] > self.changes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_change_too_many_and_ten_are_the_same_violation() {
        let demand = AtMost {
            facet: 1,
            changes: 2,
        };
        let with = |changes| Timeline {
            facet_changes: vec![99, changes],
            ..Timeline::default()
        };
        assert_eq!(demand.violations(&with(2)), 0);
        assert_eq!(demand.violations(&with(3)), 1);
        assert_eq!(demand.violations(&with(12)), 1);
    }
}
