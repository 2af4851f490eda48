//! How long until the low mark.

use super::slopes::{MAD, Series, line, out_of_sight};
use crate::Unusable;
use crate::answer::{Answer, Finding, Value};
use crate::unusable::within;

/// Readings of water in ml that may be falling towards a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Falling {
    /// Readings; their resolution is needed.
    pub series: Series,
    /// Water at the low mark, ml.
    pub low_mark_ml: f64,
    /// Density of the hot water, kg/m³, where it is known.
    pub density_kg_m3: Option<f64>,
}

/// The time left until the low mark, the conservative figure first.
///
/// # Formula
/// slope and guarded interval as [`super::trend`]. Present level, conservative:
/// `y_c = min(a + b t_n − max(step/2, 2 · 1.4826 · MAD), y_n − step/2)`;
/// time `max(0, y_c − y_low)/|b_lo|` with the steepest credible fall; best
/// `max(0, a + b t_n − y_low)/|b|`. Where the interval's upper end is not below 0 no fall is shown and
/// no time is given. Evaporation `−b ρ_f`, with the feed shut and the pressure steady.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `series` | readings as [`super::trend`] | ml | with their resolution |
/// | `low_mark_ml` | y_low | ml | 0 to 10 000 000 |
/// | `density_kg_m3` | ρ_f | kg/m³ | 500 to 1100 |
///
/// # Errors
/// As [`super::trend`]; `not_proven_resolution_ml_missing`.
///
/// # Source
/// As [`super::trend`]; guarding by the resolution is ours and said so.
///
/// # Example
/// ```
/// use calc::trend::{Falling, Seen, Series, runway};
/// let level = [744.0, 728.0, 712.0, 900.0, 681.0, 664.0, 648.0, 633.0];
/// let answer = runway(&Falling {
///     series: Series {
///         seconds: vec![0.0, 60.0, 125.0, 180.0, 240.0, 300.0, 365.0, 420.0],
///         seen: level.map(Seen::At).to_vec(),
///         confidence: 0.95,
///         resolution: Some(8.0),
///     },
///     low_mark_ml: 500.0,
///     density_kg_m3: Some(915.19),
/// })?;
/// assert!(answer.number("time_to_low_conservative_s").is_some_and(|t| (t - 440.0).abs() < 1.0));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn runway(asked: &Falling) -> Result<Answer, Unusable> {
    let line = line(&asked.series)?;
    let step = asked.series.resolution.ok_or(Unusable::Missing {
        field: "resolution_ml",
    })?;
    let step = within("resolution_ml", step, 1e-9, 1e7)?;
    let mark = within("low_mark_ml", asked.low_mark_ml, 0.0, 1e7)?;
    let density = match asked.density_kg_m3 {
        None => None,
        Some(rho) => Some(within("rho_f_kg_m3", rho, 500.0, 1100.0)?),
    };
    let last = line.t.len() - 1;
    let fit = line.intercept + line.slope * line.t[last];
    let u_level = (step / 2.0).max(2.0 * MAD * line.mad());
    let now = (fit - u_level).min(line.y[last] - step / 2.0);
    let guarded = line.guarded(step);
    let falls = guarded.filter(|(_, high)| *high < 0.0);
    let soonest = falls.map(|(low, _)| (now - mark).max(0.0) / low.abs());
    let best = falls.map(|_| (fit - mark).max(0.0) / line.slope.abs());
    let made = density.map(|rho| -line.slope * rho * 3600.0 / 1e6);
    let mut answer =
        Answer::of("Theil 1950, Sen 1968; exact Kendall distribution; guarded by the resolution");
    answer.step(
        "y_now = a + b × t_n",
        &[
            ("a", line.intercept),
            ("b", line.slope),
            ("t_n", line.t[last]),
        ],
        fit,
        "ml",
    );
    answer.step(
        "y_c = min(y_now − max(step / 2, 2 × 1.4826 × MAD), y_n − step / 2)",
        &[
            ("y_now", fit),
            ("step", step),
            ("MAD", line.mad()),
            ("y_n", line.y[last]),
        ],
        now,
        "ml",
    );
    if let (Some((low, _)), Some(soonest)) = (falls, soonest) {
        answer.step(
            "t_left = max(y_c − y_low, 0) / −b_lo",
            &[("y_c", now), ("y_low", mark), ("b_lo", low)],
            soonest,
            "s",
        );
    }
    answer.maybe("time_to_low_conservative_s", soonest, "s");
    answer.maybe("time_to_low_best_s", best, "s");
    answer.put("slope_ml_per_s", line.slope, "ml/s");
    answer.maybe("slope_lo_guarded_ml_per_s", guarded.map(|g| g.0), "ml/s");
    answer.maybe("slope_hi_guarded_ml_per_s", guarded.map(|g| g.1), "ml/s");
    answer.put("level_now_fit_ml", fit, "ml");
    answer.put("level_now_conservative_ml", now, "ml");
    answer.put("u_level_ml", u_level, "ml");
    answer.maybe("evaporation_kg_per_h", made, "kg/h");
    match (guarded, falls) {
        (None, _) => answer.say(
            "Too few readings for an interval: no time is given. Five are the least for 95 %.",
        ),
        (_, None) => answer.say("No fall is shown yet: no time is given, and that is no promise."),
        _ => answer.say("With the feed shut and the pressure steady."),
    }
    if falls.is_none() {
        answer.verdict = Some(Finding::NotProven);
    }
    out_of_sight(&mut answer, &asked.series.seen);
    if answer.verdict == Some(Finding::Stop) {
        forget_times(&mut answer);
    }
    Ok(answer)
}

/// Water out of sight has no time left to print.
fn forget_times(answer: &mut Answer) {
    for figure in &mut answer.figures {
        if figure.name.starts_with("time_to_low") {
            figure.value = Value::Nothing;
        }
    }
    answer.working.retain(|s| !s.formula.starts_with("t_left"));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trend::Seen;

    fn falling(levels: &[f64]) -> Falling {
        let seconds = (0..levels.len())
            .zip(0_u32..)
            .map(|(_, i)| f64::from(i) * 60.0);
        Falling {
            series: Series {
                seconds: seconds.collect(),
                seen: levels.iter().map(|l| Seen::At(*l)).collect(),
                confidence: 0.95,
                resolution: Some(2.0),
            },
            low_mark_ml: 500.0,
            density_kg_m3: None,
        }
    }

    #[test]
    fn no_time_is_given_where_no_fall_is_shown() {
        let level = runway(&falling(&[700.0, 700.0, 701.0, 699.0, 700.0, 700.0])).unwrap();
        assert_eq!(level.number("time_to_low_conservative_s"), None);
        let few = runway(&falling(&[700.0, 650.0, 600.0])).unwrap();
        assert_eq!(few.number("time_to_low_conservative_s"), None);
        assert_eq!(few.verdict, Some(Finding::NotProven));
    }

    #[test]
    fn out_of_sight_gives_no_time_and_means_stop() {
        let mut gone = falling(&[700.0, 650.0, 600.0, 550.0, 520.0, 510.0]);
        gone.series.seconds.push(400.0);
        gone.series.seen.push(Seen::Below);
        let answer = runway(&gone).unwrap();
        assert_eq!(answer.verdict, Some(Finding::Stop));
        assert_eq!(answer.number("time_to_low_best_s"), None);
        assert!(!answer.says.join(" ").contains("feed"));
    }

    #[test]
    fn under_the_mark_no_time_is_left() {
        let low = runway(&falling(&[540.0, 530.0, 520.0, 510.0, 500.0, 490.0])).unwrap();
        assert_eq!(low.number("time_to_low_conservative_s"), Some(0.0));
    }
}
