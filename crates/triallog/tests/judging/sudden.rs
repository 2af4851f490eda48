//! Water that goes fast, batches that come late, corrections, and words that must not go stale.

use crate::{LIT, flags, judged, judged_with};
use calc::trial::Assessment;
use calc::trial::Severity::{Caution, Stop};

/// A log of readings at 3 bar, one a minute, after lighting.
fn readings(before: &[&str], levels_mm: &[f64]) -> Assessment {
    let mut log: Vec<String> = [LIT]
        .iter()
        .chain(before)
        .map(|s| (*s).to_owned())
        .collect();
    for (n, mm) in levels_mm.iter().enumerate() {
        let t = 600 + 60 * n;
        log.push(format!(
            r#"{{"t_s": {t}, "reading": {{"level_mm": {mm}, "pressure_bar": 3}}}}"#
        ));
    }
    let log: Vec<&str> = log.iter().map(String::as_str).collect();
    judged(&log)
}

fn falling_stop_s(judged: &Assessment) -> Option<f64> {
    let stops = flags(judged, "water-falling");
    let stop = stops.iter().find(|(severity, _, _)| *severity == Stop);
    stop.map(|(_, raised_at_s, _)| *raised_at_s)
}

#[test]
fn a_fall_faster_than_anything_entered_is_a_stop_before_the_mark() {
    let nothing_taken = readings(&[], &[30.0, 24.0, 18.0, 12.0]);
    assert!(
        falling_stop_s(&nothing_taken).is_some_and(|t| t <= 780.0),
        "{:?}",
        nothing_taken.flags
    );
    let taken = r#"{"t_s": 590, "event": "engine-running"}"#;
    let halved = readings(&[taken], &[30.0, 12.0, 12.0]);
    assert!(
        falling_stop_s(&halved).is_some_and(|t| t <= 720.0),
        "{:?}",
        halved.flags
    );
    let fed = r#"{"t_s": 595, "event": "feed-on"}"#;
    let feeding = readings(&[taken, fed], &[30.0, 20.0, 11.0]);
    assert!(
        falling_stop_s(&feeding).is_some_and(|t| t <= 720.0),
        "{:?}",
        feeding.flags
    );
}

#[test]
fn one_misread_among_steady_readings_is_no_stop() {
    let steady = readings(&[], &[30.0, 30.0, 14.0, 30.0, 30.0, 30.0]);
    assert_eq!(falling_stop_s(&steady), None, "{:?}", steady.flags);
}

#[test]
fn a_stop_that_came_and_went_within_a_late_batch_is_listed_when_it_arrives() {
    let late = judged(&[
        LIT,
        r#"{"t_s": 60, "received_at_s": 300, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 120, "received_at_s": 300, "reading": {"level_mm": 7}}"#,
        r#"{"t_s": 180, "received_at_s": 300, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 240, "received_at_s": 300, "reading": {"level_mm": 20}}"#,
    ]);
    assert_eq!(
        flags(&late, "water-below-mark"),
        [(Stop, 300.0, Some(300.0))]
    );
}

#[test]
fn a_correction_undoes_a_stop_that_had_cleared_and_a_withdrawal_brings_it_back() {
    let log = [
        LIT,
        r#"{"t_s": 60, "id": "a", "reading": {"level_mm": 2}}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 22}}"#,
        r#"{"t_s": 180, "reading": {"level_mm": 22}}"#,
        r#"{"t_s": 240, "id": "b", "corrects": "a", "reading": {"level_mm": 22}}"#,
        r#"{"t_s": 300, "corrects": "b", "withdrawn": true}"#,
    ];
    let undone = |judged: &Assessment| {
        let stop = judged
            .flags
            .iter()
            .find(|f| f.rule.name() == "water-below-mark");
        stop.map(|f| f.cleared_by_correction)
    };
    assert_eq!(undone(&judged(&log[..4])), Some(false));
    assert_eq!(undone(&judged(&log[..5])), Some(true));
    assert_eq!(undone(&judged(&log)), Some(false));
}

#[test]
fn nothing_that_stands_says_feed_once_the_water_is_out_of_sight() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 7, "pressure_bar": 4.5}}"#,
        r#"{"t_s": 90, "reading": {"level_seen": "below", "pressure_bar": 4.5}}"#,
    ]);
    let standing: Vec<_> = judged.flags.iter().filter(|f| f.stands()).collect();
    assert!(standing.len() >= 3, "{standing:?}");
    for flag in standing {
        let says_feed = flag.todo.contains("Feed if") || flag.todo.contains("feed gently");
        assert!(!says_feed, "{flag:?}");
    }
}

#[test]
fn a_gas_leak_after_a_seam_leak_shows_what_gas_asks_for() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "event": "leak-seen", "where": "seam"}"#,
        r#"{"t_s": 90, "event": "leak-seen", "where": "gas"}"#,
    ]);
    let leak = judged
        .flags
        .iter()
        .find(|f| f.rule.name() == "leak-seen")
        .unwrap();
    assert!(leak.todo.contains("No flame"), "{leak:?}");
}

#[test]
fn glasses_that_differ_are_reconciled_only_by_reading_both() {
    let log = [
        LIT,
        r#"{"t_s": 60, "reading": {"level_mm": 20, "level_second_mm": 30}}"#,
        r#"{"t_s": 90, "reading": {"level_mm": 20}}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 20, "level_second_mm": 20}}"#,
    ];
    assert_eq!(
        flags(&judged(&log), "glasses-disagree"),
        [(Stop, 60.0, Some(120.0))]
    );
}

#[test]
fn a_flame_lost_stands_until_the_gas_is_off() {
    let log = [
        LIT,
        r#"{"t_s": 60, "event": "flame-lost"}"#,
        r#"{"t_s": 70, "event": "fire-out"}"#,
        r#"{"t_s": 100, "event": "gas-off"}"#,
    ];
    let lost = flags(&judged(&log), "flame-lost");
    assert_eq!(lost[0], (Stop, 60.0, Some(100.0)));
    assert_eq!(lost[1], (Caution, 100.0, None));
}

#[test]
fn an_engine_that_stands_is_not_over_speed() {
    let plant = r#", "engine": {"cylinders": [{"bore_mm": 20, "stroke_mm": 20}]}"#;
    let log = [
        LIT,
        r#"{"t_s": 60, "event": "engine-running"}"#,
        r#"{"t_s": 70, "reading": {"rpm": 2500}}"#,
        r#"{"t_s": 80, "event": "engine-stopped"}"#,
        r#"{"t_s": 300, "reading": {"level_mm": 20}}"#,
    ];
    let speed = flags(&judged_with(plant, "", &log), "over-speed");
    assert_eq!(speed.len(), 1, "{speed:?}");
    assert_eq!(speed[0].2, Some(80.0));
}

#[test]
fn nothing_is_overdue_after_the_end_of_the_trial() {
    let log = [LIT, r#"{"t_s": 60, "reading": {"level_mm": 20}}"#];
    let ended = judged_with("", r#", "ended_at_s": 100"#, &log);
    assert_eq!(flags(&ended, "reading-overdue"), []);
}
