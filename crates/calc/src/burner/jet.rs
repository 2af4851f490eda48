//! What a gas jet passes.

use std::f64::consts::PI;

use super::Gas;
use crate::Unusable;
use crate::answer::{Answer, Value};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{slip, within};

/// Molar gas constant, J/(mol K) (exact since the SI of 2019, cut to ten figures).
const GAS_CONSTANT: f64 = 8.314_462_618;

/// A gas jet under pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jet {
    /// What it passes.
    pub gas: Gas,
    /// Bore of the jet, mm.
    pub bore_mm: f64,
    /// Before the jet, on the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Of the gas before the jet.
    pub gas_at: Temperature,
    /// Coefficient of discharge.
    pub discharge: f64,
    /// Of the liquid in the tank, where it is known.
    pub tank: Option<Temperature>,
    /// Standard uncertainty of the bore, mm, where it is known.
    pub u_bore_mm: Option<f64>,
    /// Relative standard uncertainty of the coefficient, where it is known.
    pub u_discharge: Option<f64>,
}

/// What flows, and whether it is choked: (kg/s, choked, critical ratio).
pub(crate) fn flow(asked: &Jet) -> Result<(f64, bool, f64), Unusable> {
    let bore = within("jet_mm", asked.bore_mm, 0.01, 20.0)? / 1000.0;
    within("p_gauge_bar", asked.pressure.bar(), 0.0, 20.0)?;
    let p_a = barometer(asked.barometer)?;
    let kelvin = within("T_C", asked.gas_at.degrees(), -20.0, 250.0)? + 273.15;
    let c_d = within("Cd", asked.discharge, 0.1, 1.0)?;
    let g = within("gamma", asked.gas.gamma, 1.01, 1.7)?;
    let molar = within("M_kg_mol", asked.gas.molar_kg, 0.002, 0.2)?;
    let p0 = asked.pressure.above(p_a).pascals();
    let critical = (2.0 / (g + 1.0)).powf(g / (g - 1.0));
    let r = p_a.pascals() / p0;
    let choked = r <= critical;
    let shape = if choked {
        g.sqrt() * (2.0 / (g + 1.0)).powf((g + 1.0) / (2.0 * (g - 1.0)))
    } else {
        let low = (r.powf(2.0 / g) - r.powf((g + 1.0) / g)).max(0.0);
        (2.0 * g / (g - 1.0) * low).sqrt()
    };
    let area = PI * bore * bore / 4.0;
    let flow = c_d * area * p0 / (GAS_CONSTANT / molar * kelvin).sqrt() * shape;
    Ok((flow, choked, critical))
}

/// Mass of gas through a jet, and its heat.
///
/// # Formula
/// `r* = (2/(γ+1))^(γ/(γ−1))`. Choked (`p_a/p_0 ≤ r*`):
/// `ṁ = C_d A p_0/√(R T) √γ (2/(γ+1))^((γ+1)/(2(γ−1)))`; else
/// `ṁ = C_d A p_0/√(R T) √{2γ/(γ−1) [r^(2/γ) − r^((γ+1)/γ)]}` with `r = p_a/p_0`, `R = 8.314462618/M`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm` | d | mm | 0.01 to 20 |
/// | `pressure` | before the jet | bar | 0 to 20 |
/// | `gas_at` | T | °C | −20 to 250 |
/// | `discharge` | C_d | – | 0.1 to 1 |
/// | `gamma` | γ | – | 1.01 to 1.7 |
/// | `molar_kg` | M | kg/mol | 0.002 to 0.2 |
///
/// # Errors
/// [`Unusable`] names the field; `jet_pressure_over_tank_pressure` where the jet stands more than 5 %
/// above what the liquid in the tank can give.
///
/// # Source
/// Isentropic flow of an ideal gas through an orifice (textbook).
///
/// # Example
/// ```
/// use calc::burner::{Gas, Jet, jet};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = jet(&Jet {
///     gas: Gas::N_BUTANE,
///     bore_mm: 0.2,
///     pressure: Gauge::from_bar(1.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     gas_at: Temperature::from_celsius(20.0),
///     discharge: 0.8,
///     tank: None,
///     u_bore_mm: None,
///     u_discharge: None,
/// })?;
/// assert!(answer.number("heat_input_W").is_some_and(|w| (w - 709.0).abs() < 1.0));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn jet(asked: &Jet) -> Result<Answer, Unusable> {
    let (flow, choked, critical) = flow(asked)?;
    let heat = flow * within("LHV_J_kg", asked.gas.net_j_kg, 1e6, 2e8)?;
    if let Some(tank) = asked.tank {
        let most = asked
            .gas
            .vapour_bar(within("T_tank_C", tank.degrees(), -20.0, 50.0)?);
        if asked.pressure.above(asked.barometer).bar() > 1.05 * most {
            return Err(slip(
                "jet_pressure_over_tank_pressure",
                "p_gauge_bar",
                "the liquid in the tank cannot give so much pressure at that temperature",
            ));
        }
    }
    let doubt = match (asked.u_bore_mm, asked.u_discharge) {
        (None, None) => None,
        (bore, discharge) => {
            let u_d = within("u_d_mm", bore.unwrap_or(0.0), 0.0, 10.0)? / asked.bore_mm;
            let u_c = within("u_Cd_rel", discharge.unwrap_or(0.0), 0.0, 1.0)?;
            Some(2.0 * (2.0 * u_d).hypot(u_c))
        }
    };
    let mut answer = Answer::of("Isentropic flow of an ideal gas through an orifice (textbook)");
    show(&mut answer, asked, choked, flow);
    answer.tell("choked", Value::Truth(choked), None, "");
    answer.put("critical_ratio", critical, "");
    let grams = flow * 60_000.0;
    answer.put_about("mass_g_per_min", grams, doubt.map(|u| u * grams), "g/min");
    answer.put_about("heat_input_W", heat, doubt.map(|u| u * heat), "W");
    answer.say("A jet is drilled to a hundredth of a millimetre at best: 0.005 mm is worth 5 % of heat in one of 0.2 mm.");
    answer.cautions = &[
        "gas_fill_outdoor",
        "leak_check_soap",
        "co_alarm",
        "ventilation",
        "defer_to_codes",
    ];
    Ok(answer)
}

fn show(answer: &mut Answer, asked: &Jet, choked: bool, flow: f64) {
    let p_a = asked.barometer;
    let p0 = asked.pressure.above(p_a).pascals();
    let area = PI * (asked.bore_mm / 1000.0).powi(2) / 4.0;
    let kelvin = asked.gas_at.kelvin();
    answer.step(
        "A = π × (d / 1000)^2 / 4",
        &[("d", asked.bore_mm)],
        area,
        "m²",
    );
    let symbols = [
        ("C_d", asked.discharge),
        ("A", area),
        ("p_0", p0),
        ("p_a", p_a.pascals()),
        ("M", asked.gas.molar_kg),
        ("T", kelvin),
        ("γ", asked.gas.gamma),
    ];
    let formula = if choked {
        "m = C_d × A × p_0 / √(8.314462618 / M × T) × √(γ) × (2 / (γ + 1))^((γ + 1) / (2 × (γ − 1)))"
    } else {
        "m = C_d × A × p_0 / √(8.314462618 / M × T) × √(2 × γ / (γ − 1) × ((p_a / p_0)^(2 / γ) − (p_a / p_0)^((γ + 1) / γ)))"
    };
    answer.step(formula, &symbols, flow, "kg/s");
    let symbols = [("m", flow), ("H", asked.gas.net_j_kg)];
    answer.step("Q = m × H", &symbols, flow * asked.gas.net_j_kg, "W");
}

/// How sure a jet's flow is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowDoubt {
    /// Bore, mm.
    pub bore_mm: f64,
    /// Its standard uncertainty, mm.
    pub u_bore_mm: f64,
    /// Relative standard uncertainty of the coefficient of discharge.
    pub u_discharge: f64,
    /// Relative standard uncertainty of the absolute pressure.
    pub u_pressure: f64,
}

/// Relative standard uncertainty of a choked jet's flow.
///
/// # Formula
/// `u = √((2 u_d/d)² + u_Cd² + u_p²)`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm` | d | mm | 0.01 to 20 |
/// | others | standard uncertainties | mm, – | 0 to 1 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// JCGM 100:2008; flow is as the bore squared.
///
/// # Example
/// ```
/// use calc::burner::{FlowDoubt, flow_doubt};
/// let answer = flow_doubt(&FlowDoubt { bore_mm: 0.2, u_bore_mm: 0.005, u_discharge: 0.1, u_pressure: 0.02 })?;
/// assert!(answer.number("u_flow_rel").is_some_and(|u| (u - 0.1136).abs() < 1e-4));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn flow_doubt(asked: &FlowDoubt) -> Result<Answer, Unusable> {
    let d = within("d_mm", asked.bore_mm, 0.01, 20.0)?;
    let u_d = within("u_d_mm", asked.u_bore_mm, 0.0, 1.0)?;
    let u_c = within("u_Cd_rel", asked.u_discharge, 0.0, 1.0)?;
    let u_p = within("u_p_rel_abs", asked.u_pressure, 0.0, 1.0)?;
    let u = ((2.0 * u_d / d).powi(2) + u_c * u_c + u_p * u_p).sqrt();
    let mut answer = Answer::of("JCGM 100:2008");
    answer.step(
        "u = √((2 × u_d / d)^2 + u_Cd^2 + u_p^2)",
        &[("u_d", u_d), ("d", d), ("u_Cd", u_c), ("u_p", u_p)],
        u,
        "",
    );
    answer.put("u_flow_rel", u, "");
    answer.put("U_flow_pct", 200.0 * u, "%");
    Ok(answer)
}

/// How much more a jet passes than another on the same rig.
///
/// # Formula
/// `(d_2/d_1)² C_d2/C_d1`, at equal pressure and gas.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `first` | d_1 and C_d1 | mm, – | 0.01 to 20; 0.1 to 1 |
/// | `second` | d_2 and C_d2 | mm, – | 0.01 to 20; 0.1 to 1 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Ratio of areas.
///
/// # Example
/// ```
/// let answer = calc::burner::jet_change((0.2, 0.8), (0.25, 0.8))?;
/// assert!(answer.number("flow_ratio").is_some_and(|r| (r - 1.5625).abs() < 1e-12));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn jet_change(first: (f64, f64), second: (f64, f64)) -> Result<Answer, Unusable> {
    let d1 = within("d1_mm", first.0, 0.01, 20.0)?;
    let c1 = within("Cd1", first.1, 0.1, 1.0)?;
    let d2 = within("d2_mm", second.0, 0.01, 20.0)?;
    let c2 = within("Cd2", second.1, 0.1, 1.0)?;
    let ratio = (d2 / d1).powi(2) * (c2 / c1);
    let mut answer = Answer::of("Ratio of areas at equal pressure and gas");
    answer.step(
        "ratio = (d_2 / d_1)^2 × C_2 / C_1",
        &[("d_2", d2), ("d_1", d1), ("C_2", c2), ("C_1", c1)],
        ratio,
        "",
    );
    answer.put("flow_ratio", ratio, "");
    answer.cautions = &["leak_check_soap", "co_alarm", "defer_to_codes"];
    Ok(answer)
}
