//! How fast the pressure climbs with everything shut.

use crate::Unusable;
use crate::answer::Answer;
use crate::properties;
use crate::quantity::{Absolute, Gauge};
use crate::steam;
use crate::unusable::within;
use crate::water::inside;

/// A boiler closed in over its fire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedIn {
    /// Water in it, kg.
    pub water_kg: f64,
    /// Metal that heats with it, kg.
    pub metal_kg: f64,
    /// Heat capacity of the metal, J/(kg K).
    pub metal_j_kgk: f64,
    /// Heat that goes in less heat that is lost, W.
    pub net_w: f64,
    /// On the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
}

/// How fast the pressure of a closed boiler climbs over its fire.
///
/// # Formula
/// `dp/dt = Q / [(m_w c_f + m_m c_m) dT_s/dp]`; as steam, `Q/h_fg`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `water_kg` | m_w | kg | 0.001 to 10 000 |
/// | `metal_kg` | m_m | kg | 0 to 10 000 |
/// | `metal_j_kgk` | c_m | J/(kg K) | 50 to 2000 |
/// | `net_w` | Q | W | 0 to 1 000 000 |
/// | `pressure` | p | bar | 0 to 18 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Balance of heat along the boiling line, steam space neglected; IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// use calc::valve::{ClosedIn, closed_rise};
/// let answer = closed_rise(&ClosedIn {
///     water_kg: 1.2,
///     metal_kg: 3.0,
///     metal_j_kgk: 385.0,
///     net_w: 1000.0,
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
/// })?;
/// assert!(answer.number("rise_bar_per_min").is_some_and(|r| (r - 1.26).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn closed_rise(asked: &ClosedIn) -> Result<Answer, Unusable> {
    let water = within("water_kg", asked.water_kg, 0.001, 10_000.0)?;
    let metal = within("metal_kg", asked.metal_kg, 0.0, 10_000.0)?;
    let c_m = within("c_metal_J_kgK", asked.metal_j_kgk, 50.0, 2000.0)?;
    let heat = within("net_heat_W", asked.net_w, 0.0, 1e6)?;
    within("p_gauge_bar", asked.pressure.bar(), 0.0, 18.0)?;
    let (p_abs, s) = inside(asked.pressure, asked.barometer)?;
    let c_f = properties::water(s.temperature, p_abs)?.heat_capacity_kj_kgk * 1000.0;
    let at = |bar: f64| steam::saturated(Absolute::from_bar(p_abs.bar() + bar));
    let step = 0.001;
    let per_bar =
        (at(step)?.temperature.degrees() - at(-step)?.temperature.degrees()) / (2.0 * step);
    let rise = heat / ((water * c_f + metal * c_m) * per_bar) * 60.0;
    let steam_kg_h = heat / (s.evaporation_kj_kg() * 1000.0) * 3600.0;
    let mut answer = Answer::of("Balance of heat along the boiling line; IAPWS R7-97(2012)");
    answer.step(
        "dp_dt = Q / ((m_w × c_f + m_m × c_m) × dT_dp) × 60",
        &[
            ("Q", heat),
            ("m_w", water),
            ("c_f", c_f),
            ("m_m", metal),
            ("c_m", c_m),
            ("dT_dp", per_bar),
        ],
        rise,
        "bar/min",
    );
    answer.step(
        "m_s = Q / h_fg × 3.6",
        &[("Q", heat), ("h_fg", s.evaporation_kj_kg())],
        steam_kg_h,
        "kg/h",
    );
    answer.put("dTsat_dp_K_per_bar", per_bar, "K/bar");
    answer.put("rise_bar_per_min", rise, "bar/min");
    answer.put("steam_equiv_kg_h", steam_kg_h, "kg/h");
    let tenth = (rise > 0.0).then(|| asked.pressure.bar() / 10.0 / rise * 60.0);
    answer.maybe("seconds_for_a_tenth_more", tenth, "s");
    answer.cautions = &["never_gag_valve", "defer_to_codes"];
    Ok(answer)
}
