//! Flat ends and their stays, the weak points of a boiler.

use std::f64::consts::PI;

use super::NOT_A_DESIGN;
use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::quantity::Gauge;
use crate::unusable::{slip, within};

/// A flat round end without stays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatEnd {
    /// On the gauge.
    pub pressure: Gauge,
    /// Radius between the supports, mm.
    pub radius_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Allowable stress, MPa, where it is to be judged.
    pub allowed_mpa: Option<f64>,
}

/// Stress of a flat round end, clamped and simply supported.
///
/// # Formula
/// clamped `0.75 p (R/t)²`; simply supported `(3 (3 + ν)/8) p (R/t)²`; where a stress is allowed, the
/// thickness of the flat-head form `t = d √(C p/S)` with C = 0.33.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pressure` | p | bar | 0.001 to 40 |
/// | `radius_mm` | R | mm | 1 to 5000 |
/// | `thickness_mm` | t | mm | 0.1 to R |
/// | `poisson` | ν | – | 0 to 0.5 |
/// | `allowed_mpa` | S | MPa | 1 to 500 |
///
/// # Errors
/// [`Unusable`] names the field; `end_thicker_than_radius`.
///
/// # Source
/// Uniformly loaded circular plate (textbook); flat-head form of ASME UG-34, C 0.33 (0.2 to 0.5).
///
/// # Example
/// ```
/// use calc::quantity::Gauge;
/// use calc::shell::{FlatEnd, flat_end};
/// let answer = flat_end(&FlatEnd {
///     pressure: Gauge::from_bar(4.0),
///     radius_mm: 50.0,
///     thickness_mm: 3.0,
///     poisson: 0.34,
///     allowed_mpa: None,
/// })?;
/// assert!(answer.number("sigma_clamped_MPa").is_some_and(|s| (s - 83.3).abs() < 0.1));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn flat_end(asked: &FlatEnd) -> Result<Answer, Unusable> {
    let bar = within("p_gauge_bar", asked.pressure.bar(), 0.001, 40.0)?;
    let radius = within("radius_mm", asked.radius_mm, 1.0, 5000.0)?;
    let thick = within("thickness_mm", asked.thickness_mm, 0.1, 5000.0)?;
    let nu = within("poisson", asked.poisson, 0.0, 0.5)?;
    if thick > radius {
        return Err(slip(
            "end_thicker_than_radius",
            "thickness_mm",
            "an end as thick as its radius is no plate",
        ));
    }
    let load = bar / 10.0 * (radius / thick).powi(2);
    let clamped = 0.75 * load;
    let supported = 3.0 * (3.0 + nu) / 8.0 * load;
    let mut answer = Answer::of("Uniformly loaded circular plate (textbook); ASME UG-34 form");
    let symbols = [("p", bar), ("R", radius), ("t", thick), ("ν", nu)];
    answer.step("σ_c = 0.75 × p / 10 × (R / t)^2", &symbols, clamped, "MPa");
    answer.step(
        "σ_s = 3 × (3 + ν) / 8 × p / 10 × (R / t)^2",
        &symbols,
        supported,
        "MPa",
    );
    answer.put("sigma_clamped_MPa", clamped, "MPa");
    answer.put("sigma_simply_supported_MPa", supported, "MPa");
    if let Some(allowed) = asked.allowed_mpa {
        let allowed = within("S_MPa", allowed, 1.0, 500.0)?;
        let needed = 2.0 * radius * (0.33 * bar / 10.0 / allowed).sqrt();
        let symbols = [("R", radius), ("p", bar), ("S", allowed)];
        answer.step("t = 2 × R × √(0.33 × p / 10 / S)", &symbols, needed, "mm");
        answer.put("thickness_flat_head_mm", needed, "mm");
        answer.verdict = Some(if clamped > allowed {
            Finding::Stop
        } else if supported > allowed {
            Finding::Caution
        } else {
            Finding::Note
        });
        answer.limit = Some(Limit {
            is: "stress of the end",
            value: allowed,
            unit: "MPa",
            source: "the allowable stress given",
        });
    }
    answer.say("Flat ends are the weak point: without stays few are strong enough.");
    answer.say(NOT_A_DESIGN);
    Ok(answer)
}

/// Stays in a square pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stay {
    /// On the gauge.
    pub pressure: Gauge,
    /// From stay to stay, mm.
    pub pitch_mm: f64,
    /// Core of a stay, mm.
    pub core_mm: f64,
    /// Thickness of the plate, mm.
    pub plate_mm: f64,
    /// Constant of the form for stayed plates.
    pub constant: f64,
    /// Allowable stress, MPa, where it is to be judged.
    pub allowed_mpa: Option<f64>,
}

/// Load and stress of a stay, and the stress that the plate between stays needs.
///
/// # Formula
/// load `p (pitch² − π d²/4)`, stress load over core; plate `S = p pitch²/(C t²)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pressure` | p | bar | 0.001 to 40 |
/// | `pitch_mm` | pitch | mm | 1 to 1000 |
/// | `core_mm` | d | mm | 0.5 to under the pitch |
/// | `plate_mm` | t | mm | 0.1 to 100 |
/// | `constant` | C | – | 1.5 to 4 |
/// | `allowed_mpa` | S | MPa | 1 to 500 |
///
/// # Errors
/// [`Unusable`] names the field; `stay_not_thinner_than_pitch`.
///
/// # Source
/// Form of ASME PG-46, `P = C S t²/p²`, C 2.1 for thin plate.
///
/// # Example
/// ```
/// use calc::quantity::Gauge;
/// use calc::shell::{Stay, stay};
/// let answer = stay(&Stay {
///     pressure: Gauge::from_bar(4.0),
///     pitch_mm: 25.0,
///     core_mm: 5.0,
///     plate_mm: 3.0,
///     constant: 2.1,
///     allowed_mpa: None,
/// })?;
/// assert!(answer.number("load_N").is_some_and(|n| (n - 242.1).abs() < 0.1));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn stay(asked: &Stay) -> Result<Answer, Unusable> {
    let bar = within("p_gauge_bar", asked.pressure.bar(), 0.001, 40.0)?;
    let pitch = within("pitch_mm", asked.pitch_mm, 1.0, 1000.0)?;
    let core = within("stay_core_mm", asked.core_mm, 0.5, 1000.0)?;
    let plate = within("plate_mm", asked.plate_mm, 0.1, 100.0)?;
    let c = within("C", asked.constant, 1.5, 4.0)?;
    if core >= pitch {
        return Err(slip(
            "stay_not_thinner_than_pitch",
            "stay_core_mm",
            "the stays run into one another",
        ));
    }
    let area = PI * core * core / 4.0;
    let load = bar / 10.0 * (pitch * pitch - area);
    let stress = load / area;
    let needed = bar / 10.0 * pitch * pitch / (c * plate * plate);
    let mut answer = Answer::of("Form of ASME PG-46");
    let symbols = [
        ("p", bar),
        ("pitch", pitch),
        ("d", core),
        ("t", plate),
        ("C", c),
        ("F", load),
    ];
    answer.step("F = p / 10 × (pitch^2 − π × d^2 / 4)", &symbols, load, "N");
    answer.step("σ = F / (π × d^2 / 4)", &symbols, stress, "MPa");
    answer.step("S = p / 10 × pitch^2 / (C × t^2)", &symbols, needed, "MPa");
    answer.put("load_N", load, "N");
    answer.put("stay_stress_MPa", stress, "MPa");
    answer.put("plate_S_needed_MPa", needed, "MPa");
    if let Some(allowed) = asked.allowed_mpa {
        let allowed = within("S_MPa", allowed, 1.0, 500.0)?;
        let used = stress.max(needed) / allowed;
        answer.verdict = Some(if used > 1.0 {
            Finding::Stop
        } else if used > 0.8 {
            Finding::Caution
        } else {
            Finding::Note
        });
        answer.limit = Some(Limit {
            is: "stress of stay and plate",
            value: allowed,
            unit: "MPa",
            source: "the allowable stress given",
        });
    }
    answer.say(NOT_A_DESIGN);
    Ok(answer)
}
