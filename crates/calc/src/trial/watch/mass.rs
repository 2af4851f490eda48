//! From a level in the glass to the weight of water: swell is taken out here.

use crate::level::WaterSpace;
use crate::quantity::{Absolute, Gauge};
use crate::steam;
use crate::trial::Plant;

/// How far the watch carries a table or glass past its ends, mm: a level that is not in sight
/// still has a most likely place.
const BEYOND_MM: f64 = 40.0;
/// Height over breadth of a drum about which nothing but its size is known.
const GUESSED_ML: f64 = 2000.0;
/// Water that is being warmed and of which no temperature was read: kg/m³ and relative sd.
const WARMING: (f64, f64) = (978.0, 0.014);
const COLD_KG_M3: f64 = 998.0;

/// How warm the water is known to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Heat {
    /// No fire yet.
    Cold,
    /// Fire lit, no pressure to be seen yet.
    Warming,
    /// Under pressure: at its boiling point.
    Boiling,
}

/// Densities of water and steam, kg/ml, and the relative sd of the water's.
#[derive(Clone, Copy, Debug)]
pub(super) struct Densities {
    pub(super) water: f64,
    pub(super) steam: f64,
    pub(super) relative_sd: f64,
}

pub(super) fn densities(heat: Heat, pressure_bar: f64, barometer: Absolute) -> Densities {
    let plain = |kg_m3: f64, relative_sd| Densities {
        water: kg_m3 / 1e6,
        steam: 0.0,
        relative_sd,
    };
    match heat {
        Heat::Cold => plain(COLD_KG_M3, 0.001),
        Heat::Warming => plain(WARMING.0, WARMING.1),
        Heat::Boiling => {
            let held = Gauge::from_bar(pressure_bar.clamp(0.0, 18.0)).above(barometer);
            match steam::saturated(held) {
                Ok(s) => Densities {
                    water: s.water_kg_m3 / 1e6,
                    steam: s.steam_kg_m3 / 1e6,
                    relative_sd: if pressure_bar > 0.1 { 0.001 } else { 0.003 },
                },
                Err(_) => plain(958.0, 0.01),
            }
        }
    }
}

/// The glass as a measure of weight.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    space: WaterSpace,
    bottom_mm: f64,
    full_ml: f64,
    /// Was the shape known, or only guessed from a size?
    pub(super) shape_known: bool,
    /// Length of glass that can be seen, mm.
    pub(super) visible_mm: f64,
    /// The mark that must not be reached, mm.
    pub(super) low_mark_mm: f64,
}

impl Scale {
    pub(super) fn of(plant: &Plant) -> Self {
        let glass = plant.glass.unwrap_or_default();
        let shape = plant.water_space.clone().filter(|s| s.check().is_ok());
        let table_top = match &shape {
            Some(WaterSpace::Calibrated { points }) => points.last().map(|p| p.0),
            _ => None,
        };
        let visible_mm = glass.visible_mm.or(table_top).unwrap_or(50.0).max(1.0);
        let shape_known = shape.is_some();
        let space = shape.unwrap_or_else(|| guessed(plant.volume_ml));
        let bottom_mm = match &space {
            WaterSpace::Calibrated { .. } => 0.0,
            other => glass
                .bottom_mm
                .unwrap_or_else(|| ((other.height_mm() - visible_mm) / 2.0).max(0.0)),
        };
        let full_ml = plant.volume_ml.unwrap_or(0.0).max(space.full_ml());
        Self {
            space,
            bottom_mm,
            full_ml,
            shape_known,
            visible_mm,
            low_mark_mm: glass.low_mark_mm.unwrap_or(0.0),
        }
    }

    pub(super) fn full_litres(&self) -> f64 {
        self.full_ml / 1000.0
    }

    /// Water at a level, ml; carried on straight past the ends of a table or shape.
    pub(super) fn volume_ml(&self, level_mm: f64) -> f64 {
        let level = level_mm.clamp(-BEYOND_MM, self.visible_mm + BEYOND_MM);
        let at = level + self.bottom_mm;
        let (least, most) = match &self.space {
            WaterSpace::Calibrated { points } => (
                points.first().map_or(0.0, |p| p.0),
                points.last().map_or(1.0, |p| p.0),
            ),
            other => (0.0, other.height_mm()),
        };
        let inside = at.clamp(least, most);
        let past = at - inside;
        let volume = if past == 0.0 {
            self.space.volume_ml(at)
        } else {
            let step = ((most - least) / 20.0).min(5.0);
            let near = inside - past.signum() * step;
            let slope = (self.space.volume_ml(inside) - self.space.volume_ml(near)).abs() / step;
            self.space.volume_ml(inside) + slope.max(1e-3) * past
        };
        volume.max(0.0)
    }

    /// Weight of water and steam with the water at a level, kg.
    pub(super) fn mass_kg(&self, level_mm: f64, d: Densities) -> f64 {
        let water = self.volume_ml(level_mm);
        d.water * water + d.steam * (self.full_ml - water).max(0.0)
    }

    /// Weight that one millimetre at a level stands for, kg/mm.
    pub(super) fn kg_per_mm(&self, level_mm: f64, d: Densities) -> f64 {
        let over = self.volume_ml(level_mm + 1.0) - self.volume_ml(level_mm - 1.0);
        (over / 2.0).max(1e-3) * (d.water - d.steam)
    }

    /// Weight that the whole visible glass stands for, kg.
    pub(super) fn glass_kg(&self, d: Densities) -> f64 {
        ((self.volume_ml(self.visible_mm) - self.volume_ml(0.0)) * d.water).max(1e-4)
    }

    /// The level at which the boiler would hold `mass_kg`, mm; by halving, to a hundredth.
    pub(super) fn level_mm(&self, mass_kg: f64, d: Densities) -> f64 {
        let (mut low, mut high) = (-BEYOND_MM, self.visible_mm + BEYOND_MM);
        for _ in 0..16 {
            let middle = (low + high) / 2.0;
            if self.mass_kg(middle, d) < mass_kg {
                low = middle
            } else {
                high = middle
            }
        }
        (low + high) / 2.0
    }
}

/// A lying drum twice as long as it is wide, of the volume given or of two litres.
fn guessed(volume_ml: Option<f64>) -> WaterSpace {
    let ml = volume_ml.unwrap_or(GUESSED_ML).max(50.0);
    let bore_mm = (ml * 1000.0 * 2.0 / std::f64::consts::PI).cbrt();
    WaterSpace::Horizontal {
        bore_mm,
        length_mm: 2.0 * bore_mm,
        tubes: vec![],
    }
}
