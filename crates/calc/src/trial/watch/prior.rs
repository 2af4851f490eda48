//! What the boiler can be expected to boil away, before the glass has shown it.

use crate::trial::{Burner, Fuel, Plant};

/// Heat taken up by a kilogram of water at the boil on its way to steam, kJ/kg (IAPWS R7-97(2012) near
/// 3 bar on the gauge); near enough for a first guess.
const STEAM_KJ_KG: f64 = 2130.0;
/// Lower heating values and gas data for the flow through a jet: MJ/kg, g/mol, γ (the handbook values of
/// [`crate::burner::Gas`], to four figures).
const GASES: [(Fuel, f64, f64, f64); 3] = [
    (Fuel::Butane, 45.72, 58.12, 1.095),
    (Fuel::Propane, 46.33, 44.10, 1.131),
    (Fuel::ButanePropane, 45.90, 53.1, 1.106),
];

/// A log-normal belief about an evaporation: kg/h at the middle, sd of its logarithm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::trial) struct Draw {
    pub(in crate::trial) kg_h: f64,
    pub(in crate::trial) ln_sd: f64,
}

/// Puts together what is known; each piece weighs by its own certainty.
pub(in crate::trial) fn expected(plant: &Plant, full_litres: f64, rise: Option<f64>) -> Draw {
    let mut weight = 0.0;
    let mut sum = 0.0;
    let mut hear = |kg_h: f64, sd: f64| {
        if kg_h.is_finite() && kg_h > 1e-4 {
            weight += 1.0 / (sd * sd);
            sum += kg_h.ln() / (sd * sd);
        }
    };
    hear(0.45 * full_litres.max(0.05), 0.7);
    if let Some(kg_h) = rise {
        hear(1.1 * kg_h, 0.25);
    }
    if let Some((kw, sd)) = plant.burner.as_ref().and_then(heat_kw) {
        let share = plant
            .burner
            .and_then(|b| b.efficiency_pct)
            .map_or(0.50, |e| e / 100.0);
        hear(kw * share.clamp(0.05, 1.0) * 3600.0 / STEAM_KJ_KG, sd);
    }
    if let Some((kg_h, u)) = plant.past_evaporation_kg_h {
        let half = u.map_or(0.2, |u| u / 2.0 / kg_h.max(1e-6));
        hear(kg_h, half.max(0.12));
    }
    Draw {
        kg_h: (sum / weight).exp(),
        ln_sd: (1.0 / weight).sqrt(),
    }
}

/// The heat of the fire, kW, and the sd of its logarithm: from the rating, else from the jet.
pub(in crate::trial) fn heat_kw(burner: &Burner) -> Option<(f64, f64)> {
    if let Some(kw) = burner.rated_kw {
        return Some((kw, 0.30));
    }
    let (_, lhv, molar, gamma) = *GASES.iter().find(|g| Some(g.0) == burner.fuel)?;
    let pressure = (burner.supply_bar? + 1.013) * 1e5;
    let area = std::f64::consts::PI / 4.0 * (burner.jet_mm? / 1000.0).powi(2);
    let root = (8.314_462 / (molar / 1000.0) * 293.15).sqrt();
    let critical = (2.0 / (gamma + 1.0_f64)).powf(gamma / (gamma - 1.0));
    let ratio = 1.013e5 / pressure;
    let factor = if ratio <= critical {
        gamma.sqrt() * (2.0 / (gamma + 1.0)).powf((gamma + 1.0) / (2.0 * (gamma - 1.0)))
    } else {
        let r = ratio.powf(2.0 / gamma) - ratio.powf((gamma + 1.0) / gamma);
        (2.0 * gamma / (gamma - 1.0) * r.max(0.0)).sqrt()
    };
    let kg_s = 0.80 * area * pressure / root * factor;
    Some((kg_s * lhv * 1000.0, 0.35))
}

/// Evaporation that the rise to pressure speaks for, kg/h: the heat that warmed the water, spent on
/// steam instead.
pub(in crate::trial) fn from_rise(mass_kg: f64, boiling_c: f64, took_s: f64) -> Option<f64> {
    (took_s > 60.0).then(|| mass_kg * 4.22 * (boiling_c - 17.0) / took_s * 3600.0 / STEAM_KJ_KG)
}
