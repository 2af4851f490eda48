//! Carbon monoxide: what was breathed, what an alarm must do, what the flue says of the flame.

mod exposure;

pub use exposure::{AirLog, CoLimits, exposure};

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit, Value};
use crate::unusable::{slip, within};

/// Molar mass of carbon monoxide, g/mol (IUPAC standard atomic weights).
const MOLAR: f64 = 28.01;
/// Molar gas constant, J/(mol K) (exact since the SI of 2019, cut to ten figures).
const GAS_CONSTANT: f64 = 8.314_462_618;

/// ppm of carbon monoxide as mg/m³.
///
/// # Formula
/// `ppm · M p/(R T)` with M = 28.01 g/mol
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `ppm` | by volume | ppm | 0 to 1 000 000 |
/// | `celsius` | of the air | °C | −20 to 250 |
/// | `pascals` | of the air | Pa | 85 000 to 108 500 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Ideal gas.
///
/// # Example
/// ```
/// let answer = calc::monoxide::by_mass(20.0, 20.0, 101_325.0)?;
/// assert!(answer.number("mg_per_m3").is_some_and(|m| (m - 23.29).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn by_mass(ppm: f64, celsius: f64, pascals: f64) -> Result<Answer, Unusable> {
    let ppm = within("co_ppm", ppm, 0.0, 1e6)?;
    let kelvin = within("T_C", celsius, -20.0, 250.0)? + 273.15;
    let p = within("p_Pa", pascals, 85_000.0, 108_500.0)?;
    let mg = ppm * MOLAR * p / (GAS_CONSTANT * kelvin) / 1000.0;
    let mut answer = Answer::of("Ideal gas; M = 28.01 g/mol");
    answer.step(
        "m = ppm × 28.01 × p / (8.314462618 × T) / 1000",
        &[("ppm", ppm), ("p", p), ("T", kelvin)],
        mg,
        "mg/m³",
    );
    answer.put("mg_per_m3", mg, "mg/m³");
    answer.cautions = &["co_alarm", "ventilation", "defer_to_codes"];
    Ok(answer)
}

/// Carbon monoxide against carbon dioxide in the flue.
///
/// # Formula
/// `ratio = (CO/10⁴)/CO₂`; air-free `CO · CO₂max/CO₂`. To 0.004 pass, to 0.008 caution, above stop;
/// under 2 % CO₂ the sample is diluted and nothing is proven.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `co_ppm` | CO, dry | ppm | 0 to 1 000 000 |
/// | `co2_pct` | CO₂, dry | % | above 0 to 25 |
/// | `co2_max_pct` | most CO₂ of that fuel | % | 5 to 25 |
///
/// # Errors
/// [`Unusable`] names the field; `co2_not_positive`.
///
/// # Source
/// BS 7967 practice for domestic gas (0.004); 0.008 for older appliances: trade practice.
///
/// # Example
/// ```
/// let answer = calc::monoxide::ratio(900.0, 9.0, 14.02)?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Stop));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn ratio(co_ppm: f64, co2_pct: f64, co2_max_pct: f64) -> Result<Answer, Unusable> {
    let co = within("co_ppm", co_ppm, 0.0, 1e6)?;
    if co2_pct <= 0.0 {
        return Err(slip(
            "co2_not_positive",
            "co2_pct",
            "without carbon dioxide in the sample there is nothing to hold the monoxide against",
        ));
    }
    let co2 = within("co2_pct", co2_pct, 0.0, 25.0)?;
    let most = within("co2_max_pct", co2_max_pct, 5.0, 25.0)?;
    let ratio = co / 1e4 / co2;
    let mut answer = Answer::of("BS 7967 practice; over 0.004: trade practice");
    let symbols = [("CO", co), ("CO2", co2), ("CO2max", most)];
    answer.step("ratio = CO / 10000 / CO2", &symbols, ratio, "");
    answer.step("free = CO × CO2max / CO2", &symbols, co * most / co2, "ppm");
    answer.put("ratio", ratio, "");
    answer.put("co_air_free_ppm", co * most / co2, "ppm");
    answer.verdict = Some(if co2 < 2.0 {
        answer.say("Under 2 % CO₂ the sample is mostly air: nothing is proven.");
        Finding::NotProven
    } else if ratio <= 0.004 + 1e-12 {
        Finding::Pass
    } else if ratio <= 0.008 + 1e-12 {
        Finding::Caution
    } else {
        Finding::Stop
    });
    answer.limit = Some(Limit {
        is: "CO over CO₂",
        value: 0.004,
        unit: "",
        source: "BS 7967 practice for domestic gas",
    });
    answer.say("A good ratio never outweighs an alarm or fumes that spill.");
    answer.cautions = &["co_alarm", "ventilation", "defer_to_codes"];
    Ok(answer)
}

/// ppm; not before so many minutes; by so many minutes, where the standard says (EN 50291-1).
const ALARM: [(f64, f64, Option<f64>); 4] = [
    (30.0, 120.0, None),
    (50.0, 60.0, Some(90.0)),
    (100.0, 10.0, Some(40.0)),
    (300.0, 0.0, Some(3.0)),
];

/// What an alarm to EN 50291-1 must do in air of a constant concentration.
///
/// # Formula
/// 30 ppm: not before 120 min; 50: between 60 and 90; 100: between 10 and 40; 300: within 3 min.
/// Between those steps it must not before the next higher step's earliest, and must by the next lower
/// step's latest.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `ppm` | constant concentration | ppm | 0 to 1 000 000 |
/// | `minutes` | since it began | min | 0 to 100 000, at least one |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// EN 50291-1. It is a life alarm and not a meter: silence under 30 ppm says nothing of the flame.
///
/// # Example
/// ```
/// use calc::answer::Value;
/// let answer = calc::monoxide::alarm(100.0, &[9.0, 41.0])?;
/// assert_eq!(answer.figures[0].value, Value::Words(vec!["must_not_alarm", "must_alarm"]));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn alarm(ppm: f64, minutes: &[f64]) -> Result<Answer, Unusable> {
    let ppm = within("co_ppm_constant", ppm, 0.0, 1e6)?;
    let least = ALARM
        .iter()
        .find(|(step, ..)| ppm <= *step)
        .map_or(0.0, |(_, least, _)| *least);
    let most = ALARM
        .iter()
        .rev()
        .find(|(step, ..)| ppm >= *step)
        .and_then(|(.., most)| *most);
    let mut states = Vec::with_capacity(minutes.len());
    for &t in minutes {
        let t = within("minutes", t, 0.0, 1e5)?;
        states.push(if most.is_some_and(|most| t >= most) {
            "must_alarm"
        } else if t < least {
            "must_not_alarm"
        } else {
            "may_alarm"
        });
    }
    let mut answer = Answer::of("EN 50291-1");
    answer.tell("alarm_state", Value::Words(states), None, "");
    answer.put("not_before_min", least, "min");
    answer.maybe("by_min", most, "min");
    answer.say(
        "An alarm is a life alarm and not a meter: silence under 30 ppm says nothing of the flame.",
    );
    answer.cautions = &["co_alarm", "ventilation", "defer_to_codes"];
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_the_steps_of_the_standard_neither_is_claimed() {
        let at = |ppm, t| match alarm(ppm, &[t]).unwrap().figures[0].value.clone() {
            Value::Words(words) => words[0],
            _ => "",
        };
        assert_eq!(at(75.0, 9.0), "must_not_alarm");
        assert_eq!(at(75.0, 50.0), "may_alarm");
        assert_eq!(at(75.0, 90.0), "must_alarm");
        assert_eq!(at(30.0, 119.0), "must_not_alarm");
        assert_eq!(at(30.0, 5000.0), "may_alarm");
        assert_eq!(at(400.0, 3.0), "must_alarm");
    }

    #[test]
    fn a_diluted_sample_proves_nothing() {
        assert_eq!(
            ratio(1.0, 1.9, 14.0).unwrap().verdict,
            Some(Finding::NotProven)
        );
        assert_eq!(
            ratio(1.0, 0.0, 14.0).unwrap_err().code(),
            "co2_not_positive"
        );
        assert_eq!(
            ratio(-1.0, 8.0, 14.0).unwrap_err().code(),
            "co_ppm_out_of_range"
        );
    }
}
