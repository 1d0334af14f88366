//! The three priorities as one integer.
//!
//! Balanced: hundredths of a second, a stop its seconds. Changes: change-over time keeps the weight 1; stops, penalties and soft
//! weights are multiplied by a number above the change-over time of any order, so that no saving of time outweighs one of them.
//! Time: everything but the stops is multiplied by the steps + 2 and a stop counts 1; an order has at most steps + 1 stops, so no
//! saving of stops outweighs a hundredth of a second.

use crate::brief::Priority;
use crate::problem::facet::Facet;
use crate::problem::posture::Postures;
use crate::rules::posting::hundredths;

/// What the score is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weights {
    /// Weight of a hundredth of change-over.
    pub time: i64,
    /// Score of a stop.
    pub stop: i64,
    /// By how much penalties and soft weights are multiplied.
    pub scale: i64,
}

impl Weights {
    /// Score units of one second of penalty, and of a stop's second where the priority is not time.
    pub fn score_per_second(self) -> i64 {
        100 * self.scale
    }
}

/// Weights for a priority. `longest`: above the change-over time of any order, hundredths.
pub fn weights(priority: Priority, stop_seconds: f64, n_steps: usize, longest: i64) -> Weights {
    let stop = hundredths(stop_seconds);
    match priority {
        Priority::Balanced => Weights {
            time: 1,
            stop,
            scale: 1,
        },
        Priority::Changes => Weights {
            time: 1,
            // A stop that counts nothing could not be compared first.
            stop: stop.max(1) * longest,
            scale: longest,
        },
        Priority::Time => {
            let scale = i64::try_from(n_steps).expect("a class has few steps") + 2;
            Weights {
                time: scale,
                stop: 1,
                scale,
            }
        }
    }
}

/// A number above the change-over time of any order, hundredths: in each change-over every facet changes at its dearest and the walk
/// goes the longest path to a posture for each, and then to its end.
pub fn above_any_changeover(facets: &[Facet], postures: &Postures, n_steps: usize) -> i64 {
    let dearest = |table: &[Vec<i64>]| table.iter().flatten().copied().max().unwrap_or(0);
    let changes: i64 = facets.iter().map(|f| dearest(&f.change)).sum();
    let legs = i64::try_from(facets.len()).expect("a machine has few facets") + 1;
    let n = i64::try_from(n_steps).expect("a class has few steps") + 1;
    n * (changes + legs * dearest(&postures.path)) + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_priority_is_one_integer() {
        let of = |priority| {
            let w = weights(priority, 15.0, 24, 1_000_000);
            (w.time, w.stop, w.scale)
        };
        assert_eq!(of(Priority::Balanced), (1, 1500, 1));
        assert_eq!(of(Priority::Changes), (1, 1_500_000_000, 1_000_000));
        assert_eq!(of(Priority::Time), (26, 1, 26));
    }

    #[test]
    fn no_changeover_time_reaches_the_number_that_outweighs_it() {
        let facet = Facet {
            name: "bar".into(),
            values: vec!["a".into(), "b".into()],
            change: vec![vec![0, 400], vec![300, 0]],
            reach: Some(vec![1]),
            stop: true,
        };
        let postures = Postures {
            names: vec!["p".into(), "q".into()],
            path: vec![vec![0, 500], vec![600, 0]],
        };
        // Three change-overs of at most 400 and a walk p, q, p of 1100, which two legs of 600 bound.
        assert_eq!(above_any_changeover(&[facet], &postures, 2), 3 * 1600 + 1);
    }
}
