//! May a trend be stated yet?

use super::kendall::{COUNTED, best_confidence, count};
use crate::Unusable;
use crate::answer::{Answer, Value};
use crate::unusable::within;

/// Fewest readings of a trend that is stated.
const FEWEST: f64 = 5.0;
/// Shortest time of a trend that is stated, s.
const SHORTEST: f64 = 120.0;

/// Fewest readings for each confidence, and the best that 3 to 6 readings can give.
///
/// # Formula
/// with all readings in order the best confidence is `1 − 2/n!`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `confidences` | two-sided confidence | – | 0.5 to 0.9999 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Kendall's distribution: `P(|K| = N) = 2/n!`.
///
/// # Example
/// ```
/// use calc::answer::Value;
/// let answer = calc::trend::least_readings(&[0.9, 0.95, 0.99])?;
/// assert_eq!(answer.figures[0].value, Value::Numbers(vec![4.0, 5.0, 6.0]));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn least_readings(confidences: &[f64]) -> Result<Answer, Unusable> {
    let mut least = Vec::new();
    for &confidence in confidences {
        let confidence = within("two_sided_conf", confidence, 0.5, 0.9999)?;
        let n = (3..COUNTED).find(|n| best_confidence(*n) >= confidence);
        least.push(n.map_or(f64::NAN, count));
    }
    let mut answer = Answer::of("Kendall's distribution: P(|K| = N) = 2/n!");
    answer.tell("min_n", Value::Numbers(least), None, "");
    answer.put("max_conf_n3", best_confidence(3), "");
    answer.put("max_conf_n4", best_confidence(4), "");
    answer.put("max_conf_n5", best_confidence(5), "");
    answer.put("max_conf_n6", best_confidence(6), "");
    answer.say("Five readings are the least for a statement with 95 %.");
    Ok(answer)
}

/// A trend that someone would like to state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Claim {
    /// How many readings it rests on.
    pub readings: f64,
    /// Guarded interval of the slope, where there is one.
    pub interval: Option<(f64, f64)>,
    /// Smallest step that is read.
    pub resolution: f64,
    /// From first to last, s.
    pub span_s: f64,
    /// The slope.
    pub slope: f64,
}

/// Whether a trend may be stated: the word for it.
pub(super) fn may(claim: &Claim) -> &'static str {
    let (Some((low, high)), true) = (claim.interval, claim.readings >= FEWEST) else {
        return "no_too_few";
    };
    if low <= 0.0 && high >= 0.0 {
        "no_ci_includes_zero"
    } else if claim.slope.abs() * claim.span_s < 2.0 * claim.resolution {
        "no_change_under_two_steps"
    } else if claim.span_s < SHORTEST {
        "no_span_too_short"
    } else {
        "yes"
    }
}

/// May these trends be stated yet?
///
/// # Formula
/// yes where n ≥ 5, the guarded interval leaves out 0, `|b| · span ≥ 2 · resolution` and the span is at
/// least 120 s.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `claims` | trends with their guarded intervals | ml, s | resolution above 0, span from 0 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Kendall's distribution for 5 readings; two steps and 120 s: trade practice.
///
/// # Example
/// ```
/// use calc::answer::Value;
/// use calc::trend::{Claim, may_state};
/// let four = Claim { readings: 4.0, interval: None, resolution: 8.0, span_s: 360.0, slope: -0.25 };
/// assert_eq!(may_state(&[four])?.figures[0].value, Value::Words(vec!["no_too_few"]));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn may_state(claims: &[Claim]) -> Result<Answer, Unusable> {
    let mut words = Vec::new();
    for claim in claims {
        within("n", claim.readings, 0.0, 1e6)?;
        within("resolution_ml", claim.resolution, 1e-9, 1e7)?;
        within("span_s", claim.span_s, 0.0, 1e9)?;
        within("slope_ml_per_s", claim.slope, -1e9, 1e9)?;
        words.push(may(claim));
    }
    let mut answer = Answer::of("Kendall's distribution; two steps and 120 s: trade practice");
    answer.tell("may_state", Value::Words(words), None, "");
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trend_is_not_stated_before_its_time() {
        let good = Claim {
            readings: 5.0,
            interval: Some((-0.3, -0.2)),
            resolution: 8.0,
            span_s: 300.0,
            slope: -0.25,
        };
        assert_eq!(may(&good), "yes");
        assert_eq!(
            may(&Claim {
                readings: 4.0,
                ..good
            }),
            "no_too_few"
        );
        assert_eq!(
            may(&Claim {
                interval: None,
                ..good
            }),
            "no_too_few"
        );
        assert_eq!(
            may(&Claim {
                interval: Some((-0.3, 0.0)),
                ..good
            }),
            "no_ci_includes_zero"
        );
        assert_eq!(
            may(&Claim {
                slope: -0.05,
                ..good
            }),
            "no_change_under_two_steps"
        );
        assert_eq!(
            may(&Claim {
                span_s: 119.0,
                ..good
            }),
            "no_span_too_short"
        );
    }
}
