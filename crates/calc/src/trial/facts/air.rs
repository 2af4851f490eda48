//! Carbon monoxide: samples, the mean of a quarter of an hour, the dose of a shift.

use crate::trial::EventName;
use std::collections::VecDeque;

/// Samples further apart than this are not joined by a straight line, s.
const JOINED_S: f64 = 300.0;
const QUARTER_HOUR_S: f64 = 900.0;
/// Mean so far counts once it is this long, s.
const LEAST_MEAN_S: f64 = 300.0;
const SHIFT_S: f64 = 28_800.0;

#[derive(Clone, Debug, Default)]
pub(crate) struct Air {
    samples: VecDeque<(f64, f64)>,
    first_s: Option<f64>,
    dose_ppm_s: f64,
    pub(crate) peak_ppm: Option<f64>,
    /// Highest 15-minute mean that stood at any sample, ppm.
    pub(crate) highest_mean_ppm: Option<f64>,
    /// A gap was longer than samples may be apart.
    pub(crate) gap: bool,
    pub(crate) alarm_s: Option<f64>,
    pub(crate) symptom_s: Option<f64>,
    pub(crate) fumes_s: Option<f64>,
    /// CO/CO₂ of the last flue sample strong enough to judge.
    pub(crate) flue_ratio: Option<f64>,
}

impl Air {
    pub(super) fn event(&mut self, t_s: f64, name: EventName) {
        match name {
            EventName::CoAlarm => self.alarm_s = Some(t_s),
            EventName::SymptomFelt => self.symptom_s = Some(t_s),
            EventName::FumesNoticed => self.fumes_s = Some(t_s),
            _ => {}
        }
    }

    pub(super) fn sample(&mut self, t_s: f64, ppm: f64) {
        if let Some(last) = self.samples.back().copied() {
            self.dose_ppm_s += area(last, (t_s, ppm), last.0, t_s);
            self.gap |= t_s - last.0 > JOINED_S;
        }
        self.first_s.get_or_insert(t_s);
        self.samples.push_back((t_s, ppm));
        while self.samples.len() > 2 && self.samples[1].0 <= t_s - QUARTER_HOUR_S {
            self.samples.pop_front();
        }
        self.peak_ppm = Some(self.peak_ppm.map_or(ppm, |p| p.max(ppm)));
        if let Some(mean) = self.mean_15min_ppm(t_s) {
            self.highest_mean_ppm = Some(self.highest_mean_ppm.map_or(mean, |m| m.max(mean)));
        }
    }

    pub(super) fn flue(&mut self, co_ppm: f64, co2_pct: f64) {
        if co2_pct >= 2.0 {
            self.flue_ratio = Some(co_ppm / 10_000.0 / co2_pct);
        }
    }

    /// From the first sample to the last, s.
    pub(crate) fn sampled_s(&self) -> f64 {
        match (self.first_s, self.last()) {
            (Some(first), Some((last, _))) => last - first,
            _ => 0.0,
        }
    }

    /// The last sample: when and what.
    pub(crate) fn last(&self) -> Option<(f64, f64)> {
        self.samples.back().copied()
    }

    /// Mean over the quarter of an hour before `t_s`, ppm; in the first quarter the mean so far once
    /// it is five minutes long; none once the last sample is over five minutes old.
    pub(crate) fn mean_15min_ppm(&self, t_s: f64) -> Option<f64> {
        let (first, last) = (self.first_s?, self.last()?);
        if t_s - first < LEAST_MEAN_S || t_s > last.0 + JOINED_S {
            return None;
        }
        let from = first.max(t_s - QUARTER_HOUR_S);
        let between: f64 = self
            .samples
            .iter()
            .zip(self.samples.iter().skip(1))
            .map(|(a, b)| area(*a, *b, from, t_s))
            .sum();
        let held = last.1 * (t_s - last.0.max(from)).max(0.0);
        Some((between + held) / (t_s - from))
    }

    /// Dose so far spread over a shift of eight hours, ppm.
    pub(crate) fn mean_8h_ppm(&self, t_s: f64) -> Option<f64> {
        let last = self.last()?;
        let held = last.1 * (t_s - last.0).clamp(0.0, JOINED_S);
        Some((self.dose_ppm_s + held) / SHIFT_S)
    }
}

/// Dose between two samples within `from..to`, ppm·s: along the straight line, or at the higher end
/// where they are too far apart.
fn area(a: (f64, f64), b: (f64, f64), from: f64, to: f64) -> f64 {
    let (start, end) = (a.0.max(from), b.0.min(to));
    if end <= start {
        return 0.0;
    }
    if b.0 - a.0 > JOINED_S {
        return a.1.max(b.1) * (end - start);
    }
    let at = |t: f64| a.1 + (b.1 - a.1) * (t - a.0) / (b.0 - a.0);
    (at(start) + at(end)) / 2.0 * (end - start)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn air(samples: &[(f64, f64)]) -> Air {
        let mut air = Air::default();
        for (t, ppm) in samples {
            air.sample(*t, *ppm);
        }
        air
    }

    #[test]
    fn a_quarter_hour_is_averaged_along_straight_lines() {
        let steady = air(&[(0.0, 40.0), (300.0, 40.0), (600.0, 40.0), (900.0, 80.0)]);
        let mean = steady.mean_15min_ppm(900.0).unwrap();
        assert!(
            (mean - (40.0 * 600.0 + 60.0 * 300.0) / 900.0).abs() < 1e-9,
            "{mean}"
        );
    }

    #[test]
    fn no_mean_before_five_minutes_and_none_when_samples_stop() {
        let short = air(&[(0.0, 40.0), (200.0, 40.0)]);
        assert_eq!(short.mean_15min_ppm(200.0), None);
        assert!(
            short.mean_15min_ppm(400.0).is_some(),
            "the last value holds five minutes"
        );
        assert_eq!(short.mean_15min_ppm(501.0), None);
    }

    #[test]
    fn over_a_long_gap_the_higher_end_holds() {
        let gappy = air(&[(0.0, 10.0), (600.0, 50.0)]);
        assert!(gappy.gap);
        let mean = gappy.mean_15min_ppm(600.0).unwrap();
        assert!((mean - 50.0).abs() < 1e-9, "{mean}");
    }

    #[test]
    fn a_shift_counts_the_dose_so_far() {
        let steady = air(&[(0.0, 96.0), (300.0, 96.0)]);
        let mean = steady.mean_8h_ppm(300.0).unwrap();
        assert!((mean - 1.0).abs() < 1e-9, "{mean}");
    }
}
