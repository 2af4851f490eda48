//! Scales and their graduations.

/// A scale from values to places on the drawing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale {
    pub(crate) low: f64,
    pub(crate) high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// `low` stands at `from`, `high` at `to`. A scale without width is widened, so that it can be drawn.
    pub(crate) fn new(low: f64, high: f64, from: f64, to: f64) -> Self {
        let high = if high > low { high } else { low + 1.0 };
        Self {
            low,
            high,
            from,
            to,
        }
    }

    /// Where a value stands, kept on the scale.
    pub(crate) fn place(&self, value: f64) -> f64 {
        let value = value.clamp(self.low, self.high);
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }
}

/// A step of 1, 2 or 5 times a power of ten that cuts `span` into at most `most` parts.
pub(crate) fn step(span: f64, most: f64) -> f64 {
    let raw = (span / most).max(1e-9);
    let ten = 10_f64.powf(raw.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * ten)
        .find(|s| *s >= raw * (1.0 - 1e-9))
        .unwrap_or(10.0 * ten)
}

/// A step of time, in seconds, that cuts `span` into at most `most` parts and that a clock shows.
pub(crate) fn time_step(span: f64, most: f64) -> f64 {
    [60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0]
        .into_iter()
        .find(|s| span / s <= most)
        .unwrap_or(14_400.0)
}

/// Whole multiples of `step` from `low` to `high`, both included.
pub(crate) fn multiples(low: f64, high: f64, step: f64) -> Vec<f64> {
    let mut all = Vec::new();
    let mut n = (low / step - 1e-9).ceil();
    while n * step <= high + step * 1e-9 && all.len() < 400 {
        all.push(n * step);
        n += 1.0;
    }
    all
}

/// A time for people: the clock where the start is known, else whole minutes.
pub(crate) fn clock(t_s: f64, starts_at_s: Option<f64>) -> String {
    match starts_at_s {
        Some(start) => {
            let day = (start + t_s).rem_euclid(86_400.0);
            let minutes = (day / 60.0).floor();
            format!(
                "{:02.0}:{:02.0}",
                (minutes / 60.0).floor(),
                minutes.rem_euclid(60.0)
            )
        }
        None => format!("{} min", calc::show::fixed((t_s / 60.0).floor(), 0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_ones_twos_and_fives() {
        assert_eq!(step(5.0, 5.0), 1.0);
        assert_eq!(step(60.0, 4.0), 20.0);
        assert_eq!(step(0.9, 4.0), 0.5);
    }

    #[test]
    fn a_clock_runs_past_midnight_and_minutes_are_never_rounded_up() {
        assert_eq!(clock(120.0, Some(86_340.0)), "00:01");
        assert_eq!(clock(3599.0, None), "59 min");
    }

    #[test]
    fn a_scale_without_width_can_still_be_drawn() {
        assert!(Scale::new(2.0, 2.0, 0.0, 10.0).place(2.0).is_finite());
    }
}
