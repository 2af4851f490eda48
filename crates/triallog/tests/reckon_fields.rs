//! The field lists: whole, without doubles, and one refusal for each field.
#![allow(clippy::unwrap_used, reason = "a field that cannot be read must fail")]

use serde_json::{Map, Value, json};
use triallog::reckon::{self, Form, Input, Kind, LeftOut};

fn cases() -> Vec<Value> {
    let texts = [
        include_str!("worked.json"),
        include_str!("worked_more.json"),
    ];
    texts
        .iter()
        .flat_map(|text| serde_json::from_str::<Vec<Value>>(text).unwrap())
        .collect()
}

/// Inputs of a worked case that this form answers.
fn answered(name: &str, form: &Form) -> Map<String, Value> {
    let fits = |inputs: &Map<String, Value>| {
        inputs
            .keys()
            .all(|key| form.inputs.iter().any(|i| i.name == key))
    };
    let needs = |inputs: &Map<String, Value>| {
        form.inputs
            .iter()
            .filter(|i| i.left_out == LeftOut::Needed)
            .all(|i| inputs.contains_key(i.name))
    };
    cases()
        .into_iter()
        .filter(|c| c["reckoner"] == name && c["expected"].get("error").is_none())
        .filter_map(|c| c["inputs"].as_object().cloned())
        .find(|inputs| fits(inputs) && needs(inputs))
        .unwrap_or_else(|| panic!("no worked case for {name}, {}", form.is))
}

fn code(name: &str, inputs: &Map<String, Value>) -> Option<(String, String, Option<&'static str>)> {
    let text = Value::Object(inputs.clone()).to_string();
    let refused = reckon::run(name, &text).err()?;
    let first = &refused.reasons()[0];
    let verdict = first.finding.map(calc::answer::Finding::word);
    Some((first.code.clone(), first.field.clone(), verdict))
}

fn forms() -> Vec<(&'static str, &'static Form)> {
    reckon::all()
        .flat_map(|r| r.forms.iter().map(|f| (r.name, f)))
        .collect()
}

#[test]
fn every_needed_field_is_missed_by_name_and_nothing_is_proven() {
    for (name, form) in forms() {
        let whole = answered(name, form);
        for input in form.inputs.iter().filter(|i| i.left_out == LeftOut::Needed) {
            let mut inputs = whole.clone();
            inputs.insert(input.name.to_owned(), Value::Null);
            let (code, field, verdict) = code(name, &inputs).unwrap();
            assert_eq!(field, input.name, "{name} without {}: {code}", input.name);
            assert_eq!(
                verdict,
                Some("not_proven"),
                "{name} without {}: {code}",
                input.name
            );
            assert_eq!(code, format!("not_proven_{}_missing", input.name));
        }
    }
}

#[test]
fn every_number_is_refused_outside_its_range_by_name() {
    for (name, form) in forms() {
        let whole = answered(name, form);
        for input in form.inputs {
            let (Kind::Number(least, most) | Kind::Whole(least, most)) = input.kind else {
                continue;
            };
            for value in [least - 1.0 - least.abs(), most * 2.0 + 1.0, f64::MAX] {
                let mut inputs = whole.clone();
                inputs.insert(input.name.to_owned(), json!(value));
                let (code, field, _) = code(name, &inputs).unwrap();
                assert_eq!(field, input.name, "{name}, {} {value}: {code}", input.name);
                let own = input
                    .code
                    .map_or_else(|| format!("{}_out_of_range", input.name), str::to_owned);
                assert_eq!(code, own);
            }
        }
    }
}

#[test]
fn every_field_is_refused_by_name_where_it_is_the_wrong_thing() {
    for (name, form) in forms() {
        let whole = answered(name, form);
        for input in form.inputs {
            let wrong = match input.kind {
                Kind::Truth => json!("yes"),
                Kind::OneOf(_) => json!("no such word"),
                _ => json!(true),
            };
            let mut inputs = whole.clone();
            inputs.insert(input.name.to_owned(), wrong);
            let (_, field, _) = code(name, &inputs).unwrap();
            assert_eq!(field, input.name, "{name}");
        }
    }
}

#[test]
fn unknown_and_doubled_fields_are_refused_with_the_nearest() {
    let says = |text: &str| reckon::run("feed-margin", text).unwrap_err().to_string();
    assert!(says(r#"{"delivery_ml_mim": 40}"#).contains("delivery_ml_min?"));
    assert!(says(r#"{"bypass_frac": 0, "bypass_frac": 0.5}"#).contains("twice"));
    let strange = reckon::run("feed-margn", "{}").unwrap_err();
    assert_eq!(strange.code(), "unknown_reckoner");
    assert!(strange.to_string().contains("feed-margin?"));
    for (text, code) in [
        ("", "not_json"),
        ("{", "not_json"),
        ("[]", "not_an_object"),
        ("NaN", "not_json"),
        (r#"{"delivery_ml_min": NaN}"#, "not_json"),
        (
            r#"{"delivery_ml_min": 1e999, "evaporation_kg_h": 1}"#,
            "delivery_ml_min_out_of_range",
        ),
        (
            r#"{"delivery_ml_min": "40", "evaporation_kg_h": 1}"#,
            "delivery_ml_min_not_a_number",
        ),
    ] {
        assert_eq!(
            reckon::run("feed-margin", text).unwrap_err().code(),
            code,
            "{text}"
        );
    }
}

#[test]
fn all_faults_are_named_together() {
    let text = r#"{"delivery_ml_min": -1, "evaporation_kg_h": "x", "bypas_frac": 0}"#;
    let refused = reckon::run("feed-margin", text).unwrap_err();
    assert_eq!(refused.reasons().len(), 3, "{refused}");
    let json: Value = serde_json::from_str(&refused.json()).unwrap();
    assert_eq!(json["faults"].as_array().unwrap().len(), 3);
}

#[test]
fn the_lists_are_whole() {
    let mut names: Vec<&str> = reckon::all().map(|r| r.name).collect();
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count, "a name stands twice");
    assert!(count >= 57, "{count}");
    let mut topics: Vec<char> = reckon::all().map(reckon::Reckoner::topic).collect();
    topics.dedup();
    for letter in 'a'..='n' {
        assert!(topics.contains(&letter), "no reckoner of topic {letter}");
    }
    let cautions: Vec<&str> = reckon::all()
        .filter(|r| r.topic() == 'm')
        .map(|r| r.name)
        .collect();
    assert_eq!(
        cautions,
        ["cautions"],
        "only cautions have no topic of their own"
    );
    for (name, form) in forms() {
        let mut inputs: Vec<&str> = form.inputs.iter().map(|i| i.name).collect();
        inputs.sort_unstable();
        let before = inputs.len();
        inputs.dedup();
        assert_eq!(inputs.len(), before, "{name}: an input stands twice");
        assert!(form.inputs.iter().all(|i| !i.words.is_empty()), "{name}");
        assert!(form.outputs.iter().all(|o| !o.words.is_empty()), "{name}");
        let fits = |i: &&Input| match (i.kind, i.left_out) {
            (Kind::Number(least, most), LeftOut::Number(n)) => (least..=most).contains(&n),
            (Kind::OneOf(words), LeftOut::Word(word)) => words.contains(&word),
            _ => true,
        };
        assert!(
            form.inputs.iter().all(|i| fits(&i)),
            "{name}: a default outside its range"
        );
    }
}

#[test]
fn what_is_assumed_is_said() {
    let text = r#"{"p_gauge_bar": 4}"#;
    let reckoned = reckon::run("saturation", text).unwrap();
    assert_eq!(
        reckoned.assumed,
        ["barometer (barometer_hPa): 1013.25 hPa assumed"]
    );
    let given = r#"{"p_gauge_bar": 4, "barometer_hPa": 1000}"#;
    assert!(reckon::run("saturation", given).unwrap().assumed.is_empty());
}

#[test]
fn the_answers_carry_the_units_that_were_announced() {
    for case in cases() {
        let name = case["reckoner"].as_str().unwrap();
        let Ok(reckoned) = reckon::run(name, &case["inputs"].to_string()) else {
            continue;
        };
        let reckoner = reckon::named(name).unwrap();
        for figure in &reckoned.answer.figures {
            let known = reckoner
                .forms
                .iter()
                .flat_map(|f| f.outputs)
                .any(|o| o.name == figure.name && o.unit == figure.unit);
            assert!(known, "{name}: {} in {:?}", figure.name, figure.unit);
        }
    }
}

#[test]
fn every_caution_named_is_one_that_there_is() {
    for case in cases() {
        let name = case["reckoner"].as_str().unwrap();
        if let Ok(reckoned) = reckon::run(name, &case["inputs"].to_string()) {
            for code in reckoned.answer.cautions {
                assert!(calc::cautions::text(code).is_some(), "{name}: {code}");
            }
        }
    }
}

#[test]
fn the_help_tells_of_every_field() {
    for reckoner in reckon::all() {
        let help = reckon::help(reckoner);
        for form in reckoner.forms {
            for name in form
                .inputs
                .iter()
                .map(|i| i.name)
                .chain(form.outputs.iter().map(|o| o.name))
            {
                assert!(help.contains(name), "{}: {name}", reckoner.name);
            }
        }
        assert!(reckon::list().contains(reckoner.asks));
    }
}
