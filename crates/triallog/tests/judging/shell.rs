//! Shells under water: rules and verdicts.

use crate::{because, figure, flags, judged_file};
use calc::trial::Severity::{Caution, Note, Stop};
use calc::trial::{Assessment, Outcome};

pub(crate) const SHELL: &str = r#""working_pressure_bar": 4, "shell_material": "copper", "volume_ml": 2000,
  "shell": {"bore_mm": 100, "wall_mm": 2.5}"#;
const FINE: &str = r#""pressure": {"full_scale_bar": 16, "accuracy_class": 0.6, "resolution_bar": 0.05,
  "calibration_due": "2099-01-01"}, "temperature": {"resolution_c": 0.01, "repeatability_c": 0.01,
  "calibration_due": "2099-01-01"}"#;
const COARSE: &str = r#""pressure": {"full_scale_bar": 16, "accuracy_class": 1, "resolution_bar": 0.1,
  "calibration_due": "2099-01-01"}, "temperature": {"resolution_c": 0.1,
  "calibration_due": "2099-01-01"}"#;

pub(crate) fn test(
    kind: &str,
    plant: &str,
    instruments: &str,
    more: &str,
    entries: &[String],
) -> Assessment {
    judged_file(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "{kind}", "started_at": "2026-11-24T10:00:00+00:00",
            "plant": {{{plant}}}, "instruments": {{{instruments}}}{more},
            "entries": [{}]}}"#,
        entries.join(",\n")
    ))
}

fn read(t_s: u32, bar: f64, pumped_ml: Option<f64>, water_c: Option<f64>) -> String {
    let pumped = pumped_ml.map_or_else(String::new, |ml| format!(r#", "pumped_ml": {ml}"#));
    let water = water_c.map_or_else(String::new, |c| format!(r#", "water_c": {c}"#));
    format!(r#"{{"t_s": {t_s}, "reading": {{"pressure_bar": {bar}{pumped}{water}}}}}"#)
}

pub(crate) fn event(t_s: u32, name: &str) -> String {
    format!(r#"{{"t_s": {t_s}, "event": "{name}"}}"#)
}

/// Raised by stages to 8.2 bar with next to no air, then held; `end` is what is read at the end.
fn whole_test(end: (f64, Option<f64>), more: &[String]) -> Vec<String> {
    let mut log = vec![
        read(0, 0.0, Some(0.0), Some(18.0)),
        read(120, 2.0, Some(0.4), Some(18.0)),
        read(240, 4.0, Some(0.75), Some(18.0)),
        read(360, 6.0, Some(1.1), Some(18.0)),
        read(480, 8.2, Some(1.5), Some(18.0)),
        event(490, "hold-started"),
        read(800, end.0, None, end.1),
        read(1100, end.0, None, end.1),
        event(1110, "hold-ended"),
    ];
    log.extend(more.iter().cloned());
    log
}

#[test]
fn a_shell_that_was_raised_by_stages_reached_and_held_passes() {
    let log = whole_test((8.2, Some(18.0)), &[event(1200, "pressure-released")]);
    let judged = test("hydraulic", SHELL, FINE, "", &log);
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
    let (attained, u) = figure(&judged, "attained").unwrap();
    assert!(
        (attained - 8.2).abs() < 1e-9 && (u.unwrap() - 0.1147).abs() < 1e-3,
        "{u:?}"
    );
    assert!(figure(&judged, "drop-corrected").unwrap().0.abs() < 1e-9);
    assert!(figure(&judged, "trapped-air").unwrap().0 < 0.05);
    assert_eq!(judged.flags, []);
}

#[test]
fn a_fall_that_is_only_cooling_passes_and_a_fall_without_cooling_fails() {
    // At 18 °C this shell does 1.68 bar a kelvin: 0.1 K of cooling takes 0.17 bar.
    let cooled = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((8.05, Some(17.9)), &[]),
    );
    assert_eq!(
        cooled.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&cooled)
    );
    let leaked = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((7.2, Some(18.0)), &[]),
    );
    assert_eq!(
        leaked.verdict.outcome,
        Outcome::Fail,
        "{}",
        because(&leaked)
    );
    assert_eq!(
        flags(&leaked, "pressure-falling"),
        [(Caution, 800.0, Some(1110.0))]
    );
    assert!(figure(&leaked, "leak").unwrap().0 > 0.01);
}

#[test]
fn a_fall_that_a_large_drift_may_have_feigned_proves_nothing() {
    // 1.4 K of warming should raise it by about 2.4 bar; it rose by 1.8, and a third of 2.4 is in doubt.
    let warmed = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((10.0, Some(19.4)), &[]),
    );
    assert_eq!(
        warmed.verdict.outcome,
        Outcome::NotProven,
        "{}",
        because(&warmed)
    );
    let gone = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((4.0, Some(19.4)), &[]),
    );
    assert_eq!(gone.verdict.outcome, Outcome::Fail, "{}", because(&gone));
}

#[test]
fn an_ordinary_thermometer_cannot_prove_a_hold_and_the_record_says_so() {
    let ordinary = test(
        "hydraulic",
        SHELL,
        COARSE,
        "",
        &whole_test((8.2, Some(18.0)), &[]),
    );
    assert_eq!(ordinary.verdict.outcome, Outcome::NotProven);
    assert!(because(&ordinary).contains("an ordinary thermometer cannot prove such a hold"));
    let without: Vec<String> = whole_test((8.2, None), &[]);
    let none = test("hydraulic", SHELL, FINE, "", &without);
    assert_eq!(none.verdict.outcome, Outcome::NotProven);
    assert!(
        because(&none).contains("one kelvin is worth"),
        "{}",
        because(&none)
    );
}

#[test]
fn what_is_seen_outranks_every_number() {
    let weep = r#"{"t_s": 900, "event": "leak-seen", "where": "seam"}"#.to_owned();
    let judged = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((8.2, Some(18.0)), &[weep]),
    );
    assert_eq!(judged.verdict.outcome, Outcome::Fail);
    assert_eq!(flags(&judged, "leak-seen"), [(Stop, 900.0, None)]);
    let grown = r#"{"t_s": 1300, "event": "set-measured", "growth_pct": 0.4}"#.to_owned();
    let judged = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((8.2, Some(18.0)), &[grown]),
    );
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Fail,
        "{}",
        because(&judged)
    );
    let plug = [
        r#"{"t_s": 900, "event": "leak-seen", "where": "blank"}"#.to_owned(),
        r#"{"t_s": 1150, "event": "leak-stopped", "where": "blank"}"#.to_owned(),
    ];
    let judged = test(
        "hydraulic",
        SHELL,
        FINE,
        "",
        &whole_test((8.2, Some(18.0)), &plug),
    );
    assert_eq!(
        judged.verdict.outcome,
        Outcome::NotProven,
        "mend it and test again"
    );
}

#[test]
fn a_target_that_the_gauge_cannot_prove_is_not_proven() {
    let log: Vec<String> = whole_test((8.0, Some(18.0)), &[])
        .iter()
        .map(|e| e.replace("8.2", "8"))
        .collect();
    let judged = test("hydraulic", SHELL, FINE, "", &log);
    assert_eq!(judged.verdict.outcome, Outcome::NotProven);
    assert!(
        because(&judged).contains("is not proven: 8.00 bar ±0.11"),
        "{}",
        because(&judged)
    );
    let repeat = test(
        "hydraulic",
        SHELL,
        FINE,
        r#", "limits": {"test": "repeat"}"#,
        &log,
    );
    assert_eq!(
        flags(&repeat, "over-target"),
        [(Stop, 480.0, None)],
        "a repeat test goes to 6 bar: 8 is over it"
    );
}

#[test]
fn a_hold_too_short_or_a_raise_at_one_go_is_not_proven() {
    let short: Vec<String> = whole_test((8.2, Some(18.0)), &[])
        .into_iter()
        .filter(|e| !e.contains("1100") && !e.contains("1110"))
        .chain([event(900, "hold-ended")])
        .collect();
    let judged = test("hydraulic", SHELL, FINE, "", &short);
    assert!(
        because(&judged).contains("is asked"),
        "{}",
        because(&judged)
    );
    let at_once: Vec<String> = whole_test((8.2, Some(18.0)), &[])
        .into_iter()
        .filter(|e| {
            !["120", "240", "360"]
                .iter()
                .any(|t| e.contains(&format!("\"t_s\": {t},")))
        })
        .collect();
    let judged = test("hydraulic", SHELL, FINE, "", &at_once);
    assert!(
        because(&judged).contains("by stages"),
        "{}",
        because(&judged)
    );
    let repeat = r#", "limits": {"test": "repeat", "hydraulic_factor_repeat": 2}"#;
    let judged = test("hydraulic", SHELL, FINE, repeat, &at_once);
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
}

#[test]
fn over_the_target_is_a_caution_until_the_gauge_proves_it() {
    // 6 % over 8 bar is 8.48; the gauge's U is 0.115.
    let log = [
        read(0, 8.48, None, None),
        read(60, 8.5, None, None),
        read(120, 8.6, None, None),
        read(180, 8.4, None, None),
    ];
    let judged = test("hydraulic", SHELL, FINE, "", &log);
    assert_eq!(
        flags(&judged, "over-target"),
        [(Caution, 60.0, Some(120.0)), (Stop, 120.0, Some(180.0))]
    );
}

#[test]
fn air_left_in_the_shell_is_told_by_what_had_to_be_pumped() {
    // At 8 bar 2 l of copper shell take 1.23 ml; what is more is air: 12 ml pumped are 12.1 ml of it.
    let at = |ml: f64| read(60, 8.0, Some(ml), Some(20.0));
    let found = |ml: f64| {
        let judged = test(
            "hydraulic",
            SHELL,
            FINE,
            "",
            &[read(0, 0.0, Some(0.0), None), at(ml)],
        );
        flags(&judged, "trapped-air").first().map(|f| f.0)
    };
    assert_eq!(found(9.0), None);
    assert_eq!(found(12.0), Some(Note));
    assert_eq!(found(38.0), Some(Caution));
    assert_eq!(found(92.0), Some(Stop));
    let again = [
        read(0, 0.0, Some(0.0), None),
        at(92.0),
        read(120, 7.0, Some(92.0), None),
        event(180, "pressure-released"),
        read(300, 0.0, Some(0.0), None),
        read(360, 8.0, Some(1.4), None),
    ];
    let judged = test("hydraulic", SHELL, FINE, "", &again);
    assert_eq!(flags(&judged, "trapped-air"), [(Stop, 60.0, Some(300.0))]);
    let unknown = test(
        "hydraulic",
        r#""working_pressure_bar": 4"#,
        FINE,
        "",
        &[at(92.0)],
    );
    assert_eq!(
        flags(&unknown, "trapped-air"),
        [],
        "a shell of no known size is not judged"
    );
}

#[test]
fn in_a_hold_drift_and_a_coarse_gauge_are_told_while_it_runs() {
    let gauge = r#""pressure": {"full_scale_bar": 16, "accuracy_class": 1, "resolution_bar": 0.2,
      "calibration_due": "2099-01-01"}, "temperature": {"resolution_c": 0.01, "repeatability_c": 0.01,
      "calibration_due": "2099-01-01"}"#;
    let log = [
        read(0, 8.2, None, Some(18.0)),
        event(0, "hold-started"),
        read(300, 7.8, None, Some(17.7)),
        event(600, "hold-ended"),
    ];
    let judged = test("hydraulic", SHELL, gauge, "", &log);
    assert_eq!(
        flags(&judged, "temperature-drift"),
        [(Caution, 300.0, Some(600.0))]
    );
    assert_eq!(
        flags(&judged, "gauge-too-coarse"),
        [(Caution, 0.0, Some(600.0))]
    );
    let fine = test("hydraulic", SHELL, FINE, "", &log);
    assert_eq!(flags(&fine, "gauge-too-coarse"), []);
}

#[test]
fn pressure_alone_is_what_a_check_is_missed_by() {
    let holds = r#", "hold_points": ["vented"]"#;
    let log = [read(0, 0.2, None, None), read(60, 0.3, None, None)];
    let judged = test("hydraulic", SHELL, FINE, holds, &log);
    assert_eq!(flags(&judged, "check-missed"), [(Stop, 60.0, None)]);
}
