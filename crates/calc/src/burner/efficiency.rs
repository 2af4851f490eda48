//! How much of the fuel's heat went into the water.

use crate::Unusable;
use crate::answer::Answer;
use crate::properties;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{slip, within};
use crate::water::inside;

/// Evaporation "from and at 100 °C" is against this, kJ/kg (IAPWS R7-97(2012) at 1.01325 bar).
const FROM_AND_AT: f64 = 2256.5;

/// Steam raised from cold in a closed boiler.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Raising {
    /// Water in the boiler, kg.
    pub water_kg: f64,
    /// At the beginning.
    pub start: Temperature,
    /// At the end, on the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Metal that heats with it, kg, where it is known.
    pub metal_kg: Option<f64>,
    /// Heat capacity of the metal, J/(kg K).
    pub metal_j_kgk: f64,
    /// Fuel burnt, kg.
    pub fuel_kg: f64,
    /// Net calorific value, J/kg.
    pub net_j_kg: f64,
}

/// Efficiency of raising steam, with and without the metal.
///
/// # Formula
/// `η = [m_w (u_f2 − u_1) + m_m c_m (T_s − T_1)] / (m_g H)`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `water_kg` | m_w | kg | 0.001 to 10 000 |
/// | `start` | T_1 | °C | 0 to 99 |
/// | `pressure` | at the end | bar | 0 to 18 |
/// | `metal_kg` | m_m | kg | 0 to 10 000 |
/// | `metal_j_kgk` | c_m | J/(kg K) | 50 to 2000 |
/// | `fuel_kg` | m_g | kg | 0.00001 to 10 000 |
/// | `net_j_kg` | H | J/kg | 1e6 to 2e8 |
///
/// # Errors
/// [`Unusable`] names the field; `efficiency_over_0_95_bad_input`; `cold_temperature_above_saturation`.
///
/// # Source
/// First law for a closed boiler, venting ignored; IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::burner::{Raising, raising};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = raising(&Raising {
///     water_kg: 1.2,
///     start: Temperature::from_celsius(20.0),
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     metal_kg: Some(3.0),
///     metal_j_kgk: 385.0,
///     fuel_kg: 0.03,
///     net_j_kg: 45.72e6,
/// })?;
/// assert!(answer.number("eff_water_only").is_some_and(|e| (e - 0.487).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn raising(asked: &Raising) -> Result<Answer, Unusable> {
    let water = within("water_kg", asked.water_kg, 0.001, 10_000.0)?;
    let fuel = within("gas_kg", asked.fuel_kg, 1e-5, 10_000.0)?;
    let net = within("LHV_J_kg", asked.net_j_kg, 1e6, 2e8)?;
    let c_m = within("c_metal_J_kgK", asked.metal_j_kgk, 50.0, 2000.0)?;
    let (p_abs, s) = inside(asked.pressure, asked.barometer)?;
    within("T_start_C", asked.start.degrees(), -20.0, 250.0)?;
    let warmed = s.temperature.degrees() - asked.start.degrees();
    if warmed <= 0.0 {
        return Err(slip(
            "cold_temperature_above_saturation",
            "T_start_C",
            "the water began as hot as it ended, or hotter",
        ));
    }
    let u1 = properties::cold("T_start_C", asked.start)?.energy_kj_kg;
    let u2 = s.water_kj_kg - p_abs.pascals() / 1000.0 / s.water_kg_m3;
    let water_j = water * (u2 - u1) * 1000.0;
    let metal_j = match asked.metal_kg {
        None => None,
        Some(kg) => Some(within("metal_kg", kg, 0.0, 10_000.0)? * c_m * warmed),
    };
    let heat = fuel * net;
    let by_water = water_j / heat;
    let both = metal_j.map(|m| (water_j + m) / heat);
    possible(both.unwrap_or(by_water))?;
    let mut answer = Answer::of("First law for a closed boiler; IAPWS R7-97(2012)");
    let symbols = [("m_w", water), ("u_2", u2), ("u_1", u1)];
    answer.step("Q_w = m_w × (u_2 − u_1) × 1000", &symbols, water_j, "J");
    if let (Some(metal_j), Some(kg)) = (metal_j, asked.metal_kg) {
        let symbols = [("m_m", kg), ("c_m", c_m), ("ΔT", warmed)];
        answer.step("Q_m = m_m × c_m × ΔT", &symbols, metal_j, "J");
    }
    let symbols = [("Q_w", water_j), ("m_g", fuel), ("H", net)];
    answer.step("η = Q_w / (m_g × H)", &symbols, by_water, "");
    answer.put("water_heat_J", water_j, "J");
    answer.maybe("metal_heat_J", metal_j, "J");
    answer.put("eff_water_only", by_water, "");
    answer.maybe("eff_water_and_metal", both, "");
    expected(&mut answer, both.unwrap_or(by_water));
    Ok(answer)
}

fn possible(efficiency: f64) -> Result<(), Unusable> {
    if efficiency > 0.95 {
        return Err(slip(
            "efficiency_over_0_95_bad_input",
            "gas_kg",
            "more than 95 % of the fuel's heat cannot have gone into the water: weigh the fuel again",
        ));
    }
    Ok(())
}

fn expected(answer: &mut Answer, efficiency: f64) {
    if !(0.25..=0.65).contains(&efficiency) {
        answer.say("Models usually give 0.25 to 0.65 (trade practice); look at the figures again.");
    }
}

/// Steam made at a steady level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steaming {
    /// Steam made, kg.
    pub steam_kg: f64,
    /// Steam in the wet steam, as a part of the mass.
    pub dryness: f64,
    /// On the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Of the feed.
    pub feed: Temperature,
    /// Fuel burnt, kg.
    pub fuel_kg: f64,
    /// Net calorific value, J/kg.
    pub net_j_kg: f64,
}

/// Efficiency of steaming.
///
/// # Formula
/// `η = m_s [h_f + x h_fg − h_feed] / (m_g H)`; from and at 100 °C, `Q/2256.5`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `steam_kg` | m_s | kg | 0.0001 to 10 000 |
/// | `dryness` | x | – | 0.5 to 1 |
/// | `feed` | its temperature | °C | 0 to 99 |
/// | others | as [`raising`] | | |
///
/// # Errors
/// [`Unusable`] names the field; `efficiency_over_0_95_bad_input`.
///
/// # Source
/// First law for steady flow; IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::burner::{Steaming, steaming};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = steaming(&Steaming {
///     steam_kg: 1.0,
///     dryness: 0.97,
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     feed: Temperature::from_celsius(20.0),
///     fuel_kg: 0.12,
///     net_j_kg: 45.72e6,
/// })?;
/// assert!(answer.number("efficiency_net_cv").is_some_and(|e| (e - 0.474).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn steaming(asked: &Steaming) -> Result<Answer, Unusable> {
    let steam = within("steam_kg", asked.steam_kg, 1e-4, 10_000.0)?;
    let dry = within("dryness", asked.dryness, 0.5, 1.0)?;
    let fuel = within("gas_kg", asked.fuel_kg, 1e-5, 10_000.0)?;
    let net = within("LHV_J_kg", asked.net_j_kg, 1e6, 2e8)?;
    let (_, s) = inside(asked.pressure, asked.barometer)?;
    let feed = properties::cold("T_feed_C", asked.feed)?.enthalpy_kj_kg;
    let each = s.water_kj_kg + dry * s.evaporation_kj_kg() - feed;
    let heat = steam * each * 1000.0;
    let efficiency = heat / (fuel * net);
    possible(efficiency)?;
    let equivalent = heat / 1000.0 / FROM_AND_AT;
    let mut answer = Answer::of("First law for steady flow; IAPWS R7-97(2012)");
    answer.step(
        "Q = m_s × (h_f + x × h_fg − h_feed) × 1000",
        &[
            ("m_s", steam),
            ("h_f", s.water_kj_kg),
            ("x", dry),
            ("h_fg", s.evaporation_kj_kg()),
            ("h_feed", feed),
        ],
        heat,
        "J",
    );
    let symbols = [("Q", heat), ("m_g", fuel), ("H", net)];
    answer.step("η = Q / (m_g × H)", &symbols, efficiency, "");
    answer.step("m_e = Q / 2256500", &symbols, equivalent, "kg");
    answer.put("heat_to_steam_J", heat, "J");
    answer.put("efficiency_net_cv", efficiency, "");
    answer.put("equiv_evap_from_at_100C_kg", equivalent, "kg");
    expected(&mut answer, efficiency);
    Ok(answer)
}
