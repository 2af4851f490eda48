//! The water, its glass and its feed.

use crate::{LIT, flags, judged, judged_with};
use calc::trial::Severity::{Caution, Note, Stop};
use triallog::TrialFile;

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
fn a_blow_through_proves_the_glass_for_the_next_reading_only() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 30, "event": "glass-blown-through"}"#,
        r#"{"t_s": 60, "reading": {"level_mm": 21}}"#,
        r#"{"t_s": 90, "event": "glass-sluggish"}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 21}}"#,
        r#"{"t_s": 150, "event": "glass-blown-through"}"#,
        r#"{"t_s": 180, "reading": {"level_mm": 20}}"#,
    ]);
    assert_eq!(
        flags(&judged, "glass-suspect"),
        [(Caution, 90.0, Some(180.0))]
    );
}

#[test]
fn water_that_goes_before_a_pressure_was_read_is_called_too() {
    let readings = |mm: fn(i32) -> f64| -> Vec<String> {
        (0..6)
            .map(|n| {
                let t = 60 + n * 60;
                format!(r#"{{"t_s": {t}, "reading": {{"level_mm": {}}}}}"#, mm(n))
            })
            .collect()
    };
    let judged_from = |log: &[String]| {
        let mut all = vec![LIT];
        all.extend(log.iter().map(String::as_str));
        judged(&all)
    };
    let falling = judged_from(&readings(|n| 30.0 - 3.0 * f64::from(n)));
    let called = flags(&falling, "water-falling");
    assert!(!called.is_empty() && called[0].1 <= 300.0, "{called:?}");
    // Water that swells or stands while it warms up is not cried at.
    for calm in [readings(|n| 20.0 + 0.5 * f64::from(n)), readings(|_| 20.0)] {
        assert!(flags(&judged_from(&calm), "water-falling").is_empty());
    }
}
