//! A step lies inside a part of the class.

use crate::problem::timeline::Timeline;

/// A step lies inside a part of the class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Peak {
    /// The step.
    pub step: usize,
    /// Start of the part, per mille of the whole class.
    pub from: i64,
    /// End of the part, per mille of the whole class.
    pub to: i64,
}

impl Peak {
    /// Hundredths of a second of the step's span that lie outside of its part of the class; 0 if it is left out.
    ///
    /// The part is `from * finish / 1000 .. to * finish / 1000`, both rounded down. This is an amount: `score` turns it into
    /// weight / 100 for each, rounded down for the step.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let Some(index) = timeline.index_of(self.step) else {
            return 0;
        };
        let (start, end) = (timeline.start[index], timeline.end[index]);
        let opens = per_mille(self.from, timeline.finish);
        let closes = per_mille(self.to, timeline.finish);
        let inside = (end.min(closes) - start.max(opens)).max(0);
        end - start - inside
    }
}

/// `share` per mille of `whole`, rounded down. Widened in between, so that no share overflows.
fn per_mille(share: i64, whole: i64) -> i64 {
    let part = i128::from(share) * i128::from(whole) / 1000;
    i64::try_from(part).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A class of 1999 hundredths with step 3 at `start..end`, wanted in its middle half: 499..1499.
    fn outside(start: i64, end: i64) -> i64 {
        let demand = Peak {
            step: 3,
            from: 250,
            to: 750,
        };
        let mut timeline = Timeline::on_the_clock(&[(0, 0, start), (3, start, end)]);
        timeline.finish = 1999;
        demand.violations(&timeline)
    }

    #[test]
    fn inside_costs_nothing_and_the_edges_are_rounded_down() {
        assert_eq!(outside(499, 1499), 0);
        assert_eq!(outside(498, 1500), 2);
    }

    #[test]
    fn the_part_outside_counts_on_either_side() {
        assert_eq!(outside(0, 600), 499);
        assert_eq!(outside(1400, 1900), 401);
    }

    #[test]
    fn a_step_wholly_outside_counts_whole() {
        assert_eq!(outside(0, 300), 300);
        assert_eq!(outside(1600, 1999), 399);
    }

    #[test]
    fn a_window_upside_down_holds_nothing() {
        let demand = Peak {
            step: 3,
            from: 750,
            to: 250,
        };
        let timeline = Timeline::on_the_clock(&[(3, 0, 1000)]);
        assert_eq!(demand.violations(&timeline), 1000);
    }

    #[test]
    fn the_final_change_over_is_part_of_the_class() {
        let demand = Peak {
            step: 3,
            from: 0,
            to: 500,
        };
        let mut timeline = Timeline::on_the_clock(&[(3, 0, 1000)]);
        assert_eq!(demand.violations(&timeline), 500);
        timeline.finish = 2000;
        assert_eq!(demand.violations(&timeline), 0);
    }

    #[test]
    fn a_step_left_out_lies_nowhere() {
        let demand = Peak {
            step: 4,
            from: 0,
            to: 0,
        };
        assert_eq!(demand.violations(&Timeline::on_the_clock(&[(3, 0, 9)])), 0);
    }
}
