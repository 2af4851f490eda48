//! One posted form made into one entry of the log.

use super::decimal;
use super::holds;
use super::readings::READINGS;
use super::tree::quoted;
use super::typed::{Typed, one};
use crate::form::Faults;

/// Ways of saying where the water is without a number.
const SEEN: [&str; 3] = ["below", "above", "in-glass"];

/// An entry as far as the form says it: what it is, without its time, its id and whose it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Draft {
    /// JSON fields, comma-separated.
    pub(super) fields: String,
    /// The hold point it would sign, if it signs one.
    pub(super) signs: Option<String>,
}

impl Draft {
    fn plain(fields: String) -> Self {
        Self {
            fields,
            signs: None,
        }
    }
}

/// Reads a form into a draft, all faults at once.
///
/// # Errors
/// Every fault beside its box.
pub(super) fn read(form: &Typed) -> Result<Draft, Faults> {
    match form.get("what") {
        "reading" => reading(form),
        "event" => event(form),
        "check" => check(form),
        "correction" => correction(form),
        "acknowledges" => acknowledges(form),
        "takeover" => Ok(Draft::plain(format!(
            "\"keeps\":\"takeover\"{}",
            note(form)
        ))),
        _ => Err(one(
            "what",
            "this form says nothing that can be entered; open the page again",
        )),
    }
}

fn note(form: &Typed) -> String {
    match form.get("note") {
        "" => String::new(),
        note => format!(",\"note\":{}", quoted(note)),
    }
}

fn reading(form: &Typed) -> Result<Draft, Faults> {
    let mut faults = Faults::default();
    let mut fields = Vec::new();
    for (key, _, _, negative) in READINGS {
        let typed = form.get(key);
        if typed.is_empty() {
            continue;
        }
        match if *negative {
            decimal::read(typed)
        } else {
            decimal::read_positive(typed)
        } {
            Ok(figure) => fields.push(format!("\"{key}\":{figure}")),
            Err(says) => faults.add(key, says),
        }
    }
    let seen = form.get("level_seen");
    if SEEN.contains(&seen) {
        if form.get("level_mm").is_empty() {
            fields.push(format!("\"level_seen\":{}", quoted(seen)));
        } else {
            faults.add(
                "level_mm",
                format!("a number and “{seen}” cannot both be: empty the box, or press Save"),
            );
        }
    }
    if faults.list().is_empty() && fields.is_empty() {
        faults.add(
            "pressure_bar",
            "nothing was typed: type a figure, or press ABOVE or BELOW",
        );
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    Ok(Draft::plain(format!(
        "\"reading\":{{{}}}{}",
        fields.join(","),
        note(form)
    )))
}

fn event(form: &Typed) -> Result<Draft, Faults> {
    let name = form.get("event");
    if name.is_empty() {
        return Err(one("event", "say what happened"));
    }
    let mut fields = format!("\"event\":{}", quoted(name));
    for key in ["where", "to"] {
        let value = form.get(key);
        if !value.is_empty() {
            fields.push_str(&format!(",{}:{}", quoted(key), quoted(value)));
        }
    }
    let adjusted = [form.get("which"), form.get("what_was")];
    let adjusted: Vec<&str> = adjusted.into_iter().filter(|w| !w.is_empty()).collect();
    if !adjusted.is_empty() {
        fields.push_str(&format!(",\"what\":{}", quoted(&adjusted.join(": "))));
    }
    if form.get("by_hand") == "true" {
        fields.push_str(",\"by_hand\":true");
    }
    let amount = form.get("amount_ml");
    if !amount.is_empty() {
        let figure = decimal::read_positive(amount).map_err(|says| one("amount_ml", says))?;
        fields.push_str(&format!(",\"amount_ml\":{figure}"));
    }
    let growth = form.get("growth_pct");
    if name == "set-measured" {
        let figure = decimal::read(growth).map_err(|says| one("growth_pct", says))?;
        fields.push_str(&format!(",\"growth_pct\":{figure}"));
    }
    if name == "note" && form.get("note").is_empty() {
        return Err(one("note", "a note without words: write it first"));
    }
    Ok(Draft::plain(fields + &note(form)))
}

/// A hold point: signed with what was seen, skipped with a reason, or gone on against with a reason.
fn check(form: &Typed) -> Result<Draft, Faults> {
    let (name, reason) = (form.get("check"), form.get("reason"));
    let head = format!("\"check\":{}", quoted(name));
    match form.get("way") {
        "skip" | "override" if reason.is_empty() => {
            Err(one("reason", "give the reason: it stands on the record"))
        }
        "skip" => Ok(Draft::plain(format!(
            "{head},\"done\":false,\"reason\":{}",
            quoted(reason)
        ))),
        "override" => Ok(Draft::plain(format!(
            "{head},\"done\":false,\"override\":true,\"reason\":{}",
            quoted(reason)
        ))),
        _ => seen(form, name, &head),
    }
}

fn seen(form: &Typed, name: &str, head: &str) -> Result<Draft, Faults> {
    let mut value = form.get("value").to_owned();
    match holds::find(name).map(|h| h.asks) {
        Some(holds::Asks::Choice(answers)) => {
            match answers.iter().find(|(words, _)| *words == value) {
                Some((_, true)) => {}
                // What was seen is a fact and is kept; it does not sign the hold point.
                Some((words, false)) => {
                    return Ok(Draft::plain(format!(
                        "{head},\"done\":false,\"reason\":{}",
                        quoted(words)
                    )));
                }
                None => return Err(one("value", "say what you saw: choose one of the answers")),
            }
        }
        Some(holds::Asks::Level) => {
            let figure = decimal::read_positive(&value).map_err(|says| one("value", says))?;
            value = format!("{figure} mm");
        }
        Some(holds::Asks::Records) => {}
        Some(holds::Asks::Words) | None if value.is_empty() => {
            return Err(one("value", "say what you saw"));
        }
        Some(holds::Asks::Words) | None => {}
    }
    let value = if value.is_empty() {
        String::new()
    } else {
        format!(",\"value\":{}", quoted(&value))
    };
    Ok(Draft {
        fields: format!("{head},\"done\":true{value}"),
        signs: Some(name.to_owned()),
    })
}

/// A correction: one key of one reading made right or taken back, or an event or check taken back.
fn correction(form: &Typed) -> Result<Draft, Faults> {
    let mut faults = Faults::default();
    let (target, why) = (form.get("corrects"), form.get("note"));
    if why.is_empty() {
        faults.add(
            "note",
            "say why: both figures stand on the record, and the reason beside them",
        );
    }
    let mut fields = Vec::new();
    if form.get("withdrawn") == "true" {
        fields.push("\"withdrawn\":true".to_owned());
    } else {
        let mut patch = Vec::new();
        for (key, label, _, negative) in READINGS {
            let typed = form.get(&format!("new-{key}"));
            if form.get(&format!("take-{key}")) == "true" {
                patch.push(format!("\"{key}\":null"));
            } else if !typed.is_empty() {
                match if *negative {
                    decimal::read(typed)
                } else {
                    decimal::read_positive(typed)
                } {
                    Ok(figure) => patch.push(format!("\"{key}\":{figure}")),
                    Err(says) => faults.add(&format!("new-{key}"), format!("{label}: {says}")),
                }
            }
        }
        let seen = form.get("new-level_seen");
        if SEEN.contains(&seen) {
            patch.push(format!("\"level_seen\":{}", quoted(seen)));
        }
        if patch.is_empty() && faults.list().is_empty() {
            faults.add(
                "note",
                "nothing was put right: type the right figure, or take the old one back",
            );
        }
        fields.push(format!("\"reading\":{{{}}}", patch.join(",")));
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    Ok(Draft::plain(format!(
        "\"corrects\":{},{},\"note\":{}",
        quoted(target),
        fields.join(","),
        quoted(why)
    )))
}

fn acknowledges(form: &Typed) -> Result<Draft, Faults> {
    let raised = decimal::read_positive(form.get("raised_at_s")).map_err(|_| {
        one(
            "raised_at_s",
            "this flag cannot be found; open the page again",
        )
    })?;
    Ok(Draft::plain(format!(
        "\"acknowledges\":{{\"rule\":{},\"raised_at_s\":{raised}}}",
        quoted(form.get("rule"))
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(pairs: &[(&str, &str)]) -> Typed {
        Typed::new(
            pairs
                .iter()
                .map(|(n, v)| ((*n).to_owned(), (*v).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn a_reading_keeps_every_figure_as_typed() {
        let draft = read(&form(&[
            ("what", "reading"),
            ("pressure_bar", "3,20"),
            ("level_mm", " 38 "),
        ]))
        .unwrap();
        assert_eq!(
            draft.fields,
            r#""reading":{"pressure_bar":3.20,"level_mm":38}"#
        );
    }

    #[test]
    fn below_is_one_press() {
        let draft = read(&form(&[("what", "reading"), ("level_seen", "below")])).unwrap();
        assert_eq!(draft.fields, r#""reading":{"level_seen":"below"}"#);
    }

    #[test]
    fn every_fault_of_a_reading_is_named_at_once() {
        let faults = read(&form(&[
            ("what", "reading"),
            ("pressure_bar", "3,200"),
            ("level_mm", "x"),
        ]))
        .unwrap_err();
        assert_eq!(
            faults
                .list()
                .iter()
                .map(|f| f.field.as_str())
                .collect::<Vec<_>>(),
            ["pressure_bar", "level_mm"]
        );
    }

    #[test]
    fn a_bad_sight_is_kept_and_signs_nothing() {
        let form = form(&[
            ("what", "check"),
            ("check", "safety-valve-tried"),
            ("value", "It did not lift"),
        ]);
        let draft = read(&form).unwrap();
        assert!(
            draft.fields.contains("\"done\":false") && draft.fields.contains("It did not lift")
        );
        assert_eq!(draft.signs, None);
    }

    #[test]
    fn a_must_see_item_is_not_signed_by_a_bare_press() {
        for name in ["safety-valve-tried", "water-in-glass-seen", "own-check"] {
            assert!(
                read(&form(&[("what", "check"), ("check", name)])).is_err(),
                "{name}"
            );
        }
    }

    #[test]
    fn skipping_and_going_on_want_a_reason() {
        for way in ["skip", "override"] {
            assert!(
                read(&form(&[
                    ("what", "check"),
                    ("check", "co-alarm-on"),
                    ("way", way)
                ]))
                .is_err()
            );
            let with = read(&form(&[
                ("what", "check"),
                ("check", "co-alarm-on"),
                ("way", way),
                ("reason", "outdoors"),
            ]))
            .unwrap();
            assert!(with.fields.contains("outdoors") && with.signs.is_none());
        }
    }

    #[test]
    fn a_correction_wants_its_reason_and_something_to_put_right() {
        let bare = [
            ("what", "correction"),
            ("corrects", "a17"),
            ("new-pressure_bar", "2.3"),
        ];
        assert!(read(&form(&bare)).is_err());
        let whole = [
            ("what", "correction"),
            ("corrects", "a17"),
            ("new-pressure_bar", "2.3"),
            ("note", "misread"),
        ];
        assert_eq!(
            read(&form(&whole)).unwrap().fields,
            r#""corrects":"a17","reading":{"pressure_bar":2.3},"note":"misread""#
        );
        assert!(
            read(&form(&[
                ("what", "correction"),
                ("corrects", "a17"),
                ("note", "why")
            ]))
            .is_err()
        );
    }
}
