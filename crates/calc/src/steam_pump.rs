//! The steam pump: does it gain on what it eats, and can it push against the boiler?

use std::f64::consts::PI;

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::feed_pump::COLD_KG_M3;
use crate::quantity::{Absolute, Gauge};
use crate::unusable::{slip, within};
use crate::water::inside;

fn disc(diameter_mm: f64) -> f64 {
    PI * diameter_mm * diameter_mm / 4.0
}

/// A direct-acting steam pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// Bore of the steam end, mm.
    pub steam_bore_mm: f64,
    /// Bore of the water end, mm.
    pub water_bore_mm: f64,
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Rod through the steam end, mm; 0 to leave it out.
    pub rod_mm: f64,
    /// Steam at the pump, on the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Water delivered over water swept.
    pub efficiency: f64,
    /// Clearance, as a part of the stroke.
    pub clearance: f64,
    /// Steam drawn over steam indicated.
    pub condensation: f64,
}

/// Water delivered for the steam that a pump eats.
///
/// # Formula
/// a whole double-acting cycle: steam `ρ_g (2 A_s − a) L (1 + c) k_c`, water `2 A_w L η_v ρ_w` with
/// ρ_w = 998.2 kg/m³; gain = water over steam. From 10 pass, from 3 caution, under 3 fail.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `steam_bore_mm`, `water_bore_mm` | bores | mm | 0.5 to 1000 |
/// | `stroke_mm` | L | mm | 0.5 to 1000 |
/// | `rod_mm` | rod | mm | 0 to under the steam bore |
/// | `pressure` | steam | bar | 0 to 18 |
/// | `efficiency` | η_v | – | 0 to 1.05 |
/// | `clearance` | c | – | 0 to 1 |
/// | `condensation` | k_c | – | 1 to 20 |
///
/// # Errors
/// [`Unusable`] names the field; `rod_not_smaller_than_bore`.
///
/// # Source
/// Geometry; ρ_g of IAPWS R7-97(2012). k_c 3 (1.5 to 10), c 0.1 and the limits: trade practice.
///
/// # Example
/// ```
/// use calc::quantity::{Absolute, Gauge};
/// use calc::steam_pump::{Gain, net_gain};
/// let answer = net_gain(&Gain {
///     steam_bore_mm: 15.0,
///     water_bore_mm: 10.0,
///     stroke_mm: 20.0,
///     rod_mm: 0.0,
///     pressure: Gauge::from_bar(4.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     efficiency: 0.85,
///     clearance: 0.1,
///     condensation: 3.0,
/// })?;
/// assert!(answer.number("net_gain_ratio").is_some_and(|g| (g - 42.7).abs() < 0.1));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn net_gain(asked: &Gain) -> Result<Answer, Unusable> {
    let steam_bore = within("d_steam_mm", asked.steam_bore_mm, 0.5, 1000.0)?;
    let water_bore = within("d_water_mm", asked.water_bore_mm, 0.5, 1000.0)?;
    let stroke = within("stroke_mm", asked.stroke_mm, 0.5, 1000.0)?;
    let rod = within("rod_mm", asked.rod_mm, 0.0, 1000.0)?;
    if rod >= steam_bore {
        return Err(slip(
            "rod_not_smaller_than_bore",
            "rod_mm",
            "the rod must be thinner than the bore",
        ));
    }
    within("p_gauge_bar", asked.pressure.bar(), 0.0, 18.0)?;
    let (_, s) = inside(asked.pressure, asked.barometer)?;
    let efficiency = within("vol_eff", asked.efficiency, 0.0, 1.05)?;
    let c = within("clearance_frac", asked.clearance, 0.0, 1.0)?;
    let k_c = within("condensation_factor", asked.condensation, 1.0, 20.0)?;
    let area = 2.0 * disc(steam_bore) - disc(rod);
    let steam_g = s.steam_kg_m3 * area * stroke * 1e-6 * (1.0 + c) * k_c;
    let water_g = 2.0 * disc(water_bore) * stroke * 1e-6 * efficiency * COLD_KG_M3;
    let gain = water_g / steam_g;
    let mut answer = Answer::of("Geometry; steam of IAPWS R7-97(2012); limits: trade practice");
    answer.step(
        "m_s = ρ_g × π × (2 × D_s^2 − d_rod^2) / 4 × L / 1000000 × (1 + c) × k_c",
        &[
            ("ρ_g", s.steam_kg_m3),
            ("D_s", steam_bore),
            ("d_rod", rod),
            ("L", stroke),
            ("c", c),
            ("k_c", k_c),
        ],
        steam_g,
        "g",
    );
    answer.step(
        "m_w = 2 × π × D_w^2 / 4 × L / 1000000 × η_v × 998.2",
        &[("D_w", water_bore), ("L", stroke), ("η_v", efficiency)],
        water_g,
        "g",
    );
    let symbols = [("m_w", water_g), ("m_s", steam_g)];
    answer.step("G = m_w / m_s", &symbols, gain, "");
    answer.put("steam_per_cycle_g", steam_g, "g");
    answer.put("water_per_cycle_g", water_g, "g");
    answer.put("net_gain_ratio", gain, "");
    answer.verdict = Some(match gain {
        g if g >= 10.0 => Finding::Pass,
        g if g >= 3.0 => Finding::Caution,
        _ => Finding::Fail,
    });
    if gain <= 1.0 {
        answer.say(
            "It eats what it feeds: a valve stuck, the pump air-locked, or steam leaking past.",
        );
    }
    answer.say("A pump that moves any real water gains; measure before you trust this.");
    answer.limit = Some(Limit {
        is: "water over steam",
        value: 10.0,
        unit: "",
        source: "trade practice",
    });
    Ok(answer)
}

/// A steam pump pushing against its boiler.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Push {
    /// Bore of the steam end, mm.
    pub steam_bore_mm: f64,
    /// Bore of the water end, mm.
    pub water_bore_mm: f64,
    /// Steam at the pump, on the gauge.
    pub steam: Gauge,
    /// In the boiler, on the gauge.
    pub boiler: Gauge,
    /// Lost in valves and check, bar.
    pub valves_bar: f64,
    /// Mechanical efficiency.
    pub efficiency: f64,
    /// Friction of the dry pump, N.
    pub friction_n: f64,
}

/// Can the pump push against the boiler?
///
/// # Formula
/// push `p_s A_s η − F`, need `(p_b + Δp) A_w`, exhaust to air; margin push over need: from 1.3 pass,
/// from 1 caution, under 1 fail.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `steam_bore_mm`, `water_bore_mm` | bores | mm | 0.5 to 1000 |
/// | `steam`, `boiler` | p_s, p_b | bar | 0 to 20 |
/// | `valves_bar` | Δp | bar | 0.001 to 10 |
/// | `efficiency` | η | – | 0.05 to 1 |
/// | `friction_n` | F | N | 0 to 10 000 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Balance of forces at rest; η 0.8, Δp 0.3 bar, F 3 N and the limits: trade practice.
///
/// # Example
/// ```
/// use calc::quantity::Gauge;
/// use calc::steam_pump::{Push, force_margin};
/// let answer = force_margin(&Push {
///     steam_bore_mm: 15.0,
///     water_bore_mm: 10.0,
///     steam: Gauge::from_bar(4.0),
///     boiler: Gauge::from_bar(4.0),
///     valves_bar: 0.3,
///     efficiency: 0.8,
///     friction_n: 3.0,
/// })?;
/// assert!(answer.number("force_margin").is_some_and(|m| (m - 1.586).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn force_margin(asked: &Push) -> Result<Answer, Unusable> {
    let steam_bore = within("d_steam_mm", asked.steam_bore_mm, 0.5, 1000.0)?;
    let water_bore = within("d_water_mm", asked.water_bore_mm, 0.5, 1000.0)?;
    let p_s = within("p_steam_gauge_bar", asked.steam.bar(), 0.0, 20.0)?;
    let p_b = within("p_boiler_gauge_bar", asked.boiler.bar(), 0.0, 20.0)?;
    let valves = within("dp_valves_bar", asked.valves_bar, 0.001, 10.0)?;
    let efficiency = within("mech_eff", asked.efficiency, 0.05, 1.0)?;
    let friction = within("friction_N", asked.friction_n, 0.0, 10_000.0)?;
    // A bar on a square millimetre is a tenth of a newton.
    let push = p_s * disc(steam_bore) * 0.1 * efficiency - friction;
    let need = (p_b + valves) * disc(water_bore) * 0.1;
    let margin = push / need;
    let mut answer =
        Answer::of("Balance of forces at rest, exhaust to air; limits: trade practice");
    answer.step(
        "push = p_s × π × D_s^2 / 4 × 0.1 × η − F",
        &[
            ("p_s", p_s),
            ("D_s", steam_bore),
            ("η", efficiency),
            ("F", friction),
        ],
        push,
        "N",
    );
    answer.step(
        "need = (p_b + Δp) × π × D_w^2 / 4 × 0.1",
        &[("p_b", p_b), ("Δp", valves), ("D_w", water_bore)],
        need,
        "N",
    );
    let symbols = [("push", push), ("need", need)];
    answer.step("margin = push / need", &symbols, margin, "");
    answer.put("push_N", push, "N");
    answer.put("need_N", need, "N");
    answer.put("force_margin", margin, "");
    answer.verdict = Some(match margin {
        m if m >= 1.3 => Finding::Pass,
        m if m >= 1.0 => Finding::Caution,
        _ => Finding::Fail,
    });
    answer.limit = Some(Limit {
        is: "push over need",
        value: 1.3,
        unit: "",
        source: "trade practice",
    });
    Ok(answer)
}
