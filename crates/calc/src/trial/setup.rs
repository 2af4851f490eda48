//! What follows from plant, instruments and limits alone; reckoned once a trial.

use super::{Instrument, Kind, Supply, Trial};
use crate::quantity::Absolute;

/// Taken where nobody said how finely the glass can be read, mm: widens, never narrows.
const COARSE_GLASS_MM: f64 = 2.0;
/// Least standard uncertainty of a level: meniscus and surge, mm.
const LEAST_LEVEL_U_MM: f64 = 0.5;
/// Step taken where nobody said how finely a gauge can be read, bar: widens, never narrows.
const COARSE_GAUGE_BAR: f64 = 0.2;
/// Class taken where only the span of a gauge is known, when two gauges are compared.
const CLASS_UNKNOWN: f64 = 2.5;

#[derive(Debug)]
pub(crate) struct Setup {
    /// The trial as it was prepared; its log is the judge's.
    pub(crate) trial: Trial,
    pub(crate) resolution_mm: f64,
    pub(crate) gauge_step_bar: f64,
    pub(crate) barometer: Absolute,
}

impl Setup {
    pub(crate) fn of(trial: Trial) -> Self {
        let step = |i: &Option<Instrument>| i.as_ref().and_then(|i| i.resolution);
        Self {
            resolution_mm: step(&trial.instruments.level).unwrap_or(COARSE_GLASS_MM),
            gauge_step_bar: step(&trial.instruments.pressure).unwrap_or(0.1),
            barometer: trial
                .barometer_hpa
                .map_or(Absolute::STANDARD_ATMOSPHERE, Absolute::from_hectopascals),
            trial,
        }
    }

    pub(crate) fn low_mark_mm(&self) -> Option<f64> {
        self.trial.plant.glass?.low_mark_mm
    }

    pub(crate) fn high_mark_mm(&self) -> Option<f64> {
        self.trial.plant.glass?.high_mark_mm
    }

    pub(crate) fn visible_mm(&self) -> Option<f64> {
        self.trial.plant.glass?.visible_mm
    }

    /// A level a step over the end of the glass is the end of the glass.
    pub(crate) fn shown_mm(&self, level_mm: f64) -> f64 {
        self.visible_mm().map_or(level_mm, |top| level_mm.min(top))
    }

    /// Standard uncertainty of one level, mm.
    pub(crate) fn level_u_mm(&self) -> f64 {
        (self.resolution_mm / 12.0_f64.sqrt()).max(LEAST_LEVEL_U_MM)
    }

    /// Standard uncertainty of a pressure, bar; none without class and span.
    pub(crate) fn pressure_u_bar(&self) -> Option<f64> {
        self.trial.instruments.pressure.as_ref()?.pressure_u_bar()
    }

    /// What the two gauges may differ by, bar; none where a span is unknown.
    pub(crate) fn gauges_may_differ_bar(&self) -> Option<f64> {
        let u = |gauge: &Option<Instrument>| {
            let mut gauge = gauge.clone()?;
            gauge.accuracy_class.get_or_insert(CLASS_UNKNOWN);
            gauge.pressure_u_bar()
        };
        let a = u(&self.trial.instruments.pressure)?;
        let b = u(&self.trial.instruments.pressure_second)?;
        Some(self.trial.limits.gauge_disagree_sigma * a.hypot(b))
    }

    /// Pressure that a hydraulic test is raised to, bar.
    ///
    /// Source: factors of the trial's limits (model boiler test codes; check the current issue).
    pub(crate) fn target_bar(&self) -> Option<f64> {
        let limits = &self.trial.limits;
        let factor = if limits.first_test {
            limits.hydraulic_factor_first
        } else {
            limits.hydraulic_factor_repeat
        };
        match self.trial.kind {
            Kind::Air => None,
            _ => Some(self.working_bar()? * factor),
        }
    }

    /// Pressure that an air test must not pass, bar.
    pub(crate) fn air_cap_bar(&self) -> f64 {
        super::air_cap_bar(&self.trial)
    }

    /// Smallest step of the gauge that two pressures are read on, bar; what nobody said is coarse.
    pub(crate) fn gauge_read_to_bar(&self) -> f64 {
        let gauge = self.trial.instruments.pressure.as_ref();
        gauge.and_then(|g| g.resolution).unwrap_or(COARSE_GAUGE_BAR)
    }

    /// Standard uncertainty of one temperature against another of the same thermometer, K.
    ///
    /// Source: its repeatability; 0.1 K where it shows tenths, else 0.3 K (trade practice).
    pub(crate) fn difference_u_k(&self) -> f64 {
        let thermometer = self.trial.instruments.temperature.as_ref();
        let step = thermometer.and_then(|t| t.resolution);
        let fine = step.is_some_and(|s| s <= 0.1);
        let repeats = thermometer
            .and_then(|t| t.repeatability_c)
            .unwrap_or(if fine { 0.1 } else { 0.3 });
        repeats.max(step.unwrap_or(0.0) / 12.0_f64.sqrt())
    }

    pub(crate) fn working_bar(&self) -> Option<f64> {
        self.trial.plant.working_pressure_bar
    }

    pub(crate) fn pressure_stop_bar(&self) -> Option<f64> {
        Some(self.working_bar()? * self.trial.limits.pressure_stop_pct / 100.0)
    }

    pub(crate) fn pressure_caution_bar(&self) -> Option<f64> {
        let limit = self.working_bar()? * self.trial.limits.pressure_caution_pct / 100.0;
        Some(limit + self.gauge_step_bar / 2.0)
    }

    /// Pressure the safety valve is set to, bar: working pressure where nothing else is said.
    pub(crate) fn set_bar(&self) -> Option<f64> {
        self.trial
            .plant
            .safety_valve
            .and_then(|v| v.set_bar)
            .or(self.working_bar())
    }

    /// Pressure by which the valve should have lifted, bar.
    ///
    /// Source: ISO 4126-1:2013 Amd 1 (set within 3 % or 0.1 bar, the greater), and half a step.
    pub(crate) fn valve_should_lift_bar(&self) -> Option<f64> {
        let set = self.set_bar()?;
        Some(set + (0.03 * set).max(0.1).max(self.gauge_step_bar / 2.0))
    }

    pub(crate) fn longest_stroke_mm(&self) -> Option<f64> {
        self.trial
            .plant
            .cylinders
            .iter()
            .filter_map(|c| c.stroke_mm)
            .reduce(f64::max)
    }

    /// Does a pressure by itself make this a boiler in steam?
    pub(crate) fn heats_by_pressure(&self) -> bool {
        !matches!(self.trial.kind, Kind::Hydraulic | Kind::Air)
            && self.trial.supply != Some(Supply::AirDirect)
    }
}
