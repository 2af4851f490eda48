//! The boxes of a reckoner: what was typed, and the JSON that it asks with.

use std::collections::BTreeMap;

use triallog::reckon::{Form, Input, Kind, LeftOut};

use super::units::Units;
use crate::form::Faults;
use crate::trials::tree::quoted;

/// What stands in each box.
pub(super) type Boxes = BTreeMap<String, String>;

/// How a box is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Draw {
    Line,
    Choice(&'static [&'static str]),
    YesNo,
    Many(&'static str),
}

/// How an input is typed.
pub(super) fn draw(kind: Kind) -> Draw {
    match kind {
        Kind::Number(..) | Kind::Whole(..) => Draw::Line,
        Kind::Truth => Draw::YesNo,
        Kind::OneOf(words) => Draw::Choice(words),
        Kind::Numbers(..) => Draw::Many("one a line, or with spaces between"),
        Kind::Readings(..) => Draw::Many("one a line; below, above, or - for none"),
        Kind::Intervals => Draw::Many("one a line: low and high; - for none"),
        Kind::Table => Draw::Many("one row a line: two figures"),
        Kind::Tubes => Draw::Many("one a line: outside diameter and height of the centre"),
        Kind::CoLimits => Draw::Many("one a line: its name and ppm"),
    }
}

/// The JSON object that the boxes ask with; every fault beside its box.
pub(super) fn json(form: &Form, boxes: &Boxes, units: Units) -> Result<String, Faults> {
    let mut faults = Faults::default();
    let mut pairs = Vec::new();
    for input in form.inputs {
        let typed = boxes.get(input.name).map_or("", |t| t.trim());
        if typed.is_empty() {
            continue;
        }
        match value(input, typed, units) {
            Ok(text) => pairs.push(format!("{}: {text}", quoted(input.name))),
            Err(says) => faults.add(input.name, says),
        }
    }
    if faults.list().is_empty() {
        Ok(format!("{{{}}}", pairs.join(", ")))
    } else {
        Err(faults)
    }
}

fn value(input: &Input, typed: &str, units: Units) -> Result<String, String> {
    let figure = |text: &str| units.read(text, input.unit);
    let plain = |text: &str| units.read(text, "");
    match input.kind {
        Kind::Number(..) | Kind::Whole(..) => figure(typed),
        Kind::Truth => match typed {
            "yes" => Ok("true".to_owned()),
            "no" => Ok("false".to_owned()),
            other => Err(format!("“{other}” is neither yes nor no")),
        },
        Kind::OneOf(_) => Ok(quoted(typed)),
        Kind::Numbers(..) => list(parts(typed), figure),
        Kind::Readings(..) => list(parts(typed), |text| match text {
            "-" | "–" => Ok("null".to_owned()),
            "below" | "above" => Ok(quoted(text)),
            other => figure(other),
        }),
        Kind::Intervals => rows(typed, |row| match row {
            ["-"] => Ok("null".to_owned()),
            [low, high] => Ok(format!("[{}, {}]", plain(low)?, plain(high)?)),
            _ => Err("each line takes two figures".to_owned()),
        }),
        Kind::Table => rows(typed, |row| match row {
            [a, b] => Ok(format!("[{}, {}]", plain(a)?, plain(b)?)),
            _ => Err("each line takes two figures".to_owned()),
        }),
        Kind::Tubes => rows(typed, |row| match row {
            [od, y] => Ok(format!(
                r#"{{"od_mm": {}, "y_mm": {}}}"#,
                plain(od)?,
                plain(y)?
            )),
            _ => Err("each line takes two figures".to_owned()),
        }),
        Kind::CoLimits => {
            let one = |row: &[&str]| match row {
                [name, ppm] => Ok(format!("{}: {}", quoted(name), plain(ppm)?)),
                _ => Err("each line takes a name and a figure".to_owned()),
            };
            Ok(format!("{{{}}}", each(typed, one)?.join(", ")))
        }
    }
}

fn parts(typed: &str) -> impl Iterator<Item = &str> {
    typed
        .split(|c: char| c.is_whitespace() || c == ';')
        .filter(|p| !p.is_empty())
}

fn list<'t>(
    parts: impl Iterator<Item = &'t str>,
    read: impl Fn(&str) -> Result<String, String>,
) -> Result<String, String> {
    let all: Result<Vec<String>, String> = parts.map(read).collect();
    Ok(format!("[{}]", all?.join(", ")))
}

fn each(
    typed: &str,
    read: impl Fn(&[&str]) -> Result<String, String>,
) -> Result<Vec<String>, String> {
    let lines = typed.lines().map(str::trim).filter(|l| !l.is_empty());
    lines
        .enumerate()
        .map(|(n, line)| {
            let row: Vec<&str> = parts(line).collect();
            read(&row).map_err(|says| format!("line {}: {says}", n + 1))
        })
        .collect()
}

fn rows(typed: &str, read: impl Fn(&[&str]) -> Result<String, String>) -> Result<String, String> {
    Ok(format!("[{}]", each(typed, read)?.join(", ")))
}

/// What happens when a box stays empty, in words for its hint.
pub(super) fn left_out(input: &Input, units: Units) -> String {
    match input.left_out {
        LeftOut::Needed => String::new(),
        LeftOut::Unused => "may stay empty".to_owned(),
        LeftOut::Number(n) => {
            let unit = units.shown(input.unit);
            let figure = units.show(n, input.unit, 6);
            format!("empty: {figure} {unit} is assumed").replace("  ", " ")
        }
        LeftOut::Word(word) => format!("empty: {word} is assumed"),
        LeftOut::Truth(truth) => format!("empty: {} is assumed", if truth { "yes" } else { "no" }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(name: &str, boxes: &[(&str, &str)]) -> Result<String, Faults> {
        let boxes = boxes
            .iter()
            .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
            .collect();
        let form = &triallog::reckon::named(name).unwrap().forms[0];
        json(form, &boxes, Units::default())
    }

    #[test]
    fn boxes_become_the_json_that_a_reckoner_takes() {
        let hold = [
            ("p_start_gauge_bar", "8"),
            ("p_end_gauge_bar", "7,9"),
            ("hold_s", "600"),
        ];
        let text = asked("pressure-hold", &hold).unwrap();
        assert!(text.contains(r#""p_end_gauge_bar": 7.9"#), "{text}");
        let air = [
            ("t_min", "0 5 10"),
            ("co_ppm", "1\n2,5\n3"),
            ("limits", "twa8_ppm 20\nceiling_ppm 200"),
        ];
        let text = asked("co-exposure", &air).unwrap();
        assert!(text.contains(r#""co_ppm": [1, 2.5, 3]"#), "{text}");
        assert!(
            text.contains(r#""limits": {"twa8_ppm": 20, "ceiling_ppm": 200}"#),
            "{text}"
        );
    }

    #[test]
    fn every_fault_stands_beside_its_box() {
        let wrong = [
            ("p_start_gauge_bar", "eight"),
            ("p_end_gauge_bar", "1.2.3"),
            ("hold_s", "600"),
        ];
        let faults = asked("pressure-hold", &wrong).unwrap_err();
        assert!(!faults.of("p_start_gauge_bar").is_empty());
        assert!(!faults.of("p_end_gauge_bar").is_empty());
        assert!(faults.of("hold_s").is_empty());
    }
}
