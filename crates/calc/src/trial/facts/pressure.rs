//! Pressure readings and the safety valve.

use crate::trial::setup::Setup;
use crate::trial::{EventName, Reading};

/// A pressure read this long before a lift still speaks for it, s.
const SAME_MOMENT_S: f64 = 60.0;
/// What binary fractions may add to a limit that is a sum of decimal ones.
pub(crate) const ROUNDING: f64 = 1e-9;

#[derive(Clone, Debug, Default)]
pub(crate) struct PressureFacts {
    /// The last pressure, the higher where two gauges were read, bar.
    pub(crate) bar: Option<f64>,
    pub(crate) read_s: f64,
    pub(crate) hot_readings: u32,
    /// Readings running over the caution figure, and over what the valve should have lifted at.
    pub(crate) over_caution: u32,
    pub(crate) over_set: u32,
    pub(crate) highest_bar: Option<f64>,
    /// When working pressure was first read.
    pub(crate) reached_s: Option<(f64, f64)>,
    held_since_s: Option<f64>,
    /// Longest time that working pressure was read without a break, s.
    pub(crate) held_s: f64,
    /// How the two gauges differ, bar, and by how much they may.
    pub(crate) gauges: Option<(f64, f64)>,
}

impl PressureFacts {
    pub(super) fn read(
        &mut self,
        t_s: f64,
        bar: f64,
        reading: &Reading,
        setup: &Setup,
        hot: bool,
        lifted: bool,
    ) {
        let gap = t_s - self.read_s;
        self.highest_bar = Some(self.highest_bar.map_or(bar, |h| h.max(bar)));
        if hot {
            self.hot_readings += 1;
            let count = |over: bool, run: u32| if over { run + 1 } else { 0 };
            let caution = setup
                .pressure_caution_bar()
                .is_some_and(|limit| bar > limit + ROUNDING);
            self.over_caution = count(caution, self.over_caution);
            let silent = !lifted
                && setup
                    .valve_should_lift_bar()
                    .is_some_and(|limit| bar > limit + ROUNDING);
            self.over_set = count(silent, self.over_set);
            self.hold(t_s, bar, gap, setup);
        } else {
            (self.over_caution, self.over_set) = (0, 0);
        }
        self.gauges = match (reading.pressure_bar, reading.pressure_second_bar) {
            (Some(a), Some(b)) => setup
                .gauges_may_differ_bar()
                .map(|may| ((a - b).abs(), may)),
            _ => self.gauges,
        };
        self.bar = Some(bar);
        self.read_s = t_s;
    }

    fn hold(&mut self, t_s: f64, bar: f64, gap: f64, setup: &Setup) {
        let Some(working) = setup.trial.plant.working_pressure_bar else {
            return;
        };
        let u = setup.pressure_u_bar().map_or(0.0, |u| 2.0 * u);
        if bar + u < working {
            self.held_since_s = None;
            return;
        }
        if self.reached_s.is_none() {
            self.reached_s = Some((t_s, gap));
        }
        let broken = gap > setup.trial.limits.reading_every_s;
        if broken || self.held_since_s.is_none() {
            self.held_since_s = Some(t_s);
        }
        if let Some(since) = self.held_since_s {
            self.held_s = self.held_s.max(t_s - since);
        }
    }

    pub(super) fn released(&mut self) {
        self.bar = Some(0.0);
        (self.over_caution, self.over_set) = (0, 0);
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Valve {
    /// Blowing, as far as the log says.
    pub(crate) lifted: bool,
    pub(crate) lifts: u32,
    pub(crate) reseats: u32,
    /// Pressure at the first lift and at the last reseating, where one was read near it, bar.
    pub(crate) lifted_bar: Option<f64>,
    pub(crate) reseated_bar: Option<f64>,
    lowest_since_lift_bar: Option<f64>,
}

impl Valve {
    pub(super) fn event(&mut self, t_s: f64, name: EventName, pressure: &PressureFacts) {
        let near = pressure
            .bar
            .filter(|_| t_s - pressure.read_s <= SAME_MOMENT_S);
        match name {
            EventName::SafetyValveLifted => {
                if !std::mem::replace(&mut self.lifted, true) {
                    self.lowest_since_lift_bar = None;
                }
                self.lifts += 1;
                if self.lifted_bar.is_none() {
                    self.lifted_bar = near;
                }
            }
            EventName::SafetyValveReseated => {
                self.lifted = false;
                self.reseats += 1;
                self.reseated_bar = near;
            }
            _ => {}
        }
    }

    pub(super) fn read(&mut self, _t_s: f64, bar: f64) {
        if self.lifted {
            let lowest = self.lowest_since_lift_bar.map_or(bar, |l| l.min(bar));
            self.lowest_since_lift_bar = Some(lowest);
        }
    }

    /// Lowest pressure read since it lifted, while it has not reseated, bar.
    pub(crate) fn sunk_to_bar(&self) -> Option<f64> {
        self.lowest_since_lift_bar.filter(|_| self.lifted)
    }
}
