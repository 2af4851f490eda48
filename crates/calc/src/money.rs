//! Sums in whole pence: what time costs, and how much of a sum is tax. Each is rounded once, to the
//! nearest penny, a half away from nothing; nothing is ever reckoned on from a rounded figure.

/// A count of something over a divisor, to the nearest whole, a half away from nothing.
fn nearest(over: i128, under: i128) -> i64 {
    let half = under / 2;
    let shifted = if over < 0 { over - half } else { over + half };
    i64::try_from(shifted / under).unwrap_or(if over < 0 { i64::MIN } else { i64::MAX })
}

/// What minutes at the bench cost, pence.
///
/// # Formula
/// `minutes × hourly/60`, rounded once to the nearest penny, a half upward
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `minutes` | at the bench, all together | min | any |
/// | `hourly_pence` | for an hour | pence | any |
///
/// # Source
/// Arithmetic; the way of rounding is the workshop's and stands on the statement.
///
/// # Example
/// ```
/// // 50 min at 31.25 an hour is 26.041…
/// assert_eq!(calc::money::labour_pence(50, 3125), 2604);
/// assert_eq!(calc::money::labour_pence(30, 1), 1);
/// ```
pub fn labour_pence(minutes: i64, hourly_pence: i64) -> i64 {
    nearest(i128::from(minutes) * i128::from(hourly_pence), 60)
}

/// How much of a sum is tax, where the sum holds it already, pence.
///
/// # Formula
/// `sum × r/(100 % + r)`, rounded once to the nearest penny, a half away from nothing
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `sum_pence` | with the tax in it | pence | any |
/// | `rate_hundredths` | r | 0.01 % | 0 and more |
///
/// # Source
/// Arithmetic; the rate is the workshop's own entry, and the law of the place decides it.
///
/// # Example
/// ```
/// // 120.00 with 20 % in it.
/// assert_eq!(calc::money::tax_within(12_000, 2_000), 2_000);
/// assert_eq!(calc::money::tax_within(100, 0), 0);
/// ```
pub fn tax_within(sum_pence: i64, rate_hundredths: i64) -> i64 {
    let rate = i128::from(rate_hundredths.max(0));
    nearest(i128::from(sum_pence) * rate, 10_000 + rate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_penny_goes_away_from_nothing() {
        // 90 min at 0.01 an hour is a penny and a half.
        assert_eq!(labour_pence(90, 1), 2);
        assert_eq!(labour_pence(-90, 1), -2);
        assert_eq!(labour_pence(29, 1), 0);
    }

    #[test]
    fn sums_that_no_workshop_has_do_not_overflow() {
        assert_eq!(labour_pence(i64::MAX, i64::MAX), i64::MAX);
        assert_eq!(tax_within(i64::MAX, 0), 0);
        assert!(tax_within(i64::MAX, 10_000) > 0);
        assert_eq!(tax_within(500, -3), 0);
    }

    #[test]
    fn tax_and_what_is_left_make_the_sum_again() {
        for sum in [1, 99, 1_234, 99_999, 12_345_678] {
            for rate in [500, 1_750, 2_000, 2_525] {
                let tax = tax_within(sum, rate);
                let net = sum - tax;
                // The tax on what is left is the same to the penny.
                assert!((nearest(i128::from(net) * i128::from(rate), 10_000) - tax).abs() <= 1);
            }
        }
    }
}
