//! Can this fuel boil this water away?

use super::Fuel;
use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::properties;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{slip, within};
use crate::water::inside;

/// A charge of fuel and a charge of water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelAndCharge {
    /// What burns.
    pub fuel: Fuel,
    /// Fuel, g.
    pub fuel_g: f64,
    /// Water in the boiler, cold, ml.
    pub water_ml: f64,
    /// Water that stands in the boiler, hot, at the low mark, ml.
    pub at_low_mark_ml: f64,
    /// Of the water at the beginning.
    pub start: Temperature,
    /// Pressure it steams at.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Least part of the heat that may go into the water.
    pub least_efficiency: f64,
    /// Most of it.
    pub most_efficiency: f64,
}

/// Can this fuel boil this water down to the low mark?
///
/// # Formula
/// heat to the low mark `Q = m (h_f − h_1) + (m − m_low) h_fg`; it can where even
/// `η_least m_fuel H > Q`, it cannot where even `η_most m_fuel H < Q`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `fuel_g` | m_fuel | g | 0.01 to 1 000 000 |
/// | `water_ml` | charge, cold | ml | 0.1 to 10 000 000 |
/// | `at_low_mark_ml` | at the low mark, hot | ml | 0 to less than the charge weighs |
/// | `start` | T_1 | °C | 0 to 99 |
/// | `pressure` | steaming | bar | 0 to 18 |
/// | `least_efficiency`, `most_efficiency` | η | – | 0.01 to 0.95 |
///
/// # Errors
/// [`Unusable`] names the field; `low_mark_not_below_charge`, `efficiency_bounds_crossed`.
///
/// # Source
/// First law; IAPWS R7-97(2012); efficiency of models 0.25 to 0.65: trade practice.
///
/// # Example
/// ```
/// use calc::burner::{Fuel, FuelAndCharge, fuel_against_charge};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = fuel_against_charge(&FuelAndCharge {
///     fuel: Fuel { net_j_kg: 26.8e6, kg_m3: Some(789.0) },
///     fuel_g: 10.0,
///     water_ml: 300.0,
///     at_low_mark_ml: 100.0,
///     start: Temperature::from_celsius(20.0),
///     pressure: Gauge::from_bar(1.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     least_efficiency: 0.25,
///     most_efficiency: 0.65,
/// })?;
/// assert_eq!(answer.word_of("can_reach_low_mark"), Some("no"));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn fuel_against_charge(asked: &FuelAndCharge) -> Result<Answer, Unusable> {
    let grams = within("fuel_g", asked.fuel_g, 0.01, 1e6)?;
    let net = within("LHV_J_kg", asked.fuel.net_j_kg, 1e6, 2e8)?;
    let water_ml = within("water_ml", asked.water_ml, 0.1, 1e7)?;
    let low_ml = within("low_mark_ml", asked.at_low_mark_ml, 0.0, 1e7)?;
    let least = within("efficiency_least", asked.least_efficiency, 0.01, 0.95)?;
    let most = within("efficiency_most", asked.most_efficiency, 0.01, 0.95)?;
    if least > most {
        return Err(slip(
            "efficiency_bounds_crossed",
            "efficiency_least",
            "the least efficiency is above the most",
        ));
    }
    let (_, s) = inside(asked.pressure, asked.barometer)?;
    let cold = properties::cold("T_start_C", asked.start)?;
    let mass = water_ml * 1e-6 / cold.volume_m3_kg;
    let left = low_ml * 1e-6 * s.water_kg_m3;
    if left >= mass {
        return Err(slip(
            "low_mark_not_below_charge",
            "low_mark_ml",
            "this charge does not reach over the low mark",
        ));
    }
    let (h1, hf, hfg) = (cold.enthalpy_kj_kg, s.water_kj_kg, s.evaporation_kj_kg());
    let raise = mass * (hf - h1);
    let need = raise + (mass - left) * hfg;
    let heat = grams / 1e6 * net;
    let mut answer =
        Answer::of("First law; IAPWS R7-97(2012); efficiency of models: trade practice");
    let symbols = [
        ("m", mass),
        ("h_f", hf),
        ("h_1", h1),
        ("m_low", left),
        ("h_fg", hfg),
    ];
    answer.step(
        "Q = m × (h_f − h_1) + (m − m_low) × h_fg",
        &symbols,
        need,
        "kJ",
    );
    let symbols = [
        ("m_fuel", grams),
        ("H", net),
        ("η_least", least),
        ("η_most", most),
    ];
    answer.step(
        "Q_least = η_least × m_fuel × H / 1000000",
        &symbols,
        least * heat,
        "kJ",
    );
    answer.step(
        "Q_most = η_most × m_fuel × H / 1000000",
        &symbols,
        most * heat,
        "kJ",
    );
    let steam = |part: f64| ((part * heat - raise) / hfg).max(0.0);
    let can = if least * heat > need {
        Finding::Yes
    } else if most * heat < need {
        Finding::No
    } else {
        Finding::NotProven
    };
    answer.word("can_reach_low_mark", can);
    answer.put("fuel_heat_kJ", heat, "kJ");
    answer.put("heat_to_low_mark_kJ", need, "kJ");
    answer.put("steam_least_kg", steam(least), "kg");
    answer.put("steam_most_kg", steam(most), "kg");
    answer.put("water_above_low_mark_kg", mass - left, "kg");
    answer.put("fuel_that_is_safe_g", need / (most * net) * 1e6, "g");
    answer.verdict = Some(if can == Finding::No {
        Finding::Ok
    } else {
        answer.say(
            "This fuel may outlast the water: without feed put in less of it, and watch the glass.",
        );
        Finding::Caution
    });
    answer.limit = Some(Limit {
        is: "heat before the water is at the low mark",
        value: need,
        unit: "kJ",
        source: "first law",
    });
    answer.cautions = &["low_water_no_feed", "hot_surfaces", "defer_to_codes"];
    Ok(answer)
}
