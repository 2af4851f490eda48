//! The cautions that a document carries, as data.

use crate::answer::{Answer, Value};

/// Kinds of trial, with the other names that are taken for them.
pub const TRIALS: &[&str] = &[
    "steam",
    "hydraulic",
    "air",
    "safety-valve",
    "safety_valve",
    "accumulation",
    "feed-pump",
    "feed_pump",
    "burner",
    "engine-run",
    "engine_run",
    "laying-up",
    "descaling",
    "stripping",
];
/// Fuels, with `gas` for any of them.
pub const FUELS: &[&str] = &[
    "gas",
    "butane",
    "propane",
    "butane-propane-70-30",
    "spirit",
    "coal",
    "charcoal",
    "electric",
    "none",
];
/// Places.
pub const PLACES: &[&str] = &["indoors", "outdoors", "indoor", "outdoor"];

/// What a document is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct About<'a> {
    /// One of [`TRIALS`].
    pub trial: &'a str,
    /// One of [`FUELS`], where it is known.
    pub fuel: Option<&'a str>,
    /// One of [`PLACES`]; indoors where it is not known.
    pub place: Option<&'a str>,
    /// What holds the seams: `soft`, `silver`, `other`, where it is known.
    pub seams: Option<&'a str>,
}

/// Code and text of every caution.
pub const CAUTIONS: &[(&str, &str)] = &[
    (
        "low_water_no_feed",
        "Water out of sight and firing: put out the fire. Do not feed. Do not open the stop valve. Let it cool; have it inspected.",
    ),
    (
        "gas_fill_outdoor",
        "Fill gas outside, away from flame, fires and hot engines; gas is heavier than air; stop at 80 %; let vapour clear.",
    ),
    (
        "leak_check_soap",
        "Soap every joint before lighting; never a flame.",
    ),
    (
        "co_alarm",
        "Working CO alarm to EN 50291 beside you. Headache: stop, get out.",
    ),
    ("ventilation", "Fresh air in and combustion gases out."),
    ("water_not_air", "Pressure test with water."),
    ("vent_all_air", "Fill, tilt, vent at the highest point."),
    (
        "only_after_hydraulic",
        "Air test only after a passed hydraulic test, shield on.",
    ),
    ("low_cap", "Air stays under its cap."),
    ("stand_clear", "Stand to one side of ends, plugs and hoses."),
    (
        "never_gag_valve",
        "Never gag, wire or set the safety valve above working pressure.",
    ),
    ("hot_surfaces", "Metal above 60 °C burns."),
    ("guard_moving_parts", "Guard crank and flywheel."),
    (
        "drain_cocks_open",
        "Drain cocks open at the start: water cannot be compressed.",
    ),
    (
        "no_relight_hot",
        "Flame lost: gas off, five minutes of air through the flue, then light.",
    ),
    (
        "blanked_valve",
        "Valve, glass and gauge that came off for the water test go back before any fire.",
    ),
    (
        "old_lagging",
        "Old lagging, string, sheet gaskets and packing may hold asbestos: do not strip dry or blow off; have it identified; the law of the place decides.",
    ),
    (
        "soft_solder",
        "A soft-soldered seam melts near 180 °C: a boiler at 9 bar, or at any pressure with low water. Know what holds the seams before any fire.",
    ),
    (
        "cadmium_solder",
        "Re-heating old silver solder can give cadmium fume: outdoors or extracted, do not breathe it.",
    ),
    (
        "pickle_acid",
        "Acid into water, never in a closed boiler; eyes and hands covered; rinse; let the hydrogen out.",
    ),
    ("drain_frost", "Drain it: ice splits tubes."),
    (
        "spirit_flame_invisible",
        "A spirit flame is nearly invisible; never refill hot.",
    ),
    (
        "defer_to_codes",
        "These numbers are a record, not a certificate. The law, your code, club boiler inspector, competent person and insurer decide.",
    ),
];

/// The text of a caution.
///
/// # Source
/// Trade practice and regulators' texts, which agree.
///
/// # Example
/// ```
/// assert_eq!(calc::cautions::text("water_not_air"), Some("Pressure test with water."));
/// ```
pub fn text(code: &str) -> Option<&'static str> {
    CAUTIONS.iter().find(|(c, _)| *c == code).map(|(_, t)| *t)
}

/// Codes of the cautions that belong to a document, in the order of the list.
///
/// # Formula
/// none; a table of kind, fuel, place and seams.
///
/// # Source
/// Trade practice and regulators' texts.
///
/// # Example
/// ```
/// use calc::cautions::{About, codes};
/// let codes = codes(About { trial: "hydraulic", ..About::default() });
/// assert!(codes.contains(&"water_not_air") && !codes.contains(&"co_alarm"));
/// ```
pub fn codes(about: About<'_>) -> Vec<&'static str> {
    CAUTIONS
        .iter()
        .map(|(code, _)| *code)
        .filter(|code| belongs(code, about))
        .collect()
}

fn belongs(code: &str, about: About<'_>) -> bool {
    let trial = match about.trial {
        "accumulation" | "safety_valve" => "safety-valve",
        "feed_pump" => "feed-pump",
        "engine_run" => "engine-run",
        other => other,
    };
    let is = |kinds: &[&str]| kinds.contains(&trial);
    let fuel = about.fuel.unwrap_or("");
    let gas = matches!(fuel, "gas" | "butane" | "propane" | "butane-propane-70-30");
    let steaming = is(&["steam", "safety-valve", "engine-run", "feed-pump"]);
    let fired = is(&["steam", "safety-valve", "burner"]) || (steaming && !fuel.is_empty());
    let burns = fired && !matches!(fuel, "electric" | "none");
    let indoors = !matches!(about.place, Some("outdoors" | "outdoor"));
    match code {
        "low_water_no_feed" | "never_gag_valve" => steaming,
        "gas_fill_outdoor" | "leak_check_soap" | "no_relight_hot" => burns && gas,
        "co_alarm" | "ventilation" => burns && indoors,
        "water_not_air" | "vent_all_air" | "blanked_valve" => is(&["hydraulic"]),
        "only_after_hydraulic" | "low_cap" => is(&["air"]),
        "stand_clear" => steaming || is(&["hydraulic", "air"]),
        "hot_surfaces" => steaming || is(&["burner"]),
        "guard_moving_parts" | "drain_cocks_open" => is(&["engine-run"]),
        "old_lagging" => is(&["stripping"]),
        "soft_solder" => {
            (steaming || is(&["burner"])) && !matches!(about.seams, Some("silver" | "other"))
        }
        "cadmium_solder" => about.seams == Some("silver") && is(&["stripping"]),
        "pickle_acid" => is(&["descaling"]),
        "drain_frost" => is(&["laying-up", "hydraulic"]),
        "spirit_flame_invisible" => burns && fuel == "spirit",
        _ => code == "defer_to_codes",
    }
}

/// The cautions of a document as an answer.
///
/// # Formula
/// As [`codes`].
///
/// # Source
/// As [`codes`].
///
/// # Example
/// ```
/// use calc::cautions::{About, cautions};
/// let answer = cautions(About { trial: "engine-run", ..About::default() });
/// assert!(!answer.figures.is_empty());
/// ```
pub fn cautions(about: About<'_>) -> Answer {
    let codes = codes(about);
    let texts = codes.iter().filter_map(|c| text(c)).collect();
    let mut answer = Answer::of("Trade practice and regulators' texts");
    answer.tell("must_include_codes", Value::Words(codes), None, "");
    answer.tell("texts", Value::Words(texts), None, "");
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_document_defers_to_the_codes_and_no_code_stands_twice() {
        for trial in TRIALS {
            for fuel in FUELS {
                let found = codes(About {
                    trial,
                    fuel: Some(fuel),
                    ..About::default()
                });
                assert!(found.contains(&"defer_to_codes"), "{trial} {fuel}");
                let mut once = found.clone();
                once.dedup();
                assert_eq!(once, found);
            }
        }
    }

    #[test]
    fn other_names_are_the_same_trial() {
        let of = |trial| {
            codes(About {
                trial,
                ..About::default()
            })
        };
        assert_eq!(of("accumulation"), of("safety-valve"));
        assert_eq!(of("engine_run"), of("engine-run"));
        assert!(!of("accumulation").is_empty());
    }
}
