//! The file itself, its instruments and its limits.

use super::entry::ENTRY;
use super::plant::PLANT;
use super::{Key, Shape, key, must};

/// The kinds of trial.
pub const KINDS: &[&str] = &[
    "steam",
    "hydraulic",
    "air",
    "safety-valve",
    "feed-pump",
    "burner",
    "engine-run",
];

/// The whole file.
pub const FILE: &[Key] = &[
    must("format", Shape::OneOf(&["gaugeglass-trial/1"])),
    must("kind", Shape::OneOf(KINDS)),
    key("title", Shape::Text(200)),
    key("question", Shape::Text(500)),
    key("started_at", Shape::Moment),
    key("ended_at_s", Shape::Number(0.0, super::entry::LONGEST_S)),
    key("place", Shape::OneOf(&["indoors", "outdoors"])),
    key("barometer_hpa", Shape::Number(850.0, 1085.0)),
    key(
        "supply",
        Shape::OneOf(&["steam", "air-direct", "air-through-boiler"]),
    ),
    key("plant", Shape::Object(PLANT)),
    key("instruments", Shape::Object(INSTRUMENTS)),
    key("limits", Shape::Object(LIMITS)),
    key("hold_points", Shape::List(&Shape::HoldPoint)),
    key("change", Shape::Text(500)),
    key("compared_with", Shape::Text(60)),
    key(
        "procedure",
        Shape::Object(&[
            key("name", Shape::Text(100)),
            key("version", Shape::TextOrNumber),
            key("sha256", Shape::Text(64)),
        ]),
    ),
    key("entries", Shape::List(&Shape::Object(ENTRY))),
    key(
        "record",
        Shape::Object(&[key("number", Shape::Text(60)), key("head", Shape::Text(64))]),
    ),
];

const GAUGE: Shape = Shape::Object(&[
    ID,
    key("full_scale_bar", Shape::Number(0.01, 1000.0)),
    key("accuracy_class", Shape::Number(0.01, 20.0)),
    key("resolution_bar", Shape::Number(0.0001, 100.0)),
    CALIBRATED,
    DUE,
]);

const ID: Key = key("id", Shape::Text(60));
const CALIBRATED: Key = key("calibrated_on", Shape::Day);
const DUE: Key = key("calibration_due", Shape::Day);

const GLASS: Shape = Shape::Object(&[
    ID,
    key("resolution_mm", Shape::Number(0.01, 50.0)),
    CALIBRATED,
    DUE,
]);
const THERMOMETER: Shape = Shape::Object(&[
    ID,
    key("resolution_c", Shape::Number(0.001, 20.0)),
    key("accuracy_c", Shape::Number(0.001, 20.0)),
    key("repeatability_c", Shape::Number(0.0001, 20.0)),
    CALIBRATED,
    DUE,
]);
const MONOXIDE_METER: Shape = Shape::Object(&[
    ID,
    key("resolution_ppm", Shape::Number(0.001, 100.0)),
    key("accuracy_pct", Shape::Number(0.01, 100.0)),
    CALIBRATED,
    DUE,
]);
const STOPWATCH: Shape = Shape::Object(&[
    ID,
    key("resolution_s", Shape::Number(0.0001, 60.0)),
    CALIBRATED,
    DUE,
]);
const SCALE: Shape = Shape::Object(&[
    ID,
    key("resolution_g", Shape::Number(0.0001, 1000.0)),
    CALIBRATED,
    DUE,
]);

/// The instruments.
pub const INSTRUMENTS: &[Key] = &[
    key("pressure", GAUGE),
    key("pressure_second", GAUGE),
    key("level", GLASS),
    key("temperature", THERMOMETER),
    key("co", MONOXIDE_METER),
    key("stopwatch", STOPWATCH),
    key("scale", SCALE),
];

/// The limits, each with what it may be.
pub const LIMITS: &[Key] = &[
    key("test", Shape::OneOf(&["first", "repeat"])),
    key("hydraulic_factor_first", Shape::Number(1.0, 5.0)),
    key("hydraulic_factor_repeat", Shape::Number(1.0, 5.0)),
    key("hydraulic_hold_s", Shape::Number(1.0, 86_400.0)),
    key("over_target_pct", Shape::Number(0.0, 100.0)),
    key("allowed_drop_pct", Shape::Number(0.0, 100.0)),
    key("trapped_air_caution_pct", Shape::Number(0.0, 100.0)),
    key("trapped_air_stop_pct", Shape::Number(0.0, 100.0)),
    key("air_max_bar", Shape::Number(0.0, 10.0)),
    key("air_energy_max_j", Shape::Number(0.0, 100_000.0)),
    key("pressure_caution_pct", Shape::Number(50.0, 200.0)),
    key("pressure_stop_pct", Shape::Number(50.0, 200.0)),
    key("reading_every_s", Shape::Number(15.0, 3600.0)),
    key("runway_caution_s", Shape::Number(0.0, 3600.0)),
    key("runway_stop_s", Shape::Number(0.0, 3600.0)),
    key("co_peak_caution_ppm", Shape::Number(0.0, 10_000.0)),
    key("co_15min_caution_ppm", Shape::Number(0.0, 10_000.0)),
    key("co_15min_stop_ppm", Shape::Number(0.0, 10_000.0)),
    key("co_8h_stop_ppm", Shape::Number(0.0, 10_000.0)),
    key("co_peak_stop_ppm", Shape::Number(0.0, 10_000.0)),
    key("co_co2_caution", Shape::Number(0.0, 1.0)),
    key("co_co2_stop", Shape::Number(0.0, 1.0)),
    key("piston_speed_m_s", Shape::Number(0.01, 100.0)),
    key("piston_speed_proof_m_s", Shape::Number(0.01, 100.0)),
    key("gauge_disagree_sigma", Shape::Number(0.1, 100.0)),
];
