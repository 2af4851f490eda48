//! What was typed into a page's fields, as the JSON that a reckoner takes.

use super::field::{Form, Kind};
use crate::json::{self, Json};
use crate::tree::quoted;

impl Form {
    /// The inputs as JSON, from what was typed; an empty field is left out, and what is not a number
    /// stays as it was typed, so that the refusal names it.
    ///
    /// A list is typed with spaces, commas or semicolons between; a table, tubes or limits one row a
    /// line.
    ///
    /// ```
    /// let form = &triallog::reckon::named("calibrated-level")?.forms[0];
    /// let text = form.json(|name| match name {
    ///     "table_mm_ml" => Some("0 420\n10 588".to_owned()),
    ///     "level_mm" => Some("5".to_owned()),
    ///     _ => None,
    /// });
    /// assert_eq!(text, r#"{"table_mm_ml": [[0, 420], [10, 588]], "level_mm": 5}"#);
    /// # Ok::<(), triallog::reckon::Refused>(())
    /// ```
    pub fn json(&self, typed: impl Fn(&str) -> Option<String>) -> String {
        let pairs: Vec<String> = self
            .inputs
            .iter()
            .filter_map(|input| {
                let text = typed(input.name)?;
                let text = text.trim();
                let value = (!text.is_empty()).then(|| value(text, input.kind))?;
                Some(format!("{}: {value}", quoted(input.name)))
            })
            .collect();
        format!("{{{}}}", pairs.join(", "))
    }
}

fn value(text: &str, kind: Kind) -> String {
    match kind {
        Kind::Number(..) | Kind::Whole(..) => number(text),
        Kind::Truth => match text {
            "true" | "yes" | "on" => "true".to_owned(),
            "false" | "no" => "false".to_owned(),
            other => quoted(other),
        },
        Kind::OneOf(_) => quoted(text),
        Kind::Numbers(..) | Kind::Readings(..) => list(words(text).map(number)),
        Kind::Intervals => list(rows(text).map(|row| match row {
            "null" | "-" => "null".to_owned(),
            row => list(words(row).map(number)),
        })),
        Kind::Table => list(rows(text).map(|row| list(words(row).map(number)))),
        Kind::Tubes => list(rows(text).map(|row| object(&["od_mm", "y_mm"], row))),
        Kind::CoLimits => {
            let pairs: Vec<String> = rows(text)
                .map(|row| {
                    let mut words = words(row);
                    let (key, value) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
                    format!("{}: {}", quoted(key), number(value))
                })
                .collect();
            format!("{{{}}}", pairs.join(", "))
        }
    }
}

/// A number as it was typed, with a true minus sign read as one; else quoted text.
fn number(text: &str) -> String {
    let plain = text.replace('−', "-");
    let is = |text: &str| {
        matches!(
            json::whole(text).and_then(json::open),
            Ok(Json::Number(_) | Json::Null)
        )
    };
    if is(&plain) { plain } else { quoted(text) }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || c == ',' || c == ';')
        .filter(|w| !w.is_empty())
}

fn rows(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(str::trim).filter(|row| !row.is_empty())
}

fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

fn object(keys: &[&str], row: &str) -> String {
    let pairs: Vec<String> = keys
        .iter()
        .zip(words(row))
        .map(|(key, word)| format!("{}: {}", quoted(key), number(word)))
        .collect();
    format!("{{{}}}", pairs.join(", "))
}

#[cfg(test)]
mod tests {
    use crate::reckon;

    fn typed(name: &str, fields: &[(&str, &str)]) -> String {
        reckon::named(name).unwrap().forms[0].json(|key| {
            let found = fields.iter().find(|(k, _)| *k == key);
            found.map(|(_, text)| (*text).to_owned())
        })
    }

    #[test]
    fn what_is_typed_is_what_is_reckoned_with() {
        let text = typed(
            "trend",
            &[
                ("t_s", "0 60, 120;180"),
                ("y", "700 690 below 670"),
                ("resolution", ""),
            ],
        );
        assert_eq!(
            text,
            r#"{"t_s": [0, 60, 120, 180], "y": [700, 690, "below", 670]}"#
        );
        let tubes = typed("shell-level", &[("tubes", "35 35\n 8 60 ")]);
        assert_eq!(
            tubes,
            r#"{"tubes": [{"od_mm": 35, "y_mm": 35}, {"od_mm": 8, "y_mm": 60}]}"#
        );
        let limits = typed("co-exposure", &[("limits", "twa8_ppm 25")]);
        assert_eq!(limits, r#"{"limits": {"twa8_ppm": 25}}"#);
    }

    #[test]
    fn what_is_no_number_is_refused_by_its_name() {
        let text = typed(
            "feed-margin",
            &[("delivery_ml_min", "forty"), ("evaporation_kg_h", "1.50")],
        );
        let refused = reckon::run("feed-margin", &text).unwrap_err();
        assert_eq!(refused.code(), "delivery_ml_min_not_a_number");
        let minus = typed("saturation", &[("p_gauge_bar", "−0.5")]);
        assert_eq!(minus, r#"{"p_gauge_bar": -0.5}"#);
        assert!(reckon::run("saturation", &minus).is_ok());
    }
}
