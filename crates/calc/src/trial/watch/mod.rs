//! The water watch: how long until the water may reach the low mark.
//!
//! # Method
//! Four Gaussian hypotheses (feed works or has failed, with or without a leak) are carried side by
//! side over four unknowns: the *weight* of water, the steam drawn, the feed, and a loss that
//! nobody entered. A reading of the glass is first turned into weight with the density at the
//! pressure of the moment, so that swell is gone before anything is compared; then each hypothesis
//! is corrected by as much as the reading deserves to be believed (a plain misread is always one of
//! the possibilities) and weighed by how well it foresaw it. The runway is the first time by which
//! the mixture gives the low mark a chance of [`CREDIBLE`]. Between readings nothing is stored: the
//! runway shortens by the age of the last one.
//!
//! # Assumptions
//! * The draw goes as the absolute pressure while steam is taken, is 0.6 of it while the safety
//!   valve blows and nothing else is taken, and is none otherwise.
//! * Before the glass has spoken the draw is guessed from whatever is known: the boiler's size
//!   (always), the rise to pressure, the burner's rating or jet, an earlier trial.
//! * A feed that no reading has confirmed counts at its record times the chance that it works.
//! * Without a shape a drum of the plant's volume stands in for it, with more doubt.
//!
//! # Failure cases
//! A feed that dies between two looks is seen at the second look after it. Water that goes many times
//! faster than anything entered explains is taken for a misread once, and believed at the second
//! look. Two or three millimetres above the mark on a small slow boiler lie under the surge. A single
//! reading at or under the mark stops the trial by rule, misread or not. A blow-down loses the weight
//! of water until the next readings. Steam taken without any event entered is seen only as a leak, a
//! reading or two late.
//!
//! # Cost
//! An entry costs the same however long the log: the state is sixteen means and four small
//! matrices. A correction of an earlier entry costs a replay.

mod ask;
mod bank;
mod horizon;
mod mass;
pub(in crate::trial) mod prior;

use crate::quantity::{Absolute, Gauge};
use crate::steam;
use crate::trial::Plant;
use bank::{Bank, K, M, Regime};
use mass::{Densities, Heat, Scale, densities};
use prior::Draw;

/// Chance of the low mark having been reached that is taken as credible.
pub(in crate::trial) const CREDIBLE: f64 = 0.20;
/// A reading that was more likely than this a misread asks for a second look.
const STRANGE: f64 = 0.5;
const CALM_MM2: f64 = 0.4 * 0.4;
const STEAMING_MM2: f64 = 0.8 * 0.8;
const SURGE_MM2: (f64, f64) = (0.3, 6.0);
const BUBBLES_MM: f64 = 0.7;
const BLOWN_DOWN_MM: f64 = 6.0;

/// What goes on in the plant, as the log tells it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::trial) struct Working {
    pub(in crate::trial) steam_taken: bool,
    pub(in crate::trial) valve_lifted: bool,
    pub(in crate::trial) feed_on: bool,
    pub(in crate::trial) blowing_down: bool,
}

/// A runway, in seconds from the moment asked about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::trial) struct Runway {
    /// Conservative.
    pub(in crate::trial) least_s: f64,
    /// As likely as not; none within the hour looked at.
    pub(in crate::trial) likely_s: Option<f64>,
}

/// The watch over one trial's water.
#[derive(Clone, Debug)]
pub(in crate::trial) struct Watch {
    plant: Plant,
    scale: Scale,
    barometer: Absolute,
    resolution_mm: f64,
    gauge_step_bar: f64,
    reference_bar_abs: f64,
    bank: Option<Bank>,
    prior: Draw,
    at_s: f64,
    working: Working,
    pressure_bar: Option<f64>,
    pressed: bool,
    lit_at_s: Option<f64>,
    blown_before_steam: bool,
    steamed: bool,
    surge_mm2: f64,
    level_mm: f64,
    strange: bool,
    /// The last reading that was believed: when, s, and its weight, kg.
    believed: Option<(f64, f64)>,
    /// The last reading, where nothing expected it, lay under what was foreseen.
    astray_low: Option<bool>,
}

impl Watch {
    pub(in crate::trial) fn new(
        plant: &Plant,
        barometer: Absolute,
        resolution_mm: f64,
        gauge_step_bar: f64,
    ) -> Self {
        let scale = Scale::of(plant);
        let prior = first_guess(plant, &scale, None);
        Self {
            reference_bar_abs: 0.75 * plant.working_pressure_bar.unwrap_or(3.0) + 1.013,
            plant: plant.clone(),
            scale,
            barometer,
            resolution_mm,
            gauge_step_bar,
            bank: None,
            prior,
            at_s: 0.0,
            working: Working::default(),
            pressure_bar: None,
            pressed: false,
            lit_at_s: None,
            blown_before_steam: false,
            steamed: false,
            surge_mm2: STEAMING_MM2,
            level_mm: 0.0,
            strange: false,
            believed: None,
            astray_low: None,
        }
    }

    fn heat(&self) -> Heat {
        if self.pressed {
            Heat::Boiling
        } else if self.lit_at_s.is_some() {
            Heat::Warming
        } else {
            Heat::Cold
        }
    }

    fn densities(&self) -> Densities {
        densities(
            self.heat(),
            self.pressure_bar.unwrap_or(0.0),
            self.barometer,
        )
    }

    fn regime(&self) -> Regime {
        let inside = |bar: f64| bar.max(0.0) + self.barometer.bar();
        let draw = if self.working.steam_taken {
            self.pressure_bar
                .map_or(1.0, |bar| inside(bar) / self.reference_bar_abs)
        } else if self.working.valve_lifted {
            0.6
        } else {
            0.0
        };
        Regime {
            draw,
            feed: self.working.feed_on,
        }
    }

    /// Carries everything to `t_s` under what went on until then.
    pub(in crate::trial) fn advance(&mut self, t_s: f64) {
        let regime = self.regime();
        if let Some(bank) = &mut self.bank {
            bank.predict((t_s - self.at_s) / 3600.0, regime);
        }
        self.at_s = self.at_s.max(t_s);
    }

    pub(in crate::trial) fn fire_lit(&mut self, t_s: f64) {
        self.lit_at_s.get_or_insert(t_s);
    }

    /// A pressure was read.
    pub(in crate::trial) fn pressure(&mut self, bar: f64) {
        self.pressure_bar = Some(bar);
        let hot_enough = if self.lit_at_s.is_some() {
            self.gauge_step_bar
        } else {
            0.2
        };
        if bar > hot_enough.max(0.01) || bar > 0.2 {
            self.pressed = true;
        }
    }

    /// Water was put into the boiler, ml.
    pub(in crate::trial) fn water_added(&mut self, ml: f64) {
        if let Some(bank) = &mut self.bank {
            let kg = ml * 998e-6;
            bank.add(kg, 0.1 * kg);
        }
    }

    /// What goes on has changed (call after `advance`).
    pub(in crate::trial) fn working(&mut self, now: Working) {
        let before = std::mem::replace(&mut self.working, now);
        if now == before {
            return;
        }
        let rise = self.first_steam(before, now);
        let millimetre = self.scale.kg_per_mm(self.level_mm, self.densities());
        if now.valve_lifted && !self.steamed {
            self.blown_before_steam = true;
        }
        let Some(bank) = &mut self.bank else { return };
        if let Some(prior) = rise {
            self.prior = prior;
            bank.expect(prior.kg_h, draw_sd(prior));
        } else if now.steam_taken && !before.steam_taken {
            bank.doubt(K, 0.25 * draw_sd(self.prior).powi(2));
        }
        if now.steam_taken != before.steam_taken {
            bank.doubt(M, (BUBBLES_MM * millimetre).powi(2));
        }
        if before.blowing_down && !now.blowing_down {
            bank.doubt(M, (BLOWN_DOWN_MM * millimetre).powi(2));
        }
        match (before.feed_on, now.feed_on) {
            (false, true) => bank.feed_on(),
            (true, false) => bank.feed_off(),
            _ => {}
        }
    }

    /// At the first taking of steam the rise to pressure is known: what it says of the draw.
    fn first_steam(&mut self, before: Working, now: Working) -> Option<Draw> {
        if self.steamed || before.steam_taken || !now.steam_taken {
            return None;
        }
        self.steamed = true;
        let rise = self.rise_kg_h();
        Some(first_guess(&self.plant, &self.scale, rise))
    }

    fn rise_kg_h(&self) -> Option<f64> {
        let bar = self
            .pressure_bar
            .filter(|bar| *bar >= 0.3 && !self.blown_before_steam)?;
        let boiling = steam::saturated(Gauge::from_bar(bar).above(self.barometer)).ok()?;
        let mass = self.bank.as_ref()?.mean(M);
        prior::from_rise(
            mass,
            boiling.temperature.degrees(),
            self.at_s - self.lit_at_s?,
        )
    }

    /// A level was read (call after `advance` and `pressure`).
    pub(in crate::trial) fn level(&mut self, level_mm: f64) {
        let d = self.densities();
        let z = self.scale.mass_kg(level_mm, d);
        self.level_mm = level_mm;
        let millimetre = self.scale.kg_per_mm(level_mm, d);
        let step = self.resolution_mm * self.resolution_mm / 12.0;
        let density = (d.relative_sd * d.water * self.scale.volume_ml(level_mm)).powi(2);
        let lit = if self.lit_at_s.is_some() {
            (0.00095 * z).powi(2)
        } else {
            0.0
        };
        let steaming = self.working.steam_taken;
        let surge = if steaming { self.surge_mm2 } else { CALM_MM2 };
        let variance = millimetre * millimetre * (step + surge) + density + lit;
        let glass = self.scale.glass_kg(d);
        let Some(bank) = &mut self.bank else {
            let doubt = millimetre * millimetre + density;
            let k_sd = draw_sd(self.prior);
            self.bank = Some(Bank::start(z, doubt.sqrt(), self.prior.kg_h, k_sd));
            self.believed = Some((self.at_s, z));
            return;
        };
        let nu = z - bank.mean(M);
        let s = bank.variance(M) + variance;
        let misread = bank.update(z, variance, glass);
        self.believe(z, variance, nu, misread > STRANGE);
        if steaming {
            let seen = (nu * nu).min(9.0 * s) - (s - variance);
            let seen_mm2 = (seen / (millimetre * millimetre) - step).clamp(0.0, 6.0);
            self.surge_mm2 += (seen_mm2 - self.surge_mm2) / 24.0;
            self.surge_mm2 = self.surge_mm2.clamp(SURGE_MM2.0, SURGE_MM2.1);
        }
    }

    /// One strange reading may be a misread; a second that strays to the same side is no misread, it
    /// is where the water stands and how fast it went.
    fn believe(&mut self, z: f64, variance: f64, nu: f64, strange: bool) {
        let low = nu < 0.0;
        let again = strange && self.astray_low == Some(low);
        self.strange = strange && !again;
        self.astray_low = self.strange.then_some(low);
        if self.strange {
            return;
        }
        let before = self.believed.replace((self.at_s, z));
        let regime = self.regime();
        if let Some(bank) = self.bank.as_mut().filter(|_| again) {
            let lost = before.filter(|(then_s, _)| self.at_s > *then_s);
            let rate = lost.map(|(then_s, kg)| (kg - z) / (self.at_s - then_s) * 3600.0);
            bank.reseat(z, variance, rate.filter(|kg_h| *kg_h > 0.0), regime);
        }
    }

    /// The water was seen to stand past an end of the glass.
    pub(in crate::trial) fn past_end(&mut self, above: bool) {
        let d = self.densities();
        let end_mm = if above { self.scale.visible_mm } else { 0.0 };
        let end = self.scale.mass_kg(end_mm, d);
        self.level_mm = end_mm;
        let millimetre = self.scale.kg_per_mm(end_mm, d);
        let step = self.resolution_mm * self.resolution_mm / 12.0;
        let variance = millimetre * millimetre * (step + self.surge_mm2)
            + (d.relative_sd * d.water * self.scale.volume_ml(end_mm)).powi(2);
        let glass = self.scale.glass_kg(d);
        self.strange = false;
        self.astray_low = None;
        self.believed = None;
        if let Some(bank) = &mut self.bank {
            bank.seen_past(end, above, variance, glass);
        }
    }
}

fn first_guess(plant: &Plant, scale: &Scale, rise: Option<f64>) -> Draw {
    let mut draw = prior::expected(plant, scale.full_litres(), rise);
    if !scale.shape_known {
        draw.ln_sd = draw.ln_sd.hypot(0.4);
    }
    draw
}

fn draw_sd(prior: Draw) -> f64 {
    prior.kg_h * prior.ln_sd.hypot(0.20)
}
