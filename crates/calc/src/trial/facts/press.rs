//! A shell under test: how it was raised, held and let down, with water or with air.

use crate::trial::setup::Setup;
use crate::trial::{Event, EventName, Kind, LeakAt, Reading};
use std::collections::BTreeMap;

/// A reading this long before the hold was entered still begins it, and a temperature read within
/// this of a pressure belongs to it, s.
const SAME_MOMENT_S: f64 = 60.0;
/// Under this pressure what was pumped in says nothing of air, bar.
const LEAST_BAR: f64 = 1.0;

/// A pressure with the temperature that belongs to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Point {
    pub(crate) t_s: f64,
    pub(crate) bar: f64,
    pub(crate) celsius: Option<f64>,
}

/// One hold, running or ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Held {
    pub(crate) started_s: f64,
    pub(crate) ended_s: Option<f64>,
    pub(crate) first: Option<Point>,
    pub(crate) last: Option<Point>,
    /// The highest and the lowest pressure read in it, bar.
    pub(crate) highest_bar: f64,
    pub(crate) lowest_bar: f64,
}

impl Held {
    /// From its first reading to its last, s.
    pub(crate) fn read_for_s(&self) -> f64 {
        match (self.first, self.last) {
            (Some(first), Some(last)) => last.t_s - first.t_s,
            _ => 0.0,
        }
    }
}

/// What was pumped in, and the pressure that made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pumped {
    pub(crate) ml: f64,
    pub(crate) bar: f64,
    pub(crate) celsius: Option<f64>,
}

/// The test so far.
#[derive(Clone, Debug, Default)]
pub(crate) struct PressTest {
    latest: Option<Point>,
    celsius: Option<(f64, f64)>,
    /// The hold that runs, or the longest of those that ended.
    pub(crate) hold: Option<Held>,
    ended: Option<Held>,
    pub(crate) pumped: Option<Pumped>,
    pumped_ml: Option<f64>,
    /// Times that the pumping was begun again.
    pub(crate) begun_again: u32,
    /// Stages read on the way up, before the target, each over the one before.
    pub(crate) stages: u32,
    stage_bar: f64,
    pub(crate) growth_pct: Option<f64>,
    /// Every place a leak was seen at, stopped or not, and when it was last seen.
    pub(crate) leaked: BTreeMap<LeakAt, f64>,
}

impl PressTest {
    pub(super) fn event(&mut self, t_s: f64, event: &Event) {
        match event.name {
            EventName::HoldStarted => {
                self.end(t_s);
                let near = self.latest.filter(|p| t_s - p.t_s <= SAME_MOMENT_S);
                let bar = near.map_or(0.0, |p| p.bar);
                self.hold = Some(Held {
                    started_s: t_s,
                    ended_s: None,
                    first: near,
                    last: near,
                    highest_bar: bar,
                    lowest_bar: near.map_or(f64::MAX, |p| p.bar),
                });
            }
            EventName::HoldEnded | EventName::PressureReleased => self.end(t_s),
            EventName::SetMeasured => {
                let worse = |g: f64| event.growth_pct.map_or(g, |new| new.max(g));
                self.growth_pct = self.growth_pct.map(worse).or(event.growth_pct);
            }
            EventName::LeakSeen => {
                self.leaked.insert(event.leak_at, t_s);
            }
            _ => {}
        }
    }

    /// Ends the hold that runs; of those that ended the longest is kept.
    fn end(&mut self, t_s: f64) {
        let Some(mut hold) = self.hold.filter(|h| h.ended_s.is_none()) else {
            return;
        };
        hold.ended_s = Some(t_s);
        let length = |h: &Held| h.ended_s.map_or(0.0, |end| end - h.started_s);
        if self.ended.is_none_or(|best| length(&hold) >= length(&best)) {
            self.ended = Some(hold);
        }
        self.hold = self.ended;
    }

    pub(super) fn reading(&mut self, t_s: f64, reading: &Reading, setup: &Setup) {
        let inside = match setup.trial.kind {
            Kind::Air => [reading.shell_c, reading.ambient_c, reading.water_c],
            _ => [reading.water_c, reading.shell_c, None],
        };
        if let Some(celsius) = inside.into_iter().flatten().next() {
            self.celsius = Some((t_s, celsius));
            if let Some(hold) = &mut self.hold
                && hold.ended_s.is_none()
                && let Some(first) = &mut hold.first
                && t_s - first.t_s <= SAME_MOMENT_S
            {
                first.celsius.get_or_insert(celsius);
            }
        }
        self.pump(reading);
        if let Some(bar) = reading.pressure_bar.or(reading.pressure_second_bar) {
            let fresh = |s: &(f64, f64)| t_s - s.0 <= SAME_MOMENT_S;
            let celsius = self.celsius.filter(fresh).map(|(_, c)| c);
            self.pressure(Point { t_s, bar, celsius }, setup);
        }
    }

    fn pump(&mut self, reading: &Reading) {
        let Some(ml) = reading.pumped_ml else { return };
        if self.pumped_ml.is_some_and(|before| ml < before) {
            self.begun_again += 1;
            self.pumped = None;
            (self.stages, self.stage_bar) = (0, 0.0);
        }
        self.pumped_ml = Some(ml);
    }

    fn pressure(&mut self, point: Point, setup: &Setup) {
        let target = setup.target_bar();
        let least = target.map_or(LEAST_BAR, |t| LEAST_BAR.min(t / 4.0));
        let rising = self.latest.is_none_or(|p| point.bar >= p.bar);
        if let Some(ml) = self.pumped_ml.filter(|_| rising && point.bar >= least) {
            self.pumped = Some(Pumped {
                ml,
                bar: point.bar,
                celsius: point.celsius,
            });
        }
        if point.bar > self.stage_bar && target.is_none_or(|t| point.bar <= 0.8 * t) {
            self.stages += u32::from(point.bar > 0.2);
            self.stage_bar = point.bar;
        }
        self.latest = Some(point);
        // Events come before readings: what was read as it ended still belongs to it.
        let in_it = |h: &&mut Held| h.ended_s.is_none_or(|end| end == point.t_s);
        let Some(hold) = self.hold.as_mut().filter(in_it) else {
            return;
        };
        hold.first.get_or_insert(point);
        hold.last = Some(point);
        hold.highest_bar = hold.highest_bar.max(point.bar);
        hold.lowest_bar = hold.lowest_bar.min(point.bar);
        if hold.ended_s.is_some() {
            self.ended = self.hold;
        }
    }
}
