//! Which particulars are asked of each kind of component.

/// How a particular is asked.
#[derive(Clone, Copy)]
pub(super) enum Ask {
    /// A figure, kept as typed.
    Number,
    /// A day.
    Day,
    /// One of these: the file's word, the words shown. `true` and `false` stand bare.
    Choice(&'static [(&'static str, &'static str)]),
    /// A line each: figures in this order; `acting` takes a word.
    Rows(&'static [&'static str]),
}

/// One particular: its place in the trial file's `plant`, which is also the name of its box.
pub(super) struct Asked {
    pub(super) path: &'static str,
    pub(super) label: &'static str,
    pub(super) hint: &'static str,
    pub(super) unit: &'static str,
    pub(super) ask: Ask,
}

const fn number(path: &'static str, label: &'static str, unit: &'static str) -> Asked {
    Asked {
        path,
        label,
        hint: "",
        unit,
        ask: Ask::Number,
    }
}

const fn asked(path: &'static str, label: &'static str, hint: &'static str, ask: Ask) -> Asked {
    Asked {
        path,
        label,
        hint,
        unit: "",
        ask,
    }
}

const MATERIALS: Ask = Ask::Choice(&[
    ("", "not known"),
    ("copper", "copper"),
    ("steel", "steel"),
    ("stainless", "stainless steel"),
    ("brass", "brass"),
    ("bronze", "bronze"),
]);
const FUELS: Ask = Ask::Choice(&[
    ("", "not known"),
    ("butane", "butane"),
    ("propane", "propane"),
    ("butane-propane-70-30", "butane and propane, 70 to 30"),
    ("spirit", "spirit"),
    ("coal", "coal"),
    ("charcoal", "charcoal"),
    ("electric", "electric"),
]);
const DRIVES: Ask = Ask::Choice(&[
    ("", "not known"),
    ("hand", "by hand"),
    ("axle", "axle"),
    ("crosshead", "crosshead"),
    ("steam", "steam"),
    ("electric", "electric"),
    ("injector", "injector"),
]);
const ACTING: Ask = Ask::Choice(&[
    ("", "not known"),
    ("single", "single-acting"),
    ("double", "double-acting"),
]);
const SINCE: Ask = Ask::Choice(&[
    ("", "not known"),
    ("true", "yes, nothing structural since"),
    ("false", "no, work was done after it"),
]);
const SEEN_BY: Ask = Ask::Choice(&[
    ("", "as its parts say"),
    ("glass", "one glass"),
    ("two-glasses", "two glasses"),
    ("try-cocks", "try cocks"),
    ("plug", "a filling plug only"),
    ("none", "nothing"),
]);

const BOILER: &[Asked] = &[
    number("working_pressure_bar", "Working pressure, gauge", "bar"),
    asked("shell_material", "Material of the shell", "", MATERIALS),
    number("volume_ml", "Whole volume inside", "ml"),
    number("charge_ml", "Usual charge of water", "ml"),
    number("metal_kg", "Metal", "kg"),
    number("shell.bore_mm", "Shell, inside diameter", "mm"),
    number("shell.wall_mm", "Shell, wall", "mm"),
    number("shell.length_mm", "Shell, length", "mm"),
    number(
        "shell.joint_efficiency",
        "Shell, joint efficiency, 0 to 1",
        "",
    ),
    asked("water_seen_by", "Water seen by", "", SEEN_BY),
    number(
        "water_space.horizontal.bore_mm",
        "Horizontal water space: inside diameter",
        "mm",
    ),
    number(
        "water_space.horizontal.length_mm",
        "Horizontal: length",
        "mm",
    ),
    asked(
        "water_space.horizontal.tubes",
        "Horizontal: tubes",
        "one a line: outside diameter, height of centre, how many, like 44 46 1",
        Ask::Rows(&["od_mm", "centre_mm", "count"]),
    ),
    number(
        "water_space.vertical.bore_mm",
        "Vertical water space: inside diameter",
        "mm",
    ),
    number("water_space.vertical.height_mm", "Vertical: height", "mm"),
    asked(
        "water_space.vertical.tubes",
        "Vertical: tubes",
        "one a line: outside diameter, how many, like 12 7",
        Ask::Rows(&["od_mm", "count"]),
    ),
    number(
        "water_space.vertical.firebox.od_mm",
        "Vertical: firebox, outside diameter",
        "mm",
    ),
    number(
        "water_space.vertical.firebox.crown_mm",
        "Vertical: firebox, height of crown",
        "mm",
    ),
    asked(
        "water_space.calibrated",
        "Or measured by filling",
        "one a line: level in the glass in mm, water in ml, like 10 742",
        Ask::Rows(&["level_mm", "ml"]),
    ),
    asked(
        "hydraulic_pass.on",
        "Last water test passed on",
        "",
        Ask::Day,
    ),
    number("hydraulic_pass.pressure_bar", "At", "bar"),
    asked("hydraulic_pass.valid_until", "Valid until", "", Ask::Day),
    asked(
        "hydraulic_pass.since_structural_work",
        "Since the last structural work?",
        "",
        SINCE,
    ),
];
const GLASS: &[Asked] = &[
    number(
        "glass.bottom_mm",
        "Its zero above the lowest inside of the shell",
        "mm",
    ),
    number("glass.visible_mm", "Length that is seen", "mm"),
    number("glass.low_mark_mm", "Low mark, up from its zero", "mm"),
    number("glass.high_mark_mm", "High mark, up from its zero", "mm"),
];
const VALVE: &[Asked] = &[
    number("safety_valve.set_bar", "Set at, gauge", "bar"),
    number("safety_valve.bore_mm", "Bore", "mm"),
    number("safety_valve.lift_mm", "Lift", "mm"),
    number("safety_valve.count", "How many", ""),
];
const BURNER: &[Asked] = &[
    asked("burner.fuel", "Fuel", "", FUELS),
    number("burner.jet_mm", "Jet", "mm"),
    number("burner.supply_bar", "Supply, gauge", "bar"),
    number("burner.rated_kw", "Rated", "kW"),
    number("burner.efficiency_pct", "Efficiency", "%"),
    number("fuel_charge_ml", "Charge of fuel", "ml"),
];
const PUMP: &[Asked] = &[
    asked("feed_pump.drive", "Driven by", "", DRIVES),
    number("feed_pump.bore_mm", "Bore", "mm"),
    number("feed_pump.stroke_mm", "Stroke", "mm"),
    number("feed_pump.rod_mm", "Rod", "mm"),
    asked("feed_pump.acting", "Acting", "", ACTING),
    number("feed_pump.steam_bore_mm", "Steam cylinder, bore", "mm"),
];
const ENGINE: &[Asked] = &[
    asked(
        "engine.cylinders",
        "Cylinders",
        "one a line: bore, stroke, rod in mm, single or double, like 20 22 4 double",
        Ask::Rows(&["bore_mm", "stroke_mm", "rod_mm", "acting"]),
    ),
    number("engine.cutoff_pct", "Cut-off", "%"),
    number("engine.clearance_pct", "Clearance", "%"),
];
const LUBRICATOR: &[Asked] = &[number("lubricator.volume_ml", "Holds", "ml")];
const TANK: &[Asked] = &[
    number("feed_tank.volume_ml", "Feed tank holds", "ml"),
    number("gas_tank.volume_ml", "Gas tank holds", "ml"),
];

/// What is asked of a kind of component.
pub(super) fn of_kind(kind: &str) -> &'static [Asked] {
    match kind {
        "boiler" => BOILER,
        "glass" => GLASS,
        "safety-valve" => VALVE,
        "burner" => BURNER,
        "feed-pump" => PUMP,
        "engine" => ENGINE,
        "lubricator" => LUBRICATOR,
        "tank" => TANK,
        _ => &[],
    }
}
