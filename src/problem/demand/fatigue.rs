//! The fatigued share of a region stays under a ceiling.

use crate::problem::timeline::Timeline;

/// The fatigued share of a region stays under a ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Fatigue {
    /// Name of the region.
    pub region: String,
    /// Step and its load, 0 to 1.
    pub loads: Vec<(usize, f64)>,
    /// Rate of fatigue under load, per second.
    pub build: f64,
    /// Rate of recovery under load, per second.
    pub recover: f64,
    /// Times that rate at rest.
    pub rest: f64,
    /// Fatigued share at time 0.
    pub start: f64,
    /// Highest allowed share.
    pub ceiling: f64,
}

/// A share counts as above the ceiling only by more than this, so that rounding in the last digits breaks no demand.
const TOLERANCE: f64 = 1e-9;

impl Fatigue {
    /// The number of steps in `loads` at whose end the share is above the ceiling (by more than 1e-9).
    pub fn violations(&self, timeline: &Timeline) -> i64 {
        (self.shares(timeline).iter())
            .filter(|&&(_, share)| share > self.ceiling + TOLERANCE)
            .count() as i64
    }

    /// Step and fatigued share at its end, for each step in use that is listed in `loads`, in the order done.
    ///
    /// A listed step of load 0 follows the equation of a step under load, with no build-up. The share is not capped at 1: the
    /// model holds while its controller keeps up.
    pub fn shares(&self, timeline: &Timeline) -> Vec<(usize, f64)> {
        let mut share = self.start;
        let mut clock = 0;
        let mut shares = Vec::new();
        for (place, &step) in timeline.order.iter().enumerate() {
            let Some(&(_, load)) = self.loads.iter().find(|&&(loaded, _)| loaded == step) else {
                continue;
            };
            share = self.after_rest(share, seconds(timeline.start[place] - clock));
            share = self.after_load(
                share,
                load,
                seconds(timeline.end[place] - timeline.start[place]),
            );
            clock = timeline.end[place];
            shares.push((step, share));
        }
        shares
    }

    /// The share after this many seconds at rest: the closed form of m' = -rest recover m.
    fn after_rest(&self, share: f64, seconds: f64) -> f64 {
        share * (-self.rest * self.recover * seconds).exp()
    }

    /// The share after this many seconds under a load: the closed form of m' = build load - recover m, and its limit for recover 0.
    fn after_load(&self, share: f64, load: f64, seconds: f64) -> f64 {
        if self.recover == 0.0 {
            return share + self.build * load * seconds;
        }
        let level = self.build * load / self.recover;
        level + (share - level) * (-self.recover * seconds).exp()
    }
}

/// Hundredths of a second as seconds.
fn seconds(hundredths: i64) -> f64 {
    hundredths as f64 / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demand(recover: f64, start: f64, ceiling: f64) -> Fatigue {
        Fatigue {
            region: "wrists".to_owned(),
            loads: vec![(0, 1.0), (1, 0.5)],
            build: 0.01,
            recover,
            rest: 2.0,
            start,
            ceiling,
        }
    }

    /// 10 s of full load, 10 s of something else, 20 s of half load.
    fn timeline() -> Timeline {
        Timeline::on_the_clock(&[(0, 0, 1000), (7, 1000, 2000), (1, 2000, 4000)])
    }

    #[test]
    fn without_recovery_the_share_grows_in_a_straight_line_and_stays() {
        // 0.05 + 0.01 x 10 = 0.15; nothing lost at rest; + 0.005 x 20 = 0.25.
        let shares = demand(0.0, 0.05, 1.0).shares(&timeline());
        assert_eq!(shares.len(), 2);
        assert!((shares[0].1 - 0.15).abs() < 1e-12);
        assert!((shares[1].1 - 0.25).abs() < 1e-12);
    }

    #[test]
    fn with_recovery_the_closed_forms_agree_with_small_steps_of_the_equations() {
        let demand = demand(0.02, 0.3, 1.0);
        let mut share = 0.3;
        let small = 1e-4;
        let mut run = |seconds: f64, slope: &dyn Fn(f64) -> f64| {
            for _ in 0..(seconds / small).round() as usize {
                share += small * slope(share);
            }
            share
        };
        let first = run(10.0, &|m| 0.01 - 0.02 * m);
        run(10.0, &|m| -2.0 * 0.02 * m);
        let second = run(20.0, &|m| 0.005 - 0.02 * m);
        let shares = demand.shares(&timeline());
        assert!((shares[0].1 - first).abs() < 1e-5);
        assert!((shares[1].1 - second).abs() < 1e-5);
    }

    #[test]
    fn each_step_that_ends_above_the_ceiling_counts_and_a_hair_does_not() {
        assert_eq!(demand(0.0, 0.05, 0.14).violations(&timeline()), 2);
        assert_eq!(demand(0.0, 0.05, 0.15).violations(&timeline()), 1);
        assert_eq!(demand(0.0, 0.05, 0.25 - 1e-10).violations(&timeline()), 0);
        assert_eq!(demand(0.0, 0.05, 0.25 - 1e-8).violations(&timeline()), 1);
    }

    #[test]
    fn a_listed_step_of_no_load_recovers_at_the_rate_under_load() {
        let mut demand = demand(0.02, 0.5, 1.0);
        demand.loads = vec![(0, 0.0)];
        let shares = demand.shares(&Timeline::on_the_clock(&[(0, 0, 1000)]));
        assert!((shares[0].1 - 0.5 * (-0.2f64).exp()).abs() < 1e-12);
    }

    #[test]
    fn a_step_left_out_builds_nothing() {
        let timeline = Timeline::on_the_clock(&[(7, 0, 1000)]);
        assert!(demand(0.0, 0.9, 0.1).shares(&timeline).is_empty());
        assert_eq!(demand(0.0, 0.9, 0.1).violations(&timeline), 0);
    }
}
