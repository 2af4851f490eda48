//! What a shell under pressure tells: how far a hold fell beyond what the temperature did, and how
//! much air was left in it.

use crate::air::{self, AirHold};
use crate::hydraulic::{self, FullShell, Metal, TrappedAir};
use crate::quantity::{Gauge, Temperature};
use crate::trial::facts::{Facts, Held};
use crate::trial::setup::Setup;
use crate::trial::{Kind, ShellMaterial};
use crate::uncertainty::step_u;

/// Leak that a fitting may have in an air test, standard ml/min.
const AIR_LEAK_ML_MIN: f64 = 5.0;
/// Standard uncertainty of the barometer between two readings, where it is read once, Pa.
const BAROMETER_PA: f64 = 50.0;
/// Shell reckoned with where nobody measured it, mm.
const ASSUMED_MM: (f64, f64) = (100.0, 2.5);
/// Water and shell reckoned with where nobody read a temperature, °C.
const ASSUMED_C: f64 = 20.0;

/// What a hold shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::trial) struct Fall {
    pub(in crate::trial) from_s: f64,
    pub(in crate::trial) to_s: f64,
    /// The fall that is left when what the temperature did is taken off, bar; as read where no
    /// temperature was.
    pub(in crate::trial) drop_bar: f64,
    /// Its expanded uncertainty, bar.
    pub(in crate::trial) expanded_bar: f64,
    /// The part of it that the gauge's step alone makes, bar.
    pub(in crate::trial) reading_bar: f64,
    /// What it may fall, bar.
    pub(in crate::trial) allowed_bar: f64,
    /// How far the temperature drifted, K.
    pub(in crate::trial) drift_k: Option<f64>,
    /// What one kelvin does, bar.
    pub(in crate::trial) bar_per_k: f64,
    /// The leak that would explain it, ml/min (of air: standard ml/min), and its expanded
    /// uncertainty.
    pub(in crate::trial) leak_ml_min: Option<(f64, f64)>,
}

impl Fall {
    /// What the temperature's drift did to the pressure, bar.
    pub(in crate::trial) fn drift_bar(&self) -> Option<f64> {
        self.drift_k.map(|k| k * self.bar_per_k)
    }
}

/// The shell as far as it is known, and whether any of it was assumed.
pub(in crate::trial) fn shell(setup: &Setup) -> (FullShell, bool) {
    let plant = &setup.trial.plant;
    let metal = match plant.shell_material {
        Some(ShellMaterial::Steel) => Metal::STEEL,
        Some(ShellMaterial::Stainless) => Metal::STAINLESS,
        Some(ShellMaterial::Brass) => Metal::BRASS,
        Some(ShellMaterial::Bronze) => Metal::BRONZE,
        Some(ShellMaterial::Copper) | None => Metal::COPPER,
    };
    let known = plant.shell_material.is_some()
        && plant.shell.bore_mm.is_some()
        && plant.shell.wall_mm.is_some();
    let shell = FullShell {
        bore_mm: plant.shell.bore_mm.unwrap_or(ASSUMED_MM.0),
        wall_mm: plant.shell.wall_mm.unwrap_or(ASSUMED_MM.1),
        metal,
        compliance_factor: plant.shell.compliance_factor.unwrap_or(1.0),
    };
    (shell, !known)
}

/// Expanded uncertainty of a fall that the gauge's step alone makes, bar.
pub(in crate::trial) fn reading_bar(setup: &Setup) -> f64 {
    2.0 * std::f64::consts::SQRT_2 * step_u(setup.gauge_read_to_bar())
}

/// What the hold that runs, or the longest that ended, shows; none before its second reading.
pub(in crate::trial) fn fall(facts: &Facts) -> Option<Fall> {
    let hold = facts.press.hold?;
    if hold.read_for_s() <= 0.0 {
        return None;
    }
    match facts.setup.trial.kind {
        Kind::Air => fall_of_air(&facts.setup, &hold),
        _ => fall_of_water(facts, &hold),
    }
}

fn fall_of_water(facts: &Facts, hold: &Held) -> Option<Fall> {
    let setup = &facts.setup;
    let (first, last) = (hold.first?, hold.last?);
    let drift_k = first.celsius.zip(last.celsius).map(|(a, b)| b - a);
    let mean_c = match (first.celsius, last.celsius) {
        (Some(a), Some(b)) => f64::midpoint(a, b),
        (Some(c), None) | (None, Some(c)) => c,
        (None, None) => ASSUMED_C,
    };
    let volume = setup.trial.plant.volume_ml;
    let air = trapped(facts)
        .zip(volume)
        .map(|(air, shell_ml)| TrappedAir {
            at_atmosphere_ml: air.ml,
            shell_ml,
            pressure: Gauge::from_bar(f64::midpoint(first.bar, last.bar).max(0.0))
                .above(setup.barometer),
            barometer: setup.barometer,
        });
    let give = hydraulic::drift(&shell(setup).0, Temperature::from_celsius(mean_c), air).ok()?;
    let bar_per_k = give.bar_per_k;
    let drop_bar = first.bar - last.bar + drift_k.map_or(0.0, |k| k * bar_per_k);
    let reading_bar = reading_bar(setup);
    let warmth = 2.0 * std::f64::consts::SQRT_2 * bar_per_k.abs() * setup.difference_u_k();
    let expanded_bar = if drift_k.is_some() {
        reading_bar.hypot(warmth)
    } else {
        reading_bar
    };
    let minutes = (last.t_s - first.t_s) / 60.0;
    let per_bar = volume.map(|ml| give.total_per_pa() * ml * 1e5 / minutes);
    let test_bar = setup.target_bar().unwrap_or(first.bar);
    Some(Fall {
        from_s: first.t_s,
        to_s: last.t_s,
        drop_bar,
        expanded_bar,
        reading_bar,
        allowed_bar: setup.trial.limits.allowed_drop_pct / 100.0 * test_bar,
        drift_k,
        bar_per_k,
        leak_ml_min: per_bar
            .filter(|_| drift_k.is_some())
            .map(|c| (c * drop_bar, c * expanded_bar)),
    })
}

fn fall_of_air(setup: &Setup, hold: &Held) -> Option<Fall> {
    let (first, last) = (hold.first?, hold.last?);
    let drift_k = first.celsius.zip(last.celsius).map(|(a, b)| b - a);
    let kelvin = first.celsius.unwrap_or(ASSUMED_C) + 273.15;
    let inside = Gauge::from_bar(first.bar).above(setup.barometer).bar();
    let bar_per_k = inside / kelvin;
    let drop_bar = first.bar - last.bar + drift_k.map_or(0.0, |k| k * bar_per_k);
    let step = std::f64::consts::SQRT_2 * step_u(setup.gauge_read_to_bar());
    let u_bar = step.hypot(BAROMETER_PA / 1e5);
    let u_k = std::f64::consts::SQRT_2 * setup.difference_u_k();
    let expanded_bar = if drift_k.is_some() {
        2.0 * u_bar.hypot(bar_per_k * u_k)
    } else {
        2.0 * u_bar
    };
    let leak = setup.trial.plant.volume_ml.and_then(|volume_ml| {
        let answer = air::leak(&AirHold {
            volume_ml,
            start: Gauge::from_bar(first.bar),
            end: Gauge::from_bar(last.bar),
            start_air: first.celsius.map(Temperature::from_celsius),
            end_air: last.celsius.map(Temperature::from_celsius),
            start_barometer: setup.barometer,
            end_barometer: setup.barometer,
            seconds: last.t_s - first.t_s,
            u_difference_pa: u_bar * 1e5,
            u_difference_k: u_k,
        })
        .ok()?;
        let flow = answer.number("leak_std_ml_per_min")?;
        Some((flow, answer.number("U_leak_ml_per_min")?))
    });
    // Standard ml a minute for each bar lost over this hold.
    let minutes = (last.t_s - first.t_s) / 60.0;
    let per_bar =
        setup.trial.plant.volume_ml.unwrap_or(1000.0) / minutes / 1.013_25 * 293.15 / kelvin;
    Some(Fall {
        from_s: first.t_s,
        to_s: last.t_s,
        drop_bar,
        expanded_bar,
        reading_bar: 2.0 * u_bar,
        allowed_bar: AIR_LEAK_ML_MIN / per_bar,
        drift_k,
        bar_per_k,
        leak_ml_min: leak,
    })
}

/// Air left in a full shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::trial) struct Air {
    /// As it would be at the atmosphere's pressure, ml.
    pub(in crate::trial) ml: f64,
    /// Of the whole inside, %.
    pub(in crate::trial) pct: f64,
    /// Expanded uncertainty of that, from the gauge, %.
    pub(in crate::trial) plus_minus_pct: Option<f64>,
}

/// What was pumped in beyond what water and shell alone would take; none where the boiler's size or
/// the pumped volume is not known.
pub(in crate::trial) fn trapped(facts: &Facts) -> Option<Air> {
    let setup = &facts.setup;
    let (pumped, shell_ml) = (facts.press.pumped?, setup.trial.plant.volume_ml?);
    let at = |bar: f64| {
        let answer = hydraulic::trapped_air(&hydraulic::Pumped {
            shell: shell(setup).0,
            shell_ml,
            pumped_ml: pumped.ml,
            u_pumped_ml: 0.0,
            pressure: Gauge::from_bar(bar),
            barometer: setup.barometer,
            water: Temperature::from_celsius(pumped.celsius.unwrap_or(ASSUMED_C)),
        });
        match answer {
            Ok(answer) => answer.number("air_at_atm_ml"),
            // Less was pumped in than the shell alone would take: there is no air to be seen.
            Err(refused) if refused.field() == "pumped_ml" => Some(0.0),
            Err(_) => None,
        }
    };
    let ml = at(pumped.bar)?;
    let share = 100.0 / shell_ml;
    let plus_minus_pct = setup.pressure_u_bar().and_then(|u| {
        let (low, high) = (
            at((pumped.bar - 2.0 * u).max(0.01))?,
            at(pumped.bar + 2.0 * u)?,
        );
        Some((low - high).abs() / 2.0 * share)
    });
    Some(Air {
        ml,
        pct: ml * share,
        plus_minus_pct,
    })
}

/// Is less entered as pumped in than water and shell alone would take, beyond what the gauge
/// explains?
pub(in crate::trial) fn pumped_too_little(facts: &Facts) -> bool {
    let setup = &facts.setup;
    let (Some(pumped), Some(shell_ml)) = (facts.press.pumped, setup.trial.plant.volume_ml) else {
        return false;
    };
    let u = setup.pressure_u_bar().map_or(0.0, |u| 2.0 * u);
    let temperature = Temperature::from_celsius(pumped.celsius.unwrap_or(ASSUMED_C));
    let Ok(give) = hydraulic::drift(&shell(setup).0, temperature, None) else {
        return false;
    };
    let least = shell_ml * give.total_per_pa() * (pumped.bar - u).max(0.0) * 1e5;
    pumped.ml < 0.8 * least
}
