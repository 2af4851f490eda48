//! How fast an engine may run.

use super::turning;
use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::unusable::within;

/// Fastest rim of a cast-iron flywheel, m/s (trade practice; full size 30).
const RIM: f64 = 20.0;

/// A running engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PistonSpeed {
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Revolutions a minute.
    pub rpm: f64,
    /// Most mean piston speed, m/s.
    pub limit_m_s: f64,
    /// Crank throw over connecting rod.
    pub crank_over_rod: f64,
    /// Flywheel over the rim, mm, where there is one.
    pub flywheel_mm: Option<f64>,
}

/// Mean piston speed, the rpm at its limit, and what the piston's reversal pulls.
///
/// # Formula
/// `v = 2 L N`, `N_limit = v_limit/(2 L)`, peak acceleration `(L/2) ω² (1 + r/l)`, rim `π D N`. Above
/// the limit stop, above 90 % of it caution; a rim above 20 m/s stop.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `stroke_mm` | L | mm | 0.5 to 2000 |
/// | `rpm` | N | 1/min | 0 to 50 000 |
/// | `limit_m_s` | v_limit | m/s | 0.05 to 20 |
/// | `crank_over_rod` | r/l | – | 0 to 0.9 |
/// | `flywheel_mm` | D | mm | 1 to 10 000 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Kinematics of the crank; 1 m/s as a rule, 2 m/s for a proof run of 30 s: trade practice.
///
/// # Example
/// ```
/// use calc::engine::{PistonSpeed, piston_speed};
/// let answer = piston_speed(&PistonSpeed {
///     stroke_mm: 20.0,
///     rpm: 3500.0,
///     limit_m_s: 2.0,
///     crank_over_rod: 0.25,
///     flywheel_mm: None,
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Stop));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn piston_speed(asked: &PistonSpeed) -> Result<Answer, Unusable> {
    let stroke = within("stroke_mm", asked.stroke_mm, 0.5, 2000.0)? / 1000.0;
    let rpm = turning(asked.rpm)?;
    let limit = within("limit_m_s", asked.limit_m_s, 0.05, 20.0)?;
    let ratio = within("crank_over_rod", asked.crank_over_rod, 0.0, 0.9)?;
    let speed = 2.0 * stroke * rpm / 60.0;
    let most = 60.0 * limit / (2.0 * stroke);
    let omega = 2.0 * std::f64::consts::PI * rpm / 60.0;
    let pull = stroke / 2.0 * omega * omega * (1.0 + ratio);
    let mut answer = Answer::of("Kinematics of the crank; limits: trade practice");
    let symbols = [
        ("L", asked.stroke_mm),
        ("N", rpm),
        ("v_limit", limit),
        ("q", ratio),
    ];
    answer.step("v = 2 × L / 1000 × N / 60", &symbols, speed, "m/s");
    answer.step(
        "N_limit = 60 × v_limit / (2 × L / 1000)",
        &symbols,
        most,
        "1/min",
    );
    answer.step(
        "a = L / 2000 × (2 × π × N / 60)^2 × (1 + q)",
        &symbols,
        pull,
        "m/s²",
    );
    answer.put("mean_piston_speed_m_s", speed, "m/s");
    answer.put("rpm_at_limit", most, "1/min");
    answer.put("peak_acceleration_m_s2", pull, "m/s²");
    let mut finding = if speed > limit {
        Finding::Stop
    } else if speed > 0.9 * limit {
        Finding::Caution
    } else {
        Finding::Ok
    };
    if let Some(wheel) = asked.flywheel_mm {
        let wheel = within("flywheel_mm", wheel, 1.0, 10_000.0)?;
        let rim = std::f64::consts::PI * wheel / 1000.0 * rpm / 60.0;
        let symbols = [("D", wheel), ("N", rpm)];
        answer.step("v_rim = π × D / 1000 × N / 60", &symbols, rim, "m/s");
        answer.put("rim_m_s", rim, "m/s");
        if rim > RIM {
            answer.say("The rim is too fast for cast iron.");
            finding = Finding::Stop;
        }
    }
    answer.verdict = Some(finding);
    answer.limit = Some(Limit {
        is: "mean piston speed",
        value: limit,
        unit: "m/s",
        source: "trade practice: 1 m/s as a rule, 2 m/s for a guarded proof run of 30 s",
    });
    answer.cautions = &[
        "guard_moving_parts",
        "drain_cocks_open",
        "hot_surfaces",
        "defer_to_codes",
    ];
    Ok(answer)
}
