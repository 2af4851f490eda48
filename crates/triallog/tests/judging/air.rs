//! Shells under air: the cap, what must come before, the leak.

use crate::shell::{SHELL, event, test};
use crate::{because, figure, flags};
use calc::trial::Outcome;
use calc::trial::Severity::Stop;

const PASSED: &str = r#", "hydraulic_pass": {"on": "2026-01-10", "pressure_bar": 8,
  "valid_until": "2030-01-10", "since_structural_work": true}"#;
const AIR_GAUGE: &str = r#""pressure": {"full_scale_bar": 1, "accuracy_class": 0.6,
  "resolution_bar": 0.001, "calibration_due": "2099-01-01"}, "temperature": {"resolution_c": 0.05,
  "repeatability_c": 0.05, "calibration_due": "2099-01-01"}"#;

fn air(t_s: u32, bar: f64, celsius: f64) -> String {
    format!(r#"{{"t_s": {t_s}, "reading": {{"pressure_bar": {bar}, "shell_c": {celsius}}}}}"#)
}

fn air_test(end: (f64, f64)) -> Vec<String> {
    vec![
        air(0, 0.35, 20.0),
        event(0, "hold-started"),
        air(600, end.0, end.1),
        event(600, "hold-ended"),
        event(700, "pressure-released"),
    ]
}

#[test]
fn a_tight_vessel_passes_with_air_and_a_leaking_one_fails() {
    let plant = format!("{SHELL}{PASSED}");
    let tight = test("air", &plant, AIR_GAUGE, "", &air_test((0.35, 20.0)));
    assert_eq!(tight.verdict.outcome, Outcome::Pass, "{}", because(&tight));
    let warmed = test("air", &plant, AIR_GAUGE, "", &air_test((0.35, 21.0)));
    assert_eq!(
        warmed.verdict.outcome,
        Outcome::NotProven,
        "{}",
        because(&warmed)
    );
    let leak = figure(&warmed, "leak").unwrap();
    assert!((leak.0 - 0.9148).abs() < 1e-3, "{leak:?}");
    let leaking = test("air", &plant, AIR_GAUGE, "", &air_test((0.30, 20.0)));
    assert_eq!(
        leaking.verdict.outcome,
        Outcome::Fail,
        "{}",
        because(&leaking)
    );
}

#[test]
fn air_stops_over_its_cap_in_pressure_or_in_energy() {
    let plant = format!("{SHELL}{PASSED}");
    let log = [air(0, 0.4, 20.0), air(60, 0.41, 20.0), air(120, 0.4, 20.0)];
    let judged = test("air", &plant, AIR_GAUGE, "", &log);
    assert_eq!(flags(&judged, "over-target"), [(Stop, 60.0, Some(120.0))]);
    assert_eq!(judged.verdict.outcome, Outcome::NotProven);
    let large = plant.replace("2000", "4000");
    let judged = test("air", &large, AIR_GAUGE, "", &[air(0, 0.26, 20.0)]);
    assert_eq!(
        flags(&judged, "over-target"),
        [(Stop, 0.0, None)],
        "4 l at 0.26 bar hold 260 J"
    );
}

#[test]
fn no_air_before_water() {
    let none = test(
        "air",
        SHELL,
        AIR_GAUGE,
        "",
        &[air(0, 0.05, 20.0), air(60, 0.06, 20.0)],
    );
    assert_eq!(
        flags(&none, "not-cleared-for-pressure"),
        [(Stop, 60.0, None)]
    );
    let late = PASSED
        .replace("2030", "2026")
        .replace("-01-10\", \"since", "-02-10\", \"since");
    let judged = test(
        "air",
        &format!("{SHELL}{late}"),
        AIR_GAUGE,
        "",
        &[air(0, 0.3, 20.0)],
    );
    assert_eq!(
        flags(&judged, "not-cleared-for-pressure"),
        [(Stop, 0.0, None)]
    );
    assert_eq!(judged.verdict.outcome, Outcome::NotProven);
}

#[test]
fn a_fire_under_a_vessel_on_air_test_without_a_pass_is_a_stop() {
    let lit = [event(10, "fire-lit")];
    let judged = test("air", SHELL, AIR_GAUGE, "", &lit);
    let found = flags(&judged, "not-cleared-for-pressure");
    assert_eq!(found.last().map(|f| f.0), Some(Stop), "{found:?}");
}
