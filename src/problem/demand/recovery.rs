//! Neighbouring members lie apart in time.

use crate::problem::step::Step;
use crate::problem::timeline::Timeline;

/// Neighbouring members lie apart in time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovery {
    /// The members.
    pub steps: Vec<usize>,
    /// Least time from the end of one to the start of the next, hundredths.
    pub seconds: i64,
}

impl Recovery {
    /// The number of neighbouring pairs of members that lie less than `seconds` apart, pairs of one group left out.
    ///
    /// `steps` are the problem's steps, by number: their groups are looked up.
    pub fn violations(&self, steps: &[Step], timeline: &Timeline) -> i64 {
        let members: Vec<usize> = (0..timeline.order.len())
            .filter(|&place| self.steps.contains(&timeline.order[place]))
            .collect();
        let too_close = |pair: &&[usize]| {
            let (earlier, later) = (pair[0], pair[1]);
            let group = |place: usize| steps[timeline.order[place]].group;
            let exempt = group(earlier).is_some() && group(earlier) == group(later);
            !exempt && timeline.start[later] - timeline.end[earlier] < self.seconds
        };
        members.windows(2).filter(too_close).count() as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::step::Side;

    fn step(group: Option<i64>) -> Step {
        Step {
            id: String::new(),
            side: Side::Both,
            duration: 0,
            setup: Vec::new(),
            start: 0,
            end: 0,
            stage: None,
            group,
            optional: None,
        }
    }

    fn demand() -> Recovery {
        Recovery {
            steps: vec![0, 1, 2],
            seconds: 600,
        }
    }

    #[test]
    fn the_rest_runs_from_the_end_to_the_start() {
        let steps = vec![step(None); 4];
        let at = |start| Timeline::on_the_clock(&[(0, 0, 100), (3, 100, 400), (1, start, 900)]);
        assert_eq!(demand().violations(&steps, &at(700)), 0);
        assert_eq!(demand().violations(&steps, &at(699)), 1);
    }

    #[test]
    fn each_neighbouring_pair_that_is_too_close_counts() {
        let steps = vec![step(None); 4];
        let timeline = Timeline::on_the_clock(&[(0, 0, 10), (1, 10, 20), (2, 20, 30)]);
        assert_eq!(demand().violations(&steps, &timeline), 2);
    }

    #[test]
    fn a_group_is_exempt_among_itself_alone() {
        let steps = vec![step(Some(4)), step(Some(4)), step(None), step(None)];
        let timeline = Timeline::on_the_clock(&[(0, 0, 10), (1, 10, 20), (2, 20, 30)]);
        assert_eq!(demand().violations(&steps, &timeline), 1);
    }

    #[test]
    fn a_member_between_takes_the_group_apart() {
        // 0 and 2 are of one group, yet 1 stands between them: both pairs count.
        let steps = vec![step(Some(4)), step(Some(5)), step(Some(4))];
        let timeline = Timeline::on_the_clock(&[(0, 0, 10), (1, 10, 20), (2, 20, 30)]);
        assert_eq!(demand().violations(&steps, &timeline), 2);
    }

    #[test]
    fn a_member_left_out_asks_for_no_rest() {
        let steps = vec![step(None); 4];
        let timeline = Timeline::on_the_clock(&[(0, 0, 10), (3, 10, 20)]);
        assert_eq!(demand().violations(&steps, &timeline), 0);
    }
}
