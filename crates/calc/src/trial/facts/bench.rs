//! Catches of the pump, runs of the engine and the burner, and the gas on the scale.

use super::RunningIn;
use crate::trial::setup::Setup;
use crate::trial::{EventName, Reading};

/// A pressure read this long before still belongs to a catch or a weight, s.
const SAME_MOMENT_S: f64 = 60.0;

/// One measured catch of the pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Catch {
    pub(crate) t_s: f64,
    pub(crate) ml: f64,
    pub(crate) seconds: f64,
    /// Strokes there and back in that time.
    pub(crate) cycles: Option<f64>,
    /// What it was pumped against, bar.
    pub(crate) bar: Option<f64>,
}

/// Gas on the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Weighed {
    pub(crate) t_s: f64,
    pub(crate) grams: f64,
    /// Pressure in the boiler, bar.
    pub(crate) bar: Option<f64>,
    /// Water in it and its standard uncertainty, kg.
    pub(crate) water_kg: Option<(f64, f64)>,
}

/// How long something ran without a break.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Stretch {
    since_s: Option<f64>,
    longest_s: f64,
}

impl Stretch {
    fn begin(&mut self, t_s: f64) {
        self.since_s.get_or_insert(t_s);
    }

    fn end(&mut self, t_s: f64) {
        if let Some(since) = self.since_s.take() {
            self.longest_s = self.longest_s.max(t_s - since);
        }
    }

    /// The longest, the running one up to `t_s` included, s.
    pub(crate) fn longest_s(&self, t_s: f64) -> f64 {
        let running = self.since_s.map_or(0.0, |since| t_s - since);
        self.longest_s.max(running)
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Bench {
    pub(crate) catches: Vec<Catch>,
    pub(crate) engine: Stretch,
    pub(crate) fire: Stretch,
    /// The engine at one setting after another.
    pub(crate) running_in: RunningIn,
    /// Turns, each with its time, rpm.
    pub(crate) turns: Vec<(f64, f64)>,
    /// Pressure read while the engine ran, bar.
    pub(crate) running_bar: Vec<f64>,
    pub(crate) fastest_m_s: Option<f64>,
    /// Gas before the fire, and the last before any steam was taken.
    pub(crate) gas_before: Option<Weighed>,
    pub(crate) gas_raised: Option<Weighed>,
    /// Gas first and last weighed with the fire lit.
    pub(crate) gas_lit: Option<(Weighed, Weighed)>,
    /// Water, or else the air about it, before the fire, °C.
    pub(crate) cold_c: Option<f64>,
    pub(crate) tank_c: Option<f64>,
    steamed: bool,
    pub(crate) flame_lost: u32,
    pub(crate) flame_unsteady: u32,
    pub(crate) stalled: u32,
    pub(crate) raced: u32,
    /// When the pump first stalled, the flame was first unsteady, the valve first lifted.
    pub(crate) stalled_s: Option<f64>,
    pub(crate) unsteady_s: Option<f64>,
    pub(crate) lifted_s: Option<f64>,
    /// Condensate drained in all, first and last, each with its time.
    pub(crate) condensate: Option<[(f64, f64); 2]>,
    /// Feed as the tank shows it and as the strokes count it, first and last.
    pub(crate) feed: Option<[(f64, f64); 2]>,
    /// The hottest a bearing was read, °C.
    pub(crate) hottest_c: Option<f64>,
    pressure: Option<(f64, f64)>,
}

/// What the rest of the log knows at a reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct About {
    pub(super) lit_at_s: Option<f64>,
    pub(super) water_kg: Option<(f64, f64)>,
}

impl Bench {
    pub(super) fn event(&mut self, t_s: f64, name: EventName) {
        self.running_in.event(t_s, name);
        match name {
            EventName::EngineRunning => self.engine.begin(t_s),
            EventName::EngineStopped => self.engine.end(t_s),
            EventName::FireLit => self.fire.begin(t_s),
            EventName::FireOut | EventName::FlameLost => self.fire.end(t_s),
            EventName::TankFilled | EventName::WaterAdded => self.feed = None,
            _ => {}
        }
        self.flame_lost += u32::from(name == EventName::FlameLost);
        self.flame_unsteady += u32::from(name == EventName::FlameUnsteady);
        self.stalled += u32::from(name == EventName::PumpStalled);
        self.raced += u32::from(name == EventName::PumpRaced);
        match name {
            EventName::PumpStalled => self.stalled_s = self.stalled_s.or(Some(t_s)),
            EventName::FlameUnsteady => self.unsteady_s = self.unsteady_s.or(Some(t_s)),
            EventName::SafetyValveLifted => self.lifted_s = self.lifted_s.or(Some(t_s)),
            _ => {}
        }
        self.steamed |= matches!(
            name,
            EventName::EngineRunning | EventName::StopValveOpen | EventName::SafetyValveLifted
        );
    }

    pub(super) fn reading(&mut self, t_s: f64, r: &Reading, about: About, setup: &Setup) {
        let lit_at_s = about.lit_at_s;
        if let Some(bar) = r.pressure_bar.or(r.pressure_second_bar) {
            self.pressure = Some((t_s, bar));
            if self.engine.since_s.is_some() {
                self.running_bar.push(bar);
            }
        }
        let near = self.pressure.filter(|p| t_s - p.0 <= SAME_MOMENT_S);
        let bar = near.map(|p| p.1);
        if let (Some(ml), Some(seconds)) = (r.catch_ml, r.catch_s) {
            let counted = r.strokes_per_min.map(|n| n * seconds / 60.0);
            self.catches.push(Catch {
                t_s,
                ml,
                seconds,
                cycles: r.feed_strokes.or(counted),
                bar,
            });
        } else if let (Some(strokes), Some(ml)) = (r.feed_strokes, r.feed_tank_ml) {
            let first = self.feed.map_or((strokes, ml), |f| f[0]);
            self.feed = Some([first, (strokes, ml)]);
        }
        if let Some(rpm) = r.rpm {
            self.turns.push((t_s, rpm));
            self.running_in.read(t_s, rpm, bar);
            let speed = setup
                .longest_stroke_mm()
                .map(|mm| 2.0 * mm / 1000.0 * rpm / 60.0);
            self.fastest_m_s = self.fastest_m_s.into_iter().chain(speed).reduce(f64::max);
        }
        if let Some(ml) = r.condensate_ml {
            let first = self.condensate.map_or((t_s, ml), |c| c[0]);
            self.condensate = Some([first, (t_s, ml)]);
        }
        self.tank_c = r.tank_c.or(self.tank_c);
        self.hottest_c = self
            .hottest_c
            .into_iter()
            .chain(r.bearing_c)
            .reduce(f64::max);
        if lit_at_s.is_none() {
            self.cold_c = r.water_c.or(self.cold_c).or(r.ambient_c);
        }
        if let Some(grams) = r.gas_g {
            let now = Weighed {
                t_s,
                grams,
                bar,
                water_kg: about.water_kg,
            };
            self.weigh(now, lit_at_s);
        }
    }

    fn weigh(&mut self, now: Weighed, lit_at_s: Option<f64>) {
        let Some(lit) = lit_at_s else {
            self.gas_before = Some(now);
            return;
        };
        if self.gas_before.is_none() && now.t_s - lit <= SAME_MOMENT_S {
            self.gas_before = Some(now);
        }
        if !self.steamed {
            self.gas_raised = Some(now);
        }
        if self.fire.since_s.is_some() {
            let first = self.gas_lit.map_or(now, |g| g.0);
            self.gas_lit = Some((first, now));
        }
    }
}
