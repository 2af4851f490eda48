//! Fire, flame, engine, valves and lists: what is on and what is off.

use crate::trial::setup::Setup;
use crate::trial::watch::Working;
use crate::trial::{Check, EventName};
use std::collections::BTreeMap;

/// Pressure under which a boiler is no longer hot and over which it is, bar.
const HOT_BAR: f64 = 0.2;

#[derive(Clone, Debug, Default)]
pub(crate) struct Fire {
    pub(crate) lit: bool,
    pub(crate) ever_lit: bool,
    /// When it was lit last.
    pub(crate) lit_at_s: Option<f64>,
    /// A `fire-out` followed the last `fire-lit`.
    pub(crate) put_out: bool,
    pub(crate) hot_since_s: Option<f64>,
}

impl Fire {
    pub(super) fn event(&mut self, t_s: f64, name: EventName) {
        match name {
            EventName::FireLit => {
                self.lit = true;
                self.ever_lit = true;
                self.lit_at_s = Some(t_s);
                self.put_out = false;
                self.hot_since_s.get_or_insert(t_s);
            }
            EventName::FireOut => {
                self.lit = false;
                self.put_out = true;
            }
            EventName::PressureReleased if self.put_out => self.hot_since_s = None,
            _ => {}
        }
    }

    pub(super) fn pressure(&mut self, t_s: f64, bar: f64, heats: bool) {
        if bar <= HOT_BAR {
            if self.put_out {
                self.hot_since_s = None;
            }
        } else if heats {
            self.hot_since_s.get_or_insert(t_s);
        }
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Works {
    pub(crate) engine: bool,
    pub(crate) stop_valve_open: bool,
    pub(crate) bypass_open: bool,
    pub(crate) feed_entered: bool,
    pub(crate) blowing_down: bool,
    pub(crate) tank_empty: bool,
    tank: Option<(f64, f64)>,
    tank_rate_ml_s: Option<f64>,
    working: Working,
    /// Since when the feed has been on.
    pub(crate) feed_since_s: Option<f64>,
}

impl Works {
    pub(super) fn event(&mut self, name: EventName) {
        match name {
            EventName::EngineRunning => self.engine = true,
            EventName::EngineStopped => self.engine = false,
            EventName::StopValveOpen => self.stop_valve_open = true,
            EventName::StopValveShut => self.stop_valve_open = false,
            EventName::BypassOpen => self.bypass_open = true,
            EventName::BypassShut => self.bypass_open = false,
            EventName::FeedOn => self.feed_entered = true,
            EventName::FeedOff => self.feed_entered = false,
            EventName::BlowDown => self.blowing_down = true,
            EventName::BlowDownEnded => self.blowing_down = false,
            EventName::TankEmpty => self.tank_empty = true,
            _ => {}
        }
    }

    pub(super) fn tank_filled(&mut self) {
        self.tank_empty = false;
        self.tank = None;
        self.tank_rate_ml_s = None;
    }

    pub(super) fn tank_read(&mut self, t_s: f64, ml: f64) {
        if let Some((then_s, then_ml)) = self.tank
            && t_s > then_s
            && ml < then_ml
        {
            self.tank_rate_ml_s = Some((then_ml - ml) / (t_s - then_s));
        }
        self.tank = Some((t_s, ml));
    }

    /// Feed left in the tank at `t_s`, s, as fast as it was last seen to go; it stands still while the
    /// feed is off.
    pub(crate) fn tank_left_s(&self, t_s: f64) -> Option<f64> {
        let ((read_s, ml), rate) = (self.tank?, self.tank_rate_ml_s?);
        let going_s = self
            .feed_since_s
            .map_or(0.0, |since| t_s - read_s.max(since));
        Some((ml / rate - going_s).max(0.0))
    }

    /// Has it not been seen to go down since it was filled?
    pub(crate) fn tank_fresh(&self) -> bool {
        self.tank_rate_ml_s.is_none()
    }

    /// Keeps what goes on; answers whether it changed.
    pub(super) fn note_change(&mut self, t_s: f64, now: Working) -> bool {
        let before = std::mem::replace(&mut self.working, now);
        if now.feed_on != before.feed_on {
            self.feed_since_s = now.feed_on.then_some(t_s);
        }
        before != now
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Flame {
    pub(crate) lost: bool,
    pub(crate) shut_off_s: Option<f64>,
}

impl Flame {
    pub(super) fn event(&mut self, t_s: f64, name: EventName) {
        match name {
            EventName::FlameLost => {
                self.lost = true;
                self.shut_off_s = None;
            }
            EventName::GasOff if self.lost => {
                self.lost = false;
                self.shut_off_s = Some(t_s);
            }
            _ => {}
        }
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Speed {
    /// Mean piston speed of the fastest cylinder as last read, m/s.
    pub(crate) piston_m_s: Option<f64>,
    /// The highest of them, m/s.
    pub(crate) highest_m_s: Option<f64>,
    pub(crate) over_normal_since_s: Option<f64>,
}

impl Speed {
    pub(super) fn event(&mut self, name: EventName) {
        if name == EventName::EngineStopped {
            self.piston_m_s = self.piston_m_s.map(|_| 0.0);
            self.over_normal_since_s = None;
        }
    }

    pub(super) fn read(&mut self, t_s: f64, rpm: f64, setup: &Setup) {
        let stroke = setup.longest_stroke_mm();
        self.piston_m_s = stroke.map(|mm| 2.0 * mm / 1000.0 * rpm / 60.0);
        self.highest_m_s = match (self.highest_m_s, self.piston_m_s) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        let over = self
            .piston_m_s
            .is_some_and(|v| v > setup.trial.limits.piston_speed_m_s);
        self.over_normal_since_s = over.then(|| self.over_normal_since_s.unwrap_or(t_s));
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Checks {
    state: BTreeMap<String, State>,
    gate_s: Option<f64>,
    open: Vec<String>,
    late: Vec<String>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    Done,
    Overridden,
    Skipped,
}

impl Checks {
    pub(super) fn take(&mut self, check: &Check) {
        let state = match check {
            Check {
                overridden: true, ..
            } => State::Overridden,
            Check { done: true, .. } => State::Done,
            _ => State::Skipped,
        };
        self.state.insert(check.name.clone(), state);
        if state != State::Skipped && self.open.contains(&check.name) {
            self.open.retain(|name| *name != check.name);
            if state == State::Done {
                self.late.push(check.name.clone());
            }
        }
    }

    /// Fire or pressure has come: what is still open was missed.
    pub(super) fn gate(&mut self, t_s: f64, names: &[String]) {
        if self.gate_s.is_some() {
            return;
        }
        self.gate_s = Some(t_s);
        let settled =
            |name: &String| matches!(self.state.get(name), Some(State::Done | State::Overridden));
        self.open = names
            .iter()
            .filter(|name| !settled(name))
            .cloned()
            .collect();
    }

    /// Was this hold point signed?
    pub(crate) fn is_done(&self, name: &str) -> bool {
        self.state.get(name) == Some(&State::Done)
    }

    /// Hold points missed and still open.
    pub(crate) fn missed(&self) -> &[String] {
        &self.open
    }

    /// Hold points that were done only after fire or pressure had come.
    pub(crate) fn late(&self) -> &[String] {
        &self.late
    }

    /// Hold points of `names` that were skipped or gone on against.
    pub(crate) fn not_done<'n>(&self, names: &'n [String]) -> Vec<&'n str> {
        let done = |name: &&String| self.state.get(*name) != Some(&State::Done);
        names.iter().filter(done).map(String::as_str).collect()
    }
}
