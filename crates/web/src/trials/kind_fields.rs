//! What is asked beside the common fields when a trial of a certain kind is prepared.

use super::fields::{Field, Kind, field};

const SHELL: &[Field] = &[
    field(
        "plant.volume_ml",
        "The whole inside",
        "without it no air and no leak can be reckoned",
        "ml",
        Kind::Number,
    ),
    field(
        "plant.shell_material",
        "Shell of",
        "",
        "",
        Kind::Choice(&[
            ("", "not known"),
            ("copper", "copper"),
            ("steel", "steel"),
            ("stainless", "stainless steel"),
            ("brass", "brass"),
            ("bronze", "bronze"),
        ]),
    ),
    field(
        "plant.shell.bore_mm",
        "Shell, inside",
        "",
        "mm",
        Kind::Number,
    ),
    field(
        "plant.shell.wall_mm",
        "Shell, thickness",
        "the least that was measured",
        "mm",
        Kind::Number,
    ),
];
const THERMOMETER: &[Field] = &[
    field(
        "instruments.temperature.id",
        "Thermometer",
        "its mark",
        "",
        Kind::Words,
    ),
    field(
        "instruments.temperature.accuracy_c",
        "Thermometer is good to ±",
        "",
        "°C",
        Kind::Number,
    ),
    field(
        "instruments.temperature.resolution_c",
        "Thermometer, smallest step",
        "",
        "°C",
        Kind::Number,
    ),
    field(
        "instruments.temperature.repeatability_c",
        "Thermometer repeats itself within",
        "a hold is proven by this; left out 0.1 or 0.3",
        "K",
        Kind::Number,
    ),
    field(
        "instruments.temperature.calibrated_on",
        "Thermometer, calibrated on",
        "",
        "",
        Kind::Date,
    ),
    field(
        "instruments.temperature.calibration_due",
        "Thermometer, calibration due",
        "",
        "",
        Kind::Date,
    ),
];
const SCALE: &[Field] = &[
    field("instruments.scale.id", "Scale", "its mark", "", Kind::Words),
    field(
        "instruments.scale.resolution_g",
        "Scale, smallest step",
        "",
        "g",
        Kind::Number,
    ),
    field(
        "instruments.scale.calibrated_on",
        "Scale, calibrated on",
        "",
        "",
        Kind::Date,
    ),
    field(
        "instruments.scale.calibration_due",
        "Scale, calibration due",
        "",
        "",
        Kind::Date,
    ),
];
const WATER_LIMITS: &[Field] = &[
    field(
        "limits.test",
        "Which test",
        "",
        "",
        Kind::Choice(&[
            ("first", "the first of this boiler, by stages"),
            ("repeat", "a repeat"),
        ]),
    ),
    field(
        "limits.hydraulic_factor_first",
        "First test, times working pressure",
        "usual 2",
        "",
        Kind::Number,
    ),
    field(
        "limits.hydraulic_factor_repeat",
        "Repeat test, times working pressure",
        "usual 1.5",
        "",
        Kind::Number,
    ),
    field(
        "limits.hydraulic_hold_s",
        "Held for",
        "usual 600",
        "s",
        Kind::Number,
    ),
    field(
        "limits.over_target_pct",
        "Over the target at most by",
        "usual 6",
        "%",
        Kind::Number,
    ),
    field(
        "limits.allowed_drop_pct",
        "May fall by",
        "usual 2",
        "%",
        Kind::Number,
    ),
];
const AIR_LIMITS: &[Field] = &[
    field(
        "limits.air_max_bar",
        "Never more air than",
        "usual 0.5, and a tenth of working pressure",
        "bar",
        Kind::Number,
    ),
    field(
        "limits.air_energy_max_j",
        "Never more stored energy than",
        "usual 250",
        "J",
        Kind::Number,
    ),
    field(
        "limits.hydraulic_hold_s",
        "Held for",
        "usual 600",
        "s",
        Kind::Number,
    ),
];
const VALVE: &[Field] = &[
    field(
        "plant.safety_valve.bore_mm",
        "Safety valve, seat bore",
        "",
        "mm",
        Kind::Number,
    ),
    field(
        "plant.safety_valve.lift_mm",
        "Safety valve, lift",
        "",
        "mm",
        Kind::Number,
    ),
    EVAPORATION,
];
const EVAPORATION: Field = field(
    "plant.past_evaporation_kg_h.value",
    "The boiler evaporates",
    "measured in an earlier trial",
    "kg/h",
    Kind::Number,
);
const PUMP: &[Field] = &[
    field(
        "plant.feed_pump.bore_mm",
        "Pump, bore",
        "",
        "mm",
        Kind::Number,
    ),
    field(
        "plant.feed_pump.stroke_mm",
        "Pump, stroke",
        "",
        "mm",
        Kind::Number,
    ),
    field(
        "plant.feed_pump.rod_mm",
        "Pump, rod",
        "",
        "mm",
        Kind::Number,
    ),
    field(
        "plant.feed_pump.acting",
        "Pump, acting",
        "",
        "",
        Kind::Choice(&[
            ("", "not known"),
            ("single", "single"),
            ("double", "double"),
        ]),
    ),
    field(
        "plant.feed_pump.steam_bore_mm",
        "Pump, steam end, bore",
        "a steam pump only",
        "mm",
        Kind::Number,
    ),
    EVAPORATION,
];
const BURNER: &[Field] = &[
    field("plant.burner.jet_mm", "Jet, bore", "", "mm", Kind::Number),
    field(
        "plant.burner.supply_bar",
        "Gas pressure at the jet",
        "gauge",
        "bar",
        Kind::Number,
    ),
    field(
        "plant.gas_tank.volume_ml",
        "Gas tank",
        "",
        "ml",
        Kind::Number,
    ),
];
const ENGINE: &[Field] = &[
    field(
        "supply",
        "Driven by",
        "",
        "",
        Kind::Choice(&[
            ("", "not said"),
            ("steam", "steam"),
            ("air-direct", "air, straight to the engine"),
            ("air-through-boiler", "air, through the boiler"),
        ]),
    ),
    field(
        "limits.piston_speed_m_s",
        "Mean piston speed at most",
        "usual 1",
        "m/s",
        Kind::Number,
    ),
    field(
        "limits.piston_speed_proof_m_s",
        "In a proof run at most",
        "usual 2",
        "m/s",
        Kind::Number,
    ),
];

/// Groups asked of a kind beside the common ones.
pub(super) fn of(kind: &str) -> &'static [(&'static str, &'static [Field])] {
    match kind {
        "hydraulic" => &[
            ("The shell", SHELL),
            ("Thermometer", THERMOMETER),
            ("The test", WATER_LIMITS),
        ],
        "air" => &[
            ("What is tested", SHELL),
            ("Thermometer", THERMOMETER),
            ("The test", AIR_LIMITS),
        ],
        "safety-valve" => &[("The valve", VALVE)],
        "feed-pump" => &[("The pump", PUMP)],
        "burner" => &[("The burner", BURNER), ("Scale", SCALE)],
        "engine-run" => &[("The engine", ENGINE), ("Thermometer", THERMOMETER)],
        _ => &[],
    }
}

/// Common fields that a kind has no use for.
pub(super) fn is_idle(kind: &str, path: &str) -> bool {
    let of = |starts: &[&str]| starts.iter().any(|s| path.starts_with(s));
    match kind {
        "hydraulic" => of(&[
            "plant.glass",
            "plant.water_seen_by",
            "plant.charge_ml",
            "plant.burner",
            "plant.feed_pump",
            "plant.safety_valve",
            "plant.hydraulic_pass",
            "instruments.level",
            "instruments.co",
            "limits.r",
            "limits.pressure",
            "limits.co",
        ]),
        "air" => of(&[
            "plant.glass",
            "plant.water_seen_by",
            "plant.charge_ml",
            "plant.burner",
            "plant.feed_pump",
            "plant.safety_valve",
            "instruments.level",
            "instruments.co",
            "limits.r",
            "limits.pressure",
            "limits.co",
        ]),
        _ => false,
    }
}
