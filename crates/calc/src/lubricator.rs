//! The displacement lubricator: oil goes out as condensed steam comes in.

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::properties;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{lasting, slip, within};
use crate::water::inside;

/// Standard uncertainty of what is drained into a cup, ml (trade practice).
const U_DRAIN_ML: f64 = 0.2;
/// Temperature at which condensate is taken to stand in a lubricator, °C (trade practice).
const CONDENSATE_C: f64 = 60.0;

/// Condensate drained after a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drained {
    /// Condensate drained, ml.
    pub condensate_ml: f64,
    /// Over how long, s.
    pub seconds: f64,
    /// Steam used meanwhile, g, where it is known.
    pub steam_g: Option<f64>,
    /// Reservoir, ml.
    pub reservoir_ml: f64,
    /// What can have condensed at most, ml/h, where it was reckoned.
    pub bound_ml_h: Option<f64>,
}

/// Oil fed by a displacement lubricator.
///
/// # Formula
/// `Q = V_condensate/t`, life `V_reservoir/Q`, for each kg of steam `V/m_s`; `U = 2 · 0.2 ml/t`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `condensate_ml` | drained | ml | 0 to the reservoir |
/// | `seconds` | t | s | above 0 |
/// | `steam_g` | used | g | 0.001 to 10 000 000 |
/// | `reservoir_ml` | holds | ml | 0.1 to 10 000 |
/// | `bound_ml_h` | most that can condense | ml/h | 0 to 100 000 |
///
/// # Errors
/// [`Unusable`] names the field; `duration_not_positive`, `more_condensate_than_reservoir`.
///
/// # Source
/// Displacement, density difference under 4 % left out. Expect 0.5 to 3 ml/h (trade practice); sources
/// disagree tenfold, so it is reported and never failed.
///
/// # Example
/// ```
/// use calc::lubricator::{Drained, oil_fed};
/// let answer = oil_fed(&Drained {
///     condensate_ml: 2.0,
///     seconds: 3600.0,
///     steam_g: Some(1500.0),
///     reservoir_ml: 8.0,
///     bound_ml_h: None,
/// })?;
/// assert_eq!(answer.number("reservoir_life_h"), Some(4.0));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn oil_fed(asked: &Drained) -> Result<Answer, Unusable> {
    let seconds = lasting("time_s", asked.seconds)?;
    let hours = seconds / 3600.0;
    let drained = within("condensate_ml", asked.condensate_ml, 0.0, 10_000.0)?;
    let holds = within("reservoir_ml", asked.reservoir_ml, 0.1, 10_000.0)?;
    if drained > holds {
        return Err(slip(
            "more_condensate_than_reservoir",
            "condensate_ml",
            "more came out than it holds: was it filled again meanwhile?",
        ));
    }
    let rate = drained / hours;
    let life = (rate > 0.0).then(|| holds / rate);
    let for_kg = match asked.steam_g {
        None => None,
        Some(g) => Some(drained / within("steam_g", g, 0.001, 1e7)? * 1000.0),
    };
    let mut answer = Answer::of("Displacement; expectation of 0.5 to 3 ml/h: trade practice");
    let symbols = [("V", drained), ("t", seconds), ("V_r", holds), ("Q", rate)];
    answer.step("Q = V / t × 3600", &symbols, rate, "ml/h");
    if let Some(life) = life {
        answer.step("life = V_r / Q", &symbols, life, "h");
    }
    answer.put_about("oil_ml_per_h", rate, Some(2.0 * U_DRAIN_ML / hours), "ml/h");
    answer.maybe("reservoir_life_h", life, "h");
    answer.maybe("oil_ml_per_kg_steam", for_kg, "ml/kg");
    let bound = match asked.bound_ml_h {
        None => None,
        Some(b) => Some(within("bound_ml_h", b, 0.0, 1e5)?),
    };
    answer.verdict = Some(if drained == 0.0 {
        answer.say("Nothing condensed in it: it is blocked, or flooded.");
        Finding::Caution
    } else if bound.is_some_and(|b| rate > 2.0 * b) {
        answer.say("More than can condense in it: steam passes through.");
        Finding::Caution
    } else {
        Finding::Ok
    });
    if let Some(bound) = bound {
        answer.limit = Some(Limit {
            is: "oil fed",
            value: 2.0 * bound,
            unit: "ml/h",
            source: "twice what its surface can condense",
        });
    }
    if seconds < 1800.0 {
        answer.say("Under half an hour a draining cup says little: 0.2 ml either way.");
    }
    Ok(answer)
}

/// An oil, and where it is to go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oil {
    /// Sold as steam cylinder oil (`true`) or as bearing oil (`false`); `None` where the tin does not
    /// say.
    pub for_cylinders: Option<bool>,
    /// ISO viscosity grade, mm²/s at 40 °C, where it is known.
    pub grade_vg: Option<f64>,
    /// Into the steam space (cylinder, valve, steam end of a pump), or on bearings.
    pub into_steam: bool,
}

/// Lowest ISO grade of steam cylinder oils, and the highest of bearing oils (trade practice).
const STEAM_VG: f64 = 460.0;
const BEARING_VG: f64 = 100.0;

/// Whether an oil suits its place: bearing oil in the steam space washes off and foams, steam oil on
/// bearings drags while cold.
///
/// # Formula
/// Steam space: cylinder oil of ISO VG 460 to 1000. Bearings: bearing oil of ISO VG 32 to 100. The worse of
/// what the tin says and of its grade holds; a grade between the two families suits neither.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `for_cylinders` | what it is sold as | – | |
/// | `grade_vg` | ISO VG | mm²/s | 2 to 3 200 |
/// | `into_steam` | where it goes | – | |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// ISO 3448 grades; which of them goes where: trade practice. With neither a name nor a grade nothing is
/// proven.
///
/// # Example
/// ```
/// use calc::answer::Finding;
/// use calc::lubricator::{Oil, oil_suits};
/// let thin = Oil { for_cylinders: None, grade_vg: Some(68.0), into_steam: true };
/// assert_eq!(oil_suits(&thin)?.verdict, Some(Finding::Caution));
/// let right = Oil { for_cylinders: Some(true), grade_vg: Some(460.0), into_steam: true };
/// assert_eq!(oil_suits(&right)?.verdict, Some(Finding::Ok));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn oil_suits(oil: &Oil) -> Result<Answer, Unusable> {
    let grade = match oil.grade_vg {
        None => None,
        Some(vg) => Some(within("grade_vg", vg, 2.0, 3200.0)?),
    };
    let (thin, thick) = (
        oil.for_cylinders == Some(false) || grade.is_some_and(|vg| vg < STEAM_VG),
        oil.for_cylinders == Some(true) || grade.is_some_and(|vg| vg > BEARING_VG),
    );
    let mut answer = Answer::of("Grades of ISO 3448; which goes where: trade practice");
    let known = oil.for_cylinders.is_some() || grade.is_some();
    let (verdict, words) = match (known, oil.into_steam, thin, thick) {
        (false, ..) => (
            Finding::NotProven,
            "Neither what the oil is sold as nor its grade is known: look at the tin.",
        ),
        (_, true, true, _) => (
            Finding::Caution,
            "Not for the steam space: it washes off, foams, and leaves cylinder and valve dry.",
        ),
        (_, false, _, true) => (
            Finding::Note,
            "Heavy for bearings: it drags while the engine is cold.",
        ),
        _ => (Finding::Ok, "It suits its place."),
    };
    answer.verdict = Some(verdict);
    answer.say(words);
    answer.limit = Some(Limit {
        is: "ISO VG",
        value: if oil.into_steam { STEAM_VG } else { BEARING_VG },
        unit: "mm²/s",
        source: if oil.into_steam {
            "least for the steam space (trade practice)"
        } else {
            "most for bearings (trade practice)"
        },
    });
    Ok(answer)
}

/// The outside of a lubricator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Surface, cm².
    pub surface_cm2: f64,
    /// Heat that still air takes, W/(m² K).
    pub air_w_m2k: f64,
    /// Steam in it, on the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Around it.
    pub ambient: Temperature,
}

/// The most that can condense in a lubricator, and so the most oil it can feed.
///
/// # Formula
/// `m = h A (T_s − T_a)/h_fg`; as condensate of 60 °C, `m/ρ`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `surface_cm2` | A | cm² | 0.1 to 10 000 |
/// | `air_w_m2k` | h | W/(m² K) | 1 to 100 |
/// | `pressure` | steam | bar | 0 to 18 |
/// | `ambient` | T_a | °C | −20 to under boiling |
///
/// # Errors
/// [`Unusable`] names the field; `ambient_above_saturation`.
///
/// # Source
/// All heat lost to the air is heat of condensation; 10 W/(m² K) for still air, condensate at 60 °C:
/// trade practice.
///
/// # Example
/// ```
/// use calc::lubricator::{Outside, condensing_bound};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = condensing_bound(&Outside {
///     surface_cm2: 10.0,
///     air_w_m2k: 10.0,
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     ambient: Temperature::from_celsius(20.0),
/// })?;
/// assert!(answer.number("condensate_g_h").is_some_and(|m| (m - 2.25).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn condensing_bound(asked: &Outside) -> Result<Answer, Unusable> {
    let area = within("surface_cm2", asked.surface_cm2, 0.1, 10_000.0)?;
    let h = within("h_W_m2K", asked.air_w_m2k, 1.0, 100.0)?;
    within("p_gauge_bar", asked.pressure.bar(), 0.0, 18.0)?;
    let ambient = within("T_amb_C", asked.ambient.degrees(), -20.0, 250.0)?;
    let (p_abs, s) = inside(asked.pressure, asked.barometer)?;
    let hotter = s.temperature.degrees() - ambient;
    if hotter <= 0.0 {
        return Err(slip(
            "ambient_above_saturation",
            "T_amb_C",
            "nothing condenses where the air is as hot as the steam",
        ));
    }
    let grams = h * area / 1e4 * hotter / (s.evaporation_kj_kg() * 1000.0) * 3.6e6;
    let warm = Temperature::from_celsius(CONDENSATE_C);
    let rho = 1.0 / properties::water(warm, p_abs)?.volume_m3_kg;
    let ml = grams / rho * 1000.0;
    let mut answer = Answer::of("Heat lost to still air; IAPWS R7-97(2012)");
    answer.step(
        "m = h × A / 10000 × ΔT / (h_fg × 1000) × 3600000",
        &[
            ("h", h),
            ("A", area),
            ("ΔT", hotter),
            ("h_fg", s.evaporation_kj_kg()),
        ],
        grams,
        "g/h",
    );
    answer.step("V = m / ρ × 1000", &[("m", grams), ("ρ", rho)], ml, "ml/h");
    answer.put("condensate_g_h", grams, "g/h");
    answer.put("oil_ml_h_upper_bound", ml, "ml/h");
    answer.say("At most this much; more than twice as much means that steam passes through.");
    Ok(answer)
}
