//! A step starts within certain times.

use crate::problem::timeline::Timeline;

/// A step starts within certain times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// The step.
    pub step: usize,
    /// Earliest start, hundredths.
    pub from: i64,
    /// Latest start, hundredths.
    pub to: i64,
}

impl Window {
    /// 1 if the step is in use and starts before `from` or after `to`, else 0.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        timeline.index_of(self.step).map_or(0, |index| {
            let start = timeline.start[index];
            i64::from(start < self.from || self.to < start)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_start_counts_and_both_edges_are_inside() {
        let at = |start| Timeline::on_the_clock(&[(4, 0, 50), (2, start, 900)]);
        let demand = Window {
            step: 2,
            from: 100,
            to: 200,
        };
        assert_eq!(demand.violations(&at(99)), 1);
        assert_eq!(demand.violations(&at(100)), 0);
        assert_eq!(demand.violations(&at(200)), 0);
        assert_eq!(demand.violations(&at(201)), 1);
    }

    #[test]
    fn a_step_left_out_misses_no_window() {
        let demand = Window {
            step: 9,
            from: 100,
            to: 200,
        };
        assert_eq!(demand.violations(&Timeline::on_the_clock(&[(4, 0, 50)])), 0);
    }
}
