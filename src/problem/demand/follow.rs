//! After each maximal run of triggers a remedy comes soon.

use crate::problem::timeline::Timeline;

/// After each maximal run of triggers a remedy comes soon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Follow {
    /// Steps that ask for a remedy.
    pub trigger: Vec<usize>,
    /// Steps that are one.
    pub remedy: Vec<usize>,
    /// Among how many steps after the run the remedy must be.
    pub within: i64,
}

impl Follow {
    /// The number of maximal runs of triggers that no remedy follows in time.
    ///
    /// After a run the next `within` steps are looked at up to the next trigger. That trigger may itself be a remedy: it then closes
    /// this run and opens the next one.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let order = &timeline.order;
        let is_trigger = |place: usize| self.trigger.contains(&order[place]);
        let mut failed = 0;
        for place in 0..order.len() {
            let next = place + 1;
            let run_ends_here = is_trigger(place) && (next == order.len() || !is_trigger(next));
            if run_ends_here && !self.remedied(&order[next..]) {
                failed += 1;
            }
        }
        failed
    }

    /// Whether the steps after a run bring the remedy in time.
    fn remedied(&self, after: &[usize]) -> bool {
        let within = usize::try_from(self.within).unwrap_or(0);
        for step in after.iter().take(within) {
            if self.remedy.contains(step) {
                return true;
            }
            if self.trigger.contains(step) {
                return false;
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Triggers are 0, 1, 2; remedies 8 and 9; within 2.
    fn violations(order: &[usize]) -> i64 {
        let demand = Follow {
            trigger: vec![0, 1, 2],
            remedy: vec![8, 9],
            within: 2,
        };
        demand.violations(&Timeline::in_order(order))
    }

    #[test]
    fn a_run_asks_once_and_is_counted_from_its_end() {
        assert_eq!(violations(&[0, 1, 2, 5, 8]), 0);
        assert_eq!(violations(&[0, 1, 2, 5, 6, 8]), 1);
    }

    #[test]
    fn a_run_at_the_very_end_fails() {
        assert_eq!(violations(&[5, 0]), 1);
        assert_eq!(violations(&[0, 8, 1]), 1);
    }

    #[test]
    fn another_run_before_the_remedy_fails_the_first() {
        assert_eq!(violations(&[0, 5, 1, 8]), 1);
    }

    #[test]
    fn each_run_that_fails_counts() {
        assert_eq!(violations(&[0, 5, 1, 5, 6]), 2);
    }

    #[test]
    fn one_remedy_cannot_stand_before_the_run() {
        assert_eq!(violations(&[8, 0, 5, 6]), 1);
    }

    #[test]
    fn a_step_that_is_both_closes_one_run_and_opens_the_next() {
        let demand = Follow {
            trigger: vec![0, 1],
            remedy: vec![1, 8],
            within: 2,
        };
        let count = |order: &[usize]| demand.violations(&Timeline::in_order(order));
        assert_eq!(count(&[0, 5, 1, 8]), 0);
        assert_eq!(count(&[0, 5, 1, 5]), 1);
        // Side by side the two are one run, which the second does not close.
        assert_eq!(count(&[0, 1, 5]), 1);
    }

    #[test]
    fn within_zero_can_never_be_met() {
        let demand = Follow {
            trigger: vec![0],
            remedy: vec![8],
            within: 0,
        };
        assert_eq!(demand.violations(&Timeline::in_order(&[0, 8])), 1);
    }
}
