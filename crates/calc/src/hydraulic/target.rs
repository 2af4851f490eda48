//! To what pressure a boiler is tested with water, and how long it is held.

use crate::Unusable;
use crate::trial::Limits;
use crate::unusable::within;

/// What a water test of a boiler asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// What it is raised to, bar on the gauge.
    pub to_bar: f64,
    /// What it must not pass, bar on the gauge.
    pub most_bar: f64,
    /// How long it is held, s.
    pub hold_s: f64,
    /// Full scale of a fitting gauge, from this, bar.
    pub scale_from_bar: f64,
    /// To this, bar.
    pub scale_to_bar: f64,
}

/// Says to what pressure a boiler is tested with water.
///
/// # Formula
/// `p_test = m p_w`, not passed by more than `over` %; a fitting gauge shows 1.25 to 4 times that at full scale, 1.5 to 2
/// times is best.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.01 to 40 |
/// | `m` | multiple of the limits, first or repeat | – | 1 to 5 |
///
/// # Errors
/// [`Unusable::OutOfRange`] names the field.
///
/// # Source
/// Multiples and hold of the limits (model boiler test codes, 2 and 1.5 times, 10 min; the local code decides);
/// overshoot of 6 %: 34 Pa. Code 3a.115; scale of the test gauge: trade practice.
///
/// # Example
/// ```
/// use calc::hydraulic::water_test_target;
/// use calc::trial::Limits;
/// let target = water_test_target(&Limits::default(), 4.0, true)?;
/// assert_eq!((target.to_bar, target.hold_s), (8.0, 600.0));
/// assert!((target.most_bar - 8.48).abs() < 1e-9);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn water_test_target(
    limits: &Limits,
    working_bar: f64,
    first: bool,
) -> Result<Target, Unusable> {
    let working = within("working_pressure_bar", working_bar, 0.01, 40.0)?;
    let multiple = if first {
        limits.hydraulic_factor_first
    } else {
        limits.hydraulic_factor_repeat
    };
    let to_bar = working * within("multiple", multiple, 1.0, 5.0)?;
    Ok(Target {
        to_bar,
        most_bar: to_bar * (1.0 + limits.over_target_pct / 100.0),
        hold_s: limits.hydraulic_hold_s,
        scale_from_bar: 1.25 * to_bar,
        scale_to_bar: 4.0 * to_bar,
    })
}
