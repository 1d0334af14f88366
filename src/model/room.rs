//! The slowest of N people: expected maximum of N standard normals.
//!
//! A change-over is over when the last person is done. With a mean time m and a coefficient of variation v, N people take
//! `m * (1 + v * e(N))` on average, where e(N) is the integral of `N z phi(z) Phi(z)^(N-1)` over all z. Here it is summed numerically for
//! any N. Published values: Harter HL (1961) Biometrika 48:151-165; the control-chart constant d2 is `2 e(N)`.

/// Half the width of the range that is summed over, in standard deviations. Outside of it even a million people hardly ever fall.
const REACH: f64 = 12.0;

/// Intervals of the sum; the trapezoid rule converges faster than any power for such an integrand.
const INTERVALS: u32 = 4800;

/// e(N): by how many standard deviations the slowest of `people` is expected to be slower than the mean; 0 for one person or none.
///
/// Accurate to 1e-9 (tested to five decimals against the published table).
pub fn expected_maximum(people: u32) -> f64 {
    if people <= 1 {
        return 0.0;
    }
    let step = 2.0 * REACH / f64::from(INTERVALS);
    // The integrand N z phi Phi^(N-1) vanishes at both ends, so the trapezoid rule is a plain sum. Phi is summed along by Simpson's
    // rule over each interval, from a tail that is zero to double precision.
    let mut below = 0.0;
    let mut total = 0.0;
    for k in 1..=INTERVALS {
        let z = -REACH + f64::from(k) * step;
        below += step / 6.0 * (density(z - step) + 4.0 * density(z - step / 2.0) + density(z));
        total +=
            f64::from(people) * z * density(z) * f64::powf(below, f64::from(people - 1)) * step;
    }
    total
}

/// The density of the standard normal.
fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// `1 + v e(N)`: by what factor a change-over of `people` takes longer than one person's mean, with coefficient of variation `variation`.
pub fn factor(people: u32, variation: f64) -> f64 {
    1.0 + variation * expected_maximum(people)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Expected values of the largest of N, N = 2..=20: Harter HL (1961) Biometrika 48:151-165, five decimals (from memory).
    const HARTER: [f64; 19] = [
        0.56419, 0.84628, 1.02938, 1.16296, 1.26721, 1.35218, 1.42360, 1.48501, 1.53875, 1.58644,
        1.62923, 1.66799, 1.70338, 1.73591, 1.76599, 1.79394, 1.82003, 1.84448, 1.86748,
    ];

    /// Control-chart constant d2, N = 2..=20, as printed in quality-control handbooks (three decimals).
    const D2: [f64; 19] = [
        1.128, 1.693, 2.059, 2.326, 2.534, 2.704, 2.847, 2.970, 3.078, 3.173, 3.258, 3.336, 3.407,
        3.472, 3.532, 3.588, 3.640, 3.689, 3.735,
    ];

    #[test]
    fn the_slowest_of_n_agrees_with_the_published_constants() {
        for (n, (harter, d2)) in (2..).zip(HARTER.iter().zip(D2)) {
            let e = expected_maximum(n);
            assert!(
                (e - harter).abs() <= 0.5e-5 + 1e-9,
                "{n}: {e} against {harter}"
            );
            assert!(
                (2.0 * e - d2).abs() <= 0.5e-3 + 1e-9,
                "{n}: {e} against d2 {d2}"
            );
        }
    }

    #[test]
    fn the_slowest_of_two_to_five_agrees_with_the_closed_forms() {
        let pi = std::f64::consts::PI;
        let closed = [
            1.0 / pi.sqrt(),
            1.5 / pi.sqrt(),
            6.0 * 2.0_f64.sqrt().atan() / (pi * pi.sqrt()),
            5.0 / (4.0 * pi.sqrt()) + 15.0 * (1.0_f64 / 3.0).asin() / (2.0 * pi.powf(1.5)),
        ];
        for (n, closed) in (2..).zip(closed) {
            assert!((expected_maximum(n) - closed).abs() < 1e-9, "{n}");
        }
    }

    #[test]
    fn one_person_takes_the_mean_and_ten_a_good_third_longer() {
        assert_eq!(factor(1, 0.25), 1.0);
        assert!((factor(10, 0.25) - 1.3847).abs() < 5e-5);
    }

    #[test]
    fn one_more_person_is_never_quicker() {
        for n in 1..60 {
            assert!(expected_maximum(n + 1) > expected_maximum(n));
        }
    }
}
