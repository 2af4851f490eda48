//! Running an engine in: the steps that a log shows, and what its turns do at a fixed valve.

use crate::{because, judged_file};
use calc::trial::{Assessment, Outcome};

const DRY: &str = r#"{"t_s": 30, "event": "note", "note": "glands dry"}"#;
const BY_HAND: &str =
    r#"{"t_s": 0, "check": "turned-by-hand", "done": true, "value": "free all round"}"#;

/// An engine of 20 mm stroke on air, with hold point and log.
fn engine(log: &[String]) -> Assessment {
    judged_file(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "engine-run", "supply": "air-direct",
            "started_at": "2026-11-24T10:00:00+00:00", "hold_points": ["turned-by-hand"],
            "plant": {{"engine": {{"cylinders": [{{"bore_mm": 20, "stroke_mm": 20, "acting": "double"}}]}}}},
            "instruments": {{"pressure": {{"full_scale_bar": 6, "accuracy_class": 1,
              "resolution_bar": 0.05, "calibration_due": "2099-01-01"}},
              "temperature": {{"calibration_due": "2099-01-01"}}}},
            "entries": [{}]}}"#,
        log.join(",\n")
    ))
}

/// Running from `from_s` for `for_s`, its turns counted each minute, at this pressure.
fn spell(from_s: u32, for_s: u32, bar: f64, rpm: impl Fn(f64) -> f64) -> Vec<String> {
    let mut log = vec![format!(r#"{{"t_s": {from_s}, "event": "engine-running"}}"#)];
    for minute in 1..=(for_s - 10) / 60 {
        log.push(format!(
            r#"{{"t_s": {}, "reading": {{"rpm": {:.0}, "pressure_bar": {bar}, "bearing_c": 38}}}}"#,
            from_s + minute * 60,
            rpm(f64::from(minute))
        ));
    }
    log.push(format!(
        r#"{{"t_s": {}, "event": "engine-stopped"}}"#,
        from_s + for_s
    ));
    log
}

fn with_notes(spells: Vec<String>) -> Vec<String> {
    let mut log = vec![BY_HAND.to_owned(), DRY.to_owned()];
    log.extend(spells);
    log
}

fn says(judged: &Assessment, words: &str) {
    assert!(
        because(judged).contains(words),
        "no “{words}” in\n{}",
        because(judged)
    );
}

#[test]
fn turns_that_rise_and_then_stand_level_are_run_in_and_leave_the_verdict_alone() {
    let eases = |m: f64| if m < 9.0 { 300.0 + 12.0 * m } else { 408.0 };
    let rising = engine(&with_notes(spell(60, 660, 0.4, eases)));
    says(&rising, "turns still rise");
    let mut both = spell(60, 660, 0.4, eases);
    both.extend(spell(800, 660, 0.4, |m| 410.0 + (m % 2.0)));
    let level = engine(&with_notes(both));
    says(&level, "rose at a fixed valve and then stood level");
    for judged in [rising, level] {
        assert_eq!(
            judged.verdict.outcome,
            Outcome::Pass,
            "{}",
            because(&judged)
        );
    }
}

#[test]
fn turns_that_fall_at_a_fixed_valve_say_that_something_tightens() {
    let falls = engine(&with_notes(spell(60, 660, 0.4, |m| 500.0 - 9.0 * m)));
    says(&falls, "fell at a fixed valve and pressure, by 540 an hour");
    assert_eq!(falls.verdict.outcome, Outcome::NotProven);
}

#[test]
fn a_fall_is_not_laid_on_the_engine_where_the_valve_was_touched_or_the_pressure_sank() {
    let mut touched = spell(60, 660, 0.4, |m| 500.0 - 9.0 * m);
    for minute in 1..10 {
        touched.push(format!(
            r#"{{"t_s": {}, "event": "adjusted", "what": "regulator"}}"#,
            90 + minute * 60
        ));
    }
    let touched = engine(&with_notes(touched));
    says(&touched, "hold at a fixed valve is not proven");
    assert_eq!(
        touched.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&touched)
    );
    let sinking: Vec<String> = spell(60, 660, 0.4, |m| 500.0 - 9.0 * m)
        .iter()
        .enumerate()
        .map(|(n, e)| {
            e.replace(
                "\"pressure_bar\": 0.4",
                &format!("\"pressure_bar\": {}", 0.5 - 0.02 * n as f64),
            )
        })
        .collect();
    says(
        &engine(&with_notes(sinking)),
        "hold at a fixed valve is not proven",
    );
    let few = spell(60, 660, 0.4, |m| 500.0 - 9.0 * m);
    let few: Vec<String> = few.iter().take(5).chain(few.last()).cloned().collect();
    says(
        &engine(&with_notes(few)),
        "hold at a fixed valve is not proven",
    );
}

#[test]
fn the_steps_are_counted_from_the_log() {
    let bare = engine(&with_notes(spell(60, 300, 0.4, |_| 300.0))[1..]);
    says(
        &bare,
        "not signed as turned by hand; no easy run of 10 min shown; 0 of 3 runs",
    );
    let mut whole = spell(60, 660, 0.4, |_| 300.0);
    whole.extend(spell(1000, 1260, 1.0, |_| 500.0));
    whole.extend(spell(3000, 1260, 1.2, |_| 700.0));
    let two = engine(&with_notes(whole.clone()));
    says(
        &two,
        "turned by hand; an easy run of 10 min; 2 of 3 runs of 20 min at rising turns",
    );
    whole.extend(spell(5000, 1260, 1.2, |_| 650.0));
    says(&engine(&with_notes(whole.clone())), "2 of 3 runs");
    whole.extend(spell(7000, 1260, 1.2, |_| 900.0));
    says(&engine(&with_notes(whole)), "3 of 3 runs");
    // Too much air, or too fast, is no easy run.
    says(
        &engine(&with_notes(spell(60, 660, 0.6, |_| 300.0))),
        "no easy run",
    );
    says(
        &engine(&with_notes(spell(60, 660, 0.4, |_| 900.0))),
        "no easy run",
    );
}
