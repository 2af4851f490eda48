//! How sure a reading is, and what may be said of it.

use crate::Unusable;
use crate::answer::Finding;
use crate::unusable::within;

/// A dial pressure gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressureGauge {
    /// Accuracy class after EN 837-1: the limit of error as % of the span.
    pub class_pct: f64,
    /// From zero to full scale, bar.
    pub span_bar: f64,
    /// Smallest step that can be read, bar.
    pub resolution_bar: f64,
}

impl PressureGauge {
    /// Standard uncertainty of a pressure read once ("it reached", "it did not exceed"), bar.
    ///
    /// # Formula
    /// `u = √((class/100 × span/√3)² + (step/√12)²)`
    ///
    /// | symbol | is | unit | accepted |
    /// |---|---|---|---|
    /// | `class` | accuracy class | % of span | 0.01 to 20 |
    /// | `span` | full scale | bar | 0.01 to 200 |
    /// | `step` | smallest step read | bar | 0 to 50 |
    ///
    /// # Errors
    /// [`Unusable::OutOfRange`] names the field.
    ///
    /// # Source
    /// EN 837-1:1996 Table 11 (class as limit of error); JCGM 100:2008.
    ///
    /// # Example
    /// ```
    /// use calc::uncertainty::PressureGauge;
    /// let gauge = PressureGauge { class_pct: 1.6, span_bar: 16.0, resolution_bar: 0.2 };
    /// assert!((2.0 * gauge.u_bar()? - 0.317).abs() < 0.001);
    /// # Ok::<(), calc::Unusable>(())
    /// ```
    pub fn u_bar(&self) -> Result<f64, Unusable> {
        let class = within("gauge_class", self.class_pct, 0.01, 20.0)?;
        let span = within("gauge_span_bar", self.span_bar, 0.01, 200.0)?;
        let step = within("gauge_resolution_bar", self.resolution_bar, 0.0, 50.0)?;
        let error = class / 100.0 * span / 3.0_f64.sqrt();
        Ok(error.hypot(step_u(step)))
    }
}

/// Standard uncertainty of a reading in steps: `step/√12`.
///
/// # Source
/// JCGM 100:2008, F.2.2.1.
///
/// # Example
/// ```
/// assert!((calc::uncertainty::step_u(0.2) - 0.0577).abs() < 1e-4);
/// ```
pub fn step_u(step: f64) -> f64 {
    step / 12.0_f64.sqrt()
}

/// Says whether a value stays at or under a limit, given its expanded uncertainty.
///
/// # Formula
/// `x + U ≤ L` is pass, `x − U > L` is fail, anything between is not proven.
///
/// # Source
/// JCGM 106:2012, guarded acceptance and guarded rejection.
///
/// # Example
/// ```
/// use calc::answer::Finding;
/// use calc::uncertainty::stays_under;
/// assert_eq!(stays_under(4.3, 0.075, 4.4), Finding::Pass);
/// assert_eq!(stays_under(4.38, 0.075, 4.4), Finding::NotProven);
/// ```
pub fn stays_under(value: f64, expanded: f64, limit: f64) -> Finding {
    if value + expanded <= limit {
        Finding::Pass
    } else if value - expanded > limit {
        Finding::Fail
    } else {
        Finding::NotProven
    }
}

/// Says whether a value reached what was asked, given its expanded uncertainty.
///
/// # Formula
/// `x − U ≥ L` is yes, `x + U < L` is no, anything between is not proven.
///
/// # Source
/// JCGM 106:2012.
///
/// # Example
/// ```
/// use calc::answer::Finding;
/// use calc::uncertainty::reaches;
/// assert_eq!(reaches(8.0, 0.32, 8.0), Finding::NotProven);
/// ```
pub fn reaches(value: f64, expanded: f64, limit: f64) -> Finding {
    if value - expanded >= limit {
        Finding::Yes
    } else if value + expanded < limit {
        Finding::No
    } else {
        Finding::NotProven
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_number_is_never_a_pass() {
        assert_eq!(stays_under(f64::NAN, 0.1, 4.0), Finding::NotProven);
        assert_eq!(stays_under(3.0, f64::NAN, 4.0), Finding::NotProven);
        assert_eq!(reaches(f64::NAN, 0.1, 4.0), Finding::NotProven);
    }

    #[test]
    fn a_gauge_without_a_class_is_refused_by_name() {
        let gauge = PressureGauge {
            class_pct: 0.0,
            span_bar: 6.0,
            resolution_bar: 0.1,
        };
        assert!(
            gauge
                .u_bar()
                .unwrap_err()
                .to_string()
                .starts_with("gauge_class")
        );
    }
}
