//! No stretch of members is longer than a limit.

use crate::problem::timeline::Timeline;

/// No stretch of members is longer than a limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Longest {
    /// The members.
    pub steps: Vec<usize>,
    /// Longest stretch, hundredths.
    pub limit: i64,
    /// A break of at least this ends a stretch, hundredths.
    pub rest: i64,
}

impl Longest {
    /// The number of stretches of members that last longer than `limit`.
    ///
    /// A member belongs to the stretch of the member before it if less than `rest` lies between them; a stretch lasts from its first
    /// start to its last end, whatever stands between.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        let mut exceeded = 0;
        let mut stretch: Option<(i64, i64)> = None;
        for (place, step) in timeline.order.iter().enumerate() {
            if !self.steps.contains(step) {
                continue;
            }
            let (start, end) = (timeline.start[place], timeline.end[place]);
            stretch = match stretch {
                Some((first, last)) if start - last < self.rest => Some((first, end)),
                Some(done) => {
                    exceeded += self.too_long(done);
                    Some((start, end))
                }
                None => Some((start, end)),
            };
        }
        exceeded + stretch.map_or(0, |done| self.too_long(done))
    }

    /// 1 if a stretch, given by its first start and last end, is too long.
    fn too_long(&self, (first, last): (i64, i64)) -> i64 {
        i64::from(last - first > self.limit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn violations(limit: i64, rest: i64, spans: &[(usize, i64, i64)]) -> i64 {
        let demand = Longest {
            steps: vec![0, 1, 2],
            limit,
            rest,
        };
        demand.violations(&Timeline::on_the_clock(spans))
    }

    #[test]
    fn a_short_break_does_not_end_a_stretch() {
        let spans = [(0, 0, 100), (1, 119, 200)];
        assert_eq!(violations(199, 20, &spans), 1);
        assert_eq!(violations(200, 20, &spans), 0);
    }

    #[test]
    fn a_break_as_long_as_asked_ends_it() {
        assert_eq!(violations(100, 20, &[(0, 0, 100), (1, 120, 200)]), 0);
    }

    #[test]
    fn what_stands_between_does_not_matter() {
        let spans = [(0, 0, 100), (7, 100, 110), (1, 110, 200)];
        assert_eq!(violations(150, 20, &spans), 1);
    }

    #[test]
    fn each_stretch_that_exceeds_counts_the_last_one_too() {
        let spans = [(0, 0, 100), (1, 100, 200), (2, 500, 700)];
        assert_eq!(violations(150, 20, &spans), 2);
    }

    #[test]
    fn with_no_rest_asked_each_member_stands_alone() {
        assert_eq!(violations(100, 0, &[(0, 0, 100), (1, 100, 200)]), 0);
        assert_eq!(violations(99, 0, &[(0, 0, 100), (1, 100, 200)]), 2);
    }

    #[test]
    fn no_member_in_use_is_no_stretch() {
        assert_eq!(violations(0, 20, &[(7, 0, 100)]), 0);
    }
}
