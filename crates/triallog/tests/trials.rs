//! A dozen steam trials whose true water is known: what the flags were, and whether they came in
//! time.

#![allow(clippy::unwrap_used)]

use calc::trial::{Assessment, Rule, Severity, assess};
use serde_json::Value;
use std::path::{Path, PathBuf};
use triallog::TrialFile;

/// Rules judged from the run of the water: held against the truth here, not against a list.
const BY_ESTIMATE: [Rule; 3] = [Rule::WaterFalling, Rule::FeedNotGaining, Rule::GlassSuspect];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trials")
}

/// Name, trial and what is expected of each.
fn all() -> Vec<(String, TrialFile, Value)> {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .filter_map(|entry| {
            let name = entry.ok()?.file_name().into_string().ok()?;
            Some(name.strip_suffix(".expected.json")?.to_owned())
        })
        .collect();
    names.sort();
    let read = |name: String| std::fs::read_to_string(folder().join(name)).unwrap();
    names
        .into_iter()
        .map(|name| {
            let trial = TrialFile::read(&read(format!("{name}.json"))).unwrap();
            let expected = serde_json::from_str(&read(format!("{name}.expected.json"))).unwrap();
            (name, trial, expected)
        })
        .collect()
}

fn first_water_stop(judged: &Assessment) -> Option<f64> {
    let water = [
        Rule::WaterFalling,
        Rule::WaterBelowMark,
        Rule::WaterOutOfSight,
    ];
    let stops = judged.flags.iter().filter(|f| f.severity == Severity::Stop);
    stops
        .filter(|f| water.contains(&f.rule))
        .map(|f| f.raised_at_s)
        .next()
}

#[test]
fn there_are_a_dozen_trials() {
    assert_eq!(all().len(), 12);
}

#[test]
fn every_flag_that_follows_from_a_figure_is_raised_when_it_should_be() {
    for (name, file, expected) in all() {
        let judged = assess(file.trial(), None);
        let found: Vec<Value> = judged
            .flags
            .iter()
            .filter(|f| !BY_ESTIMATE.contains(&f.rule))
            .map(|f| serde_json::json!([f.rule.name(), f.severity.word(), f.raised_at_s]))
            .collect();
        assert_eq!(Value::Array(found), expected["flags"], "{name}");
    }
}

#[test]
fn water_that_ran_low_was_stopped_before_it_did() {
    for (name, file, expected) in all() {
        let Some(low) = expected["low_mark_reached_at_s"].as_f64() else {
            continue;
        };
        let stop = first_water_stop(&assess(file.trial(), None));
        assert!(
            stop.is_some_and(|stop| stop < low),
            "{name}: stop {stop:?}, low mark {low}"
        );
    }
}

#[test]
fn water_that_did_not_run_low_raised_no_falling_stop_where_somebody_looked() {
    for (name, file, expected) in all() {
        let ran_low = expected["low_mark_reached_at_s"].is_number();
        if ran_low || name.starts_with("reader-absent") {
            continue;
        }
        let judged = assess(file.trial(), None);
        let falling = judged.flags.iter().filter(|f| f.rule == Rule::WaterFalling);
        assert_eq!(
            falling.filter(|f| f.severity == Severity::Stop).count(),
            0,
            "{name}"
        );
    }
}

#[test]
fn flags_are_causal_and_the_order_of_the_file_changes_nothing() {
    for (name, file, _) in all() {
        let whole = assess(file.trial(), None);
        let last = file
            .trial()
            .entries
            .iter()
            .map(|e| e.t_s)
            .fold(0.0, f64::max);
        for part in [0.3, 0.6, 0.9] {
            let until = (last * part).floor();
            let early = assess(file.trial(), Some(until));
            let raised: Vec<_> = early
                .flags
                .iter()
                .map(|f| (f.rule, f.severity, f.raised_at_s))
                .collect();
            let kept: Vec<_> = whole
                .flags
                .iter()
                .filter(|f| f.raised_at_s <= until)
                .map(|f| (f.rule, f.severity, f.raised_at_s))
                .collect();
            assert_eq!(raised, kept, "{name} until {until}");
        }
        let mut shuffled = file.trial().clone();
        shuffled.entries.reverse();
        shuffled.entries.rotate_left(7);
        assert_eq!(assess(&shuffled, None), whole, "{name}");
    }
}

#[test]
fn truncating_the_log_itself_changes_no_earlier_flag() {
    for (name, file, _) in all() {
        let whole = assess(file.trial(), None);
        let mut short = file.trial().clone();
        short.entries.truncate(short.entries.len() / 2);
        let last = short.entries.iter().map(|e| e.t_s).fold(0.0, f64::max);
        let raised = |judged: &Assessment| -> Vec<_> {
            let early = judged.flags.iter().filter(|f| f.raised_at_s <= last);
            early.map(|f| (f.rule, f.severity, f.raised_at_s)).collect()
        };
        assert_eq!(raised(&assess(&short, None)), raised(&whole), "{name}");
    }
}
