//! What to look at next: signs, what tells them apart, and the ranking.

use crate::{LIT, judged, judged_with};
use calc::trial::Assessment;

/// Names with what the log shows of each, in their order.
fn next(judged: &Assessment) -> Vec<(&'static str, &str)> {
    let all = judged.look_next.iter();
    all.map(|n| (n.trouble.name, n.shows.as_deref().unwrap_or("")))
        .collect()
}

/// Water falling with the feed on, and something more in the log.
fn not_gaining(more: &[&str]) -> Assessment {
    let mut log = vec![
        LIT.to_owned(),
        r#"{"t_s": 10, "reading": {"level_mm": 30, "pressure_bar": 3}}"#.to_owned(),
        r#"{"t_s": 20, "event": "stop-valve-open"}"#.to_owned(),
        r#"{"t_s": 30, "event": "feed-on"}"#.to_owned(),
    ];
    for n in 1..=7 {
        let (t, level) = (30 + n * 60, 30.0 - 2.4 * f64::from(n));
        log.push(format!(
            r#"{{"t_s": {t}, "reading": {{"level_mm": {level}, "pressure_bar": 3}}}}"#
        ));
    }
    log.extend(more.iter().map(|e| (*e).to_owned()));
    let log: Vec<&str> = log.iter().map(String::as_str).collect();
    judged(&log)
}

#[test]
fn without_a_sign_there_is_nothing_to_look_at() {
    let calm = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 30, "pressure_bar": 1}}"#,
    ]);
    assert_eq!(next(&calm), []);
}

#[test]
fn a_feed_that_does_not_gain_is_told_apart_by_what_was_measured() {
    let plain = not_gaining(&[]);
    assert!(
        plain
            .flags
            .iter()
            .any(|f| f.rule.name() == "feed-not-gaining")
    );
    let names: Vec<&str> = next(&plain).iter().map(|n| n.0).collect();
    for name in [
        "check-valve-passes-back",
        "suction-draws-air",
        "pump-valve-stuck-or-dirty",
        "bypass-not-shut",
        "pump-gland-draws-air",
        "pump-steam-end-starved",
        "feed-tank-empty-or-hot",
    ] {
        assert!(names.contains(&name), "{name} is not among {names:?}");
    }
    let warm = not_gaining(&[r#"{"t_s": 460, "reading": {"tank_c": 41}}"#]);
    assert_eq!(
        next(&warm)[0],
        ("check-valve-passes-back", "The tank came to 41 °C.")
    );
    let open = not_gaining(&[r#"{"t_s": 5, "event": "bypass-open"}"#]);
    assert_eq!(next(&open)[0].0, "bypass-not-shut");
    let empty = not_gaining(&[r#"{"t_s": 460, "event": "tank-empty"}"#]);
    assert_eq!(next(&empty)[0].0, "feed-tank-empty-or-hot");
    let raced = not_gaining(&[r#"{"t_s": 460, "event": "pump-raced"}"#]);
    assert_eq!(next(&raced)[0].0, "suction-draws-air");
}

#[test]
fn a_pump_without_a_steam_end_has_none_to_be_starved() {
    let plant = r#", "feed_pump": {"drive": "hand"}"#;
    let judged = judged_with(plant, "", &[r#"{"t_s": 0, "event": "pump-stalled"}"#]);
    assert!(
        next(&judged)
            .iter()
            .all(|n| n.0 != "pump-steam-end-starved")
    );
    assert_eq!(next(&judged)[0].0, "pump-valve-stuck-or-dirty");
}

#[test]
fn bad_air_and_a_sagging_flame_lead_to_jet_air_tank_and_flue() {
    let plant = r#", "burner": {"fuel": "butane", "jet_mm": 0.2, "supply_bar": 1}"#;
    let judged = judged_with(
        plant,
        "",
        &[
            LIT,
            r#"{"t_s": 10, "reading": {"gas_g": 300, "tank_c": 20}}"#,
            r#"{"t_s": 310, "reading": {"gas_g": 293, "tank_c": 3, "co_ppm": 60, "co2_pct": 9}}"#,
            r#"{"t_s": 320, "event": "flame-unsteady"}"#,
        ],
    );
    let names = next(&judged);
    assert_eq!(names[0].0, "jet-against-its-bore", "{names:?}");
    assert!(names[0].1.contains("1.51 times"), "{names:?}");
    assert!(
        names.contains(&("gas-tank-cold", "The tank came down to 3 °C.")),
        "{names:?}"
    );
    assert!(
        names
            .iter()
            .any(|n| n.0 == "flue-or-draught" && n.1.contains("60 ppm"))
    );
}

#[test]
fn a_weep_is_looked_at_where_it_was_seen() {
    let judged = judged(&[r#"{"t_s": 0, "event": "leak-seen", "where": "gland"}"#]);
    assert_eq!(next(&judged), [("gland-weeps", "Leak seen: gland.")]);
}

#[test]
fn gauge_and_valve_that_disagree_are_told_by_the_lift() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"pressure_bar": 3.0, "level_mm": 20}}"#,
        r#"{"t_s": 61, "event": "safety-valve-lifted"}"#,
    ]);
    assert_eq!(
        next(&judged)[0],
        ("valve-set-wrong", "It lifted 1.00 bar under its setting.")
    );
}

#[test]
fn with_the_water_out_of_sight_there_is_only_the_stop() {
    let gone = not_gaining(&[r#"{"t_s": 500, "reading": {"level_seen": "below"}}"#]);
    assert_eq!(next(&gone), []);
    assert!(
        gone.flags
            .iter()
            .any(|f| f.rule.name() == "feed-not-gaining")
    );
}

#[test]
fn a_slow_rise_a_tired_engine_and_a_dry_lubricator_have_their_rows() {
    let slow = judged(&[
        LIT,
        r#"{"t_s": 2000, "reading": {"pressure_bar": 1.0, "level_mm": 20}}"#,
    ]);
    assert!(next(&slow).iter().any(|n| n.0 == "fire-too-small"));
    let tired = judged(&[
        r#"{"t_s": 0, "event": "engine-running"}"#,
        r#"{"t_s": 10, "reading": {"rpm": 600}}"#,
        r#"{"t_s": 60, "reading": {"rpm": 500}}"#,
        r#"{"t_s": 90, "reading": {"rpm": 400, "bearing_c": 70}}"#,
    ]);
    assert_eq!(
        next(&tired)[0],
        ("bearings-or-glands-tight", "A bearing came to 70 °C.")
    );
    let dry = judged(&[
        r#"{"t_s": 0, "reading": {"condensate_ml": 0}}"#,
        r#"{"t_s": 1800, "reading": {"condensate_ml": 0}}"#,
    ]);
    assert_eq!(
        next(&dry),
        [("lubricator-blocked-or-flooded", "Nothing condensed in it.")]
    );
    let full = judged(&[LIT, r#"{"t_s": 60, "event": "carry-over"}"#]);
    assert_eq!(next(&full)[0].0, "dirty-water-primes");
}
