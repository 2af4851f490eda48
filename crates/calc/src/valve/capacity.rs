//! What a safety valve lets through.

use std::f64::consts::PI;

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit, Value};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge};
use crate::steam;
use crate::unusable::within;

const SOURCE: &str = "ISO 4126-1 steam form with v0 of IAPWS R7-97(2012); Napier as a check";
/// Napier's constant: 51.5 lb/h for a square inch and a psi, in kg/(h mm² bar).
const NAPIER: f64 =
    51.5 * 0.453_592_37 / (25.4 * 25.4) / (0.453_592_37 * 9.806_65 / (0.025_4 * 0.025_4) / 1e5);

/// A safety valve blowing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    /// Set pressure.
    pub set: Gauge,
    /// Allowed above it, as a part of the set pressure.
    pub overpressure_frac: f64,
    /// Of the day; also what it blows against.
    pub barometer: Absolute,
    /// Least area in the way of the steam, mm².
    pub area_mm2: f64,
    /// Derated coefficient of discharge.
    pub discharge: f64,
    /// Isentropic exponent of the steam.
    pub exponent: f64,
    /// Most steam that the boiler makes, kg/h, where it is known.
    pub evaporation_kg_h: Option<f64>,
}

struct Flow {
    p0: Absolute,
    c: f64,
    critical: f64,
    back: f64,
    v0: f64,
    choked: bool,
    /// kg/h for each mm² of area and each unit of discharge coefficient.
    per_mm2: f64,
}

fn flow(set: Gauge, over: f64, day: Absolute, k: f64) -> Result<Flow, Unusable> {
    within("set_gauge_bar", set.bar(), 0.01, 18.0)?;
    let over = within("overpressure_frac", over, 0.0, 1.0)?;
    let k = within("k", k, 1.01, 1.7)?;
    let p_b = barometer(day)?;
    let p0 = Gauge::from_bar(set.bar() * (1.0 + over)).above(p_b);
    within("set_gauge_bar", p0.bar(), 0.5, 20.0)?;
    let v0 = 1.0 / steam::saturated(p0)?.steam_kg_m3;
    let choked_c = k * (2.0 / (k + 1.0)).powf((k + 1.0) / (k - 1.0));
    let c = 3.948 * choked_c.sqrt();
    let critical = (2.0 / (k + 1.0)).powf(k / (k - 1.0));
    let r = p_b.pascals() / p0.pascals();
    let back = if r > critical {
        let low = (r.powf(2.0 / k) - r.powf((k + 1.0) / k)).max(0.0);
        (2.0 * k / (k - 1.0) * low / choked_c).sqrt()
    } else {
        1.0
    };
    Ok(Flow {
        p0,
        c,
        critical,
        back,
        v0,
        choked: r <= critical,
        per_mm2: 0.2883 * c * back * (p0.bar() / v0).sqrt(),
    })
}

impl Flow {
    fn show(&self, answer: &mut Answer, set: Gauge, over: f64, day: Absolute, k: f64) {
        answer.step(
            "p_0 = p_set × (1 + over) + p_baro",
            &[("p_set", set.bar()), ("over", over), ("p_baro", day.bar())],
            self.p0.bar(),
            "bar absolute",
        );
        answer.step(
            "C = 3.948 × √(k × (2 / (k + 1))^((k + 1) / (k − 1)))",
            &[("k", k)],
            self.c,
            "",
        );
        let formula = "r_c = (2 / (k + 1))^(k / (k − 1))";
        answer.step(formula, &[("k", k)], self.critical, "");
        if !self.choked {
            answer.step(
                "K_b = √(2 × k / (k − 1) × ((p_b / p_0)^(2 / k) − (p_b / p_0)^((k + 1) / k)) / (C / 3.948)^2)",
                &[
                    ("k", k),
                    ("p_b", day.bar()),
                    ("p_0", self.p0.bar()),
                    ("C", self.c),
                ],
                self.back,
                "",
            );
        }
    }
}

/// What a safety valve lets through at its relieving pressure.
///
/// # Formula
/// `p_0 = p_set (1 + over) + p_baro`, `C = 3.948 √[k (2/(k+1))^((k+1)/(k−1))]`,
/// `Q = 0.2883 C A K_dr K_b √(p_0/v_0)`; `K_b` is 1 while the flow is choked, else
/// `√{[2k/(k−1)] (r^(2/k) − r^((k+1)/k)) / [k (2/(k+1))^((k+1)/(k−1))]}`. Napier: `0.525 A K_dr p_0`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `set` | p_set | bar | 0.01 to 18, p_0 to 20 absolute |
/// | `overpressure_frac` | over | – | 0 to 1 |
/// | `area_mm2` | A | mm² | 0.001 to 10 000 |
/// | `discharge` | K_dr | – | 0.01 to 1 |
/// | `exponent` | k | – | 1.01 to 1.7 |
/// | `evaporation_kg_h` | most steam made | kg/h | 0.001 to 10 000 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// ISO 4126-1:2013 (scope from 4 mm bore: for smaller valves an editable practice); k = 1.135 for dry
/// saturated steam in equilibrium, the lower of two; Napier. Margin of 1.5: trade practice.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// use calc::valve::{Capacity, capacity};
/// let answer = capacity(&Capacity {
///     set: Gauge::from_bar(2.0),
///     overpressure_frac: 0.1,
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     area_mm2: 10.0,
///     discharge: 0.5,
///     exponent: 1.135,
///     evaporation_kg_h: Some(2.0),
/// })?;
/// assert!(answer.number("Qm_iso_kg_h").is_some_and(|q| (q - 8.60).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn capacity(asked: &Capacity) -> Result<Answer, Unusable> {
    let f = flow(
        asked.set,
        asked.overpressure_frac,
        asked.barometer,
        asked.exponent,
    )?;
    let area = within("area_mm2", asked.area_mm2, 0.001, 10_000.0)?;
    let k_dr = within("K_dr", asked.discharge, 0.01, 1.0)?;
    let iso = f.per_mm2 * area * k_dr;
    let napier = NAPIER * area * k_dr * f.p0.bar();
    let lower = iso.min(napier);
    let mut answer = Answer::of(SOURCE);
    f.show(
        &mut answer,
        asked.set,
        asked.overpressure_frac,
        asked.barometer,
        asked.exponent,
    );
    answer.step(
        "Q = 0.2883 × C × A × K_dr × K_b × √(p_0 / v_0)",
        &[
            ("C", f.c),
            ("A", area),
            ("K_dr", k_dr),
            ("K_b", f.back),
            ("p_0", f.p0.bar()),
            ("v_0", f.v0),
        ],
        iso,
        "kg/h",
    );
    answer.put("p0_bar_abs", f.p0.bar(), "bar absolute");
    answer.put("C", f.c, "");
    answer.put("critical_ratio", f.critical, "");
    answer.put("Kb", f.back, "");
    answer.put("Qm_iso_kg_h", iso, "kg/h");
    answer.put("Qm_napier_kg_h", napier, "kg/h");
    answer.put("Qm_lower_kg_h", lower, "kg/h");
    answer.tell("choked", Value::Truth(f.choked), None, "");
    if let Some(made) = asked.evaporation_kg_h {
        let made = within("max_evaporation_kg_h", made, 0.001, 10_000.0)?;
        judge_margin(&mut answer, lower, made);
    }
    answer.say("Reckoned, not tried: only a trial with the whole fire shows what a valve carries.");
    answer.cautions = &["never_gag_valve", "defer_to_codes"];
    Ok(answer)
}

fn judge_margin(answer: &mut Answer, carries: f64, made: f64) {
    let margin = carries / made;
    let symbols = [("Q", carries), ("m", made)];
    answer.step("M = Q / m", &symbols, margin, "");
    answer.put("margin", margin, "");
    answer.verdict = Some(match margin {
        m if m < 1.0 => Finding::Fail,
        m if m < 1.5 => Finding::Caution,
        _ => Finding::Ok,
    });
    answer.limit = Some(Limit {
        is: "what the valve carries over what the boiler makes",
        value: 1.5,
        unit: "",
        source: "trade practice",
    });
}

/// A boiler that needs a safety valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Most steam that the boiler makes, kg/h.
    pub evaporation_kg_h: f64,
    /// Set pressure.
    pub set: Gauge,
    /// Allowed above it, as a part of the set pressure.
    pub overpressure_frac: f64,
    /// Of the day.
    pub barometer: Absolute,
    /// Derated coefficient of discharge.
    pub discharge: f64,
    /// Isentropic exponent of the steam.
    pub exponent: f64,
}

/// The least area that carries all the steam a boiler makes.
///
/// # Formula
/// [`capacity`] solved for A; bore `d = √(4 A/π)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `evaporation_kg_h` | m | kg/h | 0.001 to 10 000 |
/// | others | as [`capacity`] | | |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// As [`capacity`].
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// use calc::valve::{Area, required_area};
/// let answer = required_area(&Area {
///     evaporation_kg_h: 2.0,
///     set: Gauge::from_bar(1.0),
///     overpressure_frac: 0.1,
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     discharge: 0.5,
///     exponent: 1.135,
/// })?;
/// assert!(answer.number("area_required_mm2").is_some_and(|a| (a - 3.49).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn required_area(asked: &Area) -> Result<Answer, Unusable> {
    let made = within(
        "max_evaporation_kg_h",
        asked.evaporation_kg_h,
        0.001,
        10_000.0,
    )?;
    let (over, day, k) = (asked.overpressure_frac, asked.barometer, asked.exponent);
    let f = flow(asked.set, over, day, k)?;
    let k_dr = within("K_dr", asked.discharge, 0.01, 1.0)?;
    let area = made / (f.per_mm2 * k_dr);
    let bore = (4.0 * area / PI).sqrt();
    let mut answer = Answer::of(SOURCE);
    f.show(&mut answer, asked.set, over, day, k);
    answer.step(
        "A = m / (0.2883 × C × K_dr × K_b × √(p_0 / v_0))",
        &[
            ("m", made),
            ("C", f.c),
            ("K_dr", k_dr),
            ("K_b", f.back),
            ("p_0", f.p0.bar()),
            ("v_0", f.v0),
        ],
        area,
        "mm²",
    );
    answer.step("d = √(4 × A / π)", &[("A", area)], bore, "mm");
    answer.put("area_required_mm2", area, "mm²");
    answer.put("equivalent_bore_mm", bore, "mm");
    answer.put("lift_for_full_bore_mm", bore / 4.0, "mm");
    answer.cautions = &["never_gag_valve", "defer_to_codes"];
    Ok(answer)
}

/// A flat seat and how far its disc lifts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lift {
    /// Bore of the seat, mm.
    pub bore_mm: f64,
    /// How far the disc lifts, mm.
    pub lift_mm: f64,
}

/// The least area in the way of the steam: under the disc's edge, or the bore.
///
/// # Formula
/// `min(π d l, π d²/4)`; the bore rules from a lift of `d/4`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm` | d | mm | 0.1 to 500 |
/// | `lift_mm` | l | mm | 0 to 500 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Geometry.
///
/// # Example
/// ```
/// use calc::valve::{Lift, lift_area};
/// let answer = lift_area(&Lift { bore_mm: 5.0, lift_mm: 0.3 })?;
/// assert!(answer.number("effective_mm2").is_some_and(|a| (a - 4.71).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn lift_area(asked: &Lift) -> Result<Answer, Unusable> {
    let d = within("bore_mm", asked.bore_mm, 0.1, 500.0)?;
    let l = within("lift_mm", asked.lift_mm, 0.0, 500.0)?;
    let (curtain, bore) = (PI * d * l, PI * d * d / 4.0);
    let mut answer = Answer::of("Geometry");
    let symbols = [("d", d), ("l", l)];
    answer.step("A_curtain = π × d × l", &symbols, curtain, "mm²");
    answer.step("A_bore = π × d^2 / 4", &symbols, bore, "mm²");
    answer.put("curtain_mm2", curtain, "mm²");
    answer.put("bore_mm2", bore, "mm²");
    answer.put("effective_mm2", curtain.min(bore), "mm²");
    answer.put("lift_for_full_bore_mm", d / 4.0, "mm");
    Ok(answer)
}
