//! The plant.

use super::{Key, Shape, key, must};

/// Pressures of model plants, bar.
pub const PRESSURE_BAR: (f64, f64) = (0.01, 40.0);
/// Boilers this program has in mind, and room to spare, ml.
pub const BOILER_VOLUME_ML: (f64, f64) = (1.0, 10_000_000.0);
/// The fuels.
pub const FUELS: &[&str] = &[
    "butane",
    "propane",
    "butane-propane-70-30",
    "spirit",
    "coal",
    "charcoal",
    "electric",
];

const MM: Shape = Shape::Number(0.001, 10_000.0);
const HEIGHT: Shape = Shape::Number(0.0, 10_000.0);
const COUNT: Shape = Shape::Number(1.0, 10_000.0);
const ML: Shape = Shape::Number(0.0, 10_000_000.0);
const BAR: Shape = Shape::Number(PRESSURE_BAR.0, PRESSURE_BAR.1);
const PCT: Shape = Shape::Number(0.1, 100.0);
const ACTING: Shape = Shape::OneOf(&["single", "double"]);
const TANK: Shape = Shape::Object(&[key("volume_ml", ML)]);

/// Everything that may be known of a plant.
pub const PLANT: &[Key] = &[
    key("name", Shape::Text(200)),
    key("working_pressure_bar", BAR),
    key(
        "shell_material",
        Shape::OneOf(&["copper", "steel", "stainless", "brass", "bronze"]),
    ),
    key(
        "volume_ml",
        Shape::Number(BOILER_VOLUME_ML.0, BOILER_VOLUME_ML.1),
    ),
    key(
        "shell",
        Shape::Object(&[
            key("bore_mm", MM),
            key("wall_mm", MM),
            key("length_mm", MM),
            key("joint_efficiency", Shape::Number(0.01, 1.0)),
            key("compliance_factor", Shape::Number(0.1, 10.0)),
        ]),
    ),
    key("metal_kg", Shape::Number(0.0, 10_000.0)),
    key(
        "hydraulic_pass",
        Shape::Object(&[
            key("on", Shape::Day),
            key("pressure_bar", BAR),
            key("valid_until", Shape::Day),
            key("since_structural_work", Shape::Bool),
        ]),
    ),
    key(
        "water_seen_by",
        Shape::OneOf(&["glass", "two-glasses", "try-cocks", "plug", "none"]),
    ),
    key("charge_ml", ML),
    key("fuel_charge_ml", ML),
    key(
        "safety_valve",
        Shape::Object(&[
            key("set_bar", BAR),
            key("bore_mm", MM),
            key("lift_mm", MM),
            key("count", COUNT),
        ]),
    ),
    key(
        "burner",
        Shape::Object(&[
            key("fuel", Shape::OneOf(FUELS)),
            key("jet_mm", Shape::Number(0.01, 20.0)),
            key("supply_bar", Shape::Number(0.0, 40.0)),
            key("rated_kw", Shape::Number(0.001, 1000.0)),
            key("efficiency_pct", PCT),
        ]),
    ),
    key(
        "past_evaporation_kg_h",
        Shape::Object(&[
            must("value", Shape::Number(0.001, 1000.0)),
            key("plus_minus", Shape::Number(0.0, 1000.0)),
        ]),
    ),
    key(
        "feed_pump",
        Shape::Object(&[
            key(
                "drive",
                Shape::OneOf(&["hand", "axle", "crosshead", "steam", "electric", "injector"]),
            ),
            key("bore_mm", MM),
            key("stroke_mm", MM),
            key("rod_mm", HEIGHT),
            key("acting", ACTING),
            key("steam_bore_mm", MM),
        ]),
    ),
    key("feed_tank", TANK),
    key("gas_tank", TANK),
    key("lubricator", TANK),
    key(
        "engine",
        Shape::Object(&[
            key(
                "cylinders",
                Shape::List(&Shape::Object(&[
                    key("bore_mm", MM),
                    key("stroke_mm", MM),
                    key("rod_mm", HEIGHT),
                    key("acting", ACTING),
                ])),
            ),
            key("cutoff_pct", PCT),
            key("clearance_pct", Shape::Number(0.0, 100.0)),
        ]),
    ),
    key(
        "glass",
        Shape::Object(&[
            key("bottom_mm", HEIGHT),
            key("visible_mm", MM),
            key("low_mark_mm", HEIGHT),
            key("high_mark_mm", HEIGHT),
        ]),
    ),
    key("water_space", Shape::Object(WATER_SPACE)),
];

const WATER_SPACE: &[Key] = &[
    key(
        "horizontal",
        Shape::Object(&[
            must("bore_mm", MM),
            must("length_mm", MM),
            key(
                "tubes",
                Shape::List(&Shape::Object(&[
                    must("od_mm", MM),
                    must("centre_mm", HEIGHT),
                    key("count", COUNT),
                ])),
            ),
        ]),
    ),
    key(
        "vertical",
        Shape::Object(&[
            must("bore_mm", MM),
            must("height_mm", MM),
            key(
                "tubes",
                Shape::List(&Shape::Object(&[must("od_mm", MM), key("count", COUNT)])),
            ),
            key(
                "firebox",
                Shape::Object(&[must("od_mm", MM), must("crown_mm", MM)]),
            ),
        ]),
    ),
    key(
        "calibrated",
        Shape::Rows(&[
            must("level_mm", Shape::Number(-1000.0, 10_000.0)),
            must("ml", ML),
        ]),
    ),
];
