//! Boiling water and its steam at a gauge pressure; swell; what a cool glass shows.

use crate::Unusable;
use crate::answer::Answer;
use crate::properties::{self, barometer};
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::steam::{self, Saturation};
use crate::unusable::{slip, within};

const SOURCE: &str = "IAPWS R7-97(2012), regions 1, 2 and 4";

/// Water boiling under a gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boiling {
    /// On the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Standard uncertainty of the gauge pressure, bar, where it is known.
    pub u_bar: Option<f64>,
}

/// Saturation inside a boiler; 20 bar absolute at most.
pub(crate) fn inside(pressure: Gauge, day: Absolute) -> Result<(Absolute, Saturation), Unusable> {
    let p_abs = pressure.above(barometer(day)?);
    within("p_gauge_bar", pressure.bar(), -1.0, 20.0)?;
    let saturation = steam::saturated(p_abs).map_err(|_| Unusable::OutOfRange {
        field: "p_gauge_bar",
        value: pressure.bar(),
        least: 0.006_117 - day.bar(),
        most: 20.0 - day.bar(),
    })?;
    Ok((p_abs, saturation))
}

/// How hot, how heavy and how much heat, at a gauge pressure.
///
/// # Formula
/// `p_abs = p_gauge + p_baro`; the rest from the tables at that pressure; `u_f = h_f − p_abs / ρ_f`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pressure` | on the gauge | bar | −1 to 19, 20 absolute at most |
/// | `barometer` | of the day | hPa | 850 to 1085 |
/// | `u_bar` | standard uncertainty of the gauge | bar | 0 to 5 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// use calc::water::{Boiling, saturation};
/// let answer = saturation(&Boiling {
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     u_bar: Some(0.05),
/// })?;
/// assert!(answer.number("rho_f_kg_m3").is_some_and(|d| (d - 915.19).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn saturation(asked: &Boiling) -> Result<Answer, Unusable> {
    let (p_abs, s) = inside(asked.pressure, asked.barometer)?;
    let around = |change: f64| steam::saturated(Absolute::from_bar(p_abs.bar() + change)).ok();
    let u_bar = match asked.u_bar {
        Some(u) => Some(within("u_p_bar", u, 0.0, 5.0)?),
        None => None,
    };
    // Half the difference over ± u is the sensitivity times u; twice that is k = 2.
    let spread = |of: fn(&Saturation) -> f64| {
        let u = u_bar?;
        Some((of(&around(u)?) - of(&around(-u)?)).abs())
    };
    let mut answer = Answer::of(SOURCE);
    let (gauge, day) = (asked.pressure.pascals(), asked.barometer.pascals());
    answer.step(
        "p_abs = p_gauge + p_baro",
        &[("p_gauge", gauge), ("p_baro", day)],
        p_abs.pascals(),
        "Pa",
    );
    let u_f = s.water_kj_kg - p_abs.pascals() / 1000.0 / s.water_kg_m3;
    let rho = ("ρ_f", s.water_kg_m3);
    answer.step(
        "u_f = h_f − p_abs / 1000 / ρ_f",
        &[("h_f", s.water_kj_kg), ("p_abs", p_abs.pascals()), rho],
        u_f,
        "kJ/kg",
    );
    let twice = u_bar.map(|u| 2.0 * u * 1e5);
    answer.put_about("p_abs_Pa", p_abs.pascals(), twice, "Pa");
    let hot = spread(|s| s.temperature.degrees());
    answer.put_about("T_sat_C", s.temperature.degrees(), hot, "°C");
    answer.put_about(
        "rho_f_kg_m3",
        s.water_kg_m3,
        spread(|s| s.water_kg_m3),
        "kg/m³",
    );
    answer.put_about(
        "rho_g_kg_m3",
        s.steam_kg_m3,
        spread(|s| s.steam_kg_m3),
        "kg/m³",
    );
    answer.put("h_f_kJ_kg", s.water_kj_kg, "kJ/kg");
    answer.put("h_fg_kJ_kg", s.evaporation_kj_kg(), "kJ/kg");
    answer.put("u_f_kJ_kg", u_f, "kJ/kg");
    Ok(answer)
}

/// A cold charge of water and the pressure it will be raised to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// Water put in, ml.
    pub cold_ml: f64,
    /// As cold as it was put in.
    pub cold: Temperature,
    /// On the gauge, hot.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Whole inside of the cold boiler, ml, where it is known.
    pub total_ml: Option<f64>,
    /// Expansion of the shell along its length, 1/K.
    pub shell_per_k: f64,
}

/// How much room a cold charge takes once it is hot, nothing fed and nothing drawn.
///
/// # Formula
/// `m = ρ_c V_c`, simply `V = m/ρ_f`; in a closed boiler `V = (m − ρ_g V_t)/(ρ_f − ρ_g)` with
/// `V_t = V_total (1 + 3 α ΔT)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `cold_ml` | water put in | ml | 0.1 to 10 000 000 |
/// | `cold` | its temperature | °C | 0 to 99, under the boiling point |
/// | `total_ml` | whole inside | ml | above `cold_ml` |
/// | `shell_per_k` | expansion | 1/K | 0 to 0.0001 |
///
/// # Errors
/// [`Unusable`] names the field; `cold_temperature_above_saturation`, `charge_over_boiler_volume`.
///
/// # Source
/// IAPWS R7-97(2012) and the balance of mass.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// use calc::water::{Charge, swell};
/// let answer = swell(&Charge {
///     cold_ml: 1500.0,
///     cold: Temperature::from_celsius(20.0),
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     total_ml: Some(2200.0),
///     shell_per_k: 1.69e-5,
/// })?;
/// assert!(answer.number("V_hot_simple_ml").is_some_and(|v| (v - 1636.0).abs() < 0.5));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn swell(charge: &Charge) -> Result<Answer, Unusable> {
    let (_, s) = inside(charge.pressure, charge.barometer)?;
    let cold_ml = within("V_cold_ml", charge.cold_ml, 0.1, 1e7)?;
    let alpha = within("alpha_shell_per_K", charge.shell_per_k, 0.0, 1e-4)?;
    within("T_cold_C", charge.cold.degrees(), -20.0, 250.0)?;
    if charge.cold.degrees() >= s.temperature.degrees() {
        return Err(slip(
            "cold_temperature_above_saturation",
            "T_cold_C",
            "the cold charge is as hot as the boiling water or hotter",
        ));
    }
    let rho_c = 1.0 / properties::cold("T_cold_C", charge.cold)?.volume_m3_kg;
    let mass = rho_c * cold_ml * 1e-6;
    let simple = mass / s.water_kg_m3 * 1e6;
    let percent = (simple / cold_ml - 1.0) * 100.0;
    let mut answer = Answer::of("IAPWS R7-97(2012) and the balance of mass");
    answer.step(
        "m = ρ_c × V_c / 1000000",
        &[("ρ_c", rho_c), ("V_c", cold_ml)],
        mass,
        "kg",
    );
    let symbols = [("m", mass), ("ρ_f", s.water_kg_m3)];
    answer.step("V = m / ρ_f × 1000000", &symbols, simple, "ml");
    let closed = match charge.total_ml {
        None => None,
        Some(total) => Some(closed_ml(
            charge,
            &s,
            mass,
            within("V_total_ml", total, 0.1, 1e7)?,
        )?),
    };
    if let (Some(closed), Some(total)) = (closed, charge.total_ml) {
        let rise = s.temperature.degrees() - charge.cold.degrees();
        answer.step(
            "V = (m − ρ_g × V_total / 1000000 × (1 + 3 × α × ΔT)) / (ρ_f − ρ_g) × 1000000",
            &[
                ("m", mass),
                ("ρ_g", s.steam_kg_m3),
                ("ρ_f", s.water_kg_m3),
                ("V_total", total),
                ("α", alpha),
                ("ΔT", rise),
            ],
            closed,
            "ml",
        );
        if closed > total {
            answer.say("The hot water has no room: the boiler would be full of water.");
        }
    }
    answer.put("V_hot_simple_ml", simple, "ml");
    answer.maybe("V_hot_closed_ml", closed, "ml");
    answer.put("swell_simple_pct", percent, "%");
    answer.put("mass_kg", mass, "kg");
    answer.say("A level that rises while the water heats is swell, and never evidence of feed.");
    Ok(answer)
}

fn closed_ml(charge: &Charge, s: &Saturation, mass: f64, total_ml: f64) -> Result<f64, Unusable> {
    if charge.cold_ml >= total_ml {
        return Err(slip(
            "charge_over_boiler_volume",
            "V_cold_ml",
            "the charge is as large as the boiler or larger",
        ));
    }
    let rise = s.temperature.degrees() - charge.cold.degrees();
    let total_m3 = total_ml * 1e-6 * (1.0 + 3.0 * charge.shell_per_k * rise);
    Ok((mass - s.steam_kg_m3 * total_m3) / (s.water_kg_m3 - s.steam_kg_m3) * 1e6)
}

/// A gauge glass beside a hot boiler.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoolGlass {
    /// On the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Level above the lower nut.
    pub level: GlassLevel,
    /// Of the water in the glass.
    pub glass: Temperature,
}

/// Which of the two levels is known, mm above the lower nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GlassLevel {
    /// In the boiler.
    True(f64),
    /// As the glass shows it.
    Shown(f64),
}

/// What a glass shows whose water is cooler than the boiler's, or the true level behind it.
///
/// # Formula
/// `h_shown (ρ_glass − ρ_g) = h_true (ρ_f − ρ_g)`: the two legs balance.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `level` | above the lower nut | mm | 0 to 10 000 |
/// | `glass` | temperature of the glass's water | °C | 0.01 to the boiling point |
///
/// # Errors
/// [`Unusable`] names the field; `glass_hotter_than_boiler`.
///
/// # Source
/// Balance of two columns; densities of IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// use calc::water::{CoolGlass, GlassLevel, glass_reading};
/// let answer = glass_reading(&CoolGlass {
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     level: GlassLevel::True(40.0),
///     glass: Temperature::from_celsius(60.0),
/// })?;
/// assert!(answer.number("height_shown_mm").is_some_and(|h| (h - 37.2).abs() < 0.05));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn glass_reading(asked: &CoolGlass) -> Result<Answer, Unusable> {
    let (p_abs, s) = inside(asked.pressure, asked.barometer)?;
    within("T_glass_C", asked.glass.degrees(), 0.01, 250.0)?;
    if asked.glass.degrees() > s.temperature.degrees() {
        return Err(slip(
            "glass_hotter_than_boiler",
            "T_glass_C",
            "the glass cannot be hotter than the boiling water",
        ));
    }
    let rho_glass = 1.0 / properties::water(asked.glass, p_abs)?.volume_m3_kg;
    let ratio = (s.water_kg_m3 - s.steam_kg_m3) / (rho_glass - s.steam_kg_m3);
    let mut answer = Answer::of("Balance of two columns; densities of IAPWS R7-97(2012)");
    let densities = |name, h| {
        [
            (name, h),
            ("ρ_f", s.water_kg_m3),
            ("ρ_g", s.steam_kg_m3),
            ("ρ_glass", rho_glass),
        ]
    };
    match asked.level {
        GlassLevel::True(level) => {
            let level = within("height_above_lower_nut_true_mm", level, 0.0, 10_000.0)?;
            let formula = "h_shown = h_true × (ρ_f − ρ_g) / (ρ_glass − ρ_g)";
            answer.step(formula, &densities("h_true", level), level * ratio, "mm");
            answer.put("height_shown_mm", level * ratio, "mm");
            answer.put("height_true_mm", level, "mm");
        }
        GlassLevel::Shown(level) => {
            let level = within("height_above_lower_nut_shown_mm", level, 0.0, 10_000.0)?;
            let formula = "h_true = h_shown × (ρ_glass − ρ_g) / (ρ_f − ρ_g)";
            answer.step(formula, &densities("h_shown", level), level / ratio, "mm");
            answer.put("height_shown_mm", level, "mm");
            answer.put("height_true_mm", level / ratio, "mm");
        }
    }
    answer.put("shown_over_true", ratio, "");
    answer.say("Bubbles under the surface raise the level and fall back when the stop valve is shut or the fire drops; no formula covers them.");
    Ok(answer)
}
