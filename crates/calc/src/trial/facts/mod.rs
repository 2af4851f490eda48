//! What is known of a trial at one moment: the log as far as it had arrived, boiled down.
//!
//! Facts change only with entries, instant by instant. Asking about a later moment changes nothing,
//! so that a judgement between entries can be made as often as one likes.

mod air;
mod bench;
mod blow;
mod merge;
mod press;
mod pressure;
mod running_in;
mod stretch;
mod stuck;
mod water;
mod works;

pub(crate) use air::Air;
pub(crate) use bench::{Bench, Catch};
pub(crate) use blow::{Blow, Blows, Meanwhile};
pub(crate) use press::{Held, PressTest};
pub(crate) use pressure::{PressureFacts, ROUNDING, Valve};
pub(crate) use running_in::{RunningIn, Spell, Turns};
pub(crate) use stretch::Stretches;
pub(crate) use stuck::Stuck;
pub(crate) use water::{Sight, WaterFacts};
pub(crate) use works::{Checks, Fire, Flame, Speed, Works};

use super::setup::Setup;
use super::watch::{Watch, Working};
use super::{Check, Event, EventName, LeakAt, Reading, What};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Facts up to and with the last instant applied.
#[derive(Clone, Debug)]
pub(crate) struct Facts {
    pub(crate) setup: Arc<Setup>,
    /// How many entries have been taken in.
    pub(crate) entered: usize,
    /// Something in the log speaks of the glands.
    pub(crate) glands_named: bool,
    /// A note says that the feed pipe is hot, or speaks of the check valve.
    pub(crate) hot_pipe_named: bool,
    pub(crate) at_s: f64,
    pub(crate) fire: Fire,
    pub(crate) works: Works,
    pub(crate) water: WaterFacts,
    pub(crate) pressure: PressureFacts,
    pub(crate) valve: Valve,
    pub(crate) air: Air,
    pub(crate) flame: Flame,
    pub(crate) speed: Speed,
    pub(crate) checks: Checks,
    pub(crate) leaks: BTreeSet<LeakAt>,
    pub(crate) press: PressTest,
    pub(crate) blows: Blows,
    pub(crate) bench: Bench,
    pub(crate) stuck: Stuck,
    pub(crate) stretches: Stretches,
    pub(crate) watch: Watch,
    pub(crate) read: BTreeSet<&'static str>,
    pub(crate) bearing_read: bool,
    pub(crate) answer: Option<super::Answer>,
}

impl Facts {
    pub(crate) fn new(setup: &Arc<Setup>) -> Self {
        Self {
            setup: Arc::clone(setup),
            entered: 0,
            glands_named: false,
            hot_pipe_named: false,
            at_s: 0.0,
            fire: Fire::default(),
            works: Works::default(),
            water: WaterFacts::default(),
            pressure: PressureFacts::default(),
            valve: Valve::default(),
            air: Air::default(),
            flame: Flame::default(),
            speed: Speed::default(),
            checks: Checks::default(),
            leaks: BTreeSet::new(),
            press: PressTest::default(),
            blows: Blows::default(),
            bench: Bench::default(),
            stuck: Stuck::default(),
            stretches: Stretches::default(),
            watch: Watch::new(
                &setup.trial.plant,
                setup.barometer,
                setup.resolution_mm,
                setup.gauge_step_bar,
            ),
            read: BTreeSet::new(),
            bearing_read: false,
            answer: None,
        }
    }

    /// Is the boiler hot, as the rules mean it?
    pub(crate) fn hot(&self) -> bool {
        self.fire.hot_since_s.is_some()
    }

    /// Is the feed on?
    pub(crate) fn feed_on(&self) -> bool {
        let drive = self.setup.trial.plant.feed_drive;
        let geared = drive.is_some_and(super::Drive::goes_with_engine);
        self.works.feed_entered || (geared && self.works.engine && !self.works.bypass_open)
    }

    /// Is steam taken?
    pub(crate) fn steam_taken(&self) -> bool {
        self.works.engine || self.works.stop_valve_open
    }

    /// Can the water be seen by nothing but a plug, or not at all?
    pub(crate) fn water_unseen(&self) -> bool {
        use super::WaterSeenBy::{Nothing, Plug};
        match self.setup.trial.plant.water_seen_by {
            Some(way) => matches!(way, Plug | Nothing),
            None => self.setup.trial.plant.glass.is_none() && !self.water.level_entered,
        }
    }

    /// Takes in everything of one instant: checks, then events, then the readings together.
    pub(crate) fn apply(&mut self, t_s: f64, instant: &[&What]) {
        self.entered += instant.len();
        let hours = (t_s - self.at_s).max(0.0) / 3600.0;
        self.stuck
            .pass(hours, self.feed_on(), self.watch.draw_factor(), &self.watch);
        self.watch.advance(t_s);
        self.at_s = self.at_s.max(t_s);
        for what in instant {
            if let What::Check(check) = what {
                self.check(check);
            }
        }
        for what in instant {
            if let What::Event(event) = what {
                self.event(t_s, event);
            }
        }
        let readings: Vec<&Reading> = instant
            .iter()
            .filter_map(|what| {
                if let What::Reading(r) = what {
                    Some(&**r)
                } else {
                    None
                }
            })
            .collect();
        if let Some(reading) = merge::conservative(&readings) {
            self.reading(t_s, &reading);
        }
        for what in instant {
            if let What::Answer(answer) = what {
                self.answer = Some(*answer);
            }
        }
    }

    fn check(&mut self, check: &Check) {
        self.checks.take(check);
    }

    fn event(&mut self, t_s: f64, event: &Event) {
        self.fire.event(t_s, event.name);
        self.works.event(event.name);
        self.flame.event(t_s, event.name);
        self.speed.event(event.name);
        self.valve.event(t_s, event.name, &self.pressure);
        self.air.event(t_s, event.name);
        self.press.event(t_s, event);
        self.bench.event(t_s, event.name);
        let meanwhile = self.meanwhile();
        self.blows.event(t_s, event.name, meanwhile);
        match event.name {
            EventName::FireLit => {
                self.watch.fire_lit(t_s);
                self.pass_gate(t_s);
            }
            EventName::LeakSeen => {
                self.leaks.insert(event.leak_at);
            }
            EventName::LeakStopped if event.leak_at == LeakAt::Unsaid => self.leaks.clear(),
            EventName::LeakStopped => {
                self.leaks.remove(&event.leak_at);
            }
            EventName::WaterAdded if event.to_boiler => {
                let ml = event.amount_ml.unwrap_or(0.0);
                self.watch.water_added(ml);
                self.stuck.added(ml * 998e-6);
                self.stretches.cut();
            }
            EventName::LookByPicture => self.water.looked(t_s),
            EventName::GlassSluggish => self.stuck.sluggish(),
            EventName::GlassBlownThrough => self.stuck.blown_through(),
            EventName::CarryOver => self.water.carry_over = true,
            EventName::TankFilled => self.works.tank_filled(),
            EventName::PressureReleased => self.pressure.released(),
            _ => {}
        }
        self.regime_changed(t_s);
    }

    /// Tells the watch what goes on now; closes what must not be compared across a change.
    fn regime_changed(&mut self, t_s: f64) {
        let now = Working {
            steam_taken: self.steam_taken(),
            valve_lifted: self.valve.lifted,
            feed_on: self.feed_on(),
            blowing_down: self.works.blowing_down,
        };
        if self.works.note_change(t_s, now) {
            self.watch.working(now);
            self.stretches
                .change(now, self.watch.weigh(self.water.level_mm.unwrap_or(0.0)).0);
        }
    }

    fn meanwhile(&self) -> Meanwhile {
        Meanwhile {
            steam_taken: self.steam_taken(),
            fed: self.feed_on(),
            fire_lit: self.fire.lit,
        }
    }

    fn pass_gate(&mut self, t_s: f64) {
        if let Some(names) = &self.setup.trial.hold_points {
            self.checks.gate(t_s, names);
        }
    }

    fn reading(&mut self, t_s: f64, reading: &Reading) {
        if let Some(bar) = reading
            .pressure_bar
            .into_iter()
            .chain(reading.pressure_second_bar)
            .reduce(f64::max)
        {
            self.take_pressure(t_s, bar, reading);
        }
        self.take_water(t_s, reading);
        self.press.reading(t_s, reading, &self.setup);
        let about = bench::About {
            lit_at_s: self.fire.lit_at_s,
            water_kg: self.watch.mass(),
        };
        self.bench.reading(t_s, reading, about, &self.setup);
        if let Some(ppm) = reading.co_ppm {
            self.read.insert("co");
            self.air.sample(t_s, ppm);
        }
        if let (Some(ppm), Some(pct)) = (reading.co_ppm, reading.co2_pct) {
            self.air.flue(ppm, pct);
        }
        if let Some(rpm) = reading.rpm {
            self.speed.read(t_s, rpm, &self.setup);
        }
        if let Some(ml) = reading.feed_tank_ml {
            self.works.tank_read(t_s, ml);
        }
        if reading
            .water_c
            .or(reading.shell_c)
            .or(reading.ambient_c)
            .or(reading.tank_c)
            .or(reading.bearing_c)
            .is_some()
        {
            self.read.insert("temperature");
        }
        self.bearing_read |= reading.bearing_c.is_some();
        if reading.gas_g.is_some() {
            self.read.insert("scale");
        }
        // The seconds of a catch are read off a stopwatch.
        if reading.catch_s.is_some() {
            self.read.insert("stopwatch");
        }
    }

    fn take_pressure(&mut self, t_s: f64, bar: f64, reading: &Reading) {
        if reading.pressure_bar.is_some() {
            self.read.insert("pressure");
        }
        if reading.pressure_second_bar.is_some() {
            self.read.insert("pressure_second");
        }
        self.watch.pressure(bar);
        let heats = self.setup.heats_by_pressure();
        self.fire.pressure(t_s, bar, heats);
        let lifted = self.valve.lifted;
        self.pressure
            .read(t_s, bar, reading, &self.setup, self.hot(), lifted);
        self.valve.read(t_s, bar);
        let meanwhile = self.meanwhile();
        self.blows.reading(t_s, bar, meanwhile);
        if bar > 0.2 {
            self.pass_gate(t_s);
        }
    }

    fn take_water(&mut self, t_s: f64, reading: &Reading) {
        let Some(seen) = water::Look::of(reading, &self.setup) else {
            return;
        };
        let steam = self.steam_taken();
        let hot = self.hot();
        self.water.take(t_s, &seen, steam, hot, &self.setup);
        match seen.sight {
            Sight::Below | Sight::Above => {
                self.watch.past_end(seen.sight == Sight::Above);
                self.stuck.read_again();
                self.stuck.out_of_glass();
            }
            Sight::Level(mm) => {
                self.read.insert("level");
                self.watch.level(mm);
                let (kg, variance) = self.watch.weigh(mm);
                self.stretches.reading(t_s, kg, variance);
                self.stuck.reading(mm, &self.setup);
            }
            Sight::Unknown => {}
        }
        if hot && !matches!(seen.sight, Sight::Level(_)) {
            self.stretches.cut();
        }
    }
}
