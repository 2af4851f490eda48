//! An answer written down as JSON.

use calc::answer::{Answer, Value};

use crate::tree::quoted;

/// An answer with what had to be assumed for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reckoned {
    /// What the calculation answered.
    pub answer: Answer,
    /// What was assumed because it was left out, in words.
    pub assumed: Vec<String>,
}

impl Reckoned {
    /// As one JSON object: every figure under its own name, then `verdict`, `plus_minus` (k = 2),
    /// `limit`, `working`, `assumed`, `says`, `cautions`, `source`.
    pub fn json(&self) -> String {
        let answer = &self.answer;
        let mut keys: Vec<(String, String)> = Vec::new();
        for figure in &answer.figures {
            keys.push((figure.name.to_owned(), value(&figure.value)));
        }
        let mut add = |key: &str, text: String| keys.push((key.to_owned(), text));
        if let Some(verdict) = answer.verdict {
            add("verdict", quoted(verdict.word()));
        }
        let about: Vec<String> = answer
            .figures
            .iter()
            .filter_map(|f| Some(format!("{}: {}", quoted(f.name), number(f.plus_minus?))))
            .collect();
        if !about.is_empty() {
            add("plus_minus", format!("{{{}}}", about.join(", ")));
        }
        if let Some(limit) = &answer.limit {
            add(
                "limit",
                format!(
                    "{{\"is\": {}, \"value\": {}, \"unit\": {}, \"source\": {}}}",
                    quoted(limit.is),
                    number(limit.value),
                    quoted(limit.unit),
                    quoted(limit.source)
                ),
            );
        }
        add("working", self.working());
        add("assumed", list(self.assumed.iter().map(|a| quoted(a))));
        add("says", quoted(&answer.says.join(" ")));
        add("cautions", list(answer.cautions.iter().map(|c| quoted(c))));
        add("source", quoted(answer.source));
        let lines: Vec<String> = keys
            .iter()
            .map(|(key, text)| format!("  {}: {text}", quoted(key)))
            .collect();
        format!("{{\n{}\n}}", lines.join(",\n"))
    }

    fn working(&self) -> String {
        let steps: Vec<String> = self
            .answer
            .working
            .iter()
            .map(|s| {
                format!(
                    "    {{\"formula\": {}, \"numbers\": {}, \"result\": {}, \"unit\": {}}}",
                    quoted(s.formula),
                    quoted(&s.numbers),
                    number(s.result),
                    quoted(s.unit)
                )
            })
            .collect();
        if steps.is_empty() {
            "[]".to_owned()
        } else {
            format!("[\n{}\n  ]", steps.join(",\n"))
        }
    }
}

fn value(value: &Value) -> String {
    match value {
        Value::Number(n) => number(*n),
        Value::Word(word) => quoted(word),
        Value::Truth(truth) => truth.to_string(),
        Value::Numbers(numbers) => list(numbers.iter().map(|n| number(*n))),
        Value::Words(words) => list(words.iter().map(|w| quoted(w))),
        Value::Nothing => "null".to_owned(),
    }
}

fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

/// A number as JSON; what is not a number is null, and whole ones carry no idle zero.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return "null".to_owned();
    }
    let text = serde_json::to_string(&value).unwrap_or_else(|_| "null".to_owned());
    match text.strip_suffix(".0") {
        Some("-0") => "0".to_owned(),
        Some(whole) => whole.to_owned(),
        None => text,
    }
}
