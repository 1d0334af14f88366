//! One step before another.

use crate::problem::timeline::Timeline;

/// One step before another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Precede {
    /// The step that comes first.
    pub a: usize,
    /// The step that comes later.
    pub b: usize,
}

impl Precede {
    /// 1 if both steps are in use and b comes first, else 0. A step left out asks for nothing.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        match (timeline.index_of(self.a), timeline.index_of(self.b)) {
            (Some(a), Some(b)) => i64::from(a > b),
            (None, _) | (_, None) => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_wrong_order_is_one_violation_however_far_apart() {
        let demand = Precede { a: 0, b: 2 };
        assert_eq!(demand.violations(&Timeline::in_order(&[0, 1, 2])), 0);
        assert_eq!(demand.violations(&Timeline::in_order(&[2, 0, 1])), 1);
        assert_eq!(demand.violations(&Timeline::in_order(&[2, 1, 0])), 1);
    }

    #[test]
    fn a_step_left_out_asks_for_nothing() {
        let demand = Precede { a: 0, b: 2 };
        assert_eq!(demand.violations(&Timeline::in_order(&[2, 1])), 0);
        assert_eq!(demand.violations(&Timeline::in_order(&[1, 0])), 0);
    }
}
