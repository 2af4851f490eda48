//! What an engine eats.

use super::{Cylinder, cutoff, turning};
use crate::Unusable;
use crate::answer::Answer;
use crate::quantity::{Absolute, Gauge};
use crate::unusable::within;
use crate::water::inside;

/// Steam let into a running engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Admission {
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
    /// The cylinder.
    pub cylinder: Cylinder,
    /// Revolutions a minute.
    pub rpm: f64,
    /// Steam that condenses unseen over steam that is indicated.
    pub missing: f64,
    /// Exhaust steam stays in the clearance and is not let in again.
    pub cushion: bool,
}

/// Steam that an engine eats.
///
/// # Formula
/// `m = V_sw N [ρ_g(p_1)(x + c) − ρ_g(p_b) c]`, the last only with cushion steam; with the missing
/// steam `m (1 + y)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `steam` | p_1 | bar | 0 to 18 |
/// | `back` | p_b | bar | −0.5 to 10 |
/// | `cutoff` | x | – | above 0 to 1 |
/// | `clearance` | c | – | 0 to 0.5 |
/// | `rpm` | N | 1/min | 0 to 50 000 |
/// | `missing` | y | – | 0 to 10 |
///
/// # Errors
/// [`Unusable`] names the field; `cutoff_out_of_range`, `rod_not_smaller_than_bore`.
///
/// # Source
/// Volume let in times density of IAPWS R7-97(2012); y 1.0 (0.5 to 2.5) for small engines without
/// lagging: trade practice; textbooks have 0.33 to 1.5 for large ones.
///
/// # Example
/// ```
/// use calc::engine::{Admission, Cylinder, admission_steam};
/// use calc::feed_pump::Acting;
/// use calc::quantity::{Absolute, Gauge};
/// let answer = admission_steam(&Admission {
///     steam: Gauge::from_bar(4.0),
///     back: Gauge::from_bar(0.1),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     cutoff: 0.75,
///     clearance: 0.08,
///     cylinder: Cylinder { bore_mm: 20.0, stroke_mm: 20.0, rod_mm: 4.0, acting: Acting::Double },
///     rpm: 600.0,
///     missing: 1.0,
///     cushion: true,
/// })?;
/// assert!(answer.number("with_missing_kg_h").is_some_and(|m| (m - 1.92).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn admission_steam(asked: &Admission) -> Result<Answer, Unusable> {
    within("p_gauge_bar", asked.steam.bar(), 0.0, 18.0)?;
    within("back_gauge_bar", asked.back.bar(), -0.5, 10.0)?;
    let (_, s1) = inside(asked.steam, asked.barometer)?;
    let (_, sb) = inside(asked.back, asked.barometer)?;
    let x = cutoff(asked.cutoff)?;
    let c = within("clearance_frac", asked.clearance, 0.0, 0.5)?;
    let y = within("missing_ratio", asked.missing, 0.0, 10.0)?;
    let swept = asked.cylinder.swept_ml()?;
    let rpm = turning(asked.rpm)?;
    let kept = if asked.cushion {
        sb.steam_kg_m3 * c
    } else {
        0.0
    };
    let each = s1.steam_kg_m3 * (x + c) - kept;
    let theory = swept * 1e-6 * rpm * 60.0 * each;
    let mut answer = Answer::of(
        "Volume let in times density of IAPWS R7-97(2012); missing steam: trade practice",
    );
    let cylinder = &asked.cylinder;
    crate::feed_pump::show_swept(&mut answer, cylinder.sizes(), cylinder.acting, swept);
    let symbols = [
        ("V_sw", swept),
        ("N", rpm),
        ("ρ_1", s1.steam_kg_m3),
        ("x", x),
        ("c", c),
        ("kept", kept),
    ];
    answer.step(
        "m = V_sw / 1000000 × N × 60 × (ρ_1 × (x + c) − kept)",
        &symbols,
        theory,
        "kg/h",
    );
    let all = theory * (1.0 + y);
    answer.step(
        "m_all = m × (1 + y)",
        &[("m", theory), ("y", y)],
        all,
        "kg/h",
    );
    answer.put("theory_kg_h", theory, "kg/h");
    answer.put("with_missing_kg_h", all, "kg/h");
    answer.say(
        "What condenses unseen on cold metal is often as much as what is indicated: an estimate.",
    );
    Ok(answer)
}

/// Missing steam by Cotterill's formula, a cross-check only.
///
/// # Formula
/// `y = C ln(1/x)/(d √N)`, d in feet; it goes to nothing at full admission, which is not so.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `constant` | C | – | 1 to 20 |
/// | `cutoff_frac` | x | – | above 0 to 1 |
/// | `bore_mm` | d | mm | 0.5 to 1000 |
/// | `rpm` | N | 1/min | 1 to 50 000 |
///
/// # Errors
/// [`Unusable`] names the field; `cutoff_out_of_range`.
///
/// # Source
/// Cotterill, as general engineering texts give it: C 6 to 8 without a jacket; that d is in feet is
/// inferred.
///
/// # Example
/// ```
/// let answer = calc::engine::cylinder_condensation(7.0, 0.75, 20.0, 600.0)?;
/// assert!(answer.number("missing_over_indicated").is_some_and(|y| (y - 1.253).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn cylinder_condensation(
    constant: f64,
    cutoff_frac: f64,
    bore_mm: f64,
    rpm: f64,
) -> Result<Answer, Unusable> {
    let k = within("C", constant, 1.0, 20.0)?;
    let x = cutoff(cutoff_frac)?;
    let bore = within("bore_mm", bore_mm, 0.5, 1000.0)?;
    let rpm = within("rpm", rpm, 1.0, 50_000.0)?;
    let y = k * (1.0 / x).ln() / (bore / 304.8 * rpm.sqrt());
    let mut answer = Answer::of("Cotterill, C 6 to 8 without a jacket; a cross-check only");
    let symbols = [("k", k), ("x", x), ("d", bore), ("N", rpm)];
    answer.step("y = k × ln(1 / x) / (d / 304.8 × √(N))", &symbols, y, "");
    answer.put("missing_over_indicated", y, "");
    answer.say("A cross-check only: it goes to nothing at full admission, which is not so.");
    Ok(answer)
}
