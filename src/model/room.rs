//! The slowest of N people: expected maximum of N standard normals.
//!
//! A change-over is over when the slowest person is done. With one person's time of mean m and coefficient of variation v, N people
//! take m (1 + v e(N)) on average.

/// e(1) to e(20): Harter HL (1961), Expected values of normal order statistics, Biometrika 48:151-165, from memory; each equals
/// numerical integration of N z phi(z) Phi(z)^(N-1) to five decimals, and twice each the control-chart constant d2.
const EXPECTED_MAXIMUM: [f64; 20] = [
    0.0, 0.56419, 0.84628, 1.02938, 1.16296, 1.26721, 1.35218, 1.42360, 1.48501, 1.53875, 1.58644,
    1.62923, 1.66799, 1.70338, 1.73591, 1.76599, 1.79394, 1.82003, 1.84448, 1.86748,
];

/// Expected maximum of `n` independent standard normals: 0 for one person (and for none). The table up to 20, then the integral.
pub fn expected_maximum(n: u32) -> f64 {
    let index = (n as usize).saturating_sub(1);
    EXPECTED_MAXIMUM
        .get(index)
        .copied()
        .unwrap_or_else(|| integrated(f64::from(n)))
}

/// How much slower the slowest of `n` is than one person: 1 + v e(n), at least 1 for v of at least 0.
pub fn room_factor(n: u32, variation: f64) -> f64 {
    1.0 + variation * expected_maximum(n)
}

/// The integral of 1 - Phi(z)^n above 0 less that of Phi(z)^n below 0, which is the expectation, by Simpson's rule from -10 to 10.
fn integrated(n: f64) -> f64 {
    const HALVES: u32 = 4000;
    let h = 10.0 / f64::from(HALVES);
    let mut total = 0.0;
    let mut phi = 0.5;
    for k in 0..HALVES {
        // Phi at the middle and the end of the interval, each by Simpson's rule on the density from the point before.
        let a = f64::from(k) * h;
        let middle = phi + simpson(a, a + h / 2.0);
        let end = middle + simpson(a + h / 2.0, a + h);
        let value = |p: f64| (1.0 - p.powf(n)) - (1.0 - p).powf(n);
        total += h / 6.0 * (value(phi) + 4.0 * value(middle) + value(end));
        phi = end;
    }
    total
}

/// The standard normal density integrated from `a` to `b`, for `b` near `a`.
fn simpson(a: f64, b: f64) -> f64 {
    let density = |z: f64| (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    (b - a) / 6.0 * (density(a) + 4.0 * density((a + b) / 2.0) + density(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_agrees_with_the_integral_and_the_closed_forms() {
        for n in 2..=20_u32 {
            let exact = integrated(f64::from(n));
            assert!((expected_maximum(n) - exact).abs() < 6e-6, "{n}: {exact}");
        }
        let pi = std::f64::consts::PI;
        assert!((integrated(2.0) - 1.0 / pi.sqrt()).abs() < 1e-9);
        assert!((integrated(3.0) - 1.5 / pi.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn one_person_takes_what_one_person_takes_and_ten_a_good_third_more() {
        assert_eq!(room_factor(1, 0.25), 1.0);
        assert!((room_factor(10, 0.25) - 1.3847).abs() < 5e-5);
        assert!(expected_maximum(21) > expected_maximum(20));
    }
}
