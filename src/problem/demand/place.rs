//! A step at certain places.

use crate::problem::timeline::Timeline;

/// A step at certain places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The step.
    pub step: usize,
    /// First allowed place: from 1, or from the end: -1 is last. Never 0.
    pub min: i64,
    /// Last allowed place, counted likewise.
    pub max: i64,
}

impl Place {
    /// 1 if the step is in use and its place lies outside of `min..=max`, else 0.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let Some(index) = timeline.index_of(self.step) else {
            return 0;
        };
        let place = index as i64 + 1;
        let in_use = timeline.order.len() as i64;
        let from_front = |p: i64| if p < 0 { in_use + 1 + p } else { p };
        i64::from(place < from_front(self.min) || from_front(self.max) < place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn violations(min: i64, max: i64, order: &[usize]) -> i64 {
        Place { step: 7, min, max }.violations(&Timeline::in_order(order))
    }

    #[test]
    fn places_start_at_one() {
        assert_eq!(violations(1, 1, &[7, 0, 1]), 0);
        assert_eq!(violations(1, 1, &[0, 7, 1]), 1);
        assert_eq!(violations(2, 3, &[0, 1, 7]), 0);
    }

    #[test]
    fn a_negative_place_counts_from_the_last_step_in_use() {
        assert_eq!(violations(-1, -1, &[0, 1, 7]), 0);
        assert_eq!(violations(-2, -1, &[0, 7, 1]), 0);
        assert_eq!(violations(-2, -1, &[7, 0, 1]), 1);
        assert_eq!(violations(2, -2, &[0, 7, 1]), 0);
        assert_eq!(violations(2, -2, &[0, 1, 7]), 1);
    }

    #[test]
    fn a_step_left_out_has_no_place_to_miss() {
        assert_eq!(violations(1, 1, &[0, 1]), 0);
    }

    #[test]
    fn an_empty_range_is_always_missed() {
        assert_eq!(violations(3, 2, &[0, 7, 1]), 1);
    }
}
