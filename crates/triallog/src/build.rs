//! From what was read to what is reckoned with: the head of a trial.

use crate::tree::Tree;
use calc::level::{Firebox, LyingTube, StandingTube, WaterSpace};
use calc::trial::{
    Burner, Cylinder, Day, Drive, FeedPump, Fuel, Glass, HydraulicPass, Instrument, Instruments,
    Kind, Limits, Plant, SafetyValve, Shell, ShellMaterial, Supply, Trial, WaterSeenBy,
};

/// The trial without its log.
pub(crate) fn head(file: &Tree) -> Trial {
    Trial {
        kind: kind(file.text("kind")),
        question: file.text("question").map(str::to_owned),
        started_on: file
            .text("started_at")
            .and_then(|at| at.get(..10))
            .and_then(day),
        ended_at_s: file.number("ended_at_s"),
        barometer_hpa: file.number("barometer_hpa"),
        supply: file.text("supply").map(|word| match word {
            "air-direct" => Supply::AirDirect,
            "air-through-boiler" => Supply::AirThroughBoiler,
            _ => Supply::Steam,
        }),
        plant: file.get("plant").map(plant).unwrap_or_default(),
        instruments: file.get("instruments").map(instruments).unwrap_or_default(),
        limits: file.get("limits").map(limits).unwrap_or_default(),
        hold_points: file.get("hold_points").map(|_| {
            let names = file.list("hold_points").iter();
            names
                .filter_map(|n| {
                    if let Tree::Text(t) = n {
                        Some(t.clone())
                    } else {
                        None
                    }
                })
                .collect()
        }),
        entries: Vec::new(),
    }
}

fn kind(word: Option<&str>) -> Kind {
    match word {
        Some("hydraulic") => Kind::Hydraulic,
        Some("air") => Kind::Air,
        Some("safety-valve") => Kind::SafetyValve,
        Some("feed-pump") => Kind::FeedPump,
        Some("burner") => Kind::Burner,
        Some("engine-run") => Kind::EngineRun,
        _ => Kind::Steam,
    }
}

fn day(text: &str) -> Option<Day> {
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    Some(Day {
        year: year.parse().ok()?,
        month: month.parse().ok()?,
        day: day.parse().ok()?,
    })
}

fn plant(p: &Tree) -> Plant {
    let tank = |key: &str| p.get(key).and_then(|t| t.number("volume_ml"));
    Plant {
        name: p.text("name").map(str::to_owned),
        working_pressure_bar: p.number("working_pressure_bar"),
        volume_ml: p.number("volume_ml"),
        shell_material: p.text("shell_material").map(material),
        shell: p.get("shell").map(shell).unwrap_or_default(),
        metal_kg: p.number("metal_kg"),
        hydraulic_pass: p.get("hydraulic_pass").map(|h| HydraulicPass {
            on: h.text("on").and_then(day),
            pressure_bar: h.number("pressure_bar"),
            valid_until: h.text("valid_until").and_then(day),
            since_structural_work: h.bool("since_structural_work"),
        }),
        water_seen_by: p.text("water_seen_by").map(seen_by),
        charge_ml: p.number("charge_ml"),
        fuel_charge_ml: p.number("fuel_charge_ml"),
        safety_valve: p.get("safety_valve").map(|v| SafetyValve {
            set_bar: v.number("set_bar"),
            bore_mm: v.number("bore_mm"),
            lift_mm: v.number("lift_mm"),
            count: v.number("count"),
        }),
        burner: p.get("burner").map(|b| Burner {
            fuel: b.text("fuel").map(fuel),
            jet_mm: b.number("jet_mm"),
            supply_bar: b.number("supply_bar"),
            rated_kw: b.number("rated_kw"),
            efficiency_pct: b.number("efficiency_pct"),
        }),
        past_evaporation_kg_h: p
            .get("past_evaporation_kg_h")
            .and_then(|e| Some((e.number("value")?, e.number("plus_minus")))),
        feed_drive: p.get("feed_pump").and_then(|f| f.text("drive")).map(drive),
        feed_pump: p.get("feed_pump").map(feed_pump),
        gas_tank_ml: tank("gas_tank"),
        lubricator_ml: tank("lubricator"),
        cutoff_pct: p.get("engine").and_then(|e| e.number("cutoff_pct")),
        clearance_pct: p.get("engine").and_then(|e| e.number("clearance_pct")),
        feed_tank_ml: tank("feed_tank"),
        cylinders: p
            .get("engine")
            .map(|e| e.list("cylinders").iter().map(cylinder).collect())
            .unwrap_or_default(),
        glass: p.get("glass").map(|g| Glass {
            bottom_mm: g.number("bottom_mm"),
            visible_mm: g.number("visible_mm"),
            low_mark_mm: g.number("low_mark_mm"),
            high_mark_mm: g.number("high_mark_mm"),
        }),
        water_space: water_space(p),
    }
}

fn cylinder(c: &Tree) -> Cylinder {
    Cylinder {
        bore_mm: c.number("bore_mm"),
        stroke_mm: c.number("stroke_mm"),
        rod_mm: c.number("rod_mm"),
        single_acting: c.text("acting") == Some("single"),
    }
}

fn material(word: &str) -> ShellMaterial {
    match word {
        "steel" => ShellMaterial::Steel,
        "stainless" => ShellMaterial::Stainless,
        "brass" => ShellMaterial::Brass,
        "bronze" => ShellMaterial::Bronze,
        _ => ShellMaterial::Copper,
    }
}

fn shell(s: &Tree) -> Shell {
    Shell {
        bore_mm: s.number("bore_mm"),
        wall_mm: s.number("wall_mm"),
        compliance_factor: s.number("compliance_factor"),
    }
}

fn feed_pump(f: &Tree) -> FeedPump {
    FeedPump {
        bore_mm: f.number("bore_mm"),
        stroke_mm: f.number("stroke_mm"),
        rod_mm: f.number("rod_mm"),
        double_acting: f.text("acting") == Some("double"),
        steam_bore_mm: f.number("steam_bore_mm"),
    }
}

fn seen_by(word: &str) -> WaterSeenBy {
    match word {
        "two-glasses" => WaterSeenBy::TwoGlasses,
        "try-cocks" => WaterSeenBy::TryCocks,
        "plug" => WaterSeenBy::Plug,
        "none" => WaterSeenBy::Nothing,
        _ => WaterSeenBy::Glass,
    }
}

fn fuel(word: &str) -> Fuel {
    match word {
        "butane" => Fuel::Butane,
        "propane" => Fuel::Propane,
        "spirit" => Fuel::Spirit,
        "coal" => Fuel::Coal,
        "charcoal" => Fuel::Charcoal,
        "electric" => Fuel::Electric,
        _ => Fuel::ButanePropane,
    }
}

fn drive(word: &str) -> Drive {
    match word {
        "axle" => Drive::Axle,
        "crosshead" => Drive::Crosshead,
        "steam" => Drive::Steam,
        "electric" => Drive::Electric,
        "injector" => Drive::Injector,
        _ => Drive::Hand,
    }
}

/// The shape of the water space, as it stands in the file; not yet checked to be possible.
pub(crate) fn water_space(plant: &Tree) -> Option<WaterSpace> {
    let space = plant.get("water_space")?;
    let count = |t: &Tree| t.number("count").unwrap_or(1.0);
    if let Some(h) = space.get("horizontal") {
        let tube = |t: &Tree| {
            let (od_mm, centre_mm) = (t.number("od_mm")?, t.number("centre_mm")?);
            Some(LyingTube {
                od_mm,
                centre_mm,
                count: count(t),
            })
        };
        return Some(WaterSpace::Horizontal {
            bore_mm: h.number("bore_mm")?,
            length_mm: h.number("length_mm")?,
            tubes: h.list("tubes").iter().filter_map(tube).collect(),
        });
    }
    if let Some(v) = space.get("vertical") {
        let tube = |t: &Tree| {
            Some(StandingTube {
                od_mm: t.number("od_mm")?,
                count: count(t),
            })
        };
        return Some(WaterSpace::Vertical {
            bore_mm: v.number("bore_mm")?,
            height_mm: v.number("height_mm")?,
            tubes: v.list("tubes").iter().filter_map(tube).collect(),
            firebox: v.get("firebox").and_then(|f| {
                Some(Firebox {
                    od_mm: f.number("od_mm")?,
                    crown_mm: f.number("crown_mm")?,
                })
            }),
        });
    }
    let rows = space.list("calibrated").iter();
    let point = |row: &Tree| Some((row.number("level_mm")?, row.number("ml")?));
    Some(WaterSpace::Calibrated {
        points: rows.filter_map(point).collect(),
    })
}

fn instrument(i: &Tree, resolution: &str) -> Instrument {
    Instrument {
        id: i.text("id").map(str::to_owned),
        full_scale_bar: i.number("full_scale_bar"),
        accuracy_class: i.number("accuracy_class"),
        resolution: i.number(resolution),
        accuracy_c: i.number("accuracy_c"),
        repeatability_c: i.number("repeatability_c"),
        calibrated_on: i.text("calibrated_on").and_then(day),
        calibration_due: i.text("calibration_due").and_then(day),
    }
}

fn instruments(i: &Tree) -> Instruments {
    let get = |key: &str, resolution: &str| i.get(key).map(|tree| instrument(tree, resolution));
    Instruments {
        pressure: get("pressure", "resolution_bar"),
        pressure_second: get("pressure_second", "resolution_bar"),
        level: get("level", "resolution_mm"),
        temperature: get("temperature", "resolution_c"),
        co: get("co", "resolution_ppm"),
        stopwatch: get("stopwatch", "resolution_s"),
        scale: get("scale", "resolution_g"),
    }
}

fn limits(l: &Tree) -> Limits {
    let usual = Limits::default();
    let or = |key: &str, usual: f64| l.number(key).unwrap_or(usual);
    Limits {
        first_test: l.text("test") != Some("repeat"),
        hydraulic_factor_first: or("hydraulic_factor_first", usual.hydraulic_factor_first),
        hydraulic_factor_repeat: or("hydraulic_factor_repeat", usual.hydraulic_factor_repeat),
        hydraulic_hold_s: or("hydraulic_hold_s", usual.hydraulic_hold_s),
        over_target_pct: or("over_target_pct", usual.over_target_pct),
        allowed_drop_pct: or("allowed_drop_pct", usual.allowed_drop_pct),
        trapped_air_caution_pct: or("trapped_air_caution_pct", usual.trapped_air_caution_pct),
        trapped_air_stop_pct: or("trapped_air_stop_pct", usual.trapped_air_stop_pct),
        air_max_bar: or("air_max_bar", usual.air_max_bar),
        air_energy_max_j: or("air_energy_max_j", usual.air_energy_max_j),
        pressure_caution_pct: or("pressure_caution_pct", usual.pressure_caution_pct),
        pressure_stop_pct: or("pressure_stop_pct", usual.pressure_stop_pct),
        reading_every_s: or("reading_every_s", usual.reading_every_s),
        runway_caution_s: or("runway_caution_s", usual.runway_caution_s),
        runway_stop_s: or("runway_stop_s", usual.runway_stop_s),
        co_peak_caution_ppm: or("co_peak_caution_ppm", usual.co_peak_caution_ppm),
        co_15min_caution_ppm: or("co_15min_caution_ppm", usual.co_15min_caution_ppm),
        co_15min_stop_ppm: or("co_15min_stop_ppm", usual.co_15min_stop_ppm),
        co_8h_stop_ppm: or("co_8h_stop_ppm", usual.co_8h_stop_ppm),
        co_peak_stop_ppm: or("co_peak_stop_ppm", usual.co_peak_stop_ppm),
        co_co2_caution: or("co_co2_caution", usual.co_co2_caution),
        co_co2_stop: or("co_co2_stop", usual.co_co2_stop),
        piston_speed_m_s: or("piston_speed_m_s", usual.piston_speed_m_s),
        piston_speed_proof_m_s: or("piston_speed_proof_m_s", usual.piston_speed_proof_m_s),
        gauge_disagree_sigma: or("gauge_disagree_sigma", usual.gauge_disagree_sigma),
    }
}
