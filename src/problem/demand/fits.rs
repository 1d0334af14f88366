//! The class ends in time.

use crate::problem::timeline::Timeline;

/// The class ends in time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fits {
    /// Latest end, final change-over included, hundredths.
    pub total: i64,
}

impl Fits {
    /// 1 if the class ends after `total`, else 0.
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        i64::from(timeline.finish > self.total)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ending_on_the_dot_is_in_time() {
        let timeline = Timeline {
            finish: 3000,
            ..Timeline::default()
        };
        assert_eq!(Fits { total: 3000 }.violations(&timeline), 0);
        assert_eq!(Fits { total: 2999 }.violations(&timeline), 1);
    }
}
