//! Every rule and every verdict, from a written log: when it is raised, when it clears, what it proves.

#![allow(clippy::unwrap_used)]

mod air;
mod arrival;
mod bench;
mod figures;
mod fire_and_pressure;
mod laws;
mod running_in;
mod safety_valve;
mod shell;
mod sudden;
mod troubles;
mod water;

use calc::trial::{Assessment, Severity, alarms};
use triallog::TrialFile;

const PLANT: &str = r#""working_pressure_bar": 4,
  "glass": {"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8, "high_mark_mm": 32},
  "water_space": {"horizontal": {"bore_mm": 100, "length_mm": 200}}"#;
const INSTRUMENTS: &str = r#""pressure": {"full_scale_bar": 6, "accuracy_class": 1,
  "resolution_bar": 0.1, "calibration_due": "2099-01-01"}, "level": {"resolution_mm": 1}"#;

/// A trial of the usual plant with more said of it, and its log.
pub(crate) fn judged_with(plant: &str, more: &str, entries: &[&str]) -> Assessment {
    let text = format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {{{PLANT}{plant}}},
            "instruments": {{{INSTRUMENTS}}}{more}, "entries": [{}]}}"#,
        entries.join(",\n")
    );
    judged_file(&text)
}

pub(crate) fn judged(entries: &[&str]) -> Assessment {
    judged_with("", "", entries)
}

/// A whole trial file, judged.
pub(crate) fn judged_file(text: &str) -> Assessment {
    let file = TrialFile::read(text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
    let judged = calc::trial::assess(file.trial(), None);
    each_calls_for_something(&judged);
    judged
}

/// A stop or a caution is called out only where something has to be done now: it has its row, and says what.
fn each_calls_for_something(judged: &Assessment) {
    for flag in judged.flags.iter().filter(|f| f.severity != Severity::Note) {
        let row = alarms::of(flag.rule, flag.severity);
        assert!(row.is_some(), "{:?} {:?}", flag.rule, flag.severity);
        assert!(!flag.todo.is_empty(), "{:?}: nothing to do", flag.rule);
    }
}

#[test]
fn the_table_of_what_is_called_out_is_whole() {
    let lacking = alarms::ALL
        .iter()
        .filter(|a| {
            [a.when, a.otherwise, a.act, a.within]
                .iter()
                .any(|w| w.is_empty())
        })
        .count();
    let mut once: Vec<_> = alarms::ALL.iter().map(|a| (a.rule, a.severity)).collect();
    once.sort();
    once.dedup();
    assert_eq!(
        once.len(),
        alarms::ALL.len(),
        "a rule calls once at each severity"
    );
    println!(
        "called out: {} rows, without an action {lacking}",
        alarms::ALL.len()
    );
    assert_eq!(lacking, 0);
    for rule in calc::trial::Rule::ALL {
        let calls = alarms::ALL.iter().any(|a| a.rule == rule);
        assert!(calls, "{rule:?} is never called out");
    }
}

/// The value and uncertainty of a figure.
pub(crate) fn figure(judged: &Assessment, name: &str) -> Option<(f64, Option<f64>)> {
    let found = judged.figures.iter().find(|f| f.name == name);
    found.map(|f| (f.value, f.plus_minus))
}

/// All reasons of the verdict in one text.
pub(crate) fn because(judged: &Assessment) -> String {
    judged.verdict.because.join("\n")
}

/// Severity, raised and cleared of every flag of one rule, in order.
pub(crate) fn flags(judged: &Assessment, rule: &str) -> Vec<(Severity, f64, Option<f64>)> {
    let of = judged.flags.iter().filter(|f| f.rule.name() == rule);
    of.map(|f| (f.severity, f.raised_at_s, f.cleared_at_s))
        .collect()
}

pub(crate) const LIT: &str = r#"{"t_s": 0, "event": "fire-lit"}"#;
