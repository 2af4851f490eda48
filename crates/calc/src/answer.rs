//! What a calculation answers: figures, verdict, and the working that a person can redo on paper.

use crate::show;

/// One word of judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finding {
    /// What was to be shown was shown.
    Pass,
    /// It was shown not to be so.
    Fail,
    /// Neither could be shown.
    NotProven,
    /// Nothing against it.
    Ok,
    /// Worth knowing.
    Note,
    /// Something must be done soon.
    Caution,
    /// Something must be done now.
    Stop,
    /// It is so.
    Yes,
    /// It is not so.
    No,
}

impl Finding {
    /// The word in an answer.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotProven => "not_proven",
            Self::Ok => "ok",
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
            Self::Yes => "yes",
            Self::No => "no",
        }
    }
}

/// The value of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// One word.
    Word(&'static str),
    /// True or false.
    Truth(bool),
    /// Several numbers, in order.
    Numbers(Vec<f64>),
    /// Several words, in order.
    Words(Vec<&'static str>),
    /// There is none, and that is part of the answer.
    Nothing,
}

/// One figure of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name, with the unit in it.
    pub name: &'static str,
    /// What it is.
    pub value: Value,
    /// Expanded uncertainty (k = 2), where the uncertainties of what went in are known.
    pub plus_minus: Option<f64>,
    /// Unit; empty for words and ratios.
    pub unit: &'static str,
}

/// What a figure was held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// What it limits, in words.
    pub is: &'static str,
    /// How much.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// One line of working: the formula, the same with its numbers, and what comes out.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// In symbols: `σ = p × D / (2 × t)`.
    pub formula: &'static str,
    /// With the numbers put in: `0.4 × 100 / (2 × 2.5)`.
    pub numbers: String,
    /// What comes out.
    pub result: f64,
    /// Unit of the result.
    pub unit: &'static str,
}

/// What a calculation answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Figures, the most wanted first.
    pub figures: Vec<Figure>,
    /// What the first verdict was held against.
    pub limit: Option<Limit>,
    /// The judgement, where there is one to make.
    pub verdict: Option<Finding>,
    /// How it was reckoned.
    pub working: Vec<Step>,
    /// What a reader should know: the reason for the verdict, or how far to trust the figures.
    pub says: Vec<String>,
    /// Codes of [`crate::cautions`] that belong to this calculation.
    pub cautions: &'static [&'static str],
    /// Where the formulas come from.
    pub source: &'static str,
}

impl Answer {
    pub(crate) fn of(source: &'static str) -> Self {
        Self {
            figures: Vec::new(),
            limit: None,
            verdict: None,
            working: Vec::new(),
            says: Vec::new(),
            cautions: &["defer_to_codes"],
            source,
        }
    }

    pub(crate) fn put(&mut self, name: &'static str, value: f64, unit: &'static str) {
        self.tell(name, Value::Number(value), None, unit);
    }

    pub(crate) fn put_about(
        &mut self,
        name: &'static str,
        value: f64,
        plus_minus: Option<f64>,
        unit: &'static str,
    ) {
        self.tell(name, Value::Number(value), plus_minus, unit);
    }

    pub(crate) fn maybe(&mut self, name: &'static str, value: Option<f64>, unit: &'static str) {
        let value = value.map_or(Value::Nothing, Value::Number);
        self.tell(name, value, None, unit);
    }

    pub(crate) fn word(&mut self, name: &'static str, finding: Finding) {
        self.tell(name, Value::Word(finding.word()), None, "");
    }

    pub(crate) fn tell(
        &mut self,
        name: &'static str,
        value: Value,
        plus_minus: Option<f64>,
        unit: &'static str,
    ) {
        self.figures.push(Figure {
            name,
            value,
            plus_minus,
            unit,
        });
    }

    pub(crate) fn say(&mut self, says: impl Into<String>) {
        self.says.push(says.into());
    }

    /// Adds a line of working; every symbol on the right of `formula` that `symbols` names is
    /// replaced by its number.
    pub(crate) fn step(
        &mut self,
        formula: &'static str,
        symbols: &[(&str, f64)],
        result: f64,
        unit: &'static str,
    ) {
        self.working.push(Step {
            formula,
            numbers: put_in(formula, symbols),
            result,
            unit,
        });
    }

    /// The number of that name, where there is one.
    ///
    /// ```
    /// use calc::quantity::{Absolute, Gauge};
    /// let answer = calc::water::saturation(&calc::water::Boiling {
    ///     pressure: Gauge::from_bar(4.0),
    ///     barometer: Absolute::STANDARD_ATMOSPHERE,
    ///     u_bar: None,
    /// })?;
    /// assert!(answer.number("T_sat_C").is_some_and(|t| (t - 151.94).abs() < 0.01));
    /// assert_eq!(answer.number("no such figure"), None);
    /// # Ok::<(), calc::Unusable>(())
    /// ```
    pub fn number(&self, name: &str) -> Option<f64> {
        self.figures.iter().find(|f| f.name == name).and_then(|f| {
            if let Value::Number(value) = f.value {
                Some(value)
            } else {
                None
            }
        })
    }

    /// The word of that name, where there is one.
    pub fn word_of(&self, name: &str) -> Option<&'static str> {
        self.figures
            .iter()
            .find(|f| f.name == name)
            .and_then(|f| match f.value {
                Value::Word(word) => Some(word),
                _ => None,
            })
    }
}

/// The right-hand side of a formula with numbers for its symbols.
fn put_in(formula: &str, symbols: &[(&str, f64)]) -> String {
    let right = formula
        .split_once(" = ")
        .map_or(formula, |(_, right)| right);
    let mut out = String::new();
    let mut token = String::new();
    for c in right.chars().chain(std::iter::once(' ')) {
        let joins = c.is_alphabetic() || c == '_' || (c.is_ascii_digit() && !token.is_empty());
        if joins {
            token.push(c);
            continue;
        }
        match symbols.iter().find(|(name, _)| *name == token) {
            Some((_, value)) => out.push_str(&show::in_formula(*value)),
            None => out.push_str(&token),
        }
        token.clear();
        out.push(c);
    }
    out.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stand_where_their_symbols_stood() {
        let symbols = [("p", 0.4), ("D_i", 100.0), ("t", -2.5)];
        assert_eq!(
            put_in("σ = p × D_i / (2 × t) + ln(D_io)", &symbols),
            "0.4 × 100 / (2 × (−2.5)) + ln(D_io)"
        );
    }
}
