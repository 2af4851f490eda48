//! Every rule of a steam trial, from a written log: when it is raised, when it clears.

#![allow(clippy::unwrap_used)]

use calc::trial::{Assessment, Outcome, Severity};
use triallog::TrialFile;

const PLANT: &str = r#""working_pressure_bar": 4,
  "glass": {"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8, "high_mark_mm": 32},
  "water_space": {"horizontal": {"bore_mm": 100, "length_mm": 200}}"#;
const INSTRUMENTS: &str = r#""pressure": {"full_scale_bar": 6, "accuracy_class": 1,
  "resolution_bar": 0.1, "calibration_due": "2099-01-01"}, "level": {"resolution_mm": 1}"#;

/// A trial of the usual plant with more said of it, and its log.
fn judged_with(plant: &str, more: &str, entries: &[&str]) -> Assessment {
    let text = format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {{{PLANT}{plant}}},
            "instruments": {{{INSTRUMENTS}}}{more}, "entries": [{}]}}"#,
        entries.join(",\n")
    );
    let file = TrialFile::read(&text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
    calc::trial::assess(file.trial(), None)
}

fn judged(entries: &[&str]) -> Assessment {
    judged_with("", "", entries)
}

/// Severity, raised and cleared of every flag of one rule, in order.
fn flags(judged: &Assessment, rule: &str) -> Vec<(Severity, f64, Option<f64>)> {
    let of = judged.flags.iter().filter(|f| f.rule.name() == rule);
    of.map(|f| (f.severity, f.raised_at_s, f.cleared_at_s))
        .collect()
}

const LIT: &str = r#"{"t_s": 0, "event": "fire-lit"}"#;
use Severity::{Caution, Note, Stop};

#[test]
fn water_out_of_sight_stops_and_does_not_clear_while_hot() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 30, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 60, "reading": {"level_seen": "below"}}"#,
        r#"{"t_s": 90, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 20}}"#,
    ]);
    assert_eq!(flags(&judged, "water-out-of-sight"), [(Stop, 60.0, None)]);
    let todo = &judged
        .flags
        .iter()
        .find(|f| f.severity == Stop)
        .unwrap()
        .todo;
    assert!(todo.contains("Do not feed"), "{todo}");
}

#[test]
fn water_out_of_sight_while_cold_is_a_note() {
    let judged = judged(&[r#"{"t_s": 0, "reading": {"level_seen": "below"}}"#]);
    assert_eq!(flags(&judged, "water-out-of-sight"), [(Note, 0.0, None)]);
}

#[test]
fn steam_at_the_bottom_cock_is_water_out_of_sight() {
    let judged = judged(&[LIT, r#"{"t_s": 60, "reading": {"cock_bottom": "steam"}}"#]);
    assert_eq!(flags(&judged, "water-out-of-sight"), [(Stop, 60.0, None)]);
}

#[test]
fn the_low_mark_is_left_only_after_two_readings_clear_of_it() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 8}}"#,
        r#"{"t_s": 90, "reading": {"level_mm": 9}}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 8.5}}"#,
        r#"{"t_s": 150, "reading": {"level_mm": 9}}"#,
        r#"{"t_s": 180, "reading": {"level_mm": 9}}"#,
    ]);
    assert_eq!(
        flags(&judged, "water-below-mark"),
        [(Stop, 60.0, Some(180.0))]
    );
}

#[test]
fn falling_water_is_called_before_the_mark_and_cleared_when_it_rises() {
    let fall: Vec<String> = (0..6)
        .map(|n| {
            let (t, mm) = (300 + n * 60, 26.0 - 2.0 * f64::from(n));
            format!(r#"{{"t_s": {t}, "reading": {{"level_mm": {mm}, "pressure_bar": 3.2}}}}"#)
        })
        .collect();
    let mut log = vec![
        LIT,
        r#"{"t_s": 240, "reading": {"level_mm": 26, "pressure_bar": 3.2}}"#,
        r#"{"t_s": 250, "event": "engine-running"}"#,
    ];
    log.extend(fall.iter().map(String::as_str));
    let falling = judged(&log);
    let raised = flags(&falling, "water-falling");
    assert_eq!(raised.last().unwrap().0, Stop, "{raised:?}");
    assert!(raised.first().unwrap().1 < 600.0, "{raised:?}");
    let rise: Vec<String> = (0..6)
        .map(|n| {
            let (t, mm) = (640 + n * 40, 17.0 + 2.5 * f64::from(n));
            format!(r#"{{"t_s": {t}, "reading": {{"level_mm": {mm}, "pressure_bar": 3.2}}}}"#)
        })
        .collect();
    log.push(r#"{"t_s": 605, "event": "feed-on"}"#);
    log.extend(rise.iter().map(String::as_str));
    let answered = judged(&log);
    let last = flags(&answered, "water-falling");
    assert!(last.iter().all(|f| f.2.is_some()), "{last:?}");
}

#[test]
fn swell_is_not_a_rise_and_cooling_is_not_a_fall() {
    let warm: Vec<String> = (0..8)
        .map(|n| {
            let (t, mm, bar) = (100 + n * 60, 20.0 + 0.8 * f64::from(n), 0.5 * f64::from(n));
            format!(r#"{{"t_s": {t}, "reading": {{"level_mm": {mm:.1}, "pressure_bar": {bar}}}}}"#)
        })
        .collect();
    let mut log = vec![LIT];
    log.extend(warm.iter().map(String::as_str));
    assert_eq!(flags(&judged(&log), "water-falling"), []);
}

#[test]
fn a_plug_boiler_has_ten_minutes_where_nothing_is_known() {
    let text = r#"{"format": "gaugeglass-trial/1", "kind": "steam",
        "plant": {"working_pressure_bar": 4, "water_seen_by": "plug"},
        "entries": [{"t_s": 0, "event": "fire-lit"}, {"t_s": 700, "event": "fire-out"},
                    {"t_s": 710, "event": "pressure-released"}]}"#;
    let judged = calc::trial::assess(TrialFile::read(text).unwrap().trial(), None);
    assert_eq!(
        flags(&judged, "water-unseen"),
        [(Caution, 0.0, Some(615.0)), (Stop, 615.0, Some(710.0))]
    );
}

#[test]
fn a_sluggish_glass_is_suspect_until_blown_through_and_read() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 30, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 60, "event": "glass-sluggish"}"#,
        r#"{"t_s": 90, "event": "glass-blown-through"}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 21}}"#,
    ]);
    assert_eq!(
        flags(&judged, "glass-suspect"),
        [(Caution, 60.0, Some(120.0))]
    );
}

#[test]
fn a_glass_that_does_not_follow_the_water_is_suspect_then_stops() {
    let stuck: Vec<String> = (0..14)
        .map(|n| {
            let t = 400 + n * 120;
            format!(r#"{{"t_s": {t}, "reading": {{"level_mm": 20, "pressure_bar": 3.5}}}}"#)
        })
        .collect();
    let mut log = vec![LIT, r#"{"t_s": 300, "event": "engine-running"}"#];
    log.extend(stuck.iter().map(String::as_str));
    let plant = r#", "burner": {"fuel": "butane", "rated_kw": 2.5}"#;
    let found = flags(&judged_with(plant, "", &log), "glass-suspect");
    assert_eq!(found.first().map(|f| f.0), Some(Caution), "{found:?}");
    assert_eq!(found.last().map(|f| f.0), Some(Stop), "{found:?}");
}

#[test]
fn two_glasses_that_differ_stop_until_they_agree() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 20, "level_second_mm": 26}}"#,
        r#"{"t_s": 90, "reading": {"level_mm": 20, "level_second_mm": 20.5}}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 20, "cock_bottom": "steam"}}"#,
    ]);
    let found = flags(&judged, "glasses-disagree");
    assert_eq!(found, [(Stop, 60.0, Some(90.0)), (Stop, 120.0, None)]);
}

#[test]
fn over_the_high_mark_is_a_note_and_with_steam_taken_twice_a_caution() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 33, "pressure_bar": 3}}"#,
        r#"{"t_s": 70, "event": "engine-running"}"#,
        r#"{"t_s": 90, "reading": {"level_mm": 34}}"#,
        r#"{"t_s": 120, "reading": {"level_seen": "above"}}"#,
        r#"{"t_s": 150, "reading": {"level_mm": 32}}"#,
        r#"{"t_s": 180, "reading": {"level_mm": 31}}"#,
        r#"{"t_s": 200, "event": "carry-over"}"#,
    ]);
    assert_eq!(
        flags(&judged, "water-over-mark"),
        [
            (Note, 60.0, Some(120.0)),
            (Caution, 120.0, Some(180.0)),
            (Caution, 200.0, None)
        ]
    );
}

#[test]
fn a_feed_that_does_not_gain_is_called_and_one_that_holds_is_not() {
    let run = |fall: f64| {
        let readings: Vec<String> = (0..8)
            .map(|n| {
                let (t, mm) = (300 + n * 60, 20.0 - fall * f64::from(n));
                format!(r#"{{"t_s": {t}, "reading": {{"level_mm": {mm:.1}, "pressure_bar": 3}}}}"#)
            })
            .collect();
        let mut log = vec![
            LIT,
            r#"{"t_s": 240, "event": "engine-running"}"#,
            r#"{"t_s": 250, "event": "feed-on"}"#,
        ];
        log.extend(readings.iter().map(String::as_str));
        flags(&judged(&log), "feed-not-gaining")
    };
    assert_eq!(
        run(1.3).first().map(|f| f.0),
        Some(Caution),
        "{:?}",
        run(1.3)
    );
    assert_eq!(run(0.0), []);
}

#[test]
fn an_empty_feed_tank_is_a_caution_until_filled() {
    let judged = judged_with(
        r#", "feed_tank": {"volume_ml": 500}"#,
        "",
        &[
            LIT,
            r#"{"t_s": 60, "reading": {"feed_tank_ml": 400}}"#,
            r#"{"t_s": 120, "reading": {"feed_tank_ml": 340}}"#,
            r#"{"t_s": 150, "event": "tank-filled"}"#,
            r#"{"t_s": 180, "event": "tank-empty"}"#,
        ],
    );
    assert_eq!(
        flags(&judged, "feed-tank-low"),
        [(Caution, 120.0, Some(150.0)), (Caution, 180.0, None)]
    );
}

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
fn nobody_looking_is_a_caution_then_a_stop_and_a_picture_counts_as_looking() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 30, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 640, "event": "look-by-picture"}"#,
        r#"{"t_s": 650, "event": "note"}"#,
    ]);
    assert_eq!(
        flags(&judged, "reading-overdue"),
        [(Caution, 330.0, Some(630.0)), (Stop, 630.0, Some(640.0))]
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
fn a_correction_clears_what_it_explains_and_dates_nothing_back() {
    let log = [
        LIT,
        r#"{"t_s": 60, "id": "a2", "reading": {"level_mm": 3}}"#,
        r#"{"t_s": 100, "corrects": "a2", "reading": {"level_mm": 23}, "note": "misread"}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 23}}"#,
    ];
    let judged = judged(&log);
    assert_eq!(
        flags(&judged, "water-below-mark"),
        [(Stop, 60.0, Some(100.0))]
    );
    assert!(judged.flags.iter().any(|f| f.cleared_by_correction));
    let worse = [
        LIT,
        r#"{"t_s": 60, "id": "a2", "reading": {"level_mm": 23}}"#,
        r#"{"t_s": 100, "corrects": "a2", "reading": {"level_mm": 3}}"#,
    ];
    assert_eq!(
        flags(&self::judged(&worse), "water-below-mark"),
        [(Stop, 100.0, None)]
    );
}

#[test]
fn a_late_entry_is_judged_when_it_arrives() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "received_at_s": 200, "reading": {"level_seen": "below"}}"#,
        r#"{"t_s": 150, "reading": {"level_mm": 20}}"#,
    ]);
    assert_eq!(flags(&judged, "water-out-of-sight"), [(Stop, 200.0, None)]);
}
