//! What was breathed over a trial.

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::unusable::{slip, within};

/// Minutes over which the short limit is a mean.
const SHORT: f64 = 15.0;
/// Minutes of a working day.
const DAY: f64 = 480.0;

/// What may be breathed, ppm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoLimits {
    /// Mean over eight hours.
    pub eight_hours: f64,
    /// Highest mean over fifteen minutes.
    pub fifteen_minutes: f64,
    /// Never more than this.
    pub ceiling: f64,
    /// A peak that calls for care.
    pub caution: f64,
    /// A mean over fifteen minutes that calls for care.
    pub caution_fifteen: f64,
}

impl CoLimits {
    /// EH40/2005 (20 and 100 ppm), NIOSH ceiling (200 ppm), first step of EN 50291-1 (30 ppm).
    pub const SHIPPED: Self = Self {
        eight_hours: 20.0,
        fifteen_minutes: 100.0,
        ceiling: 200.0,
        caution: 30.0,
        caution_fifteen: 20.0,
    };
}

/// Readings of the air that is breathed.
#[derive(Clone, Debug, PartialEq)]
pub struct AirLog {
    /// Minutes from the beginning, strictly rising, oldest first.
    pub minutes: Vec<f64>,
    /// ppm at each.
    pub ppm: Vec<f64>,
    /// Longest time between two readings that still proves something, min.
    pub longest_gap_min: f64,
    /// The place was ventilated before and after, on record: nothing was breathed outside the log.
    pub ventilated: bool,
    /// Limits.
    pub limits: CoLimits,
}

/// What was breathed, against what may be.
///
/// # Formula
/// dose `∫ C dt` by trapezoids; eight-hour mean `dose/480`, the time outside the log taken as clear;
/// short mean: the largest of any fifteen minutes inside the log, each reading joined to the next by a
/// straight line. A log shorter than that counts the rest as clear only where ventilation is on
/// record; else it has no short mean.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `minutes` | t, at least two, strictly rising | min | 0 to 100 000 |
/// | `ppm` | C, as many | ppm | 0 to 1 000 000 |
/// | `longest_gap_min` | gap | min | 0.1 to 1000 |
///
/// Shape: one reading a row, oldest first.
///
/// # Errors
/// [`Unusable`] names the field; `times_not_strictly_increasing`, `lists_not_equally_long`,
/// `too_few_readings`; `not_proven_gap_in_co_log`, which is a stop where what was read is one already.
///
/// # Source
/// EH40/2005 4th edition 2020; NIOSH; EN 50291-1; WHO for the caution. Printed with each limit.
///
/// # Example
/// ```
/// use calc::monoxide::{AirLog, CoLimits, exposure};
/// let answer = exposure(&AirLog {
///     minutes: vec![0.0, 5.0, 10.0, 15.0],
///     ppm: vec![0.0, 10.0, 210.0, 10.0],
///     longest_gap_min: 5.0,
///     ventilated: false,
///     limits: CoLimits::SHIPPED,
/// })?;
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Stop));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn exposure(log: &AirLog) -> Result<Answer, Unusable> {
    let (t, c) = checked(log)?;
    let limits = log.limits;
    let peak = c.iter().copied().fold(0.0, f64::max);
    let gap = within("max_gap_min", log.longest_gap_min, 0.1, 1000.0)?;
    if t.windows(2).any(|w| w[1] - w[0] > gap) {
        return Err(Unusable::Refused {
            code: "not_proven_gap_in_co_log",
            field: "t_min",
            says: "nobody read the air for longer than is proven by a reading: what was breathed then is not known",
            finding: Some(if peak >= limits.ceiling {
                Finding::Stop
            } else {
                Finding::NotProven
            }),
        });
    }
    let end = t.len() - 1;
    let dose = area(t, c, t[0], t[end]);
    let mean = dose / DAY;
    let short = worst_short_mean(t, c, log.ventilated);
    let mut answer = Answer::of("EH40/2005 (8 h, 15 min); NIOSH (ceiling); EN 50291-1 (caution)");
    answer.step("mean = dose / 480", &[("dose", dose)], mean, "ppm");
    answer.put("dose_ppm_min", dose, "ppm min");
    answer.put("twa_8h_ppm", mean, "ppm");
    answer.maybe("max_15min_ppm", short, "ppm");
    answer.put("peak_ppm", peak, "ppm");
    let over = |limit: f64| short.is_some_and(|s| s >= limit - 1e-9);
    let stop = peak >= limits.ceiling || over(limits.fifteen_minutes) || mean >= limits.eight_hours;
    answer.verdict = Some(if stop {
        answer.say("Everybody out first; put the fire out only in one movement on the way.");
        Finding::Stop
    } else if peak >= limits.caution || over(limits.caution_fifteen) {
        answer.say("Air the place and find out why.");
        Finding::Caution
    } else if short.is_none() {
        answer.say("The log is shorter than fifteen minutes: its short mean is not proven.");
        Finding::NotProven
    } else {
        Finding::Ok
    });
    if c[0] > 2.0 {
        answer.say(
            "The log does not begin at zero: zero the instrument in clean air before lighting.",
        );
    }
    answer.say("The hours outside the log are taken as clear air.");
    answer.limit = Some(Limit {
        is: "mean over fifteen minutes",
        value: limits.fifteen_minutes,
        unit: "ppm",
        source: "EH40/2005 4th edition 2020, as shipped",
    });
    answer.cautions = &["co_alarm", "ventilation", "defer_to_codes"];
    Ok(answer)
}

fn checked(log: &AirLog) -> Result<(&[f64], &[f64]), Unusable> {
    for &t in &log.minutes {
        within("t_min", t, 0.0, 1e5)?;
    }
    for &c in &log.ppm {
        within("co_ppm", c, 0.0, 1e6)?;
    }
    if log.minutes.len() != log.ppm.len() {
        return Err(slip(
            "lists_not_equally_long",
            "co_ppm",
            "each time needs its reading",
        ));
    }
    if log.minutes.len() < 2 {
        return Err(slip(
            "too_few_readings",
            "t_min",
            "at least two readings are needed",
        ));
    }
    if log.minutes.windows(2).any(|w| w[1] <= w[0]) {
        return Err(slip(
            "times_not_strictly_increasing",
            "t_min",
            "each time must be later than the one before",
        ));
    }
    Ok((&log.minutes, &log.ppm))
}

/// Concentration at a time, on straight lines between readings; nothing outside them.
fn at(t: &[f64], c: &[f64], when: f64) -> f64 {
    let after = t.partition_point(|x| *x <= when);
    if after == 0 {
        return 0.0;
    }
    if after >= t.len() {
        let last = t.len() - 1;
        return if when <= t[last] { c[last] } else { 0.0 };
    }
    let (t0, t1) = (t[after - 1], t[after]);
    c[after - 1] + (c[after] - c[after - 1]) * (when - t0) / (t1 - t0)
}

/// Area under those lines between two times that lie within the log.
fn area(t: &[f64], c: &[f64], from: f64, to: f64) -> f64 {
    let inner = |x: &&f64| **x > from && **x < to;
    let mut points = vec![from];
    points.extend(t.iter().filter(inner));
    points.push(to);
    points
        .windows(2)
        .map(|w| (w[1] - w[0]) * f64::midpoint(at(t, c, w[0]), at(t, c, w[1])))
        .sum()
}

/// The largest mean of any fifteen minutes of the log.
fn worst_short_mean(t: &[f64], c: &[f64], ventilated: bool) -> Option<f64> {
    let (first, last) = (t[0], t[t.len() - 1]);
    if last - first < SHORT {
        return ventilated.then(|| area(t, c, first, last) / SHORT);
    }
    // The mean turns where a window's end passes a reading, and between two such places at most once,
    // where the concentrations at its two ends are equal.
    let mut begins: Vec<f64> = t
        .iter()
        .flat_map(|x| [*x, *x - SHORT])
        .chain([last - SHORT])
        .filter(|b| (first..=last - SHORT).contains(b))
        .collect();
    begins.sort_by(f64::total_cmp);
    begins.dedup();
    let gain = |b: f64| at(t, c, b + SHORT) - at(t, c, b);
    let turns: Vec<f64> = begins
        .windows(2)
        .filter_map(|w| {
            let (g0, g1) = (gain(w[0]), gain(w[1]));
            (g0 > 0.0 && g1 < 0.0).then(|| w[0] + (w[1] - w[0]) * g0 / (g0 - g1))
        })
        .collect();
    begins
        .iter()
        .chain(&turns)
        .map(|b| area(t, c, *b, *b + SHORT) / SHORT)
        .max_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log(minutes: &[f64], ppm: &[f64]) -> AirLog {
        AirLog {
            minutes: minutes.to_vec(),
            ppm: ppm.to_vec(),
            longest_gap_min: 60.0,
            ventilated: false,
            limits: CoLimits::SHIPPED,
        }
    }

    #[test]
    fn a_short_log_has_no_short_mean_unless_the_place_was_aired() {
        let mut short = log(&[0.0, 5.0, 10.0], &[10.0, 10.0, 10.0]);
        assert_eq!(exposure(&short).unwrap().verdict, Some(Finding::NotProven));
        short.ventilated = true;
        let aired = exposure(&short).unwrap();
        assert_eq!(aired.verdict, Some(Finding::Ok));
        assert!((aired.number("max_15min_ppm").unwrap() - 100.0 / 15.0).abs() < 1e-9);
    }

    #[test]
    fn a_gap_never_hides_a_peak_that_was_read() {
        let mut gap = log(&[0.0, 30.0], &[0.0, 250.0]);
        gap.longest_gap_min = 5.0;
        assert_eq!(exposure(&gap).unwrap_err().finding(), Some(Finding::Stop));
    }

    #[test]
    fn the_worst_quarter_of_an_hour_is_found_between_readings() {
        let hill = log(&[0.0, 20.0, 40.0], &[0.0, 100.0, 0.0]);
        let found = exposure(&hill).unwrap().number("max_15min_ppm").unwrap();
        // Symmetric about the top: 7.5 min down on either side, mean of 62.5 and 100.
        assert!((found - 81.25).abs() < 1e-9, "{found}");
    }
}
