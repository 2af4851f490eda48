//! Entries of the log in words: what each says, its marks, whose it is.

use super::tree::Tree;

/// How well a time must be known for nothing to be said of it, s.
const KNOWN_S: f64 = 1.0;

/// The marks of an entry in words, and by whose clock it is timed where that is not the server's.
pub(super) fn marks(tree: &Tree) -> String {
    let mut all = tree
        .typed_at("marks")
        .replace(['[', ']', '"'], "")
        .replace('-', " ")
        .replace(',', ", ");
    let unsure: f64 = tree.typed_at("time_u_s").parse().unwrap_or(0.0);
    let timed = match tree.typed_at("clock").as_str() {
        "paper" => "timed on paper".to_owned(),
        // A phone's time that is known to the second is as good as the server's.
        "device" if all.is_empty() && unsure <= KNOWN_S && tree.at("time_u_s").is_some() => {
            return all;
        }
        "device" if unsure > KNOWN_S => {
            format!("timed by device, ±{} s", calc::show::fixed(unsure, 0))
        }
        "device" => "timed by device".to_owned(),
        _ => return all,
    };
    let lead = if all.is_empty() { "" } else { ", " };
    all.push_str(&format!("{lead}{timed}"));
    all
}

/// The first letters of a name's words.
pub(super) fn initials(name: &str) -> String {
    name.split_whitespace()
        .filter_map(|word| word.chars().next())
        .collect()
}

/// Was this reason one of the answers to the hold point, and not a reason for skipping it?
pub(super) fn is_sight(name: &str, reason: &str) -> bool {
    match super::holds::find(name).map(|h| h.asks) {
        Some(super::holds::Asks::Choice(answers)) => {
            answers.iter().any(|(words, _)| *words == reason)
        }
        _ => false,
    }
}

/// What an entry that is no reading says.
pub(super) fn words(tree: &Tree) -> String {
    let note = tree.typed_at("note");
    let with_note = |words: String| match (words.is_empty(), note.is_empty()) {
        (_, true) => words,
        (true, false) => note.clone(),
        (false, false) => format!("{words}: {note}"),
    };
    let target = tree.typed_at("corrects");
    if !target.is_empty() {
        return with_note(format!("puts {target} right"));
    }
    let event = tree.typed_at("event");
    if !event.is_empty() {
        let mut words = if event == "note" {
            String::new()
        } else {
            super::events::words(&event)
        };
        for key in ["where", "what"] {
            let value = tree.typed_at(key);
            if !value.is_empty() {
                words = format!("{words}, {value}");
            }
        }
        let grown = tree.typed_at("growth_pct");
        if !grown.is_empty() {
            words = format!("{words}, grown by {grown} %");
        }
        let amount = tree.typed_at("amount_ml");
        if !amount.is_empty() {
            words = format!("{words}, {amount} ml to the {}", tree.typed_at("to"));
        }
        return with_note(words);
    }
    let check = tree.typed_at("check");
    if !check.is_empty() {
        let (value, reason) = (tree.typed_at("value"), tree.typed_at("reason"));
        let how = match (tree.at("override"), tree.at("done")) {
            (Some("true"), _) => format!("gone on against it, because: {reason}"),
            (_, Some("true")) if super::in_order::named(&check).is_some() => {
                format!("done, {value}")
                    .trim_end_matches([',', ' '])
                    .to_owned()
            }
            (_, Some("true")) if value.is_empty() => "signed".to_owned(),
            (_, Some("true")) => format!("signed, {value}"),
            _ if is_sight(&check, &reason) => format!("not signed, {reason}"),
            _ => format!("skipped, because: {reason}"),
        };
        return with_note(format!("{}: {how}", super::holds::short(&check)));
    }
    let rule = tree.typed_at("acknowledges.rule");
    if !rule.is_empty() {
        return with_note(format!(
            "seen: {}",
            super::orders::about(&rule).to_lowercase()
        ));
    }
    let answer = tree.typed_at("answer");
    if !answer.is_empty() {
        return with_note(format!("answer: {}", answer.replace('-', " ")));
    }
    let signs = tree.typed_at("signs");
    if !signs.is_empty() {
        return with_note(format!("signs: {signs}"));
    }
    with_note(tree.typed_at("keeps").replace('-', " "))
}
