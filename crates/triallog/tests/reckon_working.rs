//! The working is redone from its own text: a person with paper must get what the program got.
#![allow(clippy::unwrap_used, reason = "a case that cannot be read must fail")]

use serde_json::Value;
use triallog::reckon;

/// Reads one line of working as a sum: `2 × √((1.6 / 100 × 16)^2 / 3 + 0.2^2 / 12)`.
struct Sum<'a> {
    rest: &'a str,
}

impl Sum<'_> {
    fn of(text: &str) -> Option<f64> {
        let mut sum = Sum { rest: text };
        let value = sum.terms()?;
        sum.skip();
        sum.rest.is_empty().then_some(value)
    }

    fn skip(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn take(&mut self, mark: &str) -> bool {
        self.skip();
        match self.rest.strip_prefix(mark) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn terms(&mut self) -> Option<f64> {
        let mut value = self.factors()?;
        loop {
            if self.take("+") {
                value += self.factors()?;
            } else if self.take("−") {
                value -= self.factors()?;
            } else {
                return Some(value);
            }
        }
    }

    fn factors(&mut self) -> Option<f64> {
        let mut value = self.signed()?;
        loop {
            if self.take("×") {
                value *= self.signed()?;
            } else if self.take("/") {
                value /= self.signed()?;
            } else {
                return Some(value);
            }
        }
    }

    fn signed(&mut self) -> Option<f64> {
        if self.take("−") {
            return Some(-self.signed()?);
        }
        let base = self.atom()?;
        if self.take("^") {
            return Some(base.powf(self.signed()?));
        }
        Some(base)
    }

    fn bracketed(&mut self) -> Option<f64> {
        let value = self.take("(").then(|| self.terms())??;
        self.take(")").then_some(value)
    }

    fn two(&mut self, of: fn(f64, f64) -> f64) -> Option<f64> {
        let first = self.take("(").then(|| self.terms())??;
        let second = self.take(",").then(|| self.terms())??;
        self.take(")").then(|| of(first, second))
    }

    fn atom(&mut self) -> Option<f64> {
        self.skip();
        if self.rest.starts_with('(') {
            return self.bracketed();
        }
        for (name, of) in [
            ("√", f64::sqrt as fn(f64) -> f64),
            ("ln", f64::ln),
            ("exp", f64::exp),
            ("acos", f64::acos),
            ("floor", f64::floor),
        ] {
            if self.take(name) {
                return self.bracketed().map(of);
            }
        }
        if self.take("max") {
            return self.two(f64::max);
        }
        if self.take("min") {
            return self.two(f64::min);
        }
        if self.take("π") {
            return Some(std::f64::consts::PI);
        }
        let end = self
            .rest
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(self.rest.len());
        let (number, rest) = self.rest.split_at(end);
        self.rest = rest;
        number.parse().ok()
    }
}

/// Near enough for numbers written with seven digits.
fn near(redone: f64, result: f64) -> bool {
    let off = (redone - result).abs();
    if result == 0.0 || result.abs() >= 1e-3 {
        off <= 1e-4 * result.abs() + 1e-4
    } else {
        off <= 1e-3 * result.abs()
    }
}

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

#[test]
fn every_line_of_working_can_be_redone_from_its_own_numbers() {
    let mut lines = 0;
    let mut wrong = Vec::new();
    for case in cases() {
        let name = case["reckoner"].as_str().unwrap();
        let Ok(reckoned) = reckon::run(name, &case["inputs"].to_string()) else {
            continue;
        };
        for step in &reckoned.answer.working {
            lines += 1;
            match Sum::of(&step.numbers) {
                Some(redone) if near(redone, step.result) => {}
                found => wrong.push(format!(
                    "{name} {}: {} with {} gives {found:?}, not {}",
                    case["name"], step.formula, step.numbers, step.result
                )),
            }
        }
    }
    assert!(lines > 500, "{lines} lines of working");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn most_reckoners_show_their_working() {
    let silent = ["steam-properties", "trend", "cautions", "co-alarm", "oil"];
    for case in cases() {
        let name = case["reckoner"].as_str().unwrap();
        if let Ok(reckoned) = reckon::run(name, &case["inputs"].to_string()) {
            let shown = !reckoned.answer.working.is_empty();
            let tilted = case["inputs"]["tilt_mm"].is_number();
            assert!(
                shown || tilted || silent.contains(&name),
                "{name} {}",
                case["name"]
            );
        }
    }
}

#[test]
fn the_reader_of_sums_knows_what_goes_before_what() {
    for (text, value) in [
        ("2 + 3 × 4", 14.0),
        ("−2^2", -4.0),
        ("(−2)^2", 4.0),
        ("2 × √((3 + 1)^2 / 4)", 4.0),
        ("(4.5×10^−10) × 2", 9e-10),
        ("max(2 − 3, 0) + min(1, 2)", 1.0),
        ("8 / 2 / 2", 2.0),
    ] {
        let found = Sum::of(text).unwrap();
        assert!((found - value).abs() < 1e-12, "{text}: {found}");
    }
    assert_eq!(Sum::of("2 × σ"), None);
}
