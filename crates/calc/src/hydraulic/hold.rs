//! Did a full shell hold, or did it only cool, or can nobody say?

use super::{FullShell, SOURCE, TrappedAir, drift, show_give};
use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::uncertainty::{stays_under, step_u};
use crate::unusable::{lasting, unproven, within};

/// What was seen of the shell while it was under pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// Nobody said.
    Unsaid,
    /// Dry everywhere.
    Dry,
    /// A weep at a blank or a fitting: mend it and test again.
    WeepAtFitting,
    /// A weep at the shell or at one of its joints.
    WeepAtShell,
    /// A bulge, or a set beyond what the profile allows.
    Bulge,
}

/// A hold under pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// The shell.
    pub shell: FullShell,
    /// Whole inside, ml.
    pub shell_ml: f64,
    /// Air in it as it would be at the atmosphere's pressure, ml.
    pub air_ml: f64,
    /// At the beginning, on the gauge.
    pub start: Gauge,
    /// At the end, on the same gauge.
    pub end: Gauge,
    /// Of the water at the beginning.
    pub start_water: Option<Temperature>,
    /// Of the water at the end.
    pub end_water: Option<Temperature>,
    /// How long it was held, s.
    pub hold_s: f64,
    /// How long it must be held, s.
    pub required_s: f64,
    /// What it may fall, bar.
    pub allowed_bar: f64,
    /// Smallest step read on the gauge, bar.
    pub resolution_bar: f64,
    /// Standard uncertainty of each temperature against the other, K.
    pub u_each_k: f64,
    /// Of the day.
    pub barometer: Absolute,
    /// What was seen.
    pub seen: Seen,
    /// The pump was shut off from the shell; `None` where nobody said.
    pub pump_isolated: Option<bool>,
    /// How long the water had stood in the shell before, min; `None` where nobody said.
    pub stood_min: Option<f64>,
}

/// What a shell may fall where no profile says otherwise: 2 % of the pressure it begins at.
///
/// # Source
/// Trade practice.
///
/// # Example
/// ```
/// use calc::quantity::Gauge;
/// assert!((calc::hydraulic::allowed_drop_bar(Gauge::from_bar(8.0)) - 0.16).abs() < 1e-12);
/// ```
pub fn allowed_drop_bar(start: Gauge) -> f64 {
    0.02 * start.bar()
}

/// Judges a hold: the fall that is left when what the water's temperature did is taken off.
///
/// # Formula
/// `d = (p_1 − p_2) + dp/dT (T_2 − T_1)` with `dp/dT` at the mean temperature,
/// `U² = 4 [2 (step/√12)² + (dp/dT √2 u_T)²]`, leak `= C d / Δt`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `start`, `end` | p_1, p_2 | bar | 0 to 40 |
/// | `start_water`, `end_water` | T_1, T_2 | °C | 0 to 99 |
/// | `hold_s` | Δt | s | above 0 |
/// | `allowed_bar` | limit of d | bar | 0 to 40 |
/// | `resolution_bar` | step | bar | 0 to 10 |
/// | `u_each_k` | u_T | K | 0 to 10 |
///
/// # Errors
/// [`Unusable`] names the field; `duration_not_positive`; `not_proven_temperature_missing`.
///
/// # Source
/// Elasticity as [`super::drift`]; JCGM 100:2008 and 106:2012. That a visible weep fails whatever the
/// gauge says, 10 minutes, 1 K and 30 minutes' standing: boiler test code practice and trade practice.
///
/// # Example
/// A fall of a whole bar that is nothing but half a kelvin of cooling.
/// ```
/// use calc::hydraulic::{FullShell, Hold, Metal, Seen, judge_hold};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = judge_hold(&Hold {
///     shell: FullShell { bore_mm: 100.0, wall_mm: 2.5, metal: Metal::COPPER, compliance_factor: 1.0 },
///     shell_ml: 2000.0,
///     air_ml: 0.0,
///     start: Gauge::from_bar(8.0),
///     end: Gauge::from_bar(7.0),
///     start_water: Some(Temperature::from_celsius(20.0)),
///     end_water: Some(Temperature::from_celsius(19.5)),
///     hold_s: 600.0,
///     required_s: 600.0,
///     allowed_bar: 0.16,
///     resolution_bar: 0.05,
///     u_each_k: 0.02,
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     seen: Seen::Unsaid,
///     pump_isolated: None,
///     stood_min: None,
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Pass));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn judge_hold(asked: &Hold) -> Result<Answer, Unusable> {
    let start = within("p_start_gauge_bar", asked.start.bar(), 0.0, 40.0)?;
    let end = within("p_end_gauge_bar", asked.end.bar(), -1.0, 40.0)?;
    let hold_s = lasting("hold_s", asked.hold_s)?;
    within("required_hold_s", asked.required_s, 0.0, 1e6)?;
    let volume = within("V_ml", asked.shell_ml, 0.1, 1e7)?;
    let allowed = within("allowed_drop_bar", asked.allowed_bar, 0.0, 40.0)?;
    let step = within("gauge_resolution_bar", asked.resolution_bar, 0.0, 10.0)?;
    let u_k = within("u_T_each_K", asked.u_each_k, 0.0, 10.0)?;
    let (Some(first), Some(last)) = (asked.start_water, asked.end_water) else {
        return Err(unproven(
            "not_proven_temperature_missing",
            "T_start_C",
            "without the water's temperature at both ends a hold proves nothing: one kelvin is worth about two bar",
        ));
    };
    within("T_start_C", first.degrees(), 0.0, 99.0)?;
    within("T_end_C", last.degrees(), 0.0, 99.0)?;
    let mean_c = f64::midpoint(first.degrees(), last.degrees());
    let mean_bar = f64::midpoint(start, end).max(0.0);
    let air = (asked.air_ml > 0.0 || asked.air_ml.is_nan()).then_some(TrappedAir {
        at_atmosphere_ml: asked.air_ml,
        shell_ml: volume,
        pressure: Gauge::from_bar(mean_bar).above(asked.barometer),
        barometer: asked.barometer,
    });
    within("air_at_atm_ml", asked.air_ml, 0.0, volume)?;
    let d = drift(&asked.shell, Temperature::from_celsius(mean_c), air)?;
    let warmed = last.degrees() - first.degrees();
    let correction = d.bar_per_k * warmed;
    let drop = start - end + correction;
    let expanded = 2.0 * (2.0 * step_u(step).powi(2) + 2.0 * (d.bar_per_k * u_k).powi(2)).sqrt();
    let leak = d.total_per_pa() * volume * drop * 1e5 / (hold_s / 60.0);
    let mut answer = Answer::of(SOURCE);
    show_give(&mut answer, &asked.shell, &d);
    show(
        &mut answer,
        asked,
        [start, end, warmed, d.bar_per_k],
        [correction, drop, expanded],
    );
    answer.put("temperature_correction_bar", correction, "bar");
    answer.put_about("drop_corrected_bar", drop, Some(expanded), "bar");
    answer.put("U_drop_bar", expanded, "bar");
    answer.put("leak_ml_per_min", leak, "ml/min");
    answer.limit = Some(Limit {
        is: "fall over the hold",
        value: allowed,
        unit: "bar",
        source: "trade practice: 2 % of the test pressure",
    });
    let by_numbers = stays_under(drop, expanded, allowed);
    answer.verdict = Some(decide(
        &mut answer,
        asked,
        by_numbers,
        warmed,
        expanded > allowed,
    ));
    answer.cautions = &[
        "water_not_air",
        "vent_all_air",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// What is seen outranks what is reckoned, and what spoils the hold takes a pass away.
fn decide(
    answer: &mut Answer,
    asked: &Hold,
    by_numbers: Finding,
    warmed_k: f64,
    too_coarse: bool,
) -> Finding {
    match asked.seen {
        Seen::WeepAtShell => {
            answer.say("A weep at the shell or one of its joints fails, whatever the gauge says.");
            return Finding::Fail;
        }
        Seen::Bulge => {
            answer.say("A bulge or a set beyond the profile fails, whatever the gauge says.");
            return Finding::Fail;
        }
        _ => {}
    }
    let mut spoilt = false;
    let mut spoil = |answer: &mut Answer, yes: bool, says: &str| {
        if yes {
            answer.say(says);
            spoilt = true;
        }
    };
    let weeps = asked.seen == Seen::WeepAtFitting;
    spoil(
        answer,
        weeps,
        "A blank or a fitting weeps: mend it and test again.",
    );
    let pump = asked.pump_isolated == Some(false);
    spoil(
        answer,
        pump,
        "The pump was not shut off: its check valve may have leaked, or fed.",
    );
    spoil(
        answer,
        warmed_k.abs() > 1.0,
        "The water drifted by more than 1 K: let it stand longer.",
    );
    let short = asked.hold_s < asked.required_s;
    spoil(answer, short, "The hold was shorter than the profile asks.");
    let fresh = asked.stood_min.is_some_and(|m| m < 30.0);
    spoil(
        answer,
        fresh,
        "Water and shell had not stood together for 30 minutes.",
    );
    spoil(
        answer,
        too_coarse,
        "The thermometer and the gauge are too coarse to prove this hold: an ordinary thermometer cannot; look for weeps, let the water stand, or read hundredths of a degree.",
    );
    if by_numbers == Finding::Pass && spoilt {
        Finding::NotProven
    } else {
        by_numbers
    }
}

fn show(
    answer: &mut Answer,
    asked: &Hold,
    [start, end, warmed, per_k]: [f64; 4],
    [correction, drop, expanded]: [f64; 3],
) {
    let symbols = [("dp_dT", per_k), ("ΔT", warmed)];
    answer.step("correction = dp_dT × ΔT", &symbols, correction, "bar");
    answer.step(
        "d = p_1 − p_2 + correction",
        &[("p_1", start), ("p_2", end), ("correction", correction)],
        drop,
        "bar",
    );
    answer.step(
        "U = 2 × √(2 × step^2 / 12 + 2 × (dp_dT × u_T)^2)",
        &[
            ("step", asked.resolution_bar),
            ("dp_dT", per_k),
            ("u_T", asked.u_each_k),
        ],
        expanded,
        "bar",
    );
}
