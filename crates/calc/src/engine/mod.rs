//! The engine: what it should make, what it eats, how fast it may run.
//!
//! Without an indicator a power is an estimate and never passes or fails anything.

mod speed;
mod steam;

pub use speed::{PistonSpeed, piston_speed};
pub use steam::{Admission, admission_steam, cylinder_condensation};

use crate::Unusable;
use crate::answer::Answer;
use crate::feed_pump::{Acting, working_area};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge};
use crate::unusable::{slip, within};

/// A cylinder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cylinder {
    /// Bore, mm.
    pub bore_mm: f64,
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Rod, mm.
    pub rod_mm: f64,
    /// Faces that work.
    pub acting: Acting,
}

impl Cylinder {
    /// Swept in a revolution, ml.
    pub(crate) fn swept_ml(&self) -> Result<f64, Unusable> {
        let stroke = within("stroke_mm", self.stroke_mm, 0.5, 2000.0)?;
        Ok(working_area(self.bore_mm, self.rod_mm, self.acting)? * stroke / 1000.0)
    }

    pub(crate) fn sizes(&self) -> [f64; 3] {
        [self.bore_mm, self.rod_mm, self.stroke_mm]
    }
}

/// Revolutions a minute, where they can be.
pub(crate) fn turning(rpm: f64) -> Result<f64, Unusable> {
    within("rpm", rpm, 0.0, 50_000.0)
}

/// Indicated power from a mean effective pressure.
///
/// # Formula
/// `P = p_m L A N`, both faces `2 A − a` where it is double acting; mean piston speed `2 L N`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `mean_bar` | p_m | bar | −20 to 20 |
/// | `cylinder` | bore, stroke, rod, faces | mm | 0.5 to 1000; stroke to 2000 |
/// | `rpm` | N | 1/min | 0 to 50 000 |
///
/// # Errors
/// [`Unusable`] names the field; `rod_not_smaller_than_bore`.
///
/// # Source
/// Definition of the mean effective pressure. ±20 % for an assumed one: trade practice.
///
/// # Example
/// ```
/// use calc::engine::{Cylinder, power};
/// use calc::feed_pump::Acting;
/// let cylinder = Cylinder { bore_mm: 20.0, stroke_mm: 20.0, rod_mm: 4.0, acting: Acting::Double };
/// let answer = power(2.0, &cylinder, 600.0)?;
/// assert!(answer.number("indicated_W").is_some_and(|p| (p - 24.63).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn power(mean_bar: f64, cylinder: &Cylinder, rpm: f64) -> Result<Answer, Unusable> {
    let mean = within("mep_bar", mean_bar, -20.0, 20.0)?;
    let swept = cylinder.swept_ml()?;
    let rpm = turning(rpm)?;
    // A bar over a millilitre is a tenth of a joule.
    let watts = mean * swept * 0.1 * rpm / 60.0;
    let speed = 2.0 * cylinder.stroke_mm / 1000.0 * rpm / 60.0;
    let mut answer = Answer::of("Definition of the mean effective pressure");
    crate::feed_pump::show_swept(&mut answer, cylinder.sizes(), cylinder.acting, swept);
    let symbols = [("p_m", mean), ("V_sw", swept), ("N", rpm)];
    answer.step("P = p_m × V_sw × 0.1 × N / 60", &symbols, watts, "W");
    let symbols = [("s", cylinder.stroke_mm), ("N", rpm)];
    answer.step("v = 2 × s / 1000 × N / 60", &symbols, speed, "m/s");
    answer.put_about("indicated_W", watts, Some(0.2 * watts.abs()), "W");
    answer.put("mean_piston_speed_m_s", speed, "m/s");
    answer.say("Without an indicator this is an estimate, ±20 % at best: it never passes or fails anything.");
    answer.cautions = &[
        "guard_moving_parts",
        "drain_cocks_open",
        "hot_surfaces",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// Steam let in for a part of the stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expansion {
    /// Steam at the engine, on the gauge.
    pub steam: Gauge,
    /// Exhaust, on the gauge.
    pub back: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Part of the stroke over which steam is let in.
    pub cutoff: f64,
    /// Clearance, as a part of the stroke.
    pub clearance: f64,
    /// What real diagrams have of the ideal one.
    pub diagram: f64,
}

/// Mean effective pressure of an ideal diagram, and what may be expected of a real one.
///
/// # Formula
/// `p_m = p_1 [x + (x + c) ln((1 + c)/(x + c))] − p_b`, pressures absolute; expected `φ p_m`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `steam` | p_1 | bar | 0 to 20 |
/// | `back` | p_b | bar | −0.9 to 10 |
/// | `cutoff` | x | – | above 0 to 1 |
/// | `clearance` | c | – | 0 to 0.5 |
/// | `diagram` | φ | – | 0.1 to 1 |
///
/// # Errors
/// [`Unusable`] names the field; `cutoff_out_of_range`.
///
/// # Source
/// Hyperbolic expansion with clearance, no compression (textbook); φ 0.7 and c 0.08: trade practice.
///
/// # Example
/// ```
/// use calc::engine::{Expansion, mean_pressure};
/// use calc::quantity::{Absolute, Gauge};
/// let answer = mean_pressure(&Expansion {
///     steam: Gauge::from_bar(4.0),
///     back: Gauge::from_bar(0.1),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     cutoff: 0.75,
///     clearance: 0.08,
///     diagram: 0.7,
/// })?;
/// assert!(answer.number("mep_theory_bar").is_some_and(|p| (p - 3.74).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn mean_pressure(asked: &Expansion) -> Result<Answer, Unusable> {
    within("p_gauge_bar", asked.steam.bar(), 0.0, 20.0)?;
    within("back_gauge_bar", asked.back.bar(), -0.9, 10.0)?;
    let day = barometer(asked.barometer)?;
    let x = cutoff(asked.cutoff)?;
    let c = within("clearance_frac", asked.clearance, 0.0, 0.5)?;
    let phi = within("diagram_factor", asked.diagram, 0.1, 1.0)?;
    let (p1, pb) = (asked.steam.above(day).bar(), asked.back.above(day).bar());
    let theory = p1 * (x + (x + c) * ((1.0 + c) / (x + c)).ln()) - pb;
    let mut answer = Answer::of("Hyperbolic expansion with clearance, no compression (textbook)");
    let symbols = [("p_1", p1), ("x", x), ("c", c), ("p_b", pb)];
    answer.step(
        "p_m = p_1 × (x + (x + c) × ln((1 + c) / (x + c))) − p_b",
        &symbols,
        theory,
        "bar",
    );
    let symbols = [("φ", phi), ("p_m", theory)];
    answer.step("p_e = φ × p_m", &symbols, phi * theory, "bar");
    answer.put("mep_theory_bar", theory, "bar");
    answer.put_about(
        "mep_expected_bar",
        phi * theory,
        Some(0.2 * (phi * theory).abs()),
        "bar",
    );
    if theory <= 0.0 {
        answer.say("It cannot run at this cutoff: the expanded steam ends below the exhaust.");
    }
    answer.say("Without an indicator this is an estimate.");
    Ok(answer)
}

pub(crate) fn cutoff(x: f64) -> Result<f64, Unusable> {
    if x > 0.0 && x <= 1.0 {
        Ok(x)
    } else {
        Err(slip(
            "cutoff_out_of_range",
            "cutoff_frac",
            "steam is let in for a part of the stroke: above 0 to 1",
        ))
    }
}

/// Power at the shaft.
///
/// # Formula
/// `P_b = 2 π N T`, `η_mech = P_b/P_i`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `torque_nm` | T | N m | 0 to 10 000 |
/// | `rpm` | N | 1/min | 0 to 50 000 |
/// | `indicated_w` | P_i | W | 0.000001 to 1 000 000 |
///
/// # Errors
/// [`Unusable`] names the field; `mech_eff_over_1_bad_input`.
///
/// # Source
/// Definition.
///
/// # Example
/// ```
/// let answer = calc::engine::brake_power(0.05, 600.0, None)?;
/// assert!(answer.number("brake_W").is_some_and(|p| (p - 3.1416).abs() < 1e-4));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn brake_power(torque_nm: f64, rpm: f64, indicated_w: Option<f64>) -> Result<Answer, Unusable> {
    let torque = within("torque_Nm", torque_nm, 0.0, 10_000.0)?;
    let rpm = turning(rpm)?;
    let watts = 2.0 * std::f64::consts::PI * rpm / 60.0 * torque;
    let efficiency = match indicated_w {
        None => None,
        Some(w) => Some(watts / within("indicated_W", w, 1e-6, 1e6)?),
    };
    if efficiency.is_some_and(|e| e > 1.0) {
        return Err(slip(
            "mech_eff_over_1_bad_input",
            "indicated_W",
            "more cannot come out at the shaft than the steam puts in",
        ));
    }
    let mut answer = Answer::of("Definition");
    let symbols = [("N", rpm), ("T", torque)];
    answer.step("P = 2 × π × N / 60 × T", &symbols, watts, "W");
    answer.put("brake_W", watts, "W");
    answer.put("mech_eff_if_indicated_5W", watts / 5.0, "");
    answer.maybe("mech_eff", efficiency, "");
    answer.cautions = &["guard_moving_parts", "hot_surfaces", "defer_to_codes"];
    Ok(answer)
}
