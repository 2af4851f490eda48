//! Laws of judging, for every kind: missing data never makes a verdict better, and the rest of it.

use crate::judged_file;
use calc::trial::{Assessment, Kind, Outcome, assess};
use triallog::TrialFile;

/// A whole trial of each kind, as good as this folder has them.
const WHOLE: [(&str, &str); 6] = [
    ("hydraulic", include_str!("whole/hydraulic.json")),
    ("air", include_str!("whole/air.json")),
    ("safety-valve", include_str!("whole/safety-valve.json")),
    ("feed-pump", include_str!("whole/feed-pump.json")),
    ("burner", include_str!("whole/burner.json")),
    ("engine-run", include_str!("whole/engine-run.json")),
];

fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Pass => 2,
        Outcome::NotProven => 1,
        Outcome::Fail => 0,
    }
}

fn value(text: &str) -> serde_json::Value {
    serde_json::from_str(text).unwrap()
}

fn judged(value: &serde_json::Value) -> Assessment {
    judged_file(&value.to_string())
}

#[test]
fn each_kind_can_pass() {
    for (kind, text) in WHOLE {
        let judged = judged_file(text);
        assert_eq!(
            judged.verdict.outcome,
            Outcome::Pass,
            "{kind}: {:?}",
            judged.verdict.because
        );
        assert!(!judged.figures.is_empty() || kind == "burner", "{kind}");
    }
}

/// Every object below a value that has keys, by its path.
fn objects(value: &serde_json::Value, path: &str, out: &mut Vec<(String, String)>) {
    if let Some(map) = value.as_object() {
        for (key, below) in map {
            out.push((path.to_owned(), key.clone()));
            objects(below, &format!("{path}/{key}"), out);
        }
    }
}

#[test]
fn what_is_not_known_of_plant_and_instruments_never_makes_a_verdict_better() {
    for (kind, text) in WHOLE {
        let whole = value(text);
        let best = rank(judged(&whole).verdict.outcome);
        let mut keys = Vec::new();
        for part in ["plant", "instruments"] {
            objects(&whole[part], &format!("/{part}"), &mut keys);
        }
        for (path, key) in keys {
            let mut less = whole.clone();
            less.pointer_mut(&path)
                .unwrap()
                .as_object_mut()
                .unwrap()
                .remove(&key);
            let Ok(file) = TrialFile::read(&less.to_string()) else {
                continue;
            };
            let outcome = assess(file.trial(), None).verdict.outcome;
            assert!(rank(outcome) <= best, "{kind} without {path}/{key}");
            assert_ne!(
                outcome,
                Outcome::Fail,
                "{kind} without {path}/{key}: missing data fails nothing"
            );
        }
    }
}

/// The trial without one key of one reading, for every such key.
fn without_one(whole: &serde_json::Value) -> Vec<(String, serde_json::Value)> {
    let mut all = Vec::new();
    for (n, entry) in whole["entries"].as_array().unwrap().iter().enumerate() {
        let Some(reading) = entry["reading"].as_object().filter(|r| r.len() > 1) else {
            continue;
        };
        for key in reading.keys() {
            let mut less = whole.clone();
            less["entries"][n]["reading"]
                .as_object_mut()
                .unwrap()
                .remove(key);
            all.push((format!("entries[{n}].reading.{key}"), less));
        }
    }
    all
}

#[test]
fn a_figure_left_out_fails_nothing_and_never_turns_not_proven_into_pass() {
    for (kind, text) in WHOLE {
        let mut doubtful = None;
        for (place, less) in without_one(&value(text)) {
            let outcome = judged(&less).verdict.outcome;
            assert_ne!(outcome, Outcome::Fail, "{kind} without {place}");
            if outcome == Outcome::NotProven {
                doubtful = doubtful.or(Some((place, less)));
            }
        }
        // Of an engine each figure is read four times over, and one is enough.
        assert!(
            doubtful.is_some() || kind == "engine-run",
            "{kind}: nothing is needed"
        );
        let Some((first, less)) = doubtful else {
            continue;
        };
        for (place, lesser) in without_one(&less) {
            let outcome = judged(&lesser).verdict.outcome;
            assert_eq!(
                outcome,
                Outcome::NotProven,
                "{kind} without {first} and {place}"
            );
        }
    }
}

#[test]
fn a_wider_class_never_turns_not_proven_into_pass() {
    for (kind, text) in WHOLE {
        let mut before = 3;
        for class in [0.1, 0.6, 1.0, 1.6, 2.5, 4.0, 10.0] {
            let mut wider = value(text);
            if let Some(gauge) = wider["instruments"].get_mut("pressure") {
                gauge["accuracy_class"] = class.into();
            }
            let now = rank(judged(&wider).verdict.outcome);
            assert!(now <= before, "{kind} at class {class}");
            before = now;
        }
    }
}

#[test]
fn a_wider_class_never_passes_what_a_finer_one_did_not() {
    // At the limit: the finest gauge proves neither, and no coarser one proves more.
    let mut at_limit = value(WHOLE[0].1);
    for entry in at_limit["entries"].as_array_mut().unwrap() {
        if let Some(bar) = entry.pointer_mut("/reading/pressure_bar")
            && bar.as_f64() == Some(8.2)
        {
            *bar = 8.0.into();
        }
    }
    for class in [0.1, 1.0, 4.0] {
        at_limit["instruments"]["pressure"]["accuracy_class"] = class.into();
        assert_eq!(
            judged(&at_limit).verdict.outcome,
            Outcome::NotProven,
            "class {class}"
        );
    }
}

#[test]
fn truncating_a_log_changes_no_earlier_flag_and_shuffling_changes_nothing() {
    for (kind, text) in WHOLE {
        let file = TrialFile::read(text).unwrap();
        let whole = assess(file.trial(), None);
        for until in [100.0, 400.0, 700.0, 1000.0] {
            let early = assess(file.trial(), Some(until));
            let raised = |a: &Assessment| -> Vec<(String, f64)> {
                let by_then = a.flags.iter().filter(|f| f.raised_at_s <= until);
                by_then
                    .map(|f| (f.rule.name().to_owned(), f.raised_at_s))
                    .collect()
            };
            assert_eq!(raised(&early), raised(&whole), "{kind} at {until}");
        }
        let mut shuffled = value(text);
        shuffled["entries"].as_array_mut().unwrap().reverse();
        let again = judged(&shuffled);
        assert_eq!(again.flags, whole.flags, "{kind}");
        assert_eq!(again.verdict, whole.verdict, "{kind}");
        assert_ne!(file.trial().kind, Kind::Steam);
    }
}

#[test]
fn a_lower_reading_never_clears_a_stop_of_air_left_in_a_shell() {
    let mut trial = value(WHOLE[0].1);
    let entries = trial["entries"].as_array_mut().unwrap();
    let at = |t: u32, bar: f64, ml: f64| serde_json::json!({"t_s": t, "reading": {"pressure_bar": bar, "pumped_ml": ml}});
    *entries = vec![
        at(0, 0.0, 0.0),
        at(60, 6.0, 130.0),
        at(120, 6.1, 130.0),
        at(180, 1.0, 130.0),
    ];
    let judged = judged(&trial);
    let air: Vec<_> = judged
        .flags
        .iter()
        .filter(|f| f.rule.name() == "trapped-air")
        .collect();
    assert_eq!(air.len(), 1);
    assert!(air[0].stands(), "{air:?}");
}

/// Paths of all numbers below a value.
fn numbers(value: &serde_json::Value, path: &str, out: &mut Vec<String>) {
    match value {
        serde_json::Value::Number(_) => out.push(path.to_owned()),
        serde_json::Value::Object(map) => {
            for (key, below) in map {
                numbers(below, &format!("{path}/{key}"), out);
            }
        }
        serde_json::Value::Array(all) => {
            for (n, below) in all.iter().enumerate() {
                numbers(below, &format!("{path}/{n}"), out);
            }
        }
        _ => {}
    }
}

#[test]
fn whatever_one_number_is_the_judge_answers_in_numbers() {
    for (kind, text) in WHOLE {
        let whole = value(text);
        let mut paths = Vec::new();
        numbers(&whole, "", &mut paths);
        for path in paths {
            for odd in [0.0, 1e-6, 0.5, 20.0, 99.9, 250.0, 10_000.0, 9e6] {
                let mut other = whole.clone();
                *other.pointer_mut(&path).unwrap() = odd.into();
                let Ok(file) = TrialFile::read(&other.to_string()) else {
                    continue;
                };
                let judged = assess(file.trial(), None);
                for f in &judged.figures {
                    let whole = f.value.is_finite() && f.plus_minus.is_none_or(f64::is_finite);
                    assert!(whole, "{kind}, {path} = {odd}: {} is {}", f.name, f.value);
                }
                let says = judged.verdict.because.join(" ");
                assert!(
                    !says.contains("NaN") && !says.contains("inf"),
                    "{path} = {odd}: {says}"
                );
            }
        }
    }
}
