//! Was the test pressure reached, and not passed by too much?

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::uncertainty::{PressureGauge, reaches};
use crate::unusable::{slip, within};

/// A test pressure as it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attained {
    /// Working pressure, bar on the gauge.
    pub working_bar: f64,
    /// Test pressure as a multiple of it.
    pub multiple: f64,
    /// Highest pressure read, bar on the gauge.
    pub indicated_bar: f64,
    /// The gauge it was read on; `None` where nothing is known of it.
    pub gauge: Option<PressureGauge>,
    /// By how much the test pressure may be passed, %.
    pub over_target_pct: f64,
}

/// Was the test pressure reached for certain, and was it passed?
///
/// # Formula
/// `p_req = m p_w`; reached where `p − U ≥ p_req`; passed by too much for certain where
/// `p − U > p_req (1 + over/100)` (stop), perhaps where `p + U` is over it (caution).
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `working_bar` | p_w | bar | 0.01 to 40 |
/// | `multiple` | m | – | 1 to 3; test pressure to 40 bar |
/// | `indicated_bar` | p | bar | 0 to the gauge's span |
/// | `over_target_pct` | over | % | 0 to 100 |
///
/// # Errors
/// [`Unusable`] names the field; `gauge_over_range`, `test_pressure_over_40_bar`;
/// `not_proven_gauge_class_missing` where nothing is known of the gauge.
///
/// # Source
/// EN 837-1:1996 class as limit of error; JCGM 106:2012; overshoot of 6 %: 34 Pa. Code 3a.115.
///
/// # Example
/// ```
/// use calc::hydraulic::{Attained, proof_pressure};
/// use calc::uncertainty::PressureGauge;
/// let gauge = PressureGauge { class_pct: 1.6, span_bar: 16.0, resolution_bar: 0.2 };
/// let answer = proof_pressure(&Attained {
///     working_bar: 4.0,
///     multiple: 2.0,
///     indicated_bar: 8.0,
///     gauge: Some(gauge),
///     over_target_pct: 6.0,
/// })?;
/// assert_eq!(answer.word_of("reached"), Some("not_proven"));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn proof_pressure(asked: &Attained) -> Result<Answer, Unusable> {
    let working = within("p_working_bar", asked.working_bar, 0.01, 40.0)?;
    let multiple = within("multiple", asked.multiple, 1.0, 3.0)?;
    let indicated = within("p_indicated_bar", asked.indicated_bar, 0.0, 200.0)?;
    let over = within("over_target_pct", asked.over_target_pct, 0.0, 100.0)?;
    let required = working * multiple;
    if required > 40.0 {
        return Err(slip(
            "test_pressure_over_40_bar",
            "multiple",
            "a test pressure over 40 bar is beyond this program",
        ));
    }
    let gauge = asked.gauge.ok_or(Unusable::Missing {
        field: "gauge_class",
    })?;
    let expanded = 2.0 * gauge.u_bar()?;
    if indicated > gauge.span_bar {
        return Err(slip(
            "gauge_over_range",
            "p_indicated_bar",
            "the gauge does not reach so far; a gauge driven past its scale reads nothing sure any more",
        ));
    }
    let reached = reaches(indicated, expanded, required);
    let highest = required * (1.0 + over / 100.0);
    let overshoot = if indicated - expanded > highest {
        Finding::Stop
    } else if indicated + expanded > highest {
        Finding::Caution
    } else {
        Finding::Ok
    };
    let mut answer = Answer::of("EN 837-1:1996; JCGM 106:2012; overshoot: 34 Pa. Code 3a.115");
    let symbols = [("m", multiple), ("p_w", working)];
    answer.step("p_req = m × p_w", &symbols, required, "bar");
    show_gauge(&mut answer, &gauge, expanded);
    let percent = (indicated / required - 1.0) * 100.0;
    answer.step(
        "over = (p / p_req − 1) × 100",
        &[("p", indicated), ("p_req", required)],
        percent,
        "%",
    );
    answer.put("required_bar", required, "bar");
    answer.put("U_bar", expanded, "bar");
    answer.word("reached", reached);
    let about = Some(expanded / required * 100.0);
    answer.put_about("overshoot_pct", percent, about, "%");
    answer.word("overshoot", overshoot);
    answer.verdict = Some(match (overshoot, reached) {
        (Finding::Stop, _) => Finding::Stop,
        (_, Finding::Yes) => Finding::Pass,
        _ => Finding::NotProven,
    });
    answer.limit = Some(Limit {
        is: "test pressure",
        value: required,
        unit: "bar",
        source: "the profile chosen: multiple of the working pressure",
    });
    if reached != Finding::Yes {
        answer.say(format!(
            "This gauge proves the test pressure from {} bar shown.",
            crate::show::significant(required + expanded, 4)
        ));
    }
    answer.cautions = &[
        "water_not_air",
        "vent_all_air",
        "stand_clear",
        "defer_to_codes",
    ];
    Ok(answer)
}

/// The working of a gauge's expanded uncertainty.
pub(crate) fn show_gauge(answer: &mut Answer, gauge: &PressureGauge, expanded: f64) {
    answer.step(
        "U = 2 × √((class / 100 × span)^2 / 3 + step^2 / 12)",
        &[
            ("class", gauge.class_pct),
            ("span", gauge.span_bar),
            ("step", gauge.resolution_bar),
        ],
        expanded,
        "bar",
    );
}
