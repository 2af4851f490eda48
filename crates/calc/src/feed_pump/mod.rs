//! The feed pump: what it really moves, and whether that is enough.

mod fed;

pub use fed::{Strokes, TankFall, by_strokes, by_tank};

use std::f64::consts::PI;

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::properties;
use crate::quantity::Temperature;
use crate::uncertainty::step_u;
use crate::unusable::{lasting, slip, within};

/// Density of feed water where nobody took its temperature, kg/m³ (20 °C).
pub(crate) const COLD_KG_M3: f64 = 998.2;

/// How many faces of the piston work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Acting {
    /// One.
    Single,
    /// Both, the rod taking its room on one.
    Double,
}

impl Acting {
    /// The word for it: `single` or `double`.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "single" => Some(Self::Single),
            "double" => Some(Self::Double),
            _ => None,
        }
    }
}

/// Area that works in a whole cycle, mm²: `A` or `2 A − a`.
///
/// # Errors
/// A refusal for a rod as thick as the bore.
pub(crate) fn working_area(bore: f64, rod: f64, acting: Acting) -> Result<f64, Unusable> {
    let bore = within("bore_mm", bore, 0.5, 1000.0)?;
    let rod = within("rod_mm", rod, 0.0, 1000.0)?;
    if rod >= bore {
        return Err(slip(
            "rod_not_smaller_than_bore",
            "rod_mm",
            "the rod must be thinner than the bore",
        ));
    }
    let disc = |d: f64| PI * d * d / 4.0;
    Ok(match acting {
        Acting::Single => disc(bore),
        Acting::Double => 2.0 * disc(bore) - disc(rod),
    })
}

/// The working of [`working_area`] as a volume for each cycle, mm³ or ml.
pub(crate) fn show_swept(
    answer: &mut Answer,
    [bore, rod, stroke]: [f64; 3],
    acting: Acting,
    swept_ml: f64,
) {
    let symbols = [("d", bore), ("d_rod", rod), ("s", stroke)];
    let formula = match acting {
        Acting::Single => "V_sw = π × d^2 / 4 × s / 1000",
        Acting::Double => "V_sw = π × (2 × d^2 − d_rod^2) / 4 × s / 1000",
    };
    answer.step(formula, &symbols, swept_ml, "ml");
}

/// A catch of what a pump delivers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Catch {
    /// Bore, mm.
    pub bore_mm: f64,
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Rod, mm; 0 where there is none on a working face.
    pub rod_mm: f64,
    /// Faces that work.
    pub acting: Acting,
    /// Cycles counted.
    pub cycles: f64,
    /// Caught, ml.
    pub catch_ml: f64,
    /// In how long, s.
    pub seconds: f64,
    /// Of the water.
    pub water: Temperature,
    /// Smallest step of the measure, ml.
    pub catch_step_ml: f64,
    /// Caught at an open pipe, without pressure against the pump; `None` where nobody said.
    pub open_discharge: Option<bool>,
}

/// What a pump delivers, against what it sweeps.
///
/// # Formula
/// `V_sw = A s` (single) or `(2 A − a) s` (double), `η_v = catch/(V_sw n)`, slip `1 − η_v`.
/// `U = 2 η_v √((u_c/catch)² + (0.5/n)² + (2 · 1 %)² + (1 %)²)`, `u_c` the step/√12 with 0.5 %.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm`, `stroke_mm` | d, s | mm | 0.5 to 1000 |
/// | `rod_mm` | rod | mm | 0 to under the bore |
/// | `cycles` | n | – | 1 to 1 000 000 |
/// | `catch_ml` | caught | ml | 0 to 1 000 000 |
/// | `seconds` | t | s | above 0 |
/// | `water` | temperature | °C | 0 to 99 |
///
/// # Errors
/// [`Unusable`] names the field; `vol_eff_over_1.05_bad_input`, `rod_not_smaller_than_bore`,
/// `duration_not_positive`.
///
/// # Source
/// Geometry; JCGM 100:2008. η_v of 0.70 and 0.50, 20 cycles, 30 s, 20 steps: trade practice.
///
/// # Example
/// ```
/// use calc::feed_pump::{Acting, Catch, delivery};
/// use calc::quantity::Temperature;
/// let answer = delivery(&Catch {
///     bore_mm: 6.0,
///     stroke_mm: 15.0,
///     rod_mm: 0.0,
///     acting: Acting::Single,
///     cycles: 100.0,
///     catch_ml: 36.0,
///     seconds: 60.0,
///     water: Temperature::from_celsius(20.0),
///     catch_step_ml: 0.5,
///     open_discharge: None,
/// })?;
/// assert!(answer.number("vol_eff").is_some_and(|e| (e - 0.849).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn delivery(asked: &Catch) -> Result<Answer, Unusable> {
    let area = working_area(asked.bore_mm, asked.rod_mm, asked.acting)?;
    let stroke = within("stroke_mm", asked.stroke_mm, 0.5, 1000.0)?;
    let cycles = within("cycles", asked.cycles, 1.0, 1e6)?;
    let caught = within("catch_ml", asked.catch_ml, 0.0, 1e6)?;
    let seconds = lasting("time_s", asked.seconds)?;
    let step = within("catch_resolution_ml", asked.catch_step_ml, 0.0, 1000.0)?;
    let rho = 1.0 / properties::cold("T_C", asked.water)?.volume_m3_kg;
    let swept = area * stroke / 1000.0;
    let efficiency = caught / (swept * cycles);
    if efficiency > 1.05 {
        return Err(slip(
            "vol_eff_over_1.05_bad_input",
            "catch_ml",
            "more came out than the pump sweeps: look at the count, the bore, and for air",
        ));
    }
    let per_min = caught / seconds * 60.0;
    let u_catch = step_u(step).hypot(0.005 * caught);
    let relative = if caught > 0.0 { u_catch / caught } else { 0.0 };
    let about = 2.0 * efficiency * (relative.powi(2) + (0.5 / cycles).powi(2) + 5e-4).sqrt();
    let by_mass = per_min * rho * 60.0 / 1e6;
    let mut answer = Answer::of("Geometry; JCGM 100:2008; limits: trade practice");
    let sizes = [asked.bore_mm, asked.rod_mm, stroke];
    show_swept(&mut answer, sizes, asked.acting, swept);
    let symbols = [
        ("catch", caught),
        ("V_sw", swept),
        ("n", cycles),
        ("t", seconds),
        ("ρ", rho),
    ];
    answer.step("η_v = catch / (V_sw × n)", &symbols, efficiency, "");
    answer.step("Q = catch / t × 60", &symbols, per_min, "ml/min");
    answer.step(
        "m = catch / t × 3600 × ρ / 1000000",
        &symbols,
        by_mass,
        "kg/h",
    );
    answer.put("swept_ml_per_cycle", swept, "ml");
    answer.put(
        "displacement_ml_min",
        swept * cycles / seconds * 60.0,
        "ml/min",
    );
    let u_flow = 2.0 * u_catch.hypot(caught * 0.3 / seconds) / seconds * 60.0;
    answer.put_about("delivery_ml_min", per_min, Some(u_flow), "ml/min");
    answer.put_about("vol_eff", efficiency, Some(about), "");
    answer.put_about("slip", 1.0 - efficiency, Some(about), "");
    answer.put("delivery_kg_h", by_mass, "kg/h");
    answer.verdict = Some(judge(&mut answer, asked, efficiency));
    answer.limit = Some(Limit {
        is: "delivery over what is swept",
        value: 0.7,
        unit: "",
        source: "trade practice",
    });
    Ok(answer)
}

fn judge(answer: &mut Answer, asked: &Catch, efficiency: f64) -> Finding {
    let enough = asked.cycles >= 20.0
        && asked.seconds >= 30.0
        && asked.catch_ml >= 20.0 * asked.catch_step_ml;
    if efficiency < 0.5 {
        return Finding::Fail;
    }
    if !enough {
        answer.say("Too little to judge by: at least 20 cycles, 30 s and 20 steps of the measure.");
        return Finding::NotProven;
    }
    if asked.open_discharge == Some(true) {
        answer.say("Open discharge: against the boiler's pressure it delivers less; catch it through a needle valve set to that pressure.");
        return Finding::Caution;
    }
    if efficiency < 0.7 {
        Finding::Caution
    } else {
        Finding::Pass
    }
}

/// A pump against a boiler's appetite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeedMargin {
    /// What the pump delivers, ml/min.
    pub delivery_ml_min: f64,
    /// Part of it that the bypass sends back.
    pub bypass_frac: f64,
    /// What the boiler evaporates, kg/h.
    pub evaporation_kg_h: f64,
    /// How many times that the feed must be.
    pub required: f64,
}

/// Is the feed enough?
///
/// # Formula
/// net feed `Q (1 − b) ρ` with ρ = 998.2 kg/m³, margin = net feed over evaporation.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `delivery_ml_min` | Q | ml/min | 0 to 1 000 000 |
/// | `bypass_frac` | b | – | 0 to 1 |
/// | `evaporation_kg_h` | evaporation | kg/h | 0.0001 to 100 000 |
/// | `required` | factor | – | 1 to 10 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Balance of mass; factor 1.25: trade practice.
///
/// # Example
/// ```
/// use calc::feed_pump::{FeedMargin, margin};
/// let answer = margin(&FeedMargin {
///     delivery_ml_min: 40.0,
///     bypass_frac: 0.5,
///     evaporation_kg_h: 1.5,
///     required: 1.25,
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Fail));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn margin(asked: &FeedMargin) -> Result<Answer, Unusable> {
    let flow = within("delivery_ml_min", asked.delivery_ml_min, 0.0, 1e6)?;
    let bypass = within("bypass_frac", asked.bypass_frac, 0.0, 1.0)?;
    let used = within("evaporation_kg_h", asked.evaporation_kg_h, 1e-4, 1e5)?;
    let required = within("required_factor", asked.required, 1.0, 10.0)?;
    let net = flow * (1.0 - bypass) * COLD_KG_M3 * 60.0 / 1e6;
    let margin = net / used;
    let mut answer = Answer::of("Balance of mass; factor: trade practice");
    let symbols = [("Q", flow), ("b", bypass), ("m", net), ("e", used)];
    answer.step(
        "m = Q × (1 − b) × 998.2 × 60 / 1000000",
        &symbols,
        net,
        "kg/h",
    );
    answer.step("margin = m / e", &symbols, margin, "");
    answer.put("net_feed_kg_h", net, "kg/h");
    answer.put("margin", margin, "");
    answer.verdict = Some(if margin < 1.0 {
        Finding::Fail
    } else if margin < required {
        Finding::Caution
    } else {
        Finding::Pass
    });
    answer.limit = Some(Limit {
        is: "feed over evaporation",
        value: required,
        unit: "",
        source: "trade practice",
    });
    Ok(answer)
}
