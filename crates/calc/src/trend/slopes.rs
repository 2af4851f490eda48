//! The slope of readings that may hold a wild one, with an interval that needs no bell curve.

use super::Seen;
use super::claim::{Claim, may};
use super::kendall::{count, ranks, whole, z_above};
use crate::Unusable;
use crate::answer::{Answer, Finding, Value};
use crate::unusable::{slip, within};

const SOURCE: &str = "Theil 1950, Sen 1968; exact Kendall distribution (Hollander & Wolfe)";
/// Spread of a normal sample over its median absolute deviation.
pub(super) const MAD: f64 = 1.4826;

/// Readings in order of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Seconds, strictly rising, oldest first.
    pub seconds: Vec<f64>,
    /// What was seen at each, in ml or in mm throughout.
    pub seen: Vec<Seen>,
    /// Two-sided confidence of the interval.
    pub confidence: f64,
    /// Smallest step that is read, in the unit of the readings, where it is known.
    pub resolution: Option<f64>,
}

/// A straight line through readings.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    pub(super) t: Vec<f64>,
    pub(super) y: Vec<f64>,
    pub(super) slope: f64,
    pub(super) intercept: f64,
    /// Interval of the slope and the confidence reached, where there are readings enough.
    pub(super) interval: Option<(f64, f64, f64)>,
    pub(super) slopes: Vec<f64>,
}

impl Line {
    pub(super) fn span(&self) -> f64 {
        self.t[self.t.len() - 1] - self.t[0]
    }

    /// The interval widened by a step over the span on each side.
    pub(super) fn guarded(&self, resolution: f64) -> Option<(f64, f64)> {
        let more = resolution / self.span();
        self.interval.map(|(lo, hi, _)| (lo - more, hi + more))
    }

    pub(super) fn residuals(&self) -> Vec<f64> {
        let of = |(t, y): (&f64, &f64)| y - (self.intercept + self.slope * t);
        self.t.iter().zip(&self.y).map(of).collect()
    }

    pub(super) fn mad(&self) -> f64 {
        median(&mut self.residuals().iter().map(|r| r.abs()).collect::<Vec<_>>())
    }
}

/// The line through the readings that are numbers.
pub(super) fn line(series: &Series) -> Result<Line, Unusable> {
    within("confidence", series.confidence, 0.5, 0.9999)?;
    for &t in &series.seconds {
        within("t_s", t, -1e9, 1e9)?;
    }
    if series.seconds.len() != series.seen.len() {
        return Err(slip(
            "lists_not_equally_long",
            "y",
            "each time needs its reading",
        ));
    }
    if series.seconds.windows(2).any(|w| w[1] <= w[0]) {
        return Err(slip(
            "times_not_strictly_increasing",
            "t_s",
            "each time must be later than the one before",
        ));
    }
    let (mut t, mut y) = (Vec::new(), Vec::new());
    for (when, seen) in series.seconds.iter().zip(&series.seen) {
        if let Seen::At(level) = seen {
            t.push(*when);
            y.push(within("y", *level, -1e9, 1e9)?);
        }
    }
    if t.len() < 2 {
        return Err(slip(
            "too_few_readings",
            "y",
            "at least two readings that are numbers are needed",
        ));
    }
    if t.len() > 2000 {
        return Err(slip(
            "too_many_readings",
            "y",
            "at most 2000 readings are taken",
        ));
    }
    let mut slopes = Vec::with_capacity(t.len() * (t.len() - 1) / 2);
    for i in 0..t.len() {
        for j in i + 1..t.len() {
            slopes.push((y[j] - y[i]) / (t[j] - t[i]));
        }
    }
    slopes.sort_by(f64::total_cmp);
    let slope = middle(&slopes);
    let intercept = median(
        &mut t
            .iter()
            .zip(&y)
            .map(|(t, y)| y - slope * t)
            .collect::<Vec<_>>(),
    );
    let interval = ranks(t.len(), series.confidence)
        .map(|(low, high, reached)| (slopes[low - 1], slopes[high - 1], reached));
    Ok(Line {
        t,
        y,
        slope,
        intercept,
        interval,
        slopes,
    })
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    middle(values)
}

/// The middle of a sorted list; nothing of an empty one.
fn middle(sorted: &[f64]) -> f64 {
    let half = sorted.len() / 2;
    match (sorted.len() % 2, sorted.get(half)) {
        (_, None) => f64::NAN,
        (1, Some(value)) => *value,
        (_, Some(value)) => f64::midpoint(sorted[half - 1], *value),
    }
}

/// The slope of a series, with its exact interval.
///
/// # Formula
/// slope: median of `(y_j − y_i)/(t_j − t_i)` over all i < j; intercept: median of `y_i − b t_i`.
/// Interval: with N = n(n−1)/2 and k* the least value of Kendall's K (parity of N) with
/// `P(K ≥ k*) ≤ α/2`, C = k* − 2, from the (N − C)/2-th to the ((N + C)/2 + 1)-th slope. Ties stay,
/// with the untied C, which is conservative. Above 60 readings `C = z √(n(n−1)(2n+5)/18)`.
/// Guarded: widened by the resolution over the span on each side.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `seconds` | t | s | strictly rising |
/// | `seen` | y; what is not a number is left out | ml or mm | as many as times, 2 to 2000 numbers |
/// | `confidence` | 1 − α | – | 0.5 to 0.9999 |
/// | `resolution` | smallest step | as y | above 0 |
///
/// Shape: one reading a row, oldest first.
///
/// # Errors
/// [`Unusable`] names the field; `times_not_strictly_increasing`, `lists_not_equally_long`,
/// `too_few_readings`, `too_many_readings`.
///
/// # Source
/// H. Theil 1950; P. K. Sen 1968; M. Hollander and D. A. Wolfe, Nonparametric Statistical Methods.
///
/// # Example
/// One wild reading does not move it.
/// ```
/// use calc::trend::{Seen, Series, trend};
/// let level = [744.0, 728.0, 712.0, 900.0, 681.0, 664.0, 648.0, 633.0];
/// let answer = trend(&Series {
///     seconds: vec![0.0, 60.0, 125.0, 180.0, 240.0, 300.0, 365.0, 420.0],
///     seen: level.map(Seen::At).to_vec(),
///     confidence: 0.95,
///     resolution: None,
/// })?;
/// assert!(answer.number("slope").is_some_and(|b| (b + 0.2655).abs() < 1e-4));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn trend(series: &Series) -> Result<Answer, Unusable> {
    let line = line(series)?;
    let mut answer = Answer::of(SOURCE);
    answer.put("n", count(line.t.len()), "");
    answer.put("n_slopes", count(line.slopes.len()), "");
    answer.put("slope", line.slope, "1/s");
    answer.put("intercept", line.intercept, "");
    answer.maybe("slope_lo", line.interval.map(|i| i.0), "1/s");
    answer.maybe("slope_hi", line.interval.map(|i| i.1), "1/s");
    answer.maybe("achieved_conf", line.interval.map(|i| i.2), "");
    let normal = normal_interval(&line, series.confidence);
    answer.maybe("slope_lo_scipy", normal.map(|i| i.0), "1/s");
    answer.maybe("slope_hi_scipy", normal.map(|i| i.1), "1/s");
    if let Some(step) = series.resolution {
        let step = within("resolution", step, 1e-9, 1e9)?;
        let guarded = line.guarded(step);
        answer.maybe("slope_lo_guarded", guarded.map(|g| g.0), "1/s");
        answer.maybe("slope_hi_guarded", guarded.map(|g| g.1), "1/s");
        let claim = Claim {
            readings: count(line.t.len()),
            interval: guarded,
            resolution: step,
            span_s: line.span(),
            slope: line.slope,
        };
        answer.tell("may_state", Value::Word(may(&claim)), None, "");
        let far = (3.0 * MAD * line.mad()).max(2.0 * step);
        let wild = line.residuals().iter().filter(|r| r.abs() > far).count();
        if wild > 0 {
            answer.say(format!(
                "{wild} reading(s) stand far off the line; they stay in the data."
            ));
        }
    }
    out_of_sight(&mut answer, &series.seen);
    Ok(answer)
}

/// The last look outranks any slope.
pub(super) fn out_of_sight(answer: &mut Answer, seen: &[Seen]) {
    match seen.iter().rev().find(|s| **s != Seen::Unread) {
        Some(Seen::Below) => {
            answer.verdict = Some(Finding::Stop);
            answer.says.clear();
            answer.say(
                "The water is out of sight: put the fire out, leave it to cool. No slope counts.",
            );
            answer.cautions = &["low_water_no_feed", "defer_to_codes"];
        }
        Some(Seen::Above) => {
            answer.verdict = Some(Finding::Note);
            answer.say("The water is above the glass: nothing is known of its level.");
        }
        _ => {}
    }
}

/// The tie-corrected normal interval, as statistics packages print it; a check only.
fn normal_interval(line: &Line, confidence: f64) -> Option<(f64, f64)> {
    let n = count(line.t.len());
    let ties = |k: f64| k * (k - 1.0) * (2.0 * k + 5.0);
    let mut sorted = line.y.clone();
    sorted.sort_by(f64::total_cmp);
    let tied: f64 = sorted
        .chunk_by(|a, b| a == b)
        .map(|group| ties(count(group.len())))
        .sum();
    let sigma = ((ties(n) - tied) / 18.0).max(0.0).sqrt();
    let z = z_above((1.0 - confidence) / 2.0);
    let all = count(line.slopes.len());
    let high = ((all + z * sigma) / 2.0).round_ties_even().min(all - 1.0);
    let low = (((all - z * sigma) / 2.0).round_ties_even() - 1.0).max(0.0);
    let at = |rank: f64| line.slopes.get(whole(rank)?).copied();
    Some((at(low)?, at(high)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_readings_take_the_normal_interval() {
        let seconds: Vec<f64> = (0..80).map(|i| f64::from(i) * 10.0).collect();
        let seen = seconds
            .iter()
            .map(|t| Seen::At(700.0 - 0.2 * t + (t * 7.3).sin()))
            .collect();
        let series = Series {
            seconds,
            seen,
            confidence: 0.95,
            resolution: Some(1.0),
        };
        let answer = trend(&series).unwrap();
        let (low, high) = (
            answer.number("slope_lo").unwrap(),
            answer.number("slope_hi").unwrap(),
        );
        assert!(
            low < -0.2 && -0.2 < high && high - low < 0.01,
            "{low} {high}"
        );
        assert_eq!(answer.word_of("may_state"), Some("yes"));
    }
}
