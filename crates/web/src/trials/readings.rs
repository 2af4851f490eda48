//! What can be read and typed, and what each kind of trial reads first.

/// The readings that can be typed: the file's key, the label, the unit, and whether it may be under nothing.
pub(super) const READINGS: &[(&str, &str, &str, bool)] = &[
    ("pressure_bar", "pressure", "bar", false),
    ("level_mm", "water in the glass", "mm", false),
    ("co_ppm", "carbon monoxide", "ppm", false),
    ("co2_pct", "carbon dioxide", "%", false),
    ("pressure_second_bar", "second gauge", "bar", false),
    ("level_second_mm", "second glass", "mm", false),
    ("pumped_ml", "pumped in, in all", "ml", false),
    ("water_c", "water", "°C", true),
    ("shell_c", "shell", "°C", true),
    ("ambient_c", "air", "°C", true),
    ("tank_c", "feed or gas tank", "°C", true),
    ("bearing_c", "bearing", "°C", true),
    ("feed_tank_ml", "left in the feed tank", "ml", false),
    ("feed_strokes", "pump strokes, there and back", "no.", false),
    ("catch_ml", "caught", "ml", false),
    ("catch_s", "caught in", "s", false),
    ("strokes_per_min", "pump strokes a minute", "/min", false),
    ("rpm", "turns", "rpm", false),
    ("gas_g", "gas tank on the scale", "g", false),
    ("condensate_ml", "condensate", "ml", false),
];

/// What a trial of this kind reads first: these boxes stand open on the page, the rest are folded away.
pub(super) fn open(kind: &str) -> &'static [&'static str] {
    match kind {
        "hydraulic" => &["pressure_bar", "pumped_ml", "water_c"],
        "air" => &["pressure_bar", "shell_c", "ambient_c"],
        "feed-pump" => &["pressure_bar", "feed_strokes", "catch_ml", "catch_s"],
        "burner" => &["co_ppm", "co2_pct", "gas_g"],
        "engine-run" => &["rpm", "pressure_bar", "bearing_c"],
        _ => &["pressure_bar", "level_mm", "co_ppm"],
    }
}

/// A reading that can be typed: key, label, unit, whether it may be under nothing.
pub(super) type Typeable = (&'static str, &'static str, &'static str, bool);

/// Every reading, those that this kind reads first in front, and how many these are.
pub(super) fn readings(kind: &str) -> (Vec<Typeable>, usize) {
    let first = open(kind);
    let mut all: Vec<Typeable> = first
        .iter()
        .filter_map(|key| READINGS.iter().find(|r| r.0 == *key).copied())
        .collect();
    let count = all.len();
    all.extend(READINGS.iter().filter(|r| !first.contains(&r.0)).copied());
    (all, count)
}
