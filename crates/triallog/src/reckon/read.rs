//! The inputs of a reckoner, read from JSON; every fault named.

use serde_json::value::RawValue;

use super::field::{Form, Input, Kind, LeftOut, Reckoner};
use super::given::{Given, Got};
use super::refused::{Reason, Refused};
use crate::check::nearest;
use crate::json::{self, Json};
use calc::show::significant;
use calc::trend::Seen;

/// Longest list that is read.
const LONGEST: usize = 2000;

/// The pairs of the object that the inputs must be.
pub(crate) fn object(text: &str) -> Result<Vec<(String, &RawValue)>, Refused> {
    let whole = json::whole(text).map_err(|says| Refused::one("not_json", "", says))?;
    match json::open(whole).map_err(|says| Refused::one("not_json", "", says))? {
        Json::Object(pairs) => Ok(pairs),
        other => Err(Refused::one(
            "not_an_object",
            "",
            format!("this is {}, an object of inputs is needed", other.kind()),
        )),
    }
}

/// Reads every field before answering, so that all faults show together.
pub(crate) fn given(
    pairs: &[(String, &RawValue)],
    form: &Form,
    reckoner: &Reckoner,
) -> Result<Given, Refused> {
    let mut reasons = strange(pairs, form, reckoner);
    let mut given = Given::default();
    for input in form.inputs {
        let raw = pairs
            .iter()
            .find(|(key, _)| key == input.name)
            .map(|(_, raw)| *raw)
            .filter(|raw| raw.get() != "null");
        match raw {
            Some(raw) => match value(raw, input) {
                Ok(got) => given.values.push((input.name, got)),
                Err(reason) => reasons.push(reason),
            },
            None => assume(input, &mut given),
        }
    }
    if reasons.is_empty() {
        Ok(given)
    } else {
        Err(Refused::all(reasons))
    }
}

fn assume(input: &Input, given: &mut Given) {
    let (got, said) = match input.left_out {
        LeftOut::Needed | LeftOut::Unused => return,
        LeftOut::Number(value) => (Got::Number(value), significant(value, 6)),
        LeftOut::Word(word) => (Got::Word(word), word.to_owned()),
        LeftOut::Truth(truth) => (
            Got::Truth(truth),
            if truth { "yes" } else { "no" }.to_owned(),
        ),
    };
    let space = if input.unit.is_empty() { "" } else { " " };
    given.assumed.push(format!(
        "{} ({}): {said}{space}{} assumed",
        input.words, input.name, input.unit
    ));
    given.values.push((input.name, got));
}

fn strange(pairs: &[(String, &RawValue)], form: &Form, reckoner: &Reckoner) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for (n, (key, _)) in pairs.iter().enumerate() {
        let short: String = key.chars().take(60).collect();
        if !form.inputs.iter().any(|i| i.name == key) {
            let elsewhere = reckoner
                .forms
                .iter()
                .any(|f| f.inputs.iter().any(|i| i.name == key));
            let says = if elsewhere {
                format!(
                    "{short}: this belongs to another way of asking, and does not go with the rest"
                )
            } else {
                match nearest(key, form.inputs.iter().map(|i| i.name)) {
                    Some(near) => format!("{short}: no such input; {near}?"),
                    None => format!("{short}: no such input"),
                }
            };
            reasons.push(reason("unknown_input", &short, says));
        } else if pairs[..n].iter().any(|(earlier, _)| earlier == key) {
            let says = format!("{short}: this input stands twice");
            reasons.push(reason("input_given_twice", &short, says));
        }
    }
    reasons
}

fn reason(code: &str, field: &str, says: String) -> Reason {
    Reason {
        code: code.to_owned(),
        field: field.to_owned(),
        says,
        finding: None,
    }
}

fn outside(input: &Input, text: &str, least: f64, most: f64) -> Reason {
    let code = input
        .code
        .map_or_else(|| format!("{}_out_of_range", input.name), str::to_owned);
    let space = if input.unit.is_empty() { "" } else { " " };
    let says = format!(
        "{}: {text} is outside {} to {}{space}{}",
        input.name,
        significant(least, 6),
        significant(most, 6),
        input.unit
    );
    reason(&code, input.name, says)
}

fn wrong(input: &Input, what: &str, found: &Json<'_>) -> Reason {
    let code = format!("{}_not_{}", input.name, what.replace(' ', "_"));
    let says = format!("{}: this is {}, {what} is needed", input.name, found.kind());
    reason(&code, input.name, says)
}

fn value(raw: &RawValue, input: &Input) -> Result<Got, Reason> {
    let opened = json::open(raw).map_err(|says| reason("not_json", input.name, says))?;
    match (input.kind, &opened) {
        (Kind::Number(least, most), Json::Number(text)) => {
            Ok(Got::Number(bounded(text, input, least, most)?))
        }
        (Kind::Whole(least, most), Json::Number(text)) => {
            let number = bounded(text, input, least, most)?;
            if number.fract() == 0.0 {
                return Ok(Got::Number(number));
            }
            let code = format!("{}_not_a_whole_number", input.name);
            let says = format!("{}: {number} is not a whole number", input.name);
            Err(reason(&code, input.name, says))
        }
        (Kind::Truth, Json::Bool(truth)) => Ok(Got::Truth(*truth)),
        (Kind::OneOf(words), Json::Text(text)) => word(words, text, input),
        (Kind::Numbers(least, most), Json::List(items)) => {
            let each = list(items, input, |item| match json::open(item) {
                Ok(Json::Number(text)) => bounded(text, input, least, most),
                Ok(found) => Err(wrong(input, "a list of numbers", &found)),
                Err(says) => Err(reason("not_json", input.name, says)),
            })?;
            Ok(Got::Numbers(each))
        }
        (Kind::Readings(least, most), Json::List(items)) => {
            let each = list(items, input, |item| reading(item, input, least, most))?;
            Ok(Got::Readings(each))
        }
        (Kind::Intervals, Json::List(items)) => {
            let each = list(items, input, |item| {
                if item.get() == "null" {
                    return Ok(None);
                }
                row(item, input).map(Some)
            })?;
            Ok(Got::Intervals(each))
        }
        (Kind::Table, Json::List(items)) => {
            Ok(Got::Table(list(items, input, |item| row(item, input))?))
        }
        (Kind::Tubes, Json::List(items)) => {
            Ok(Got::Table(list(items, input, |item| tube(item, input))?))
        }
        (Kind::CoLimits, Json::Object(pairs)) => limits(pairs, input),
        (Kind::Number(..) | Kind::Whole(..), found) => Err(wrong(input, "a number", found)),
        (Kind::Truth, found) => Err(wrong(input, "true or false", found)),
        (Kind::OneOf(_), found) => Err(wrong(input, "a word", found)),
        (Kind::CoLimits, found) => Err(wrong(input, "an object", found)),
        (_, found) => Err(wrong(input, "a list", found)),
    }
}

fn bounded(text: &str, input: &Input, least: f64, most: f64) -> Result<f64, Reason> {
    let number: f64 = text.parse().unwrap_or(f64::NAN);
    if number.is_finite() && (least..=most).contains(&number) {
        return Ok(number);
    }
    let short: String = text.chars().take(40).collect();
    Err(outside(input, &short, least, most))
}

fn word(words: &'static [&'static str], text: &str, input: &Input) -> Result<Got, Reason> {
    if let Some(word) = words.iter().find(|w| **w == text) {
        return Ok(Got::Word(word));
    }
    let short: String = text.chars().take(40).collect();
    let says = format!("{}: {short:?} is none of {}", input.name, words.join(", "));
    Err(reason(&format!("{}_unknown", input.name), input.name, says))
}

fn list<T>(
    items: &[&RawValue],
    input: &Input,
    each: impl Fn(&RawValue) -> Result<T, Reason>,
) -> Result<Vec<T>, Reason> {
    if items.len() > LONGEST {
        let code = format!("{}_too_long", input.name);
        let says = format!("{}: {} are too many", input.name, items.len());
        return Err(reason(&code, input.name, says));
    }
    items.iter().map(|item| each(item)).collect()
}

fn reading(item: &RawValue, input: &Input, least: f64, most: f64) -> Result<Seen, Reason> {
    match json::open(item) {
        Ok(Json::Number(text)) => Ok(Seen::At(bounded(text, input, least, most)?)),
        Ok(Json::Null) => Ok(Seen::Unread),
        Ok(Json::Text(text)) if text == "below" => Ok(Seen::Below),
        Ok(Json::Text(text)) if text == "above" => Ok(Seen::Above),
        Ok(found) => Err(wrong(input, "a list of readings", &found)),
        Err(says) => Err(reason("not_json", input.name, says)),
    }
}

fn row(item: &RawValue, input: &Input) -> Result<(f64, f64), Reason> {
    let cell = |raw: &RawValue| match json::open(raw) {
        Ok(Json::Number(text)) => bounded(text, input, -1e9, 1e9),
        Ok(found) => Err(wrong(input, "a list of pairs of numbers", &found)),
        Err(says) => Err(reason("not_json", input.name, says)),
    };
    match json::open(item) {
        Ok(Json::List(cells)) if cells.len() == 2 => Ok((cell(cells[0])?, cell(cells[1])?)),
        Ok(found) => Err(wrong(input, "a list of pairs of numbers", &found)),
        Err(says) => Err(reason("not_json", input.name, says)),
    }
}

fn tube(item: &RawValue, input: &Input) -> Result<(f64, f64), Reason> {
    let pairs = match json::open(item) {
        Ok(Json::Object(pairs)) => pairs,
        Ok(found) => return Err(wrong(input, "a list of tubes", &found)),
        Err(says) => return Err(reason("not_json", input.name, says)),
    };
    let found = keyed(&pairs, input, &["od_mm", "y_mm"], 1e5)?;
    match (found.first(), found.get(1)) {
        (Some((_, od)), Some((_, y))) => Ok((*od, *y)),
        _ => {
            let says = format!("{}: each tube needs od_mm and y_mm", input.name);
            Err(reason(
                &format!("{}_incomplete", input.name),
                input.name,
                says,
            ))
        }
    }
}

fn limits(pairs: &[(String, &RawValue)], input: &Input) -> Result<Got, Reason> {
    keyed(pairs, input, &Kind::CO_LIMITS, 1e6).map(Got::Limits)
}

/// Numbers of a small object, in the order of `keys`; unknown and doubled keys are refused.
fn keyed(
    pairs: &[(String, &RawValue)],
    input: &Input,
    keys: &[&'static str],
    most: f64,
) -> Result<Vec<(&'static str, f64)>, Reason> {
    for (n, (key, _)) in pairs.iter().enumerate() {
        let short: String = key.chars().take(60).collect();
        if !keys.contains(&key.as_str()) {
            let says = format!(
                "{}.{short}: no such input; it takes {}",
                input.name,
                keys.join(", ")
            );
            return Err(reason("unknown_input", input.name, says));
        }
        if pairs[..n].iter().any(|(earlier, _)| earlier == key) {
            let says = format!("{}.{short}: this input stands twice", input.name);
            return Err(reason("input_given_twice", input.name, says));
        }
    }
    let mut found = Vec::new();
    for key in keys {
        let Some((_, raw)) = pairs.iter().find(|(k, _)| k == key) else {
            continue;
        };
        match json::open(raw) {
            Ok(Json::Number(text)) => found.push((*key, bounded(text, input, 0.0, most)?)),
            Ok(other) => return Err(wrong(input, "an object of numbers", &other)),
            Err(says) => return Err(reason("not_json", input.name, says)),
        }
    }
    Ok(found)
}
