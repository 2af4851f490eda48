//! The accumulation, where the valve lifts and where it shuts.

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::hydraulic::show_gauge;
use crate::uncertainty::{PressureGauge, stays_under};
use crate::unusable::{slip, within};

/// The highest pressure of an accumulation trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accumulation {
    /// Working pressure, bar on the gauge.
    pub working_bar: f64,
    /// Highest pressure read, bar on the gauge.
    pub highest_bar: f64,
    /// The gauge; `None` where nothing is known of it.
    pub gauge: Option<PressureGauge>,
    /// How far above the working pressure it may rise, %.
    pub limit_pct: f64,
    /// The stop valve was open; `None` where nobody said.
    pub stop_valve_open: Option<bool>,
    /// The pressure was still rising when the trial ended; `None` where nobody said.
    pub still_rising: Option<bool>,
}

/// Did the safety valve hold the pressure of the whole fire?
///
/// # Formula
/// `limit = p_w (1 + pct/100)`; pass where `p_max + U ≤ limit`, fail where `p_max − U > limit`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.01 to 20 |
/// | `highest_bar` | p_max | bar | 0 to the gauge's span |
/// | `limit_pct` | pct | % | 0 to 100 |
///
/// # Errors
/// [`Unusable`] names the field; `gauge_over_range`, `stop_valve_open`;
/// `not_proven_gauge_class_missing` where nothing is known of the gauge.
///
/// # Source
/// Boiler test codes: 10 % above the working pressure, editable; EN 837-1:1996; JCGM 106:2012.
///
/// # Example
/// ```
/// use calc::uncertainty::PressureGauge;
/// use calc::valve::{Accumulation, accumulation};
/// let gauge = PressureGauge { class_pct: 1.0, span_bar: 6.0, resolution_bar: 0.05 };
/// let answer = accumulation(&Accumulation {
///     working_bar: 4.0,
///     highest_bar: 4.3,
///     gauge: Some(gauge),
///     limit_pct: 10.0,
///     stop_valve_open: None,
///     still_rising: None,
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Pass));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn accumulation(asked: &Accumulation) -> Result<Answer, Unusable> {
    let working = within("p_working_bar", asked.working_bar, 0.01, 20.0)?;
    let highest = within("p_max_bar", asked.highest_bar, 0.0, 200.0)?;
    let percent = within("limit_pct", asked.limit_pct, 0.0, 100.0)?;
    if asked.stop_valve_open == Some(true) {
        return Err(slip(
            "stop_valve_open",
            "stop_valve_open",
            "with the stop valve open the safety valve does not carry the whole fire: shut it and try again",
        ));
    }
    let gauge = asked.gauge.ok_or(Unusable::Missing {
        field: "gauge_class",
    })?;
    let expanded = 2.0 * gauge.u_bar()?;
    if highest > gauge.span_bar {
        return Err(slip(
            "gauge_over_range",
            "p_max_bar",
            "the gauge does not reach so far; a gauge driven past its scale reads nothing sure any more",
        ));
    }
    let limit = working * (1.0 + percent / 100.0);
    let rise = (highest / working - 1.0) * 100.0;
    let mut answer = Answer::of("Boiler test codes (10 %, editable); EN 837-1:1996; JCGM 106:2012");
    let symbols = [("p_w", working), ("pct", percent)];
    answer.step("limit = p_w × (1 + pct / 100)", &symbols, limit, "bar");
    show_gauge(&mut answer, &gauge, expanded);
    let symbols = [("p_max", highest), ("p_w", working)];
    answer.step("rise = (p_max / p_w − 1) × 100", &symbols, rise, "%");
    answer.put("limit_bar", limit, "bar");
    answer.put("U_bar", expanded, "bar");
    answer.put_about("rise_pct", rise, Some(expanded / working * 100.0), "%");
    let by_gauge = stays_under(highest, expanded, limit);
    answer.verdict = Some(match (by_gauge, asked.still_rising) {
        (Finding::Pass, Some(true)) => {
            answer.say(
                "The pressure was still rising at the end: wait until three readings stand level.",
            );
            Finding::NotProven
        }
        (finding, _) => finding,
    });
    if highest > limit {
        answer.word("alert", Finding::Stop);
        answer.say("Over the limit: shut the fire.");
    }
    if by_gauge == Finding::NotProven {
        answer.say("This gauge is too coarse to tell here; a finer class or a smaller span would.");
    }
    answer.limit = Some(Limit {
        is: "highest pressure with the whole fire",
        value: limit,
        unit: "bar",
        source: "boiler test codes: 10 % above the working pressure",
    });
    answer.cautions = &[
        "low_water_no_feed",
        "never_gag_valve",
        "hot_surfaces",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// Where a valve lifted and where it shut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiftAndReseat {
    /// Working pressure, bar on the gauge.
    pub working_bar: f64,
    /// It lifted at, bar on the gauge.
    pub lift_bar: f64,
    /// Whether and where it shut.
    pub reseat: Reseat,
}

/// Whether and where a valve shut again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reseat {
    /// At so many bar on the gauge.
    At(f64),
    /// It did not shut.
    Never,
    /// Nobody saw it.
    Unseen,
}

/// Does it lift where it should, and shut again?
///
/// # Formula
/// tolerance `max(3 % p_w, 0.1 bar)`, blowdown `p_lift − p_reseat`, at most `max(15 % p_lift, 0.3 bar)`.
/// A lift above the tolerance fails, one under it is a caution, one under 0.9 p_w fails (weeping).
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.01 to 20 |
/// | `lift_bar` | p_lift | bar | 0.001 to 25 |
/// | `reseat` | p_reseat | bar | 0 to under the lift |
///
/// # Errors
/// [`Unusable`] names the field; `reseat_not_below_lift`.
///
/// # Source
/// ISO 4126-1:2013 with Amendment 1:2016, operating characteristics (scope from 4 mm bore).
///
/// # Example
/// ```
/// use calc::valve::{LiftAndReseat, Reseat, set_and_reseat};
/// let seen = LiftAndReseat { working_bar: 4.0, lift_bar: 4.3, reseat: Reseat::At(3.9) };
/// let answer = set_and_reseat(&seen)?;
/// assert_eq!(answer.word_of("set_verdict"), Some("fail"));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn set_and_reseat(asked: &LiftAndReseat) -> Result<Answer, Unusable> {
    let working = within("p_working_bar", asked.working_bar, 0.01, 20.0)?;
    let lift = within("lift_bar", asked.lift_bar, 0.001, 25.0)?;
    let tolerance = (0.03 * working).max(0.1);
    let mut answer = Answer::of("ISO 4126-1:2013 with Amendment 1:2016, operating characteristics");
    let symbols = [("p_w", working)];
    answer.step(
        "tolerance = max(0.03 × p_w, 0.1)",
        &symbols,
        tolerance,
        "bar",
    );
    answer.put("set_tolerance_bar", tolerance, "bar");
    let off = lift - working;
    let set = if off > tolerance + 1e-9 || lift < 0.9 * working {
        Finding::Fail
    } else if off < -tolerance - 1e-9 {
        Finding::Caution
    } else {
        Finding::Pass
    };
    let reseat = match asked.reseat {
        Reseat::Never => {
            answer.say("It did not shut again.");
            Finding::Fail
        }
        Reseat::Unseen => {
            answer.say("Nobody saw where it shut: that is not proven.");
            Finding::NotProven
        }
        Reseat::At(shut) => blowdown(&mut answer, lift, within("reseat_bar", shut, 0.0, 25.0)?)?,
    };
    answer.word("set_verdict", set);
    answer.word("reseat_verdict", reseat);
    let worse = [set, reseat].into_iter().max_by_key(|f| match f {
        Finding::Fail => 3,
        Finding::NotProven => 2,
        Finding::Caution => 1,
        _ => 0,
    });
    answer.verdict = worse;
    answer.limit = Some(Limit {
        is: "lift off the working pressure",
        value: tolerance,
        unit: "bar",
        source: "ISO 4126-1: 3 % or 0.1 bar",
    });
    answer.cautions = &["never_gag_valve", "hot_surfaces", "defer_to_codes"];
    Ok(answer)
}

fn blowdown(answer: &mut Answer, lift: f64, shut: f64) -> Result<Finding, Unusable> {
    if shut >= lift {
        return Err(slip(
            "reseat_not_below_lift",
            "reseat_bar",
            "a valve shuts below the pressure it lifted at",
        ));
    }
    let down = lift - shut;
    let symbols = [("p_lift", lift), ("p_reseat", shut)];
    answer.step("blowdown = p_lift − p_reseat", &symbols, down, "bar");
    answer.put("blowdown_bar", down, "bar");
    answer.put("blowdown_pct", down / lift * 100.0, "%");
    let most = (0.15 * lift).max(0.3);
    Ok(if down > most + 1e-9 {
        Finding::Caution
    } else {
        Finding::Pass
    })
}
