//! The safety valve: set, accumulation, reseat.

use crate::{because, figure, judged_file};
use calc::trial::{Assessment, Outcome};

const PLANT: &str = r#""working_pressure_bar": 4,
  "hydraulic_pass": {"on": "2026-01-10", "pressure_bar": 8, "valid_until": "2030-01-10", "since_structural_work": true},
  "safety_valve": {"bore_mm": 5, "lift_mm": 0.8}, "past_evaporation_kg_h": {"value": 1.5},
  "glass": {"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8, "high_mark_mm": 32},
  "water_space": {"horizontal": {"bore_mm": 100, "length_mm": 200}}"#;

/// Raised, blown for `blown_s` at the pressures given each quarter of a minute, fire out, reseated.
fn trial(lift: f64, blows_at: &[f64], reseat: f64, class: f64, plant: &str) -> Assessment {
    let mut log = vec![
        r#"{"t_s": 0, "reading": {"pressure_bar": 0, "level_mm": 24}}"#.to_owned(),
        r#"{"t_s": 10, "event": "fire-lit"}"#.to_owned(),
        format!(r#"{{"t_s": 240, "reading": {{"pressure_bar": {lift}, "level_mm": 25}}}}"#),
        r#"{"t_s": 241, "event": "safety-valve-lifted"}"#.to_owned(),
    ];
    let mut t = 241;
    for bar in blows_at {
        t += 15;
        log.push(format!(
            r#"{{"t_s": {t}, "reading": {{"pressure_bar": {bar}, "level_mm": 24}}}}"#
        ));
    }
    log.push(format!(r#"{{"t_s": {}, "event": "fire-out"}}"#, t + 5));
    log.push(format!(
        r#"{{"t_s": {}, "reading": {{"pressure_bar": {reseat}, "level_mm": 23}}}}"#,
        t + 60
    ));
    log.push(format!(
        r#"{{"t_s": {}, "event": "safety-valve-reseated"}}"#,
        t + 65
    ));
    log.push(format!(
        r#"{{"t_s": {}, "reading": {{"pressure_bar": 0.1, "level_mm": 22}}}}"#,
        t + 300
    ));
    judged_file(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "safety-valve", "started_at": "2026-11-24T10:00:00+00:00",
            "plant": {{{plant}}}, "instruments": {{"pressure": {{"full_scale_bar": 6, "accuracy_class": {class},
            "resolution_bar": 0.05, "calibration_due": "2099-01-01"}}, "level": {{"resolution_mm": 1}}}},
            "entries": [{}]}}"#,
        log.join(",\n")
    ))
}

const LEVEL: [f64; 22] = [
    4.05, 4.1, 4.1, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15, 4.15,
    4.15, 4.15, 4.15, 4.15, 4.15, 4.15,
];

#[test]
fn a_valve_that_lifts_carries_the_fire_and_shuts_passes() {
    let judged = trial(4.0, &LEVEL, 3.7, 1.0, PLANT);
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
    assert!((figure(&judged, "set-pressure").unwrap().0 - 4.0).abs() < 1e-9);
    assert!((figure(&judged, "highest-pressure").unwrap().0 - 4.15).abs() < 1e-9);
    assert!((figure(&judged, "reseat-pressure").unwrap().0 - 3.7).abs() < 1e-9);
}

#[test]
fn set_too_high_or_over_ten_per_cent_fails() {
    let high = trial(4.3, &[4.3; 22], 3.9, 1.0, PLANT);
    assert_eq!(high.verdict.outcome, Outcome::Fail, "{}", because(&high));
    assert!(because(&high).contains("set too high"));
    let over = trial(4.0, &[4.5; 22], 3.7, 1.0, PLANT);
    assert_eq!(over.verdict.outcome, Outcome::Fail, "{}", because(&over));
    let weak = PLANT.replace("\"value\": 1.5", "\"value\": 30");
    let weak = trial(4.0, &LEVEL, 3.7, 1.0, &weak);
    assert!(
        because(&weak).contains("cannot carry the fire"),
        "{}",
        because(&weak)
    );
}

#[test]
fn a_coarse_gauge_a_short_blow_or_a_pressure_still_rising_is_not_proven() {
    let coarse = trial(4.0, &LEVEL, 3.7, 4.0, PLANT);
    assert_eq!(
        coarse.verdict.outcome,
        Outcome::NotProven,
        "{}",
        because(&coarse)
    );
    let short = trial(4.0, &LEVEL[..8], 3.7, 1.0, PLANT);
    assert!(because(&short).contains("is asked"), "{}", because(&short));
    let mut rising = LEVEL;
    (rising[19], rising[20], rising[21]) = (4.15, 4.2, 4.25);
    let rising = trial(4.0, &rising, 3.7, 1.0, PLANT);
    assert_eq!(rising.verdict.outcome, Outcome::NotProven);
    assert!(
        because(&rising).contains("still rising"),
        "{}",
        because(&rising)
    );
}

#[test]
fn a_valve_that_was_not_seen_to_shut_is_not_proven_and_one_that_stays_open_fails() {
    let wasteful = trial(4.0, &LEVEL, 3.2, 1.0, PLANT);
    assert!(
        because(&wasteful).contains("blew down"),
        "{}",
        because(&wasteful)
    );
    assert_eq!(wasteful.verdict.outcome, Outcome::NotProven);
}
