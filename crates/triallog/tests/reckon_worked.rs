//! Every worked case: inputs, what must come out, how near, and where it comes from.
#![allow(clippy::unwrap_used, reason = "a case that cannot be read must fail")]

use serde_json::Value;
use triallog::reckon;

fn cases() -> Vec<Value> {
    let texts = [
        include_str!("worked.json"),
        include_str!("worked_more.json"),
    ];
    let read = |text: &&str| match serde_json::from_str(text).unwrap() {
        Value::Array(cases) => cases,
        _ => Vec::new(),
    };
    texts.iter().flat_map(read).collect()
}

/// What is wrong with `found` where `wanted` was to come out, near enough.
fn differs(wanted: &Value, found: &Value, relative: f64, absolute: f64) -> Option<String> {
    let wrong = || Some(format!("wanted {wanted}, found {found}"));
    match (wanted, found) {
        (Value::Number(w), Value::Number(f)) => {
            let (w, f) = (w.as_f64()?, f.as_f64()?);
            let near = (relative * w.abs()).max(absolute);
            if (w - f).abs() <= near { None } else { wrong() }
        }
        (Value::Array(w), Value::Array(f)) => {
            if w.len() != f.len() {
                return wrong();
            }
            w.iter()
                .zip(f)
                .find_map(|(w, f)| differs(w, f, relative, absolute))
        }
        (w, f) if w == f => None,
        _ => wrong(),
    }
}

fn answer(name: &str, inputs: &Value) -> Value {
    let text = match reckon::run(name, &inputs.to_string()) {
        Ok(reckoned) => reckoned.json(),
        Err(refused) => refused.json(),
    };
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e} in {text}"))
}

/// What is wrong with the answer to one case.
fn wrong_with(case: &Value) -> Vec<String> {
    let name = case["reckoner"].as_str().unwrap();
    let found = answer(name, &case["inputs"]);
    let relative = case["rel_tol"].as_f64().unwrap_or(0.0);
    let absolute = case["abs_tol"].as_f64().unwrap_or(0.0);
    let mut wrong = Vec::new();
    for (key, wanted) in case["expected"].as_object().unwrap() {
        let found = &found[key.as_str()];
        let says = if key == "must_include_codes" {
            let codes = found.as_array().cloned().unwrap_or_default();
            let all = wanted.as_array().unwrap().iter().all(|w| codes.contains(w));
            (!all).then(|| format!("wanted all of {wanted}, found {found}"))
        } else {
            differs(wanted, found, relative, absolute)
        };
        if let Some(says) = says {
            wrong.push(format!("{name} {}: {key}: {says}", case["name"]));
        }
    }
    wrong
}

#[test]
fn every_worked_case_comes_out() {
    let cases = cases();
    assert!(cases.len() >= 300, "{} cases", cases.len());
    let wrong: Vec<String> = cases.iter().flat_map(wrong_with).collect();
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn every_reckoner_has_its_worked_case() {
    let cases = cases();
    for reckoner in reckon::all() {
        assert!(
            cases.iter().any(|c| c["reckoner"] == reckoner.name),
            "{} has no worked case",
            reckoner.name
        );
    }
}
