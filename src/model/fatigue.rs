//! The load model of a region over time (three compartments), its parameters and their source.
//!
//! F and R: Frey-Law LA, Looft JM, Heitsman J (2012) J Biomech 45(10):1803-1808, doi 10.1016/j.jbiomech.2012.04.018, Table 1.
//! Rest multiplier r: Looft JM, Herkert N, Frey-Law L (2018) J Biomech 77:16-25, doi 10.1016/j.jbiomech.2018.06.005 (the trunk has
//! not been measured: the general value). Fitted to held contractions: for repeated, moving work an aid to ranking, not physiology.

/// Rates of one joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// The joint, as `model::region` names it.
    pub joint: &'static str,
    /// F: fatigue under load, per second.
    pub build: f64,
    /// R: recovery under load, per second.
    pub recover: f64,
    /// r: times R at rest.
    pub rest: f64,
}

const fn row(joint: &'static str, build: f64, recover: f64, rest: f64) -> Rates {
    Rates {
        joint,
        build,
        recover,
        rest,
    }
}

/// All rows of the table.
pub const RATES: &[Rates] = &[
    row("ankle", 0.005_89, 0.000_58, 15.0),
    row("knee", 0.015_00, 0.001_49, 15.0),
    row("trunk", 0.007_55, 0.000_75, 15.0),
    row("shoulder", 0.018_20, 0.001_68, 15.0),
    row("elbow", 0.009_12, 0.000_94, 15.0),
    row("hand/grip", 0.009_80, 0.000_64, 30.0),
    row("general", 0.009_70, 0.000_91, 15.0),
];

/// The rates of a joint.
pub fn rates(joint: &str) -> Option<&'static Rates> {
    RATES.iter().find(|r| r.joint == joint)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::region::REGIONS;

    #[test]
    fn the_published_ratios_and_asymptotes_follow_from_the_rates() {
        // Table 1 of the source, columns F/R and asymptote (% of maximum); the latter is R/(F + R).
        for (joint, ratio, asymptote) in [
            ("ankle", 10.2, 8.96),
            ("knee", 10.1, 9.04),
            ("trunk", 10.1, 9.04),
            ("shoulder", 10.8, 8.45),
            ("elbow", 9.7, 9.34),
            ("hand/grip", 15.3, 6.13),
            ("general", 10.7, 8.57),
        ] {
            let r = rates(joint).expect("a row of the table");
            assert!((r.build / r.recover - ratio).abs() < 0.06, "{joint}");
            let level = 100.0 * r.recover / (r.build + r.recover);
            assert!((level - asymptote).abs() < 0.011, "{joint}: {level}");
        }
    }

    #[test]
    fn every_region_has_its_rates() {
        for region in REGIONS {
            assert!(rates(region.joint).is_some(), "{}", region.name);
        }
    }
}
