//! The normal distribution, reckoned here so that two machines agree to the last bit.

/// Chance that a standard normal value lies at or under `z`; 0 or 1 far out, 0.5 for no number.
///
/// # Formula
/// `Φ(z) = ½ erfc(−z/√2)`, erfc by a Chebyshev-fitted rational exponent, relative error
/// under 1.2·10⁻⁷.
///
/// # Source
/// Complementary error function by Chebyshev fitting, as in textbooks of numerical methods.
///
/// # Example
/// ```
/// assert!((calc::normal::below(1.644_854) - 0.95).abs() < 1e-6);
/// ```
pub fn below(z: f64) -> f64 {
    if z.is_nan() {
        return 0.5;
    }
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.5 * x);
    const COEFFICIENTS: [f64; 9] = [
        0.170_872_77,
        -0.822_152_23,
        1.488_515_87,
        -1.135_203_98,
        0.278_868_07,
        -0.186_288_06,
        0.096_784_18,
        0.374_091_96,
        1.000_023_68,
    ];
    let series = COEFFICIENTS.iter().fold(0.0, |sum, c| sum * t + c);
    let tail = 0.5 * t * (-x * x - 1.265_512_23 + t * series).exp();
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// Density of a normal value `from_mean` away from its mean, with the given variance.
pub(crate) fn density(from_mean: f64, variance: f64) -> f64 {
    (-0.5 * from_mean * from_mean / variance).exp() / (2.0 * std::f64::consts::PI * variance).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_quantiles_come_out() {
        for (z, p) in [
            (0.0, 0.5),
            (-1.0, 0.158_655_25),
            (1.959_964, 0.975),
            (-3.0, 0.001_349_9),
        ] {
            assert!((below(z) - p).abs() < 1e-6, "{z}: {}", below(z));
        }
        assert_eq!(below(40.0), 1.0);
        assert_eq!(below(f64::NEG_INFINITY), 0.0);
    }
}
