//! The burner: the air about it, how clean it burns, how steadily, and what it uses.

use super::Grounds;
use crate::burner::{Fuel as Burnt, Gas, Jet, jet};
use crate::quantity::{Gauge, Temperature};
use crate::show;
use crate::trial::assessment::{Flag, Severity};
use crate::trial::facts::Facts;
use crate::trial::ledger::ever;
use crate::trial::{Fuel, Rule};

/// A mean of a quarter of an hour needs as much, s.
const RUN_S: f64 = 900.0;
/// Discharge of a small jet (trade practice).
const DISCHARGE: f64 = 0.80;

pub(super) fn judge(facts: &Facts, flags: &[Flag], end_s: f64, grounds: &mut Grounds) {
    air(facts, flags, grounds);
    let burnt_s = facts.bench.fire.longest_s(end_s);
    if burnt_s < RUN_S {
        grounds.doubt(format!(
            "It burnt for {} without a break; {} is asked.",
            show::span(burnt_s),
            show::span(RUN_S)
        ));
    }
    grounds.need(facts.bench.flame_lost == 0, "The flame was lost.");
    grounds.need(facts.bench.flame_unsteady == 0, "The flame was unsteady.");
    used(facts, grounds);
}

fn air(facts: &Facts, flags: &[Flag], grounds: &mut Grounds) {
    let air = &facts.air;
    let Some(peak) = air.peak_ppm else {
        grounds.doubt("Carbon monoxide was not measured. An alarm's silence is no measurement.");
        return;
    };
    let sampled_s = air.sampled_s();
    match air.highest_mean_ppm {
        Some(mean) if sampled_s >= RUN_S => grounds.remark(format!(
            "Carbon monoxide {} ppm at the highest, {} ppm as the worst mean of 15 min.",
            show::fixed(peak, 0),
            show::fixed(mean, 0)
        )),
        _ => grounds.doubt(format!(
            "Carbon monoxide was measured over {}: a mean of 15 min is not proven.",
            show::span(sampled_s)
        )),
    }
    grounds.need(
        !air.gap,
        "Samples of carbon monoxide lie more than 5 min apart: the mean is not proven.",
    );
    let once = |rule| ever(flags, rule, Severity::Caution);
    grounds.need(
        !once(Rule::CarbonMonoxide),
        "Carbon monoxide was at the caution figure.",
    );
    match air.flue_ratio {
        Some(ratio) => grounds.remark(format!(
            "CO/CO₂ {} in the flue at the last sample.",
            show::fixed(ratio, 4)
        )),
        None => grounds.doubt(
            "No sample of the flue was strong enough (2 % of carbon dioxide) to judge the flame by.",
        ),
    }
    grounds.need(
        !once(Rule::PoorCombustion),
        "CO/CO₂ was over the caution figure.",
    );
}

/// Gas used by the scale, the heat of it, and what the jet should pass.
fn used(facts: &Facts, grounds: &mut Grounds) {
    let plant = &facts.setup.trial.plant;
    let fuel = plant.burner.and_then(|b| b.fuel);
    if let Some((first, last)) = facts.bench.gas_lit
        && last.t_s - first.t_s >= 60.0
    {
        let minutes = (last.t_s - first.t_s) / 60.0;
        let per_min = (first.grams - last.grams) / minutes;
        let heat = fuel
            .and_then(net_j_kg)
            .map(|net| per_min / 60_000.0 * net / 1000.0);
        let heat = heat.map_or_else(String::new, |kw| {
            format!(", {} kW of heat", show::fixed(kw, 2))
        });
        grounds.remark(format!(
            "By the scale it used {} g a minute{heat}; what was left lasts {}.",
            show::fixed(per_min, 2),
            show::span(last.grams.max(0.0) / per_min.max(1e-9) * 60.0)
        ));
    }
    if let Some(grams) = by_jet(facts) {
        grounds.remark(format!(
            "By bore and pressure the jet should pass {} g a minute.",
            show::fixed(grams, 2)
        ));
    }
}

pub(super) fn net_j_kg(fuel: Fuel) -> Option<f64> {
    match fuel {
        Fuel::Spirit => Burnt::named("spirit"),
        Fuel::Coal | Fuel::Charcoal => Burnt::named("coal"),
        _ => return gas(fuel).map(|g| g.net_j_kg),
    }
    .map(|f| f.net_j_kg)
}

fn gas(fuel: Fuel) -> Option<Gas> {
    match fuel {
        Fuel::Butane => Some(Gas::N_BUTANE),
        Fuel::Propane => Some(Gas::PROPANE),
        Fuel::ButanePropane => Some(Gas::MIX_70_30),
        _ => None,
    }
}

/// What the jet should pass, g/min.
pub(super) fn by_jet(facts: &Facts) -> Option<f64> {
    let burner = facts.setup.trial.plant.burner?;
    let answer = jet(&Jet {
        gas: gas(burner.fuel?)?,
        bore_mm: burner.jet_mm?,
        pressure: Gauge::from_bar(burner.supply_bar?),
        barometer: facts.setup.barometer,
        gas_at: Temperature::from_celsius(20.0),
        discharge: DISCHARGE,
        tank: None,
        u_bore_mm: None,
        u_discharge: None,
    });
    answer.ok()?.number("mass_g_per_min")
}
