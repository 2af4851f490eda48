//! A boiler boiled down: water, metal and steam at one temperature, heated, drawn from and fed.

use acceptance::Chance;
use calc::level::{Firebox, LyingTube, StandingTube, WaterSpace};
use calc::quantity::{Absolute, Temperature};
use calc::steam::{Saturation, boiling_pressure, saturated};

/// Heat that a kilogram of copper or steel takes up, kJ/(kg·K).
const METAL_KJ_KG_K: f64 = 0.42;
const WATER_KJ_KG_K: f64 = 4.22;
const FEED_KJ_KG: f64 = 70.0;

/// What the boiler is: drawn by chance, never changed by a trial.
#[derive(Clone, Debug)]
pub(crate) struct Boiler {
    pub(crate) space: WaterSpace,
    pub(crate) full_ml: f64,
    pub(crate) working_bar: f64,
    pub(crate) metal_kg: f64,
    /// Heat that reaches the water, kW.
    pub(crate) heat_kw: f64,
    /// Glass: zero over the inside bottom (none for a table), visible, low and high marks, mm.
    pub(crate) bottom_mm: f64,
    pub(crate) visible_mm: f64,
    pub(crate) low_mm: f64,
    pub(crate) high_mm: f64,
}

/// What goes on at one moment.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Doing {
    pub(crate) fire: f64,
    /// Steam the engine takes at three quarters of working pressure, kg/h.
    pub(crate) load_kg_h: f64,
    pub(crate) feed_kg_h: f64,
    pub(crate) leak_kg_h: f64,
}

/// Water and heat in it.
#[derive(Clone, Debug)]
pub(crate) struct State {
    pub(crate) water_kg: f64,
    pub(crate) temperature_c: f64,
    pub(crate) lifted: bool,
}

impl Boiler {
    pub(crate) fn by_chance(c: &mut Chance) -> Self {
        let space = match c.pick(&[0, 0, 1, 2]) {
            0 => lying(c),
            1 => standing(c),
            _ => table(c),
        };
        let full_ml = match &space {
            WaterSpace::Calibrated { points } => points.last().map_or(1.0, |p| p.1) * 1.35,
            other => other.full_ml(),
        };
        let litres = full_ml / 1000.0;
        let (bottom_mm, visible_mm) = glass(&space, c);
        let low_mm = (visible_mm * c.between(0.2, 0.3)).round();
        Self {
            full_ml,
            working_bar: (c.between(2.5, 7.0) * 2.0).round() / 2.0,
            metal_kg: litres * c.between(0.9, 2.2),
            heat_kw: litres * 0.35 * (0.35 * c.normal()).exp(),
            bottom_mm,
            visible_mm,
            low_mm,
            high_mm: (visible_mm * c.between(0.8, 0.88)).round(),
            space,
        }
    }

    fn saturation(&self, temperature_c: f64) -> Saturation {
        let held = Temperature::from_celsius(temperature_c.clamp(20.0, 210.0));
        boiling_pressure(held)
            .and_then(saturated)
            .unwrap_or_else(|_| unreachable!("held within the steam table"))
    }

    /// Pressure over the atmosphere, bar; none below boiling.
    pub(crate) fn pressure_bar(&self, state: &State) -> f64 {
        let held = Temperature::from_celsius(state.temperature_c.clamp(20.0, 210.0));
        let inside = boiling_pressure(held).map_or(0.0, Absolute::bar);
        (inside - Absolute::STANDARD_ATMOSPHERE.bar()).max(0.0)
    }

    /// Level over the glass's zero at rest, mm.
    pub(crate) fn level_mm(&self, state: &State) -> f64 {
        let s = self.saturation(state.temperature_c.max(100.0));
        let cold = 1002.0 - 0.22 * state.temperature_c - 0.0022 * state.temperature_c.powi(2);
        let (water, steam) = if state.temperature_c < 100.0 {
            (cold, 0.0)
        } else {
            (s.water_kg_m3, s.steam_kg_m3)
        };
        let ml = (state.water_kg * 1e6 - steam * self.full_ml) / (water - steam);
        self.height_mm(ml) - self.bottom_mm
    }

    fn height_mm(&self, ml: f64) -> f64 {
        if let WaterSpace::Calibrated { points } = &self.space {
            let (first, last) = (points[0], points[points.len() - 1]);
            let slope = (last.0 - first.0) / (last.1 - first.1);
            if ml < first.1 {
                return first.0 + (ml - first.1) * slope;
            }
            if ml > last.1 {
                return last.0 + (ml - last.1) * slope;
            }
        }
        let (mut low, mut high) = (0.0, self.space.height_mm());
        for _ in 0..40 {
            let mid = (low + high) / 2.0;
            if self.space.volume_ml(mid) < ml {
                low = mid
            } else {
                high = mid
            }
        }
        low
    }

    /// Weight of water with the level at `level_mm` and the boiler at `temperature_c`, kg.
    pub(crate) fn water_kg(&self, level_mm: f64, temperature_c: f64) -> f64 {
        let ml = self.space.volume_ml(level_mm + self.bottom_mm);
        if temperature_c < 100.0 {
            return ml * 998e-6;
        }
        let s = self.saturation(temperature_c);
        (s.water_kg_m3 * ml + s.steam_kg_m3 * (self.full_ml - ml).max(0.0)) / 1e6
    }

    /// Water lost without any feed, kg/h.
    pub(crate) fn drawn_kg_h(&self, state: &State, doing: Doing) -> f64 {
        let p = self.pressure_bar(state);
        let reference = 0.75 * self.working_bar + 1.013;
        let load = if p > 0.05 {
            doing.load_kg_h * (p + 1.013) / reference
        } else {
            0.0
        };
        let valve = if state.lifted {
            0.9 * self.heat_kw * 3600.0 / 2130.0 * doing.fire
        } else {
            0.0
        };
        load + valve + doing.leak_kg_h
    }

    /// Carries the boiler over a few seconds.
    pub(crate) fn step(&self, state: &mut State, doing: Doing, seconds: f64) {
        let h = seconds / 3600.0;
        let drawn = self.drawn_kg_h(state, doing);
        let s = self.saturation(state.temperature_c.max(100.0));
        let steam_heat = (drawn - doing.leak_kg_h) * s.evaporation_kj_kg();
        let feed_heat = doing.feed_kg_h * (s.water_kj_kg - FEED_KJ_KG);
        let lost_kw = 0.0006 * self.full_ml / 1000.0 * (state.temperature_c - 20.0).max(0.0);
        let capacity = state.water_kg * WATER_KJ_KG_K + self.metal_kg * METAL_KJ_KG_K;
        let net = (self.heat_kw * doing.fire - lost_kw) * 3600.0 - steam_heat - feed_heat;
        state.temperature_c = (state.temperature_c + net * h / capacity).max(20.0);
        state.water_kg =
            (state.water_kg + (doing.feed_kg_h - drawn) * h).max(0.02 * self.full_ml / 1000.0);
    }
}

fn lying(c: &mut Chance) -> WaterSpace {
    let bore_mm = c.between(60.0, 160.0).round();
    let length_mm = (bore_mm * c.between(1.6, 3.0)).round();
    let count = c.pick(&[1.0, 1.0, 2.0, 3.0]);
    let od_mm = (bore_mm * if count > 1.5 { 0.2 } else { 0.4 }).round();
    let centre_mm = (od_mm / 2.0 + bore_mm * c.between(0.05, 0.15)).round();
    WaterSpace::Horizontal {
        bore_mm,
        length_mm,
        tubes: vec![LyingTube {
            od_mm,
            centre_mm,
            count,
        }],
    }
}

fn standing(c: &mut Chance) -> WaterSpace {
    let bore_mm = c.between(90.0, 180.0).round();
    let height_mm = (bore_mm * c.between(1.2, 2.0)).round();
    let crown_mm = (height_mm * c.between(0.35, 0.45)).round();
    let od_mm = c.between(8.0, 13.0).round();
    let room = bore_mm * bore_mm * 0.25 / (od_mm * od_mm * 2.0);
    let count = room.floor().clamp(5.0, 40.0);
    WaterSpace::Vertical {
        bore_mm,
        height_mm,
        tubes: vec![StandingTube { od_mm, count }],
        firebox: Some(Firebox {
            od_mm: bore_mm - 14.0,
            crown_mm,
        }),
    }
}

/// A table poured for a boiler whose shape nobody drew.
fn table(c: &mut Chance) -> WaterSpace {
    let per_mm = c.between(6.0, 40.0);
    let mut ml = per_mm * c.between(35.0, 60.0);
    let mut points = Vec::new();
    for n in 0..9 {
        points.push((f64::from(n) * 6.0, ml.round()));
        ml += 6.0 * per_mm * c.between(0.85, 1.15);
    }
    WaterSpace::Calibrated { points }
}

fn glass(space: &WaterSpace, c: &mut Chance) -> (f64, f64) {
    let height = space.height_mm();
    match space {
        WaterSpace::Calibrated { .. } => (0.0, height.min(48.0)),
        WaterSpace::Horizontal { .. } => (
            (height * c.between(0.5, 0.62)).round(),
            (height * 0.32).round().max(16.0),
        ),
        WaterSpace::Vertical { firebox, .. } => {
            let crown = firebox.map_or(0.0, |f| f.crown_mm);
            (
                (crown + 4.0).round(),
                ((height - crown) * c.between(0.4, 0.6)).round().max(20.0),
            )
        }
    }
}
