//! The gas tank: pressure, how long it lasts, how it cools itself.

use super::Gas;
use super::fuel::{MOLAR, vapour_bar_of_each};
use super::jet::{Jet, flow};
use crate::Unusable;
use crate::answer::{Answer, Limit};
use crate::quantity::Temperature;
use crate::unusable::{slip, stop, within};

/// Vapour pressures of the gases and of a mixture.
///
/// # Formula
/// Wagner `ln(p/p_c) = (a τ + b τ^1.5 + c τ³ + d τ⁶) T_c/T`, `τ = 1 − T/T_c`; mixture of n-butane and
/// propane after Raoult, `p = Σ x_i p_i`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `at` | T | °C | −20 to 50 |
/// | `butane`, `propane` | parts by mass | – | 0 to 1 each, together above 0 |
///
/// # Errors
/// [`Unusable`] names the field; `mixture_is_nothing`.
///
/// # Source
/// Reid, Prausnitz, Poling, The Properties of Gases and Liquids, 4th edition 1987 (within 0.6 % of
/// reference equations from −20 to 50 °C); Raoult's law reads about 3.5 % high for a real mixture. Cans marked butane are usually a mixture of
/// iso- and n-butane with up to 45 % more pressure.
///
/// # Example
/// ```
/// use calc::quantity::Temperature;
/// let answer = calc::burner::tank_pressure(Temperature::from_celsius(20.0), 0.7, 0.3)?;
/// assert!(answer.number("p_mix_raoult_bar_abs").is_some_and(|p| (p - 4.35).abs() < 0.05));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn tank_pressure(at: Temperature, butane: f64, propane: f64) -> Result<Answer, Unusable> {
    let celsius = within("T_C", at.degrees(), -20.0, 50.0)?;
    let butane = within("mix_mass_butane", butane, 0.0, 1.0)?;
    let propane = within("mix_mass_propane", propane, 0.0, 1.0)?;
    if butane + propane <= 0.0 {
        return Err(slip(
            "mixture_is_nothing",
            "mix_mass_butane",
            "a mixture of nothing has no pressure",
        ));
    }
    let gas = Gas {
        parts: [butane, 0.0, propane],
        ..Gas::MIX_70_30
    };
    let [n, iso, p] = vapour_bar_of_each(celsius);
    let mix = gas.vapour_bar(celsius);
    let mut answer = Answer::of(
        "Reid, Prausnitz, Poling 1987 (Wagner's equation); Raoult's law for the mixture",
    );
    let symbols = [("T", at.kelvin()), ("τ", 1.0 - at.kelvin() / 425.2)];
    answer.step("τ = 1 − T / 425.2", &symbols, 1.0 - at.kelvin() / 425.2, "");
    answer.step(
        "p_n = 38 × exp((−6.88709 × τ + 1.15157 × τ^1.5 − 1.99873 × τ^3 − 3.13003 × τ^6) × 425.2 / T)",
        &symbols,
        n,
        "bar absolute",
    );
    let symbols = [("T", at.kelvin()), ("τ", 1.0 - at.kelvin() / 369.8)];
    answer.step("τ = 1 − T / 369.8", &symbols, 1.0 - at.kelvin() / 369.8, "");
    answer.step(
        "p_p = 42.5 × exp((−6.72219 × τ + 1.33236 × τ^1.5 − 2.13868 × τ^3 − 1.38551 × τ^6) × 369.8 / T)",
        &symbols,
        p,
        "bar absolute",
    );
    let part = butane / MOLAR[0] / (butane / MOLAR[0] + propane / MOLAR[2]);
    let symbols = [("x", part), ("p_n", n), ("p_p", p)];
    answer.step(
        "p_mix = x × p_n + (1 − x) × p_p",
        &symbols,
        mix,
        "bar absolute",
    );
    answer.put("p_n_butane_bar_abs", n, "bar absolute");
    answer.put("p_isobutane_bar_abs", iso, "bar absolute");
    answer.put("p_propane_bar_abs", p, "bar absolute");
    answer.put("p_mix_raoult_bar_abs", mix, "bar absolute");
    let hot = gas.vapour_bar(50.0);
    answer.put("p_mix_50C_bar_abs", hot, "bar absolute");
    answer.put("tank_test_bar_abs", 2.0 * hot, "bar absolute");
    if propane > butane {
        answer.say("A copper tank for propane is not acceptable without design evidence.");
    }
    answer.say("Cans marked butane are usually a mixture of iso- and n-butane with up to 45 % more pressure.");
    answer.cautions = &["gas_fill_outdoor", "leak_check_soap", "defer_to_codes"];
    Ok(answer)
}

/// A filled tank and the jet it feeds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunTime {
    /// Whole inside of the tank, ml.
    pub tank_ml: f64,
    /// How full of liquid, as a part of the volume.
    pub fill_frac: f64,
    /// Of the liquid when it was filled.
    pub liquid: Temperature,
    /// What it feeds; the gas is the tank's.
    pub jet: Jet,
}

/// How long a tank lasts if its pressure held: an upper bound, because it cools and sags.
///
/// # Formula
/// `t = V fill ρ_liquid / ṁ`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `tank_ml` | V | ml | 0.1 to 100 000 |
/// | `fill_frac` | fill | – | 0.01 to 0.80; more is a stop |
/// | `liquid` | temperature | °C | −20 to 50 |
///
/// # Errors
/// [`Unusable`] names the field; `STOP_overfilled` above 0.80; `no_flow` at no pressure.
///
/// # Source
/// Liquid densities as a straight line about 20 °C (handbook); fill of 0.80: trade practice.
///
/// # Example
/// ```
/// use calc::burner::{Gas, Jet, RunTime, run_time};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let cold = Temperature::from_celsius(20.0);
/// let answer = run_time(&RunTime {
///     tank_ml: 60.0,
///     fill_frac: 0.8,
///     liquid: cold,
///     jet: Jet {
///         gas: Gas::N_BUTANE,
///         bore_mm: 0.2,
///         pressure: Gauge::from_bar(1.0),
///         barometer: Absolute::STANDARD_ATMOSPHERE,
///         gas_at: cold,
///         discharge: 0.8,
///         tank: None,
///         u_bore_mm: None,
///         u_discharge: None,
///     },
/// })?;
/// assert!(answer.number("run_time_min_if_pressure_held").is_some_and(|t| (t - 29.9).abs() < 0.1));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn run_time(asked: &RunTime) -> Result<Answer, Unusable> {
    let tank = within("tank_ml", asked.tank_ml, 0.1, 1e5)?;
    if asked.fill_frac > 0.8 + 1e-9 {
        return Err(stop(
            "STOP_overfilled",
            "fill_frac",
            "over 80 % full a tank has no room for the liquid to expand: let gas off outside, away from flame",
        ));
    }
    let fill = within("fill_frac", asked.fill_frac, 0.01, 0.81)?;
    let celsius = within("T_C", asked.liquid.degrees(), -20.0, 50.0)?;
    let density = asked.jet.gas.liquid_kg_m3(celsius);
    let grams = tank * fill * density / 1000.0;
    let (kg_s, _, _) = flow(&asked.jet)?;
    let per_min = kg_s * 60_000.0;
    if per_min <= 0.0 {
        return Err(slip(
            "no_flow",
            "p_gauge_bar",
            "without pressure before the jet nothing flows",
        ));
    }
    let minutes = grams / per_min;
    let mut answer = Answer::of("Isentropic jet flow; liquid densities from handbooks");
    answer.step(
        "m = V × fill × ρ / 1000",
        &[("V", tank), ("fill", fill), ("ρ", density)],
        grams,
        "g",
    );
    let symbols = [("m", grams), ("m_jet", per_min)];
    answer.step("t = m / m_jet", &symbols, minutes, "min");
    answer.put("gas_mass_g", grams, "g");
    answer.put("flow_g_per_min", per_min, "g/min");
    answer.put("run_time_min_if_pressure_held", minutes, "min");
    answer.limit = Some(Limit {
        is: "filling",
        value: 0.8,
        unit: "of the volume",
        source: "trade practice: leave room for the liquid to expand",
    });
    answer.say("At most this long: the tank cools itself and its pressure falls about 3.5 % for each kelvin.");
    answer.cautions = &["gas_fill_outdoor", "leak_check_soap", "defer_to_codes"];
    Ok(answer)
}

/// A tank that gives off gas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// Gas drawn, kg/s.
    pub gas_kg_s: f64,
    /// Liquid in the tank, kg.
    pub liquid_kg: f64,
    /// Heat capacity of the liquid, J/(kg K).
    pub liquid_j_kgk: f64,
    /// The tank itself, kg.
    pub tank_kg: f64,
    /// Heat capacity of the tank's metal, J/(kg K).
    pub tank_j_kgk: f64,
    /// What the surroundings give back, W/K.
    pub gain_w_k: f64,
    /// Heat of vaporisation, J/kg.
    pub vaporising_j_kg: f64,
    /// Of the surroundings.
    pub ambient: Temperature,
}

/// How a tank cools by giving off gas.
///
/// # Formula
/// `Q = ṁ h_fg`; at first `Q/(m_l c_l + m_t c_t)`; in the end `Q/UA`; time constant
/// `(m_l c_l + m_t c_t)/UA`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `gas_kg_s` | ṁ | kg/s | 0 to 0.1 |
/// | `liquid_kg` | m_l | kg | 0.0001 to 100 |
/// | `liquid_j_kgk`, `tank_j_kgk` | c_l, c_t | J/(kg K) | 50 to 5000 |
/// | `tank_kg` | m_t | kg | 0 to 1000 |
/// | `gain_w_k` | UA | W/K | 0.0001 to 1000 |
/// | `vaporising_j_kg` | h_fg | J/kg | 10 000 to 5 000 000 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Balance of heat of a lump.
///
/// # Example
/// ```
/// use calc::burner::{Cooling, tank_cooling};
/// use calc::quantity::Temperature;
/// let answer = tank_cooling(&Cooling {
///     gas_kg_s: 2e-5,
///     liquid_kg: 0.025,
///     liquid_j_kgk: 2410.0,
///     tank_kg: 0.1,
///     tank_j_kgk: 385.0,
///     gain_w_k: 0.08,
///     vaporising_j_kg: 366_500.0,
///     ambient: Temperature::from_celsius(20.0),
/// })?;
/// assert!(answer.number("initial_K_per_min").is_some_and(|r| (r - 4.45).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn tank_cooling(asked: &Cooling) -> Result<Answer, Unusable> {
    let gas = within("gas_kg_s", asked.gas_kg_s, 0.0, 0.1)?;
    let m_l = within("liquid_kg", asked.liquid_kg, 0.0001, 100.0)?;
    let c_l = within("c_liquid_J_kgK", asked.liquid_j_kgk, 50.0, 5000.0)?;
    let m_t = within("tank_kg", asked.tank_kg, 0.0, 1000.0)?;
    let c_t = within("c_tank_J_kgK", asked.tank_j_kgk, 50.0, 5000.0)?;
    let ua = within("UA_W_K", asked.gain_w_k, 0.0001, 1000.0)?;
    let h = within("h_fg_J_kg", asked.vaporising_j_kg, 1e4, 5e6)?;
    let ambient = within("T_amb_C", asked.ambient.degrees(), -20.0, 250.0)?;
    let heat = gas * h;
    let store = m_l * c_l + m_t * c_t;
    let mut answer = Answer::of("Balance of heat of a lump");
    let symbols = [
        ("m", gas),
        ("h_fg", h),
        ("Q", heat),
        ("m_l", m_l),
        ("c_l", c_l),
        ("m_t", m_t),
        ("c_t", c_t),
        ("UA", ua),
    ];
    let per_min = heat / store * 60.0;
    let minutes = store / ua / 60.0;
    answer.step("Q = m × h_fg", &symbols, heat, "W");
    answer.step(
        "rate = Q / (m_l × c_l + m_t × c_t) × 60",
        &symbols,
        per_min,
        "K/min",
    );
    answer.step("drop = Q / UA", &symbols, heat / ua, "K");
    answer.step(
        "τ = (m_l × c_l + m_t × c_t) / UA / 60",
        &symbols,
        minutes,
        "min",
    );
    answer.put("latent_W", heat, "W");
    answer.put("initial_K_per_min", per_min, "K/min");
    answer.put("steady_drop_K", heat / ua, "K");
    answer.put("time_constant_min", minutes, "min");
    let span = ambient / (heat / ua);
    let to_zero = (span > 0.0 && span < 1.0).then(|| -minutes * (1.0 - span).ln());
    answer.maybe("minutes_to_0_C", to_zero, "min");
    if heat / ua > 20.0 {
        answer
            .say("It never comes to rest there: the pressure collapses and the flame sags first.");
    }
    answer.cautions = &["gas_fill_outdoor", "no_relight_hot", "defer_to_codes"];
    Ok(answer)
}
