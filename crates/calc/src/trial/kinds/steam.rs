//! Figures of a boiler in steam: what of the fuel's heat went into it, whether two ways of knowing
//! the feed agree, and how much the glass shows low.

use super::{burner, feed_pump, figure};
use crate::burner::{Raising, raising};
use crate::quantity::{Gauge, Temperature};
use crate::trial::ShellMaterial;
use crate::trial::assessment::Figure;
use crate::trial::facts::{Facts, Sight};
use crate::uncertainty::step_u;
use crate::water::{CoolGlass, GlassLevel, glass_reading};

/// Temperature of the water in a glass beside a boiler in steam, °C, and how far it may be off.
const GLASS_C: (f64, f64) = (60.0, 30.0);
/// Step of a scale of which nothing is known, g.
const COARSE_G: f64 = 1.0;
const WATER_KG_ML: f64 = 998e-6;

pub(super) fn figures(facts: &Facts, out: &mut Vec<Figure>) {
    efficiency(facts, out);
    closure(facts, out);
    glass(facts, out);
}

/// Heat that raising steam put into water and metal, over the heat of the fuel.
fn efficiency(facts: &Facts, out: &mut Vec<Figure>) {
    let plant = &facts.setup.trial.plant;
    let (Some(before), Some(after), Some(cold_c)) = (
        facts.bench.gas_before,
        facts.bench.gas_raised,
        facts.bench.cold_c,
    ) else {
        return;
    };
    let net = plant.burner.and_then(|b| b.fuel).and_then(burner::net_j_kg);
    let charged = plant
        .charge_ml
        .map(|ml| (ml * WATER_KG_ML, 0.05 * ml * WATER_KG_ML));
    let (Some(bar), Some((water_kg, u_kg)), Some(net_j_kg)) = (
        after.bar.filter(|b| *b > 0.05),
        after.water_kg.or(charged),
        net,
    ) else {
        return;
    };
    let used_g = before.grams - after.grams;
    let answer = raising(&Raising {
        water_kg,
        start: Temperature::from_celsius(cold_c),
        pressure: Gauge::from_bar(bar),
        barometer: facts.setup.barometer,
        metal_kg: plant.metal_kg,
        metal_j_kgk: heat_of(plant.shell_material),
        fuel_kg: used_g / 1000.0,
        net_j_kg,
    });
    let Ok(answer) = answer else { return };
    let scale = facts.setup.trial.instruments.scale.as_ref();
    let step = scale.and_then(|s| s.resolution).unwrap_or(COARSE_G);
    let relative = (std::f64::consts::SQRT_2 * step_u(step) / used_g).hypot(u_kg / water_kg);
    let span = (before.t_s, after.t_s);
    for (name, of) in [
        ("efficiency-water", "eff_water_only"),
        ("efficiency-with-metal", "eff_water_and_metal"),
    ] {
        if let Some(share) = answer.number(of) {
            let pct = share * 100.0;
            out.push(figure(name, pct, Some(2.0 * relative * pct), "%", span));
        }
    }
}

/// Heat that warms a kilogram of the boiler's metal by a kelvin, J (handbook values).
fn heat_of(material: Option<ShellMaterial>) -> f64 {
    match material {
        Some(ShellMaterial::Steel) => 490.0,
        Some(ShellMaterial::Stainless) => 500.0,
        Some(ShellMaterial::Brass | ShellMaterial::Bronze) => 380.0,
        Some(ShellMaterial::Copper) | None => 385.0,
    }
}

/// Feed by the tank against feed by the pump's strokes and its own catch, kg.
fn closure(facts: &Facts, out: &mut Vec<Figure>) {
    let (Some([first, last]), Some((stroke_ml, u_ml))) =
        (facts.bench.feed, feed_pump::moved_ml(facts))
    else {
        return;
    };
    let strokes = last.0 - first.0;
    let by_tank = (first.1 - last.1) * WATER_KG_ML;
    if strokes <= 0.0 || by_tank <= 0.0 {
        return;
    }
    let by_strokes = strokes * stroke_ml * WATER_KG_ML;
    let u_strokes = strokes * u_ml * WATER_KG_ML;
    // A tank's scale reads to about 5 ml.
    let u_tank = 2.0 * std::f64::consts::SQRT_2 * step_u(5.0) * WATER_KG_ML;
    let closes = (by_tank - by_strokes).abs();
    let u = u_strokes.hypot(u_tank);
    out.push(figure(
        "balance-closure",
        closes,
        Some(u),
        "kg",
        (0.0, facts.at_s),
    ));
}

/// What the glass shows low, the water in it being cooler than the boiler's.
fn glass(facts: &Facts, out: &mut Vec<Figure>) {
    let (Sight::Level(shown_mm), Some(bar)) = (facts.water.sight, facts.pressure.bar) else {
        return;
    };
    if !facts.hot() || bar <= 0.2 {
        return;
    }
    let low_by = |celsius: f64| {
        let answer = glass_reading(&CoolGlass {
            pressure: Gauge::from_bar(bar),
            barometer: facts.setup.barometer,
            level: GlassLevel::Shown(shown_mm),
            glass: Temperature::from_celsius(celsius),
        });
        Some(answer.ok()?.number("height_true_mm")? - shown_mm)
    };
    let (least, most) = (low_by(GLASS_C.0 + GLASS_C.1), low_by(GLASS_C.0 - GLASS_C.1));
    if let (Some(mm), Some(least), Some(most)) = (low_by(GLASS_C.0), least, most) {
        let at = facts.water.read_s.unwrap_or(facts.at_s);
        let u = Some((most - least).abs() / 2.0);
        out.push(figure("glass-correction", mm, u, "mm", (at, at)));
    }
}
