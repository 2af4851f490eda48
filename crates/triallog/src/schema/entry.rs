//! An entry of the log.

use super::{Key, Shape, key, must, read};

/// The longest trial, s: thirty days.
pub(crate) const LONGEST_S: f64 = 2_592_000.0;

/// Hold points that the program knows; others begin with `own-`.
pub const HOLD_POINTS: &[&str] = &[
    "hydraulic-in-date",
    "no-steam-clear",
    "temporary-states-ended",
    "safety-valve-tried",
    "water-in-glass-seen",
    "glass-blown-through",
    "co-alarm-on",
    "gas-joints-soaped",
    "vented",
    "valve-and-glass-off",
    "shield-up",
    "drains-open",
    "turned-by-hand",
    "tank-filled",
    "gauge-in-date",
];

/// What can happen.
pub const EVENTS: &[&str] = &[
    "fire-lit",
    "fire-out",
    "flame-lost",
    "flame-unsteady",
    "gas-off",
    "fired",
    "blower-open",
    "blower-shut",
    "feed-on",
    "feed-off",
    "bypass-open",
    "bypass-shut",
    "stop-valve-open",
    "stop-valve-shut",
    "engine-running",
    "engine-stopped",
    "pump-stalled",
    "pump-raced",
    "safety-valve-lifted",
    "safety-valve-reseated",
    "blow-down",
    "blow-down-ended",
    "glass-blown-through",
    "glass-sluggish",
    "carry-over",
    "water-added",
    "tank-filled",
    "tank-empty",
    "drains-open",
    "drains-shut",
    "lubricator-filled",
    "adjusted",
    "co-alarm",
    "fumes-noticed",
    "symptom-felt",
    "leak-seen",
    "leak-stopped",
    "hold-started",
    "hold-ended",
    "pressure-released",
    "set-measured",
    "look-by-picture",
    "note",
];

/// What is kept and sealed without being judged.
pub const KEEPS: &[&str] = &[
    "takeover",
    "pick",
    "quietened",
    "list-complete",
    "phone-given-up",
    "renewed",
];

const SEEN: Shape = Shape::OneOf(&["below", "above", "in-glass"]);
const COCK: Shape = Shape::OneOf(&["water", "steam", "unclear"]);
const GAUGE_BAR: Shape = Shape::Number(-1.0, 40.0);
const LEVEL: Shape = Shape::Number(0.0, 10_000.0);
const DEGREES: Shape = Shape::Number(-20.0, 250.0);
const FLUE_DEGREES: Shape = Shape::Number(-20.0, 1000.0);
const ML: Shape = Shape::Number(0.0, 10_000_000.0);
const TIME: Shape = Shape::Number(0.0, LONGEST_S);

/// What can be read.
pub const READING: &[Key] = &[
    read("pressure_bar", GAUGE_BAR),
    read("pressure_second_bar", GAUGE_BAR),
    read("level_mm", LEVEL),
    read("level_seen", SEEN),
    read("level_second_mm", LEVEL),
    read("level_second_seen", SEEN),
    read("cock_top", COCK),
    read("cock_middle", COCK),
    read("cock_bottom", COCK),
    read("water_c", DEGREES),
    read("shell_c", FLUE_DEGREES),
    read("ambient_c", DEGREES),
    read("tank_c", DEGREES),
    read("bearing_c", DEGREES),
    read("feed_strokes", Shape::Number(0.0, 1e9)),
    read("feed_tank_ml", ML),
    read("catch_ml", ML),
    read("catch_s", TIME),
    read("pumped_ml", ML),
    read("co_ppm", Shape::Number(0.0, 1_000_000.0)),
    read("co2_pct", Shape::Number(0.0, 100.0)),
    read("rpm", Shape::Number(0.0, 1_000_000.0)),
    read("strokes_per_min", Shape::Number(0.0, 1_000_000.0)),
    read("gas_g", Shape::Number(0.0, 1e7)),
    read("condensate_ml", ML),
];

/// An entry, its keys in writing order; what belongs together is checked beside this.
pub const ENTRY: &[Key] = &[
    must("t_s", TIME),
    key("corrects", Shape::TextOrNumber),
    key("reading", Shape::Object(READING)),
    key("withdrawn", Shape::Bool),
    key("event", Shape::OneOf(EVENTS)),
    key("by_hand", Shape::Bool),
    key("amount_ml", ML),
    key("to", Shape::OneOf(&["boiler", "tank"])),
    key("what", Shape::Text(500)),
    key(
        "where",
        Shape::OneOf(&[
            "gas", "seam", "shell", "union", "gasket", "fitting", "blank", "gland",
        ]),
    ),
    key("growth_pct", Shape::Number(-100.0, 1000.0)),
    key("check", Shape::HoldPoint),
    key("done", Shape::Bool),
    key("value", Shape::TextOrNumber),
    key("override", Shape::Bool),
    key("reason", Shape::Text(1000)),
    key(
        "acknowledges",
        Shape::Object(&[must("rule", Shape::Text(60)), must("raised_at_s", TIME)]),
    ),
    key("answer", Shape::OneOf(&["yes", "no", "not-settled"])),
    key("signs", Shape::Signature),
    key("keeps", Shape::OneOf(KEEPS)),
    key("until_s", TIME),
    key("id", Shape::Text(60)),
    key("by", Shape::Text(200)),
    key("note", Shape::Text(4000)),
    key("received_at_s", TIME),
    key("clock", Shape::OneOf(&["device", "server", "paper"])),
    key("time_u_s", Shape::Number(0.0, LONGEST_S)),
    key(
        "marks",
        Shape::List(&Shape::OneOf(&[
            "late",
            "estimated",
            "clock-jumped",
            "conflict",
            "from-paper",
        ])),
    ),
];
