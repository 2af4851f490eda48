//! An answer as it is shown, and as it is kept: a re-opened one says what it said then.

use calc::answer::{Answer, Figure, Value};
use serde::{Deserialize, Serialize};
use triallog::reckon::{Form, Reckoned, Refused};

use super::units::Units;

/// Digits shown of a figure.
const DIGITS: usize = 5;

/// One figure: what it is, how much, and how sure.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
pub(super) struct ShownFigure {
    pub(super) words: String,
    pub(super) value: String,
    pub(super) unit: String,
    pub(super) plus_minus: String,
}

/// One line of working.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
pub(super) struct ShownStep {
    pub(super) formula: String,
    pub(super) numbers: String,
    pub(super) result: String,
}

/// Everything that a page shows of an answer.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
pub(super) struct Shown {
    pub(super) figures: Vec<ShownFigure>,
    pub(super) verdict: String,
    pub(super) limit: String,
    pub(super) says: Vec<String>,
    pub(super) working: Vec<ShownStep>,
    pub(super) assumed: Vec<String>,
    pub(super) source: String,
}

impl Shown {
    /// An answer, its figures named by the form's list of outputs.
    pub(super) fn of(reckoned: &Reckoned, form: &Form, units: Units) -> Self {
        let answer = &reckoned.answer;
        Self {
            figures: answer
                .figures
                .iter()
                .map(|f| figure(f, form, units))
                .collect(),
            verdict: answer.verdict.map_or("", |v| v.word()).replace('_', " "),
            limit: limit(answer, units),
            says: answer.says.clone(),
            working: answer
                .working
                .iter()
                .map(|s| ShownStep {
                    formula: s.formula.to_owned(),
                    numbers: s.numbers.clone(),
                    result: format!("{} {}", calc::show::significant(s.result, DIGITS), s.unit),
                })
                .collect(),
            assumed: reckoned.assumed.clone(),
            source: answer.source.to_owned(),
        }
    }

    /// A refusal that is more than a slip: it says stop or not proven.
    pub(super) fn of_refusal(refused: &Refused) -> Option<Self> {
        let finding = refused.reasons().iter().find_map(|r| r.finding)?;
        Some(Self {
            verdict: finding.word().replace('_', " "),
            says: refused.reasons().iter().map(|r| r.says.clone()).collect(),
            ..Self::default()
        })
    }

    /// The class that draws the verdict.
    pub(super) fn class(&self) -> &'static str {
        match self.verdict.as_str() {
            "pass" | "ok" | "yes" => "pass",
            "fail" | "stop" | "no" => "fail",
            _ => "not-proven",
        }
    }
}

fn figure(figure: &Figure, form: &Form, units: Units) -> ShownFigure {
    let output = form.outputs.iter().find(|o| o.name == figure.name);
    let words = output.map_or_else(|| figure.name.replace('_', " "), |o| o.words.to_owned());
    let (value, unit) = match &figure.value {
        Value::Number(n) => (
            units.show(*n, figure.unit, DIGITS),
            units.shown(figure.unit),
        ),
        Value::Word(word) => (word.replace('_', " "), ""),
        Value::Truth(truth) => (if *truth { "yes" } else { "no" }.to_owned(), ""),
        Value::Numbers(all) => {
            let each: Vec<String> = all
                .iter()
                .map(|n| units.show(*n, figure.unit, DIGITS))
                .collect();
            (each.join(", "), units.shown(figure.unit))
        }
        Value::Words(all) => (all.join(", ").replace('_', " "), ""),
        Value::Nothing => ("none".to_owned(), ""),
    };
    let about = |u: f64| format!("±{}", units.show(u, figure.unit, 2));
    ShownFigure {
        words,
        value,
        unit: unit.to_owned(),
        plus_minus: figure.plus_minus.map(about).unwrap_or_default(),
    }
}

fn limit(answer: &Answer, units: Units) -> String {
    answer.limit.map_or_else(String::new, |l| {
        let value = units.show(l.value, l.unit, DIGITS);
        format!("{} {value} {}; {}", l.is, units.shown(l.unit), l.source)
    })
}
