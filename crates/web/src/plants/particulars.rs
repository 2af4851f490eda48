//! The particulars of a component: which are asked for each kind, and how they stand in a trial file's `plant`.

use std::collections::BTreeMap;

use records::components::Component;
use serde_json::value::RawValue;

use super::asked::{Ask, of_kind};
use crate::form::{Faults, Field, Pick};
use crate::trials::decimal;
use crate::trials::tree::{Tree, quoted};
use crate::trials::typed::Typed;

/// The word of a kind as it is read.
pub(super) fn kind_words(kind: &str) -> String {
    kind.replace('-', " ")
}

/// The particulars as they would be typed.
pub(super) fn typed_of(component: &Component) -> Vec<(String, String)> {
    let tree = Tree::read(&component.particulars).unwrap_or_else(|_| Tree::empty());
    of_kind(&component.kind)
        .iter()
        .map(|a| {
            let typed = match a.ask {
                Ask::Rows(keys) => rows_as_typed(tree.at(a.path).unwrap_or("[]"), keys),
                _ => tree.typed_at(a.path),
            };
            (a.path.to_owned(), typed)
        })
        .collect()
}

/// What is known, each with its unit, for the plant's sheet.
pub(super) fn in_words(component: &Component) -> Vec<(String, String)> {
    let asked = of_kind(&component.kind).iter();
    asked
        .zip(typed_of(component))
        .filter(|(_, (_, typed))| !typed.is_empty())
        .map(|(a, (_, typed))| {
            let shown = match a.ask {
                Ask::Choice(all) => all
                    .iter()
                    .find(|(v, _)| *v == typed)
                    .map_or(typed, |(_, words)| (*words).to_owned()),
                Ask::Rows(keys) => rows_in_words(&typed, keys),
                Ask::Number | Ask::Day => typed,
            };
            (
                a.label.to_owned(),
                if a.unit.is_empty() {
                    shown
                } else {
                    format!("{shown} {}", a.unit)
                },
            )
        })
        .collect()
}

/// The boxes of a kind.
pub(super) fn fields(kind: &str, form: &Typed) -> Vec<Field> {
    of_kind(kind)
        .iter()
        .map(|a| {
            let (word, picks) = match a.ask {
                Ask::Number => ("number", vec![]),
                Ask::Day => ("date", vec![]),
                Ask::Rows(_) => ("long", vec![]),
                Ask::Choice(all) => (
                    "pick",
                    all.iter().map(|(v, words)| Pick::new(v, *words)).collect(),
                ),
            };
            Field::new(word, a.path, a.label, form.get(a.path))
                .hint(a.hint)
                .unit(a.unit)
                .picks(picks)
        })
        .collect()
}

/// Reads the boxes of a kind into JSON; what is left empty is unknown and is not there.
pub(super) fn read(kind: &str, form: &Typed, faults: &mut Faults) -> String {
    let mut tree = Tree::empty();
    for a in of_kind(kind) {
        let typed = form.get(a.path);
        if typed.is_empty() {
            continue;
        }
        match json_of(a.ask, typed) {
            Ok(json) => tree.put(a.path, json),
            Err(says) => faults.add(a.path, says),
        }
    }
    let text = tree.text();
    if faults.list().is_empty() {
        check(kind, &text, faults);
    }
    text
}

/// The trial file's own rules, each fault beside its box.
fn check(kind: &str, particulars: &str, faults: &mut Faults) {
    let head =
        format!("{{\"format\":\"gaugeglass-trial/1\",\"kind\":\"steam\",\"plant\":{particulars}}}");
    let Err(found) = triallog::read_head(&head) else {
        return;
    };
    for line in found.to_string().lines() {
        let (place, says) = line.split_once(": ").unwrap_or(("", line));
        let place = place.trim_start_matches("plant.");
        let beside = of_kind(kind)
            .iter()
            .find(|a| place.starts_with(a.path))
            .map_or("name", |a| a.path);
        if faults.of(beside).is_empty() {
            faults.add(beside, if beside == "name" { line } else { says });
        }
    }
}

fn json_of(ask: Ask, typed: &str) -> Result<String, String> {
    match ask {
        Ask::Number => decimal::read_positive(typed),
        Ask::Day => records::Day::read(typed)
            .map(|d| quoted(d.iso()))
            .ok_or_else(|| format!("“{typed}” is no day; write it like 2026-11-24.")),
        Ask::Choice(all) if all.iter().any(|(v, _)| *v == typed) => {
            Ok(if matches!(typed, "true" | "false") {
                typed.to_owned()
            } else {
                quoted(typed)
            })
        }
        Ask::Choice(_) => Err("Choose one from the list.".to_owned()),
        Ask::Rows(keys) => {
            let rows: Result<Vec<String>, String> = typed
                .lines()
                .filter(|l| !l.trim().is_empty())
                .map(|l| row(l, keys))
                .collect();
            Ok(format!("[{}]", rows?.join(",")))
        }
    }
}

fn row(line: &str, keys: &[&str]) -> Result<String, String> {
    let cells: Vec<&str> = line.split_whitespace().collect();
    if cells.len() != keys.len() {
        return Err(format!(
            "“{}” has {} entries; a line has {}.",
            line.trim(),
            cells.len(),
            keys.len()
        ));
    }
    let pairs: Result<Vec<String>, String> = keys
        .iter()
        .zip(cells)
        .map(|(key, cell)| {
            let json = if *key == "acting" {
                quoted(cell)
            } else {
                decimal::read_positive(cell)?
            };
            Ok(format!("{}:{json}", quoted(key)))
        })
        .collect();
    Ok(format!("{{{}}}", pairs?.join(",")))
}

/// Typed rows with the unit of every figure, and what it is where more than one is a length: `12 mm × 13; 14 mm × 2`.
fn rows_in_words(typed: &str, keys: &[&str]) -> String {
    let cell = |(key, cell): (&&str, &str)| match *key {
        "count" => format!("× {cell}"),
        "ml" => format!("{cell} ml"),
        "acting" => format!("{cell}-acting"),
        "bore_mm" => format!("bore {cell} mm,"),
        "stroke_mm" => format!("stroke {cell} mm,"),
        "rod_mm" => format!("rod {cell} mm,"),
        "centre_mm" => format!("centre at {cell} mm"),
        "level_mm" => format!("at {cell} mm:"),
        _ => format!("{cell} mm"),
    };
    let lines: Vec<String> = typed
        .lines()
        .map(|l| {
            keys.iter()
                .zip(l.split_whitespace())
                .map(cell)
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    lines.join("; ")
}

fn rows_as_typed(json: &str, keys: &[&str]) -> String {
    let rows: Vec<BTreeMap<String, Box<RawValue>>> = serde_json::from_str(json).unwrap_or_default();
    let cell = |row: &BTreeMap<String, Box<RawValue>>, key: &str| {
        row.get(key)
            .map_or("", |v| v.get())
            .trim_matches('"')
            .to_owned()
    };
    let lines: Vec<String> = rows
        .iter()
        .map(|r| {
            keys.iter()
                .map(|k| cell(r, k))
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pairs: &[(&str, &str)]) -> Typed {
        Typed::new(
            pairs
                .iter()
                .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn figures_stay_as_typed_and_what_is_unknown_is_not_there() {
        let mut faults = Faults::default();
        let form = typed(&[
            ("working_pressure_bar", "4,0"),
            ("water_space.horizontal.bore_mm", "102"),
            ("water_space.horizontal.length_mm", "210"),
            ("water_space.horizontal.tubes", "44 46 1"),
        ]);
        let json = read("boiler", &form, &mut faults);
        assert_eq!(faults.list(), []);
        assert_eq!(
            json,
            r#"{"water_space":{"horizontal":{"bore_mm":102,"length_mm":210,"tubes":[{"od_mm":44,"centre_mm":46,"count":1}]}},"working_pressure_bar":4.0}"#
        );
        assert_eq!(
            rows_as_typed(
                r#"[{"od_mm":44,"centre_mm":46,"count":1}]"#,
                &["od_mm", "centre_mm", "count"]
            ),
            "44 46 1"
        );
    }

    #[test]
    fn every_figure_of_a_row_is_shown_with_its_unit_and_says_what_it_is() {
        assert_eq!(
            rows_in_words("12 13\n14 2", &["od_mm", "count"]),
            "12 mm × 13; 14 mm × 2"
        );
        assert_eq!(
            rows_in_words("10 742", &["level_mm", "ml"]),
            "at 10 mm: 742 ml"
        );
        assert_eq!(
            rows_in_words(
                "20 22 4 double",
                &["bore_mm", "stroke_mm", "rod_mm", "acting"]
            ),
            "bore 20 mm, stroke 22 mm, rod 4 mm, double-acting"
        );
    }

    #[test]
    fn every_fault_stands_beside_its_box() {
        let mut faults = Faults::default();
        let form = typed(&[
            ("working_pressure_bar", "4 bar"),
            ("water_space.horizontal.tubes", "44 46"),
            ("hydraulic_pass.on", "soon"),
        ]);
        read("boiler", &form, &mut faults);
        for at in [
            "working_pressure_bar",
            "water_space.horizontal.tubes",
            "hydraulic_pass.on",
        ] {
            assert!(!faults.of(at).is_empty(), "{at}");
        }
    }

    #[test]
    fn the_trial_files_own_rules_are_told_beside_the_box() {
        let mut faults = Faults::default();
        read(
            "engine",
            &typed(&[("engine.cylinders", "20 22 4 sideways")]),
            &mut faults,
        );
        assert!(!faults.of("engine.cylinders").is_empty(), "{faults:?}");
    }
}
