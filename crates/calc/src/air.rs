//! Compressed air: what it leaks, what it stores, and how little of it may be used.

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::hydraulic::{FullShell, Metal, drift};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{lasting, slip, stop, unproven, within};

/// Standard ml are ml at this pressure, Pa.
const STANDARD_PA: f64 = 101_325.0;
/// and at this temperature, K.
const STANDARD_K: f64 = 293.15;
/// Never more air than this, bar on the gauge (trade practice).
const MOST_BAR: f64 = 0.5;
/// Never more stored energy than this, J (trade practice).
const MOST_JOULES: f64 = 250.0;

/// Two readings of a vessel full of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirHold {
    /// Whole inside, ml.
    pub volume_ml: f64,
    /// At the beginning, on the gauge.
    pub start: Gauge,
    /// At the end, on the gauge.
    pub end: Gauge,
    /// Of the air at the beginning.
    pub start_air: Option<Temperature>,
    /// Of the air at the end.
    pub end_air: Option<Temperature>,
    /// Barometer at the beginning.
    pub start_barometer: Absolute,
    /// Barometer at the end.
    pub end_barometer: Absolute,
    /// Between the readings, s.
    pub seconds: f64,
    /// Standard uncertainty of the pressure difference, Pa.
    pub u_difference_pa: f64,
    /// Standard uncertainty of the temperature difference, K.
    pub u_difference_k: f64,
}

/// How much air leaks from a vessel, in standard ml a minute.
///
/// # Formula
/// `Q = V/Δt · T_std/p_std · (p_1/T_1 − p_2/T_2)`, p absolute with the barometer of each reading;
/// `U = 2 S √((u_p/T)² + (p u_T/T²)²)` with `S = V T_std/(p_std Δt)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `volume_ml` | V | ml | 20 to 10 000 000 |
/// | `start`, `end` | p_1, p_2 | bar | −0.5 to 10 |
/// | `start_air`, `end_air` | T_1, T_2 | °C | −20 to 250 |
/// | `seconds` | Δt | s | above 0 |
/// | `u_difference_pa` | u_p | Pa | 0 to 100 000 |
/// | `u_difference_k` | u_T | K | 0 to 50 |
///
/// # Errors
/// [`Unusable`] names the field; `volume_under_20_ml`, `duration_not_positive`;
/// `not_proven_temperature_missing`.
///
/// # Source
/// Ideal gas. Limits of 1 and 5 standard ml a minute for fittings: trade practice.
///
/// # Example
/// A kelvin of warming hides nearly a standard ml a minute.
/// ```
/// use calc::air::{AirHold, leak};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = leak(&AirHold {
///     volume_ml: 2000.0,
///     start: Gauge::from_bar(0.35),
///     end: Gauge::from_bar(0.35),
///     start_air: Some(Temperature::from_celsius(20.0)),
///     end_air: Some(Temperature::from_celsius(21.0)),
///     start_barometer: Absolute::STANDARD_ATMOSPHERE,
///     end_barometer: Absolute::STANDARD_ATMOSPHERE,
///     seconds: 600.0,
///     u_difference_pa: 50.0,
///     u_difference_k: 0.1,
/// })?;
/// assert!(answer.number("leak_std_ml_per_min").is_some_and(|q| (q - 0.915).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn leak(asked: &AirHold) -> Result<Answer, Unusable> {
    let volume = roomy(asked.volume_ml)?;
    let minutes = lasting("dt_s", asked.seconds)? / 60.0;
    within("p1_gauge_bar", asked.start.bar(), -0.5, 10.0)?;
    within("p2_gauge_bar", asked.end.bar(), -0.5, 10.0)?;
    let u_pa = within("u_dp_Pa", asked.u_difference_pa, 0.0, 1e5)?;
    let u_k = within("u_dT_K", asked.u_difference_k, 0.0, 50.0)?;
    let (Some(t1), Some(t2)) = (asked.start_air, asked.end_air) else {
        return Err(unproven(
            "not_proven_temperature_missing",
            "T1_C",
            "without both temperatures an air test proves nothing: one kelvin is worth nearly a standard ml a minute",
        ));
    };
    let t1 = within("T1_C", t1.degrees(), -20.0, 250.0)? + 273.15;
    let t2 = within("T2_C", t2.degrees(), -20.0, 250.0)? + 273.15;
    let p1 = asked
        .start
        .above(barometer(asked.start_barometer)?)
        .pascals();
    let p2 = asked.end.above(barometer(asked.end_barometer)?).pascals();
    let scale = volume / minutes * STANDARD_K / STANDARD_PA;
    let flow = scale * (p1 / t1 - p2 / t2);
    let naive = volume / minutes * (asked.start.pascals() - asked.end.pascals()) / STANDARD_PA;
    let expanded = 2.0 * scale * (u_pa / t1).hypot(p1 * u_k / (t1 * t1));
    let mut answer = Answer::of("Ideal gas; standard ml at 101.325 kPa and 20 °C");
    let symbols = [("V", volume), ("Δt", minutes)];
    answer.step(
        "S = V × 293.15 / (101325 × Δt)",
        &symbols,
        scale,
        "ml K/(min Pa)",
    );
    answer.step(
        "Q = S × (p_1 / T_1 − p_2 / T_2)",
        &[
            ("S", scale),
            ("p_1", p1),
            ("T_1", t1),
            ("p_2", p2),
            ("T_2", t2),
        ],
        flow,
        "ml/min",
    );
    answer.step(
        "U = 2 × S × √((u_p / T_1)^2 + (p_1 × u_T / T_1^2)^2)",
        &[
            ("S", scale),
            ("u_p", u_pa),
            ("T_1", t1),
            ("p_1", p1),
            ("u_T", u_k),
        ],
        expanded,
        "ml/min",
    );
    answer.put_about("leak_std_ml_per_min", flow, Some(expanded), "ml/min");
    answer.put("U_leak_ml_per_min", expanded, "ml/min");
    answer.put("naive_uncorrected_ml_per_min", naive, "ml/min");
    answer.verdict = Some(judge_leak(&mut answer, flow, expanded));
    answer.limit = Some(Limit {
        is: "leak of a fitting",
        value: 5.0,
        unit: "standard ml/min",
        source: "trade practice; the shell and its joints show no bubble at all",
    });
    answer.cautions = &[
        "only_after_hydraulic",
        "low_cap",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

fn judge_leak(answer: &mut Answer, flow: f64, expanded: f64) -> Finding {
    if flow < -expanded {
        answer.say("The air grew: it was warming, or the barometer moved; nothing is proven.");
        Finding::NotProven
    } else if flow - expanded > 5.0 {
        Finding::Fail
    } else if flow + expanded <= 1.0 {
        Finding::Note
    } else if flow + expanded <= 5.0 {
        Finding::Caution
    } else {
        Finding::NotProven
    }
}

fn roomy(volume_ml: f64) -> Result<f64, Unusable> {
    if (0.0..20.0).contains(&volume_ml) {
        return Err(slip(
            "volume_under_20_ml",
            "V_ml",
            "under 20 ml the pipe and the gauge hold as much as the vessel",
        ));
    }
    within("V_ml", volume_ml, 20.0, 1e7)
}

/// Isentropic energy of compressed gas let down to the atmosphere, J.
pub(crate) fn isentropic_joules(p: Absolute, p0: Absolute, volume_m3: f64, gamma: f64) -> f64 {
    let ratio = p0.pascals() / p.pascals();
    p.pascals() * volume_m3 / (gamma - 1.0) * (1.0 - ratio.powf((gamma - 1.0) / gamma))
}

/// Brode's energy of compressed gas, J: the upper reckoning, used for caps.
///
/// # Formula
/// `E = (p − p_0) V / (γ − 1)`
///
/// # Source
/// Brode's formula; γ = 1.4.
///
/// # Example
/// ```
/// use calc::quantity::Gauge;
/// assert!((calc::air::brode_joules(Gauge::from_bar(0.35), 2000.0) - 175.0).abs() < 1e-9);
/// ```
pub fn brode_joules(pressure: Gauge, volume_ml: f64) -> f64 {
    pressure.pascals() * volume_ml * 1e-6 / 0.4
}

/// A vessel of compressed air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stored {
    /// Whole inside, ml.
    pub volume_ml: f64,
    /// On the gauge.
    pub pressure: Gauge,
    /// Of the atmosphere.
    pub atmosphere: Absolute,
    /// Ratio of the gas's heat capacities.
    pub gamma: f64,
}

/// What compressed air stores, by four reckonings, and what water would in its place.
///
/// # Formula
/// isentropic `p V/(γ − 1) [1 − (p_0/p)^((γ − 1)/γ)]`; Brode `(p − p_0) V/(γ − 1)`;
/// isothermal `p V ln(p/p_0)`, of which `p V ln(p/p_0) − (p − p_0) V` is free to do work; water in a
/// copper shell of 100 × 2.5 mm `½ (κ_T + κ_sh) V p_g²`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `volume_ml` | V | ml | 0.1 to 10 000 000 |
/// | `pressure` | p − p_0 | bar | 0 to 40 |
/// | `atmosphere` | p_0 | Pa | 85 000 to 108 500 |
/// | `gamma` | γ | – | 1.01 to 1.7 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// ASME PCC-2 Article 501 Appendix II (isentropic); Brode; textbook thermodynamics.
///
/// # Example
/// ```
/// use calc::air::{Stored, energy};
/// use calc::quantity::{Absolute, Gauge};
/// let answer = energy(&Stored {
///     volume_ml: 2000.0,
///     pressure: Gauge::from_bar(4.0),
///     atmosphere: Absolute::STANDARD_ATMOSPHERE,
///     gamma: 1.4,
/// })?;
/// assert!(answer.number("isentropic_J").is_some_and(|e| (e - 919.2).abs() < 0.1));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn energy(asked: &Stored) -> Result<Answer, Unusable> {
    let volume = within("V_ml", asked.volume_ml, 0.1, 1e7)? * 1e-6;
    within("p_gauge_bar", asked.pressure.bar(), 0.0, 40.0)?;
    let p0 = within("atm_Pa", asked.atmosphere.pascals(), 85_000.0, 108_500.0)?;
    let gamma = within("gamma", asked.gamma, 1.01, 1.7)?;
    let absolute = asked.pressure.above(asked.atmosphere);
    let (p, gauge) = (absolute.pascals(), asked.pressure.pascals());
    let isentropic = isentropic_joules(absolute, asked.atmosphere, volume, gamma);
    let brode = gauge * volume / (gamma - 1.0);
    let isothermal = p * volume * (p / p0).ln();
    let shell = FullShell {
        bore_mm: 100.0,
        wall_mm: 2.5,
        metal: Metal::COPPER,
        compliance_factor: 1.0,
    };
    let d = drift(&shell, Temperature::from_celsius(20.0), None)?;
    let water = 0.5 * d.total_per_pa() * volume * gauge * gauge;
    let mut answer = Answer::of(
        "ASME PCC-2 Article 501 Appendix II (isentropic); Brode; textbook thermodynamics",
    );
    let symbols = [("p", p), ("p_0", p0), ("V", volume), ("γ", gamma)];
    answer.step(
        "E_is = p × V / (γ − 1) × (1 − (p_0 / p)^((γ − 1) / γ))",
        &symbols,
        isentropic,
        "J",
    );
    answer.step("E_Brode = (p − p_0) × V / (γ − 1)", &symbols, brode, "J");
    answer.step("E_it = p × V × ln(p / p_0)", &symbols, isothermal, "J");
    let give = [("κ", d.total_per_pa()), ("V", volume), ("p_g", gauge)];
    answer.step("E_water = κ × V × p_g^2 / 2", &give, water, "J");
    answer.put("isentropic_J", isentropic, "J");
    answer.put("brode_J", brode, "J");
    answer.put("isothermal_J", isothermal, "J");
    answer.put("isothermal_exergy_J", isothermal - gauge * volume, "J");
    answer.put("water_full_copper_J", water, "J");
    answer.say(
        "Air stores thousands of times what water does at the same pressure: test with water.",
    );
    answer.cautions = &[
        "only_after_hydraulic",
        "low_cap",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// An air test that is meant to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirTest {
    /// Working pressure, bar on the gauge.
    pub working_bar: f64,
    /// Whole inside, ml.
    pub volume_ml: f64,
    /// Air meant to be put on.
    pub pressure: Gauge,
    /// It passed a hydraulic test since the last structural work; `None` where nobody said.
    pub hydraulic_passed: Option<bool>,
}

/// How much air may be put on, and whether what is meant stays under it.
///
/// # Formula
/// `cap = min(p_w/10, 0.5 bar)` and Brode's energy at most 250 J, and only after a passed hydraulic
/// test.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.01 to 40 |
/// | `volume_ml` | whole inside | ml | 20 to 10 000 000 |
/// | `pressure` | air | bar | 0 to 40 |
///
/// # Errors
/// [`Unusable`] names the field; `STOP_air_test_before_hydraulic`.
///
/// # Source
/// Trade practice, editable; that water comes first: HSE GS4 and SAFed PSG 21.
///
/// # Example
/// ```
/// use calc::air::{AirTest, cap};
/// use calc::quantity::Gauge;
/// let answer = cap(&AirTest {
///     working_bar: 2.0,
///     volume_ml: 500.0,
///     pressure: Gauge::from_bar(0.25),
///     hydraulic_passed: Some(true),
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Stop));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn cap(asked: &AirTest) -> Result<Answer, Unusable> {
    let working = within("p_working_bar", asked.working_bar, 0.01, 40.0)?;
    let volume = roomy(asked.volume_ml)?;
    let air = within("p_air_gauge_bar", asked.pressure.bar(), 0.0, 40.0)?;
    after_hydraulic(asked.hydraulic_passed)?;
    let cap = (working / 10.0).min(MOST_BAR);
    let joules = brode_joules(asked.pressure, volume);
    let by_energy = MOST_JOULES * 0.4 / (volume * 1e-6) / 1e5;
    let mut answer = Answer::of("Trade practice, editable; HSE GS4 and SAFed PSG 21 prefer water");
    answer.step("cap = min(p_w / 10, 0.5)", &[("p_w", working)], cap, "bar");
    let symbols = [("p", air), ("V", volume)];
    answer.step("E = p × 100000 × V / 1000000 / 0.4", &symbols, joules, "J");
    answer.put("cap_bar", cap, "bar");
    answer.put("brode_J", joules, "J");
    answer.put("cap_by_energy_bar", by_energy, "bar");
    answer.put("relief_set_bar", cap.min(by_energy) * 1.1, "bar");
    // Decimal bar are not exact in binary; a billionth of a bar is not over the cap.
    let over = air > cap + 1e-9 || joules > MOST_JOULES + 1e-6;
    answer.verdict = Some(if over { Finding::Stop } else { Finding::Ok });
    answer.limit = Some(Limit {
        is: "air on the gauge",
        value: cap.min(by_energy),
        unit: "bar",
        source: "trade practice: a tenth of the working pressure, 0.5 bar and 250 J",
    });
    if asked.hydraulic_passed.is_none() {
        answer.say("Only after a hydraulic test passed since the last structural work.");
    }
    answer.cautions = &[
        "only_after_hydraulic",
        "low_cap",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// Refuses air on anything that did not pass its hydraulic test.
///
/// # Errors
/// `STOP_air_test_before_hydraulic` where it is known not to have passed.
pub(crate) fn after_hydraulic(passed: Option<bool>) -> Result<(), Unusable> {
    if passed == Some(false) {
        return Err(stop(
            "STOP_air_test_before_hydraulic",
            "hydraulic_test_passed",
            "no air before a hydraulic test has passed: test with water first",
        ));
    }
    Ok(())
}
