//! Pressure, valve, air, flame, engine, and what should have been done before.

use crate::{LIT, flags, judged, judged_with};
use calc::trial::Outcome;
use calc::trial::Severity::{Caution, Note, Stop};
use triallog::TrialFile;

#[test]
fn pressure_over_its_limits() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"pressure_bar": 4.2}}"#,
        r#"{"t_s": 90, "reading": {"pressure_bar": 4.2}}"#,
        r#"{"t_s": 120, "reading": {"pressure_bar": 4.4}}"#,
        r#"{"t_s": 150, "reading": {"pressure_bar": 4.41}}"#,
        r#"{"t_s": 180, "reading": {"pressure_bar": 4.35}}"#,
        r#"{"t_s": 210, "reading": {"pressure_bar": 4.0}}"#,
    ]);
    assert_eq!(
        flags(&judged, "pressure-high"),
        [(Caution, 90.0, Some(150.0)), (Stop, 150.0, Some(210.0))]
    );
    assert_eq!(
        flags(&judged, "safety-valve-silent"),
        [(Caution, 90.0, Some(150.0)), (Stop, 150.0, None)],
        "only a lift, or a pressure under the setting, clears it"
    );
}

#[test]
fn a_lifted_valve_is_not_silent_and_must_shut_again() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"pressure_bar": 4.1}}"#,
        r#"{"t_s": 61, "event": "safety-valve-lifted"}"#,
        r#"{"t_s": 90, "reading": {"pressure_bar": 4.5}}"#,
        r#"{"t_s": 120, "reading": {"pressure_bar": 3.2}}"#,
        r#"{"t_s": 150, "event": "safety-valve-reseated"}"#,
    ]);
    assert_eq!(flags(&judged, "safety-valve-silent"), []);
    assert_eq!(
        flags(&judged, "valve-not-reseating"),
        [(Caution, 120.0, Some(150.0))]
    );
}

#[test]
fn carbon_monoxide_by_figure_by_mean_and_by_symptom() {
    let by_figure = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"co_ppm": 35}}"#,
        r#"{"t_s": 120, "reading": {"co_ppm": 5}}"#,
        r#"{"t_s": 300, "reading": {"co_ppm": 5}}"#,
        r#"{"t_s": 480, "reading": {"co_ppm": 5}}"#,
        r#"{"t_s": 500, "reading": {"co_ppm": 200}}"#,
    ]);
    let found = flags(&by_figure, "carbon-monoxide");
    assert_eq!((found[0].0, found[0].1), (Caution, 60.0));
    let cleared = found[0].2.unwrap();
    assert!((345.0..=480.0).contains(&cleared), "{found:?}");
    assert_eq!(*found.last().unwrap(), (Stop, 500.0, None));
    let symptom = judged(&[LIT, r#"{"t_s": 60, "event": "symptom-felt"}"#]);
    assert_eq!(flags(&symptom, "carbon-monoxide"), [(Stop, 60.0, None)]);
    let before = judged(&[r#"{"t_s": 0, "reading": {"co_ppm": 4}}"#]);
    assert_eq!(flags(&before, "carbon-monoxide"), [(Note, 0.0, None)]);
}

#[test]
fn a_quarter_hour_mean_stops_though_no_single_sample_does() {
    let samples: Vec<String> = (0..8)
        .map(|n| {
            format!(
                r#"{{"t_s": {}, "reading": {{"co_ppm": 110}}}}"#,
                60 + n * 120
            )
        })
        .collect();
    let mut log = vec![LIT];
    log.extend(samples.iter().map(String::as_str));
    let found = flags(&judged(&log), "carbon-monoxide");
    assert_eq!(
        found.last().map(|f| (f.0, f.1)),
        Some((Stop, 360.0)),
        "{found:?}"
    );
}

#[test]
fn poor_combustion_needs_a_sample_strong_enough() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"co_ppm": 900, "co2_pct": 1.9}}"#,
        r#"{"t_s": 90, "reading": {"co_ppm": 500, "co2_pct": 10}}"#,
        r#"{"t_s": 120, "reading": {"co_ppm": 900, "co2_pct": 10}}"#,
        r#"{"t_s": 150, "reading": {"co_ppm": 300, "co2_pct": 10}}"#,
    ]);
    assert_eq!(
        flags(&judged, "poor-combustion"),
        [(Caution, 90.0, Some(120.0)), (Stop, 120.0, Some(150.0))]
    );
}

#[test]
fn a_lost_flame_keeps_the_burner_off_for_five_minutes() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "event": "flame-lost"}"#,
        r#"{"t_s": 75, "event": "gas-off"}"#,
        r#"{"t_s": 400, "event": "note"}"#,
    ]);
    assert_eq!(
        flags(&judged, "flame-lost"),
        [(Stop, 60.0, Some(75.0)), (Caution, 75.0, Some(375.0))]
    );
}

#[test]
fn an_engine_may_be_over_normal_speed_for_half_a_minute() {
    let plant = r#", "engine": {"cylinders": [{"bore_mm": 20, "stroke_mm": 20}]}"#;
    let judged = judged_with(
        plant,
        "",
        &[
            r#"{"t_s": 0, "reading": {"rpm": 1300}}"#,
            r#"{"t_s": 10, "reading": {"rpm": 1350}}"#,
            r#"{"t_s": 20, "reading": {"rpm": 1600}}"#,
            r#"{"t_s": 80, "reading": {"rpm": 1300}}"#,
            r#"{"t_s": 90, "reading": {"rpm": 3100}}"#,
        ],
    );
    assert_eq!(
        flags(&judged, "over-speed"),
        [
            (Caution, 20.0, Some(60.0)),
            (Stop, 60.0, Some(80.0)),
            (Stop, 90.0, None)
        ]
    );
}

#[test]
fn lit_without_a_hydraulic_pass_in_date_stops() {
    let plant = r#", "hydraulic_pass": {"on": "2020-01-01", "valid_until": "2024-01-01",
        "since_structural_work": true}"#;
    let old = judged_with(
        plant,
        r#", "started_at": "2026-11-24T10:00:00+00:00""#,
        &[LIT],
    );
    assert_eq!(flags(&old, "not-cleared-for-pressure"), [(Stop, 0.0, None)]);
    assert_eq!(
        flags(&judged(&[LIT]), "not-cleared-for-pressure"),
        [(Note, 0.0, None)]
    );
}

#[test]
fn gauges_that_differ_by_more_than_their_classes_explain() {
    let text = |second: f64| {
        format!(
            r#"{{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {{"working_pressure_bar": 4}},
            "instruments": {{"pressure": {{"full_scale_bar": 6, "accuracy_class": 1}},
                "pressure_second": {{"full_scale_bar": 6}}}},
            "entries": [{{"t_s": 0, "reading": {{"pressure_bar": 2, "pressure_second_bar": {second}}}}}]}}"#
        )
    };
    let found = |second| {
        let file = TrialFile::read(&text(second)).unwrap();
        flags(&calc::trial::assess(file.trial(), None), "gauges-disagree")
    };
    // u = 0.0346 and 0.0866 bar, together 0.0933; twice that is 0.187.
    assert_eq!(found(2.18), []);
    assert_eq!(found(2.19), [(Caution, 0.0, None)]);
}

#[test]
fn a_gauge_out_of_date_is_a_caution_and_one_without_a_date_a_note() {
    let started = r#", "started_at": "2099-06-01T10:00:00+00:00""#;
    let log = [r#"{"t_s": 0, "reading": {"pressure_bar": 0}}"#];
    assert_eq!(
        flags(&judged_with("", started, &log), "gauge-out-of-date"),
        [(Caution, 0.0, None)]
    );
    assert_eq!(flags(&judged(&log), "gauge-out-of-date"), []);
    let text = r#"{"format": "gaugeglass-trial/1", "kind": "steam",
        "entries": [{"t_s": 0, "reading": {"pressure_bar": 0}}]}"#;
    let undated = calc::trial::assess(TrialFile::read(text).unwrap().trial(), None);
    assert_eq!(flags(&undated, "gauge-out-of-date"), [(Note, 0.0, None)]);
}

#[test]
fn the_stopwatch_of_a_catch_is_looked_at_like_any_instrument_that_was_read() {
    let due = |day: &str| {
        let text = format!(
            r#"{{"format": "gaugeglass-trial/1", "kind": "feed-pump", "started_at": "2026-06-01T10:00:00+00:00",
            "instruments": {{"stopwatch": {{"resolution_s": 0.1, "calibration_due": "{day}"}}}},
            "entries": [{{"t_s": 0, "reading": {{"catch_ml": 100, "catch_s": 60}}}}]}}"#
        );
        let file = TrialFile::read(&text).unwrap();
        flags(
            &calc::trial::assess(file.trial(), None),
            "gauge-out-of-date",
        )
    };
    assert_eq!(due("2026-05-31"), [(Caution, 0.0, None)]);
    assert_eq!(due("2026-06-01"), []);
}

#[test]
fn a_leak_at_a_seam_stops_and_at_a_gland_cautions() {
    let judged = judged(&[
        r#"{"t_s": 0, "event": "leak-seen", "where": "gland"}"#,
        r#"{"t_s": 30, "event": "leak-seen", "where": "seam"}"#,
        r#"{"t_s": 60, "event": "leak-stopped", "where": "seam"}"#,
        r#"{"t_s": 90, "event": "leak-stopped", "where": "gland"}"#,
    ]);
    assert_eq!(
        flags(&judged, "leak-seen"),
        [
            (Caution, 0.0, Some(30.0)),
            (Stop, 30.0, Some(60.0)),
            (Caution, 60.0, Some(90.0))
        ]
    );
}

#[test]
fn a_hold_point_missed_stops_until_done_and_then_stays_a_note() {
    let holds = r#", "hold_points": ["safety-valve-tried", "co-alarm-on"]"#;
    let judged = judged_with(
        "",
        holds,
        &[
            r#"{"t_s": 0, "check": "co-alarm-on", "done": true, "value": "beside me"}"#,
            r#"{"t_s": 10, "event": "fire-lit"}"#,
            r#"{"t_s": 20, "check": "safety-valve-tried", "done": false, "reason": "stuck"}"#,
            r#"{"t_s": 60, "check": "safety-valve-tried", "done": true, "value": "lifted freely"}"#,
        ],
    );
    assert_eq!(
        flags(&judged, "check-missed"),
        [(Stop, 10.0, Some(60.0)), (Note, 60.0, None)]
    );
}

#[test]
fn without_a_working_pressure_it_is_not_known_what_is_too_high() {
    let text = r#"{"format": "gaugeglass-trial/1", "kind": "steam",
        "entries": [{"t_s": 0, "event": "fire-lit"}]}"#;
    let judged = calc::trial::assess(TrialFile::read(text).unwrap().trial(), None);
    assert_eq!(flags(&judged, "no-limit-known"), [(Stop, 0.0, None)]);
    assert_eq!(judged.verdict.outcome, Outcome::NotProven);
}

#[test]
fn a_second_lift_noted_does_not_make_the_valve_shut() {
    let log = [
        LIT,
        r#"{"t_s": 60, "reading": {"pressure_bar": 4.0}}"#,
        r#"{"t_s": 70, "event": "safety-valve-lifted"}"#,
        r#"{"t_s": 120, "reading": {"pressure_bar": 3.0}}"#,
        r#"{"t_s": 130, "event": "safety-valve-lifted"}"#,
        r#"{"t_s": 160, "event": "safety-valve-reseated"}"#,
    ];
    assert_eq!(
        flags(&judged(&log), "valve-not-reseating"),
        [(Caution, 120.0, Some(160.0))]
    );
}

#[test]
fn a_hold_point_overridden_late_is_not_noted_as_done() {
    let holds = r#", "hold_points": ["co-alarm-on"]"#;
    let log = [
        LIT,
        r#"{"t_s": 60, "check": "co-alarm-on", "override": true, "reason": "outdoors"}"#,
    ];
    let missed = flags(&judged_with("", holds, &log), "check-missed");
    assert_eq!(missed, [(Stop, 0.0, Some(60.0))]);
}

#[test]
fn a_pressure_at_the_caution_figure_is_not_over_it() {
    let plant = r#", "safety_valve": {"set_bar": 3.0}"#;
    let read = |bar: f64| {
        let entries: Vec<String> = [60, 120]
            .map(|t| format!(r#"{{"t_s": {t}, "reading": {{"pressure_bar": {bar}}}}}"#))
            .into();
        let log = [LIT, entries[0].as_str(), entries[1].as_str()];
        flags(&judged_with(plant, "", &log), "safety-valve-silent").len()
    };
    assert_eq!((read(3.1), read(3.11)), (0, 1));
}
