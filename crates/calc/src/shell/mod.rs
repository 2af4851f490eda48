//! The shell's sanity check. It is not a design approval, and every answer says so.

mod flat;

pub use flat::{FlatEnd, Stay, flat_end, stay};

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit, Value};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::steam;
use crate::unusable::{slip, within};

/// Said with every result.
pub(crate) const NOT_A_DESIGN: &str = "A sanity check and not a design approval: the code, the inspector and a competent person decide.";
/// Yield of annealed copper tube, MPa (ASTM B75/B75M, temper O60).
const COPPER_YIELD: f64 = 62.0;
/// °C and allowable stress of annealed copper, MPa (ASME B31 values as the trade copper-tube handbook
/// prints them: 6000 psi at 100 °F to 3000 psi at 400 °F).
const COPPER: [(f64, f64); 7] = [
    (38.0, 41.4),
    (66.0, 35.2),
    (93.0, 33.8),
    (121.0, 33.1),
    (149.0, 32.4),
    (177.0, 27.6),
    (204.0, 20.7),
];

/// What a shell is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Plate {
    /// Copper, which is annealed wherever it was brazed.
    Copper,
    /// Plain low-carbon boiler plate.
    Steel,
    /// Brass, for which no stress is assumed.
    Brass,
    /// With an allowable stress of its own, MPa.
    Allowed(f64),
}

impl Plate {
    /// Allowable stress at a metal temperature, MPa.
    ///
    /// # Formula
    /// annealed copper: straight lines through the table; steel 100 MPa to 250 °C.
    ///
    /// # Errors
    /// `copper_above_204C_refused`; [`Unusable::OutOfRange`] for a temperature; [`Unusable::Missing`]
    /// `S_MPa` for brass.
    ///
    /// # Source
    /// ASME B31 values for annealed copper through the trade copper-tube handbook; steel: trade
    /// practice, editable. Codes disallow brass, or want it removable, for it loses its zinc.
    ///
    /// # Example
    /// ```
    /// use calc::quantity::Temperature;
    /// use calc::shell::Plate;
    /// let allowed = Plate::Copper.allowable_mpa(Temperature::from_celsius(170.5))?;
    /// assert!((allowed - 28.71).abs() < 0.01);
    /// # Ok::<(), calc::Unusable>(())
    /// ```
    pub fn allowable_mpa(self, metal: Temperature) -> Result<f64, Unusable> {
        let t = metal.degrees();
        match self {
            Self::Copper => copper(t),
            Self::Steel => within("T_C", t, -20.0, 250.0).map(|_| 100.0),
            Self::Brass => Err(Unusable::Missing { field: "S_MPa" }),
            Self::Allowed(stress) => {
                within("T_C", t, -20.0, 250.0)?;
                within("S_MPa", stress, 1.0, 500.0)
            }
        }
    }
}

fn copper(t: f64) -> Result<f64, Unusable> {
    let (first, last) = (COPPER[0], COPPER[COPPER.len() - 1]);
    if t > last.0 {
        return Err(slip(
            "copper_above_204C_refused",
            "T_C",
            "copper has no allowable stress above 204 °C",
        ));
    }
    within("T_C", t, -20.0, last.0)?;
    let between = COPPER.windows(2).find(|w| t >= w[0].0 && t <= w[1].0);
    Ok(between.map_or(first.1, |w| {
        w[0].1 + (t - w[0].0) / (w[1].0 - w[0].0) * (w[1].1 - w[0].1)
    }))
}

/// A cylindrical shell under pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hoop {
    /// Working pressure, on the gauge.
    pub pressure: Gauge,
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
    /// The lesser of the joint's efficiency and the ligament's.
    pub efficiency: f64,
    /// What it is made of.
    pub plate: Plate,
    /// Of the metal; 15 K above boiling where it is not known.
    pub metal: Option<Temperature>,
    /// Of the day.
    pub barometer: Absolute,
}

/// Hoop stress of a shell against what its metal may carry.
///
/// # Formula
/// `σ = p D/(2 t η)`, use `σ/S`: to 0.8 note, to 1 caution, above stop; and the pressure of
/// `P = 2 S t η/(D_o − 0.8 t)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pressure` | p | bar | 0.001 to 40 |
/// | `bore_mm` | D | mm | 5 to 10 000 |
/// | `wall_mm` | t | mm | 0.05 to D/10 |
/// | `efficiency` | η | – | 0.05 to 1 |
/// | `metal` | temperature | °C | −20 to 250, copper to 204 |
///
/// # Errors
/// [`Unusable`] names the field; `shell_too_thick_for_thin_wall`, `copper_above_204C_refused`.
///
/// # Source
/// Thin-wall hoop stress; ASME B31 form; allowable stress as [`Plate::allowable_mpa`]; 15 K over the
/// boiling point: trade practice.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// use calc::shell::{Hoop, Plate, hoop};
/// let answer = hoop(&Hoop {
///     pressure: Gauge::from_bar(7.0),
///     bore_mm: 150.0,
///     wall_mm: 2.5,
///     efficiency: 0.7,
///     plate: Plate::Copper,
///     metal: Some(Temperature::from_celsius(170.5)),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
/// })?;
/// assert_eq!(answer.word_of("flag"), Some("stop"));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn hoop(asked: &Hoop) -> Result<Answer, Unusable> {
    let p = within("p_gauge_bar", asked.pressure.bar(), 0.001, 40.0)? / 10.0;
    let bore = within("D_inside_mm", asked.bore_mm, 5.0, 10_000.0)?;
    let wall = within("wall_mm", asked.wall_mm, 0.05, 1000.0)?;
    let eta = within("joint_or_ligament_eff", asked.efficiency, 0.05, 1.0)?;
    if bore / wall < 10.0 {
        return Err(slip(
            "shell_too_thick_for_thin_wall",
            "wall_mm",
            "the wall is thicker than a tenth of the bore, which the formula does not cover",
        ));
    }
    let metal = metal_temperature(asked)?;
    let allowed = asked.plate.allowable_mpa(metal)?;
    let stress = p * bore / (2.0 * wall * eta);
    let used = stress / allowed;
    let code = 2.0 * allowed * wall * eta / (bore + 2.0 * wall - 0.8 * wall) * 10.0;
    let flag = if used > 1.0 {
        Finding::Stop
    } else if used > 0.8 {
        Finding::Caution
    } else {
        Finding::Note
    };
    let mut answer = Answer::of(
        "Thin-wall hoop stress; ASME B31 form and annealed-copper values (copper-tube handbook)",
    );
    let symbols = [
        ("p", asked.pressure.bar()),
        ("D", bore),
        ("t", wall),
        ("η", eta),
        ("S", allowed),
        ("σ", stress),
    ];
    answer.step("σ = p / 10 × D / (2 × t × η)", &symbols, stress, "MPa");
    answer.step("use = σ / S", &symbols, used, "");
    answer.step(
        "P = 2 × S × t × η / (D + 2 × t − 0.8 × t) × 10",
        &symbols,
        code,
        "bar",
    );
    answer.put("hoop_MPa", stress, "MPa");
    answer.put("allowable_MPa", allowed, "MPa");
    answer.put("utilisation", used, "");
    answer.put("P_barlow_B31_bar", code, "bar");
    answer.put("metal_C", metal.degrees(), "°C");
    answer.word("flag", flag);
    answer.verdict = Some(flag);
    let set = asked.plate == Plate::Copper && 2.0 * stress > COPPER_YIELD;
    answer.tell("permanent_set_at_twice", Value::Truth(set), None, "");
    if set {
        answer.say("A test at twice the working pressure passes the yield of annealed copper: it may take a permanent set.");
    }
    answer.limit = Some(Limit {
        is: "hoop stress",
        value: allowed,
        unit: "MPa",
        source: "ASME B31 values for annealed copper; steel: trade practice",
    });
    answer.say(NOT_A_DESIGN);
    answer.cautions = &["soft_solder", "defer_to_codes"];
    Ok(answer)
}

fn metal_temperature(asked: &Hoop) -> Result<Temperature, Unusable> {
    if let Some(metal) = asked.metal {
        return Ok(metal);
    }
    let inside = asked.pressure.above(barometer(asked.barometer)?);
    within("p_gauge_bar", inside.bar(), 0.5, 20.0)?;
    let boiling = steam::saturated(inside)?.temperature.degrees();
    Ok(Temperature::from_celsius(boiling + 15.0))
}

/// What a row of holes leaves of a plate.
///
/// # Formula
/// `η = (p − d)/p`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pitch_mm` | p | mm | 0.1 to 10 000 |
/// | `hole_mm` | d | mm | 0 to under the pitch |
///
/// # Errors
/// [`Unusable`] names the field; `hole_not_smaller_than_pitch`.
///
/// # Source
/// Ligament along the shell (boiler codes).
///
/// # Example
/// ```
/// let answer = calc::shell::ligament(30.0, 10.0)?;
/// assert!(answer.number("eff").is_some_and(|e| (e - 2.0 / 3.0).abs() < 1e-12));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn ligament(pitch_mm: f64, hole_mm: f64) -> Result<Answer, Unusable> {
    let pitch = within("pitch_mm", pitch_mm, 0.1, 10_000.0)?;
    let hole = within("hole_mm", hole_mm, 0.0, 10_000.0)?;
    if hole >= pitch {
        return Err(slip(
            "hole_not_smaller_than_pitch",
            "hole_mm",
            "the holes run into one another",
        ));
    }
    let eff = (pitch - hole) / pitch;
    let mut answer = Answer::of("Ligament along the shell (boiler codes)");
    answer.step("η = (p − d) / p", &[("p", pitch), ("d", hole)], eff, "");
    answer.put("eff", eff, "");
    answer.say("Take the lesser of this and the joint's efficiency.");
    answer.say(NOT_A_DESIGN);
    Ok(answer)
}

/// Pressure times volume, and the class that a code makes of it.
///
/// # Formula
/// `B = p_w V`: under 3 bar litres, to 1100, above.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.001 to 40 |
/// | `litres` | whole inside V | l | 0.001 to 10 000 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// UK model-engineering boiler test code: volume 2 under 3 bar litres, volume 1 to 1100; check the
/// current issue. Law, and who is at work, is for the keeper and a competent person to decide.
///
/// # Example
/// ```
/// let answer = calc::shell::bar_litres(4.0, 0.6)?;
/// assert_eq!(answer.word_of("uk_class"), Some("under_3"));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn bar_litres(working_bar: f64, litres: f64) -> Result<Answer, Unusable> {
    let p = within("p_working_bar", working_bar, 0.001, 40.0)?;
    let v = within("V_litre", litres, 0.001, 10_000.0)?;
    let product = p * v;
    let mut answer = Answer::of("UK model-engineering boiler test code; check the current issue");
    answer.step("B = p_w × V", &[("p_w", p), ("V", v)], product, "bar l");
    answer.put("bar_litre", product, "bar l");
    let class = if product < 3.0 {
        "under_3"
    } else if product <= 1100.0 {
        "3_to_1100"
    } else {
        "over_1100"
    };
    answer.tell("uk_class", Value::Word(class), None, "");
    answer.say("What law applies is for the keeper to settle with a competent person: at work, steam at any pressure counts.");
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copper_is_weaker_the_hotter_it_is_and_refused_above_the_table() {
        let at = |c| Plate::Copper.allowable_mpa(Temperature::from_celsius(c));
        assert_eq!(at(20.0).unwrap(), 41.4);
        assert_eq!(at(204.0).unwrap(), 20.7);
        assert!((at(149.0).unwrap() - 32.4).abs() < 1e-12);
        assert_eq!(at(204.1).unwrap_err().code(), "copper_above_204C_refused");
        assert!(at(f64::NAN).is_err());
    }
}
