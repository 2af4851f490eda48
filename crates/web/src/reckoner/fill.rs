//! What a plant and its newest trial already know, put into the boxes.

use records::{PlantId, Store, components, jobs, log, plants};
use triallog::reckon::{Form, Kind};

use super::typed::Boxes;
use super::units::Units;
use crate::problem::Problem;
use crate::trials::tree::Tree;

/// Where a box can be filled from: reckoners (none: any), box, place in the plant or trial.
type Source = (&'static [&'static str], &'static str, &'static str);

const PUMP: &[&str] = &["feed-pump"];
const STEAM_PUMP: &[&str] = &["pump-gain", "pump-force"];
const ENGINE: &[&str] = &[
    "engine-power",
    "engine-steam",
    "piston-speed",
    "cylinder-condensation",
];
const VALVE: &[&str] = &["valve-lift"];

const SOURCES: &[Source] = &[
    (PUMP, "bore_mm", "plant.feed_pump.bore_mm"),
    (PUMP, "stroke_mm", "plant.feed_pump.stroke_mm"),
    (PUMP, "rod_mm", "plant.feed_pump.rod_mm"),
    (PUMP, "acting", "plant.feed_pump.acting"),
    (STEAM_PUMP, "d_steam_mm", "plant.feed_pump.steam_bore_mm"),
    (STEAM_PUMP, "d_water_mm", "plant.feed_pump.bore_mm"),
    (STEAM_PUMP, "stroke_mm", "plant.feed_pump.stroke_mm"),
    (ENGINE, "bore_mm", "cylinder.bore_mm"),
    (ENGINE, "stroke_mm", "cylinder.stroke_mm"),
    (ENGINE, "rod_mm", "cylinder.rod_mm"),
    (ENGINE, "acting", "cylinder.acting"),
    (VALVE, "bore_mm", "plant.safety_valve.bore_mm"),
    (VALVE, "lift_mm", "plant.safety_valve.lift_mm"),
    (&[], "material", "plant.shell_material"),
    (&[], "D_mm", "plant.shell.bore_mm"),
    (&[], "D_inside_mm", "plant.shell.bore_mm"),
    (&[], "D_inside_mm", "plant.water_space.horizontal.bore_mm"),
    (&[], "L_inside_mm", "plant.water_space.horizontal.length_mm"),
    (&[], "wall_mm", "plant.shell.wall_mm"),
    (&[], "joint_or_ligament_eff", "plant.shell.joint_efficiency"),
    (&[], "compliance_factor", "plant.shell.compliance_factor"),
    (&[], "V_ml", "plant.volume_ml"),
    (&[], "V_total_ml", "plant.volume_ml"),
    (&[], "V_cold_ml", "plant.charge_ml"),
    (&[], "p_working_bar", "plant.working_pressure_bar"),
    (&[], "p_gauge_bar", "plant.working_pressure_bar"),
    (&[], "p_boiler_gauge_bar", "plant.working_pressure_bar"),
    (&[], "p_steam_gauge_bar", "plant.working_pressure_bar"),
    (&[], "set_gauge_bar", "plant.safety_valve.set_bar"),
    (&[], "set_gauge_bar", "plant.working_pressure_bar"),
    (&[], "metal_kg", "plant.metal_kg"),
    (&[], "jet_mm", "plant.burner.jet_mm"),
    (&[], "gas", "gas"),
    (&[], "tank_ml", "plant.gas_tank.volume_ml"),
    (&[], "reservoir_ml", "plant.lubricator.volume_ml"),
    (
        &[],
        "gauge_class",
        "trial.instruments.pressure.accuracy_class",
    ),
    (
        &[],
        "gauge_span_bar",
        "trial.instruments.pressure.full_scale_bar",
    ),
    (
        &[],
        "gauge_resolution_bar",
        "trial.instruments.pressure.resolution_bar",
    ),
    (&[], "barometer_hPa", "trial.barometer_hpa"),
    (&["accumulation"], "p_max_bar", "figure.highest-pressure"),
    (&["valve-set"], "lift_bar", "figure.set-pressure"),
    (&["valve-set"], "reseat_bar", "figure.reseat-pressure"),
    (&[], "evaporation_kg_h", "figure.evaporation"),
    (&[], "max_evaporation_kg_h", "figure.evaporation"),
];

/// What is known, as dotted places.
pub(super) struct Known {
    tree: Tree,
    trial: Option<(String, Tree)>,
    figures: Vec<(&'static str, f64)>,
}

impl Known {
    /// Reads a plant and its newest trial.
    pub(super) async fn of(store: &Store, id: PlantId) -> Result<Self, Problem> {
        let plant = plants::find(store, id).await?;
        let parts = components::of_plant(store, id).await?;
        let text = components::together(&parts, &plant.name)?;
        let damaged = |e: serde_json::Error| records::Error::Damaged(e.to_string());
        let tree = Tree::read(&text).map_err(damaged)?;
        let mut newest: Option<log::Trial> = None;
        for job in jobs::of_plant(store, id).await? {
            let trials = log::of_job(store, job.id).await?.into_iter();
            let begun = trials.filter(|t| t.started_at.is_some() && t.withdrawn_at.is_none());
            newest = begun.chain(newest).max_by_key(|t| t.started_at);
        }
        let mut known = Self {
            tree,
            trial: None,
            figures: Vec::new(),
        };
        if let Some(trial) = newest {
            known.read_trial(store, &trial).await?;
        }
        Ok(known)
    }

    async fn read_trial(&mut self, store: &Store, trial: &log::Trial) -> Result<(), Problem> {
        let entries = log::entries(store, trial.id, 0).await?;
        let texts = entries.iter().map(|e| e.text.as_str());
        if let Ok(file) = triallog::assemble(&trial.head, texts, None) {
            let judged = calc::trial::assess(file.trial(), None);
            self.figures = judged.figures.iter().map(|f| (f.name, f.value)).collect();
        }
        if let Ok(head) = Tree::read(&trial.head) {
            self.trial = Some((trial.label(), head));
        }
        Ok(())
    }

    /// What a place holds, and where that is from.
    fn at(&self, place: &str) -> Option<(String, String)> {
        let plain = |text: String| (!text.is_empty()).then_some(text);
        if let Some(path) = place.strip_prefix("plant.") {
            return plain(self.tree.typed_at(path)).map(|text| (text, "from the plant".to_owned()));
        }
        if let Some(path) = place.strip_prefix("trial.") {
            let (label, head) = self.trial.as_ref()?;
            return plain(head.typed_at(path)).map(|text| (text, format!("from trial {label}")));
        }
        if let Some(name) = place.strip_prefix("figure.") {
            let (label, _) = self.trial.as_ref()?;
            let value = self.figures.iter().find(|f| f.0 == name)?.1;
            return Some((
                calc::show::significant(value, 4),
                format!("from trial {label}"),
            ));
        }
        if let Some(key) = place.strip_prefix("cylinder.") {
            let all = self.tree.at("engine.cylinders")?;
            let list: Vec<serde_json::Value> = serde_json::from_str(all).ok()?;
            let value = list.first()?.get(key)?;
            let text = value
                .as_str()
                .map_or_else(|| value.to_string(), str::to_owned);
            return Some((text, "from the plant's engine".to_owned()));
        }
        match place {
            "gas" => {
                let gas = match self.tree.typed_at("burner.fuel").as_str() {
                    "butane" => "n_butane",
                    "propane" => "propane",
                    _ => return None,
                };
                Some((gas.to_owned(), "from the plant".to_owned()))
            }
            _ => None,
        }
    }

    /// Fills the empty boxes; answers where each figure is from.
    pub(super) fn fill(&self, name: &str, form: &Form, boxes: &mut Boxes, units: Units) -> Boxes {
        let mut from = Boxes::new();
        for (names, key, place) in SOURCES {
            let fits = names.is_empty() || names.contains(&name);
            let empty = boxes.get(*key).is_none_or(|t| t.trim().is_empty());
            let Some(input) = form.inputs.iter().find(|i| i.name == *key) else {
                continue;
            };
            if !fits || !empty {
                continue;
            }
            if let Some((text, words)) = self.at(place) {
                let allowed = match input.kind {
                    Kind::OneOf(words) => words.contains(&text.as_str()),
                    _ => true,
                };
                if allowed {
                    from.insert((*key).to_owned(), words);
                    boxes.insert((*key).to_owned(), with_unit(&text, input.unit, units));
                }
            }
        }
        from
    }
}

/// A figure of the book, with its unit behind it where the box would read it in another.
fn with_unit(text: &str, unit: &'static str, units: Units) -> String {
    if units.shown(unit) == unit {
        text.to_owned()
    } else {
        format!("{text} {unit}")
    }
}
