//! Figures that a steam trial gives beside its flags, each against what was put into the log.

use crate::{LIT, figure, judged, judged_with};
use calc::trial::Assessment;

/// Steam raised in 10 min, then taken for 30 min while the level sinks 0.4 mm a minute.
fn steamed() -> Assessment {
    let mut log = vec![
        r#"{"t_s": 0, "reading": {"level_mm": 30, "water_c": 20, "co_ppm": 0}}"#.to_owned(),
        LIT.to_owned(),
        r#"{"t_s": 300, "reading": {"level_mm": 31, "pressure_bar": 2, "co_ppm": 10}}"#.to_owned(),
        r#"{"t_s": 600, "reading": {"level_mm": 32, "pressure_bar": 4, "co_ppm": 10}}"#.to_owned(),
        r#"{"t_s": 610, "event": "stop-valve-open"}"#.to_owned(),
    ];
    for n in 1..=15 {
        log.push(format!(
            r#"{{"t_s": {}, "reading": {{"level_mm": {:.1}, "pressure_bar": 4, "co_ppm": 10}}}}"#,
            600 + n * 120,
            32.0 - 0.8 * f64::from(n)
        ));
    }
    let log: Vec<&str> = log.iter().map(String::as_str).collect();
    judged(&log)
}

#[test]
fn steam_made_is_what_the_falling_level_says() {
    let judged = steamed();
    // At 86 of 100 mm a millimetre is 2 √(86 × 14) × 200 mm² = 13.9 ml; at 915 kg/m³ 0.4 mm a
    // minute is 0.305 kg an hour.
    let (kg_h, about) = figure(&judged, "evaporation").unwrap();
    assert!((kg_h - 0.305).abs() < 0.01, "{kg_h}");
    assert!(about.unwrap() > 0.01 && about.unwrap() < 0.15, "{about:?}");
    // The level stands at 80 of 100 mm: 1.35 l of hot water.
    let (kg, about) = figure(&judged, "water-mass").unwrap();
    assert!((kg - 1.24).abs() < 0.05, "{kg}");
    assert!(about.unwrap() < 0.1, "{about:?}");
}

#[test]
fn the_runway_with_the_feed_off_is_the_same_with_and_without_it() {
    let judged = steamed();
    let runway = figure(&judged, "runway").unwrap().0;
    let without = figure(&judged, "runway-without-feed").unwrap().0;
    // 12 mm over the mark at 0.4 mm a minute is 30 min at the likeliest; the figure is the least.
    assert!((600.0..1800.0).contains(&runway), "{runway}");
    assert!((runway - without).abs() < 1.0, "{runway} {without}");
}

#[test]
fn raising_time_runs_from_the_fire_to_working_pressure_as_near_as_it_was_read() {
    // Read each 5 min: it was there at 600 s, and may have been since the look before.
    assert_eq!(
        figure(&steamed(), "raising-time"),
        Some((600.0, Some(300.0)))
    );
}

#[test]
fn monoxide_is_a_mean_of_a_quarter_hour_and_a_dose_over_a_shift() {
    let judged = steamed();
    let (mean, _) = figure(&judged, "co-15min").unwrap();
    assert!((mean - 10.0).abs() < 1e-9, "{mean}");
    // From none to 10 ppm over 5 min, then 35 min of 10 ppm: 375 ppm min over 480.
    let (dose, _) = figure(&judged, "co-8h").unwrap();
    assert!((dose - 375.0 / 480.0).abs() < 0.01, "{dose}");
    assert_eq!(figure(&judged, "co-peak").unwrap().0, 10.0);
}

#[test]
fn feed_by_the_tank_is_held_against_feed_by_strokes_and_a_catch() {
    let pump =
        r#", "feed_pump": {"drive": "hand", "bore_mm": 6, "stroke_mm": 15, "acting": "single"}"#;
    let judged = judged_with(
        pump,
        "",
        &[
            LIT,
            r#"{"t_s": 60, "reading": {"level_mm": 20, "pressure_bar": 4, "feed_strokes": 100, "catch_ml": 36, "catch_s": 60}}"#,
            r#"{"t_s": 120, "event": "feed-on"}"#,
            r#"{"t_s": 130, "reading": {"feed_strokes": 100, "feed_tank_ml": 500}}"#,
            r#"{"t_s": 430, "reading": {"feed_strokes": 600, "feed_tank_ml": 300, "level_mm": 22}}"#,
        ],
    );
    // 500 strokes at 0.36 ml are 180 ml; the tank says 200.
    let (kg, about) = figure(&judged, "balance-closure").unwrap();
    assert!((kg - 0.020).abs() < 0.001, "{kg}");
    assert!(about.unwrap() > 0.0, "{about:?}");
}

#[test]
fn the_report_says_what_to_look_at_next_and_names_what_the_log_does_not_tell() {
    let mut log = vec![
        LIT.to_owned(),
        r#"{"t_s": 10, "reading": {"level_mm": 30, "pressure_bar": 3}}"#.to_owned(),
        r#"{"t_s": 20, "event": "stop-valve-open"}"#.to_owned(),
        r#"{"t_s": 30, "event": "feed-on"}"#.to_owned(),
        r#"{"t_s": 35, "event": "note", "note": "feed pipe hot"}"#.to_owned(),
    ];
    for n in 1..=7 {
        log.push(format!(
            r#"{{"t_s": {}, "reading": {{"level_mm": {:.1}, "pressure_bar": 3}}}}"#,
            30 + n * 60,
            30.0 - 2.4 * f64::from(n)
        ));
    }
    let log: Vec<&str> = log.iter().map(String::as_str).collect();
    let told = judged(&log);
    let report = triallog::assessment_report(calc::trial::Kind::Steam, &told);
    let next = report.split("What to look at next").nth(1).unwrap();
    let first = next.lines().nth(1).unwrap();
    assert!(first.contains("The feed does not gain: "), "{next}");
    assert!(first.contains(told.look_next[0].trouble.is), "{next}");
    assert!(
        next.contains("      Check: ") && next.contains("      Mend: "),
        "{next}"
    );
    assert!(next.contains("says nothing yet of: "), "{next}");
    let calm = triallog::assessment_report(calc::trial::Kind::Steam, &judged(&[LIT]));
    assert!(!calm.contains("look at next"), "{calm}");
}

#[test]
fn a_gauge_that_does_not_suit_is_remarked_on_and_changes_no_verdict() {
    let with = |working: f64, full: f64| {
        let text = format!(
            r#"{{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {{"working_pressure_bar": {working}}},
              "instruments": {{"pressure": {{"full_scale_bar": {full}, "accuracy_class": 1, "resolution_bar": 0.1}}}},
              "entries": [{LIT}, {{"t_s": 60, "reading": {{"pressure_bar": 1}}}}]}}"#
        );
        crate::judged_file(&text)
    };
    let (suits, coarse) = (with(4.0, 8.0), with(4.0, 25.0));
    assert!(!crate::because(&suits).contains("of the gauge's scale"));
    assert!(crate::because(&coarse).contains("stands at 16 % of the gauge's scale"));
    assert!(
        !crate::because(&with(4.0, 16.0)).contains("of the gauge's scale"),
        "a quarter is enough"
    );
    assert_eq!(suits.verdict.outcome, coarse.verdict.outcome);
    let water = |full: f64| {
        let text = format!(
            r#"{{"format": "gaugeglass-trial/1", "kind": "hydraulic", "plant": {{"working_pressure_bar": 4}},
              "limits": {{"test": "first"}},
              "instruments": {{"pressure": {{"full_scale_bar": {full}, "accuracy_class": 1, "resolution_bar": 0.1}}}},
              "entries": [{{"t_s": 60, "reading": {{"pressure_bar": 8}}}}]}}"#
        );
        crate::because(&crate::judged_file(&text))
    };
    assert!(!water(16.0).contains("times the test pressure"));
    assert!(
        water(60.0).contains("60.0 bar, is 7.5 times the test pressure"),
        "{}",
        water(60.0)
    );
    assert!(water(9.0).contains("is 1.1 times the test pressure"));
}
