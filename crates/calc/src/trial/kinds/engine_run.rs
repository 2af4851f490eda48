//! The engine run: long enough, no faster than it may, and looked after. Its power is an estimate and
//! is never judged.

use super::{Grounds, figure};
use crate::engine::{self, Admission, Expansion, admission_steam, mean_pressure, power};
use crate::feed_pump::Acting;
use crate::quantity::Gauge;
use crate::show;
use crate::trial::Supply;
use crate::trial::assessment::Figure;
use crate::trial::facts::Facts;

/// It must have run for so long without a break, s (trade practice).
const RUN_S: f64 = 600.0;
/// Bearings hotter than this are too tight or too dry, °C (trade practice).
const BEARING_C: f64 = 60.0;

pub(super) fn judge(facts: &Facts, end_s: f64, grounds: &mut Grounds) {
    let bench = &facts.bench;
    let ran_s = bench.engine.longest_s(end_s);
    if ran_s < RUN_S {
        grounds.doubt(format!(
            "It ran for {} without a break; {} is asked.",
            show::span(ran_s),
            show::span(RUN_S)
        ));
    } else {
        grounds.remark(format!("It ran for {} without a break.", show::span(ran_s)));
    }
    if bench.turns.is_empty() {
        grounds.doubt("Its turns were never counted, so its speed is not proven.");
    } else if facts.setup.longest_stroke_mm().is_none() {
        grounds.doubt("Its stroke is not known, so its piston speed is not proven.");
    }
    match bench.hottest_c {
        None => grounds.doubt("No bearing's temperature was recorded."),
        Some(c) if c > BEARING_C => grounds.doubt(format!(
            "A bearing came to {} °C; over {} °C it is too tight or too dry.",
            show::fixed(c, 0),
            show::fixed(BEARING_C, 0)
        )),
        Some(c) => grounds.remark(format!("Bearings {} °C at the hottest.", show::fixed(c, 0))),
    }
    super::running_in::judge(facts, end_s, grounds);
    power_and_steam(facts, grounds);
    grounds.need(
        facts.glands_named,
        "Nothing was recorded of the glands: enter a leak at a gland, or a note that names them.",
    );
}

/// Says what it may have made and used; air takes the place of steam in the first alone.
fn power_and_steam(facts: &Facts, grounds: &mut Grounds) {
    let Some((watts, kg_h)) = by_cylinders(facts) else {
        return;
    };
    let on_air = matches!(
        facts.setup.trial.supply,
        Some(Supply::AirDirect | Supply::AirThroughBoiler)
    );
    let used = if on_air {
        String::new()
    } else {
        format!("; it may take {} kg of steam an hour", show::fixed(kg_h, 1))
    };
    grounds.remark(format!(
        "Power, an estimate that is not judged: {} W{used}.",
        show::fixed(watts, 0)
    ));
}

/// What an assumed diagram leaves open of a power, k = 2.
const ASSUMED_SHARE: f64 = 0.4;
/// Diagram factor, clearance, cut-off and back pressure where nothing is said of them (trade practice).
const DIAGRAM: f64 = 0.70;
const CLEARANCE: f64 = 0.08;
const CUTOFF: f64 = 0.75;
const BACK_BAR: f64 = 0.1;
/// Steam that condenses on the cylinder's walls over steam that works (trade practice).
const MISSING: f64 = 1.0;

/// Power and steam of the whole engine, by the pressures and turns read while it ran.
fn by_cylinders(facts: &Facts) -> Option<(f64, f64)> {
    let (setup, bench) = (&facts.setup, &facts.bench);
    let plant = &setup.trial.plant;
    let rpm = mean(bench.turns.iter().map(|t| t.1))?;
    let bar = mean(bench.running_bar.iter().copied())?;
    let (mut watts, mut kg_h) = (0.0, 0.0);
    for cylinder in &plant.cylinders {
        let cylinder = engine::Cylinder {
            bore_mm: cylinder.bore_mm?,
            stroke_mm: cylinder.stroke_mm?,
            rod_mm: cylinder.rod_mm.unwrap_or(0.0),
            acting: if cylinder.single_acting {
                Acting::Single
            } else {
                Acting::Double
            },
        };
        let cutoff = plant.cutoff_pct.map_or(CUTOFF, |p| p / 100.0);
        let clearance = plant.clearance_pct.map_or(CLEARANCE, |p| p / 100.0);
        let (steam, back) = (Gauge::from_bar(bar), Gauge::from_bar(BACK_BAR));
        let mean_bar = mean_pressure(&Expansion {
            steam,
            back,
            barometer: setup.barometer,
            cutoff,
            clearance,
            diagram: DIAGRAM,
        })
        .ok()?
        .number("mep_expected_bar")?;
        watts += power(mean_bar, &cylinder, rpm)
            .ok()?
            .number("indicated_W")?;
        let steam_used = admission_steam(&Admission {
            steam,
            back,
            barometer: setup.barometer,
            cutoff,
            clearance,
            cylinder,
            rpm,
            missing: MISSING,
            cushion: true,
        });
        kg_h += steam_used.ok()?.number("with_missing_kg_h")?;
    }
    (watts > 0.0).then_some((watts, kg_h))
}

fn mean(all: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, n) = all.fold((0.0, 0.0), |(sum, n), x| (sum + x, n + 1.0));
    (n > 0.0).then(|| sum / n)
}

/// Power is an estimate and is never judged.
pub(super) fn figures(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    if let Some((watts, _)) = by_cylinders(facts) {
        let u = Some(ASSUMED_SHARE * watts);
        out.push(figure("power-estimate", watts, u, "W", (0.0, end_s)));
    }
}
