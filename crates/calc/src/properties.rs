//! Water and steam anywhere in IAPWS-IF97 regions 1, 2 and 4, each question checked before it is asked.

use crate::Unusable;
use crate::answer::{Answer, Value};
use crate::quantity::{Absolute, Temperature};
use crate::unusable::{slip, within};

const SOURCE: &str = "IAPWS R7-97(2012), regions 1, 2 and 4";
/// Lowest temperature of the formulation, K.
const COLDEST: f64 = 273.15;
/// Where regions 1 and 2 end and region 3 begins, K.
const REGION_3: f64 = 623.15;
/// Highest temperature of region 2, K.
const HOTTEST: f64 = 1073.15;
/// Highest pressure, MPa.
const MOST_MPA: f64 = 100.0;
/// Critical temperature, K.
const CRITICAL: f64 = 647.096;
/// Pressure of ice, water and steam together as region 4 has it at 273.15 K, MPa.
const LEAST_MPA: f64 = 0.000_611_213;
/// Critical pressure, MPa.
const CRITICAL_MPA: f64 = 22.064;

/// Liquid or vapour of one phase at a temperature and a pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Specific volume, m³/kg.
    pub volume_m3_kg: f64,
    /// Specific enthalpy, kJ/kg.
    pub enthalpy_kj_kg: f64,
    /// Specific internal energy, kJ/kg.
    pub energy_kj_kg: f64,
    /// Specific entropy, kJ/(kg K).
    pub entropy_kj_kgk: f64,
    /// Isobaric heat capacity, kJ/(kg K).
    pub heat_capacity_kj_kgk: f64,
    /// Isothermal compressibility, 1/Pa.
    pub compressibility_per_pa: f64,
    /// Isobaric expansion, 1/K.
    pub expansion_per_k: f64,
}

/// Water that is not boiling (region 1).
///
/// # Formula
/// IAPWS-IF97 region 1: `κ = −(1/v)(∂v/∂p)`, `β = (1/v)(∂v/∂T)`, `u = h − p v`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `at` | temperature | K | 273.15 to 623.15 |
/// | `under` | pressure | MPa absolute | boiling pressure at that temperature, to 100 |
///
/// # Errors
/// [`Unusable::OutOfRange`] names `T_K` or `p_MPa`.
///
/// # Source
/// IAPWS R7-97(2012), section 5.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Temperature};
/// let water = calc::properties::water(Temperature::from_kelvin(300.0), Absolute::from_bar(30.0))?;
/// assert!((water.enthalpy_kj_kg - 115.331273).abs() < 1e-6);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn water(at: Temperature, under: Absolute) -> Result<State, Unusable> {
    let kelvin = within("T_K", at.kelvin(), COLDEST, REGION_3)?;
    // A hair's breadth under the boiling pressure is the boiling line itself, rounded.
    let least = saturation_mpa(kelvin)? * (1.0 - 1e-9);
    let p = within("p_MPa", under.megapascals(), least, MOST_MPA)?;
    state(p, at, 1)
}

/// Steam that is not condensing (region 2).
///
/// # Formula
/// IAPWS-IF97 region 2.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `at` | temperature | K | 273.15 to 1073.15 |
/// | `under` | pressure | MPa absolute | 1e-6 to the boiling pressure; above 623.15 K to the boundary of region 3, at most 100 |
///
/// # Errors
/// [`Unusable::OutOfRange`] names `T_K` or `p_MPa`.
///
/// # Source
/// IAPWS R7-97(2012), sections 4 and 6.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Temperature};
/// let steam = calc::properties::steam(Temperature::from_kelvin(300.0), Absolute::from_bar(0.035))?;
/// assert!((steam.volume_m3_kg - 39.4913866).abs() < 1e-6);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn steam(at: Temperature, under: Absolute) -> Result<State, Unusable> {
    let kelvin = within("T_K", at.kelvin(), COLDEST, HOTTEST)?;
    let most = if kelvin <= REGION_3 {
        saturation_mpa(kelvin)? * (1.0 + 1e-9)
    } else {
        boundary_23_mpa(kelvin).min(MOST_MPA)
    };
    let p = within("p_MPa", under.megapascals(), 1e-6, most)?;
    state(p, at, 2)
}

fn state(p_mpa: f64, at: Temperature, region: i32) -> Result<State, Unusable> {
    let ask = |what: i32, least: f64, most: f64| {
        let value = seuif97::pt(p_mpa, at.degrees(), (what, region));
        within("steam table", value, least, most)
    };
    let volume = ask(seuif97::OV, 5e-4, 1e6)?;
    let enthalpy = ask(seuif97::OH, -10.0, 5000.0)?;
    // The library's own derivatives of region 2 have the wrong sign, so both regions take differences.
    let near = |change_p: f64, change_k: f64| {
        let degrees = at.degrees() + change_k;
        let value = seuif97::pt(p_mpa * (1.0 + change_p), degrees, (seuif97::OV, region));
        within("steam table", value, 5e-4, 1e6)
    };
    let (dp, dk) = (if region == 1 { 1e-2 } else { 1e-4 }, 0.01);
    let by_p = (near(dp, 0.0)? - near(-dp, 0.0)?) / (2.0 * dp * p_mpa * 1e6);
    let by_k = (near(0.0, dk)? - near(0.0, -dk)?) / (2.0 * dk);
    Ok(State {
        volume_m3_kg: volume,
        enthalpy_kj_kg: enthalpy,
        energy_kj_kg: enthalpy - p_mpa * 1000.0 * volume,
        entropy_kj_kgk: ask(seuif97::OS, -0.1, 20.0)?,
        heat_capacity_kj_kgk: ask(seuif97::OCP, 0.5, 1000.0)?,
        compressibility_per_pa: -by_p / volume,
        expansion_per_k: by_k / volume,
    })
}

/// Boiling pressure at a temperature, MPa.
fn saturation_mpa(kelvin: f64) -> Result<f64, Unusable> {
    let kelvin = within("T_K", kelvin, COLDEST, CRITICAL)?;
    let p = seuif97::tx(kelvin - COLDEST, 0.0, seuif97::OP);
    within("steam table", p, 6e-4, 22.1)
}

/// Pressure between regions 2 and 3, MPa.
fn boundary_23_mpa(kelvin: f64) -> f64 {
    348.051_856_289_69 - 1.167_185_987_997_5 * kelvin + 1.019_297_003_932_6e-3 * kelvin * kelvin
}

/// Which part of the tables is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Asked {
    /// Water at a temperature and a pressure.
    Water(Temperature, Absolute),
    /// Steam at a temperature and a pressure.
    Steam(Temperature, Absolute),
    /// The pressure at which water of a temperature boils.
    BoilsAt(Temperature),
    /// The temperature at which water boils under a pressure.
    BoilsUnder(Absolute),
}

/// Answers one question to the tables.
///
/// # Formula
/// IAPWS-IF97 region 1, 2 or 4 as [`Asked`] says; ranges as in [`water`] and [`steam`], boiling from
/// 273.15 K to 647.096 K and from 0.000611213 MPa to 22.064 MPa.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `asked` | region with temperature or pressure | K, MPa | as above |
///
/// # Errors
/// [`Unusable::OutOfRange`] names `T_K` or `p_MPa`.
///
/// # Source
/// IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::{properties::{tables, Asked}, quantity::Absolute};
/// let answer = tables(Asked::BoilsUnder(Absolute::from_bar(1.0)))?;
/// assert!(answer.number("T_sat_K").is_some_and(|t| (t - 372.755919).abs() < 1e-5));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn tables(asked: Asked) -> Result<Answer, Unusable> {
    let mut answer = Answer::of(SOURCE);
    match asked {
        Asked::Water(at, under) => put(&mut answer, &water(at, under)?),
        Asked::Steam(at, under) => put(&mut answer, &steam(at, under)?),
        Asked::BoilsAt(at) => {
            answer.put("p_sat_MPa", saturation_mpa(at.kelvin())?, "MPa");
        }
        Asked::BoilsUnder(under) => {
            let p = within("p_MPa", under.megapascals(), LEAST_MPA, CRITICAL_MPA)?;
            let degrees = within("steam table", seuif97::px(p, 0.0, seuif97::OT), -0.1, 374.0)?;
            let at = Temperature::from_celsius(degrees);
            answer.put("T_sat_K", at.kelvin(), "K");
            answer.put("T_sat_C", at.degrees(), "°C");
        }
    }
    Ok(answer)
}

fn put(answer: &mut Answer, state: &State) {
    answer.put("v_m3_per_kg", state.volume_m3_kg, "m³/kg");
    answer.put("h_kJ_per_kg", state.enthalpy_kj_kg, "kJ/kg");
    answer.put("u_kJ_per_kg", state.energy_kj_kg, "kJ/kg");
    answer.put("s_kJ_per_kgK", state.entropy_kj_kgk, "kJ/(kg K)");
    answer.put("cp_kJ_per_kgK", state.heat_capacity_kj_kgk, "kJ/(kg K)");
    answer.put("kappa_T_per_Pa", state.compressibility_per_pa, "1/Pa");
    answer.put("beta_per_K", state.expansion_per_k, "1/K");
    answer.tell(
        "rho_kg_m3",
        Value::Number(1.0 / state.volume_m3_kg),
        None,
        "kg/m³",
    );
}

/// The barometer, where it can be one.
///
/// # Errors
/// A refusal outside 850 to 1085 hPa.
pub(crate) fn barometer(reads: Absolute) -> Result<Absolute, Unusable> {
    if (850.0..=1085.0).contains(&reads.hectopascals()) {
        Ok(reads)
    } else {
        Err(slip(
            "barometer_out_of_range_850_1085",
            "barometer_hPa",
            "a barometer reads between 850 and 1085 hPa",
        ))
    }
}

/// Water of a shell on test or of a tank: cold, 0 to 99 °C, at one atmosphere.
pub(crate) fn cold(field: &'static str, at: Temperature) -> Result<State, Unusable> {
    within(field, at.degrees(), 0.0, 99.0)?;
    water(at, Absolute::STANDARD_ATMOSPHERE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_corners_of_the_regions_are_those_of_the_release() {
        let hot = steam(Temperature::from_kelvin(700.0), Absolute::from_bar(300.0)).unwrap();
        assert!((hot.volume_m3_kg / 0.542_946_619e-2 - 1.0).abs() < 1e-8);
        let warm = water(Temperature::from_kelvin(500.0), Absolute::from_bar(30.0)).unwrap();
        assert!((warm.volume_m3_kg / 0.120_241_800e-2 - 1.0).abs() < 1e-8);
        assert!((boundary_23_mpa(623.15) - 16.529_164_3).abs() < 1e-6);
    }

    #[test]
    fn water_gives_and_grows_as_the_derivatives_of_the_release_say() {
        for degrees in [1.0, 7.0, 20.0, 60.0, 99.0] {
            let found = cold("T_C", Temperature::from_celsius(degrees)).unwrap();
            let ask = |what: i32| seuif97::pt(0.101_325, degrees, (what, 1));
            let give = found.compressibility_per_pa / (ask(seuif97::OKT) / 1e6);
            assert!((give - 1.0).abs() < 1e-5, "{degrees}: {give}");
            let growth = found.expansion_per_k - ask(seuif97::OEC);
            assert!(growth.abs() < 1e-9, "{degrees}: {growth}");
        }
    }

    #[test]
    fn water_and_steam_are_not_taken_for_one_another() {
        let cold = Temperature::from_kelvin(300.0);
        assert!(water(cold, Absolute::from_bar(0.035)).is_err());
        assert!(steam(cold, Absolute::from_bar(30.0)).is_err());
        assert!(water(Temperature::from_kelvin(f64::NAN), Absolute::from_bar(30.0)).is_err());
        assert!(steam(Temperature::from_kelvin(640.0), Absolute::from_bar(300.0)).is_err());
    }
}
