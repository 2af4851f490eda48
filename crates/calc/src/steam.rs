//! Water and steam, from IAPWS-IF97 behind our own range checks.
//!
//! The steam library answers a bad question with a code that looks like a number, so nothing else
//! in the program may call it: every question is checked before it is asked and every answer after.

use crate::Unusable;
use crate::quantity::{Absolute, Temperature};
use crate::unusable::within;

/// Lowest pressure at which water boils rather than freezes (triple point), bar absolute.
const TRIPLE_POINT_BAR: f64 = 0.006_117;
/// Highest pressure the plants of this program are reckoned at, bar absolute.
const MOST_BAR: f64 = 20.0;

/// Water and its steam at rest together at one pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// The temperature of both.
    pub temperature: Temperature,
    /// Density of the water, kg/m³ (which is g/l).
    pub water_kg_m3: f64,
    /// Density of the steam, kg/m³.
    pub steam_kg_m3: f64,
    /// Enthalpy of the water, kJ/kg.
    pub water_kj_kg: f64,
    /// Enthalpy of the steam, kJ/kg.
    pub steam_kj_kg: f64,
}

impl Saturation {
    /// Heat that turns a kilogram of this water into steam, kJ/kg.
    pub fn evaporation_kj_kg(&self) -> f64 {
        self.steam_kj_kg - self.water_kj_kg
    }
}

/// Water and steam in equilibrium at a pressure.
///
/// # Formula
/// IAPWS-IF97 region 4 for the temperature, regions 1 and 2 along it for the rest.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `pressure` | inside the boiler | bar absolute | 0.006117 to 20 |
///
/// # Errors
/// [`Unusable::OutOfRange`] outside that range or for a number that is not finite.
///
/// # Source
/// IAPWS R7-97(2012), through the `seuif97` crate.
///
/// # Example
/// At 4 bar on the gauge water weighs 915 g a litre: a cold charge has swollen by a tenth.
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// let s = calc::steam::saturated(Gauge::from_bar(4.0).above(Absolute::STANDARD_ATMOSPHERE))?;
/// assert!((s.water_kg_m3 - 915.2).abs() < 0.1);
/// assert!((s.evaporation_kj_kg() - 2107.6).abs() < 0.2);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn saturated(pressure: Absolute) -> Result<Saturation, Unusable> {
    within(
        "pressure_bar_abs",
        pressure.bar(),
        TRIPLE_POINT_BAR,
        MOST_BAR,
    )?;
    let p = pressure.megapascals();
    let sane = |value: f64, least: f64, most: f64| within("steam table", value, least, most);
    Ok(Saturation {
        temperature: Temperature::from_celsius(sane(seuif97::px2t(p, 0.0), 0.0, 250.0)?),
        water_kg_m3: 1.0 / sane(seuif97::px2v(p, 0.0), 9e-4, 2e-3)?,
        steam_kg_m3: 1.0 / sane(seuif97::px2v(p, 1.0), 1e-2, 300.0)?,
        water_kj_kg: sane(seuif97::px2h(p, 0.0), -1.0, 1000.0)?,
        steam_kj_kg: sane(seuif97::px2h(p, 1.0), 2400.0, 2900.0)?,
    })
}

/// The pressure at which water of a temperature boils.
///
/// # Formula
/// IAPWS-IF97 region 4.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `temperature` | of water and steam | °C | 0.01 to 212 (20 bar absolute) |
///
/// # Errors
/// [`Unusable::OutOfRange`] outside that range.
///
/// # Source
/// IAPWS R7-97(2012), through the `seuif97` crate.
///
/// # Example
/// ```
/// use calc::quantity::Temperature;
/// let inside = calc::steam::boiling_pressure(Temperature::from_celsius(151.94))?;
/// assert!((inside.bar() - 5.013).abs() < 0.002);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn boiling_pressure(temperature: Temperature) -> Result<Absolute, Unusable> {
    let degrees = within("temperature_c", temperature.degrees(), 0.01, 212.0)?;
    let megapascals = within("steam table", seuif97::tx2p(degrees, 0.0), 1e-4, 2.1)?;
    Ok(Absolute::from_bar(megapascals * 10.0))
}

/// Density of water that is not boiling, kg/m³.
///
/// # Formula
/// IAPWS-IF97 region 1 at the atmosphere's pressure.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `temperature` | of the water | °C | 0.01 to 99 |
///
/// # Errors
/// [`Unusable::OutOfRange`] outside that range.
///
/// # Source
/// IAPWS R7-97(2012), through the `seuif97` crate.
///
/// # Example
/// ```
/// use calc::quantity::Temperature;
/// let density = calc::steam::cold_water_kg_m3(Temperature::from_celsius(20.0))?;
/// assert!((density - 998.2).abs() < 0.1);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn cold_water_kg_m3(temperature: Temperature) -> Result<f64, Unusable> {
    let degrees = within("water_c", temperature.degrees(), 0.01, 99.0)?;
    let atmosphere = Absolute::STANDARD_ATMOSPHERE.megapascals();
    let volume = within(
        "steam table",
        seuif97::pt2v(atmosphere, degrees),
        9e-4,
        2e-3,
    )?;
    Ok(1.0 / volume)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Gauge;

    /// bar gauge, °C, kg/m³ water, kg/m³ steam, kJ/kg water, kJ/kg evaporation: the printed table
    /// for a barometer of 1013.25 hPa.
    const TABLE: [(f64, f64, f64, f64, f64, f64); 5] = [
        (0.0, 99.97, 958.4, 0.598, 419.0, 2256.5),
        (1.0, 120.42, 942.8, 1.136, 505.6, 2201.0),
        (4.0, 151.94, 915.2, 2.675, 640.6, 2107.6),
        (7.0, 170.48, 897.0, 4.168, 721.3, 2047.1),
        (10.0, 184.12, 882.6, 5.642, 781.4, 1999.3),
    ];

    #[test]
    fn the_steam_table_is_the_printed_one() {
        for (bar, temperature, water, steam, heat, evaporation) in TABLE {
            let s = saturated(Gauge::from_bar(bar).above(Absolute::STANDARD_ATMOSPHERE)).unwrap();
            assert!(
                (s.temperature.degrees() - temperature).abs() < 0.01,
                "{bar} bar: {s:?}"
            );
            assert!((s.water_kg_m3 - water).abs() < 0.1, "{bar} bar: {s:?}");
            assert!((s.steam_kg_m3 - steam).abs() < 0.001, "{bar} bar: {s:?}");
            assert!((s.water_kj_kg - heat).abs() < 0.1, "{bar} bar: {s:?}");
            assert!(
                (s.evaporation_kj_kg() - evaporation).abs() < 0.15,
                "{bar} bar: {s:?}"
            );
        }
    }

    #[test]
    fn what_is_outside_the_table_is_refused_by_name() {
        for bar in [f64::NAN, f64::INFINITY, -1.0, 0.0, 20.1] {
            let refused = saturated(Absolute::from_bar(bar)).unwrap_err();
            assert!(
                refused.to_string().starts_with("pressure_bar_abs"),
                "{refused}"
            );
        }
        assert!(cold_water_kg_m3(Temperature::from_celsius(120.0)).is_err());
    }
}
