//! A JSON text against the schema: every fault named with its place.

use crate::fault::Faults;
use crate::json::{self, Json};
use crate::schema::{HOLD_POINTS, Key, Shape};
use crate::tree::{Tree, Typed, plain};
use chrono::{DateTime, NaiveDate};
use serde_json::value::RawValue;
use unicode_normalization::UnicodeNormalization;

/// Most items that a list may have, and most objects a file is read with.
const LONGEST_LIST: usize = 1_000_000;
/// Most characters of a number, its exponent written out.
const MOST_DIGITS: usize = 60;

/// Reads `raw` as `shape`; what is wrong goes to `faults` and reads as nothing.
pub(crate) fn value(
    raw: &RawValue,
    shape: &Shape,
    place: &str,
    faults: &mut Faults,
) -> Option<Tree> {
    let opened = match json::open(raw) {
        Ok(opened) => opened,
        Err(says) => {
            faults.add(place, says);
            return None;
        }
    };
    let wrong = |wants: &str, faults: &mut Faults| {
        faults.add(
            place,
            format!("this is {}, {wants} is needed", opened.kind()),
        );
        None
    };
    match (shape, &opened) {
        (Shape::Number(least, most), Json::Number(text)) => {
            number(text, Some((*least, *most)), place, faults)
        }
        (Shape::TextOrNumber, Json::Number(text)) => number(text, None, place, faults),
        (Shape::TextOrNumber, Json::Text(text)) => words(text, 1000, place, faults),
        (Shape::Text(most), Json::Text(text)) => words(text, *most, place, faults),
        (Shape::Bool, Json::Bool(b)) => Some(Tree::Bool(*b)),
        (Shape::OneOf(list), Json::Text(text)) => {
            if list.contains(&text.as_str()) {
                return Some(Tree::Text(text.clone()));
            }
            faults.add(place, format!("{text:?} is none of {}", list.join(", ")));
            None
        }
        (Shape::HoldPoint | Shape::Signature, Json::Text(text)) => {
            let signature = matches!(shape, Shape::Signature);
            name(text, signature, place, faults)
        }
        (Shape::Day, Json::Text(text)) => {
            let good = text.len() == 10 && NaiveDate::parse_from_str(text, "%Y-%m-%d").is_ok();
            if good {
                return Some(Tree::Text(text.clone()));
            }
            faults.add(place, format!("{text:?} is not a day like 2026-11-24"));
            None
        }
        (Shape::Moment, Json::Text(text)) => {
            if DateTime::parse_from_rfc3339(text).is_ok() {
                return Some(Tree::Text(text.clone()));
            }
            let like = "2026-11-24T10:21:00+00:00";
            faults.add(
                place,
                format!("{text:?} is not a moment with its offset, like {like}"),
            );
            None
        }
        (Shape::Object(keys), Json::Object(pairs)) => object(pairs, keys, place, faults),
        (Shape::List(of), Json::List(items)) => list(items, of, place, faults),
        (Shape::Rows(keys), Json::List(items)) => list(items, &Shape::Object(keys), place, faults),
        (Shape::Number(..), _) => wrong("a number", faults),
        (Shape::TextOrNumber, _) => wrong("text or a number", faults),
        (Shape::Bool, _) => wrong("true or false", faults),
        (Shape::Object(_), _) => wrong("an object", faults),
        (Shape::List(_) | Shape::Rows(_), _) => wrong("a list", faults),
        _ => wrong("text", faults),
    }
}

fn number(
    text: &str,
    bounds: Option<(f64, f64)>,
    place: &str,
    faults: &mut Faults,
) -> Option<Tree> {
    let value: f64 = text.parse().unwrap_or(f64::NAN);
    if !value.is_finite() {
        let says = format!("{} is not a finite number", shortened(text));
        faults.add(place, says);
        return None;
    }
    let written = plain(text);
    if written.len() > MOST_DIGITS {
        let says = format!("{} has more digits than are kept", shortened(text));
        faults.add(place, says);
        return None;
    }
    if let Some((least, most)) = bounds
        && !(least..=most).contains(&value)
    {
        faults.add(place, format!("{text} is outside {least} to {most}"));
        return None;
    }
    Some(Tree::Number(Typed {
        text: written,
        value,
    }))
}

fn words(text: &str, most: usize, place: &str, faults: &mut Faults) -> Option<Tree> {
    let count = text.chars().count();
    if count > most {
        faults.add(
            place,
            format!("{count} characters are too many; {most} are kept at most"),
        );
        return None;
    }
    Some(Tree::Text(text.nfc().collect()))
}

fn name(text: &str, signature: bool, place: &str, faults: &mut Faults) -> Option<Tree> {
    let own = text
        .strip_prefix("own-")
        .is_some_and(|rest| !rest.is_empty());
    let signs = signature && matches!(text, "close" | "witness");
    if signs || HOLD_POINTS.contains(&text) || (own && text.chars().count() <= 100) {
        return Some(Tree::Text(text.nfc().collect()));
    }
    let say = shortened(text);
    faults.add(
        place,
        format!("{say:?} is no hold point; one of your own begins with \"own-\""),
    );
    None
}

fn shortened(text: &str) -> String {
    if text.chars().count() <= 40 {
        text.to_owned()
    } else {
        text.chars().take(37).collect::<String>() + "..."
    }
}

fn list(items: &[&RawValue], of: &Shape, place: &str, faults: &mut Faults) -> Option<Tree> {
    if items.len() > LONGEST_LIST {
        faults.add(place, format!("{} are too many", items.len()));
        return None;
    }
    let mut all = Vec::with_capacity(items.len());
    for (n, item) in items.iter().enumerate() {
        all.push(value(item, of, &format!("{place}[{n}]"), faults).unwrap_or(Tree::Null));
    }
    Some(Tree::List(all))
}

/// Reads an object: unknown and doubled keys are faults, missing ones where they must be there.
pub(crate) fn object(
    pairs: &[(String, &RawValue)],
    keys: &'static [Key],
    place: &str,
    faults: &mut Faults,
) -> Option<Tree> {
    let under = |name: &str| {
        if place.is_empty() {
            name.to_owned()
        } else {
            format!("{place}.{name}")
        }
    };
    for (n, (name, _)) in pairs.iter().enumerate() {
        if !keys.iter().any(|k| k.name == name) {
            faults.add(under(&shortened(name)), unknown(name, keys));
        } else if pairs[..n].iter().any(|(earlier, _)| earlier == name) {
            faults.add(under(name), "this key stands twice");
        }
    }
    let mut tree = Vec::new();
    for key in keys {
        let Some((_, raw)) = pairs.iter().find(|(name, _)| name == key.name) else {
            if key.required {
                faults.add(under(key.name), "this is missing");
            }
            continue;
        };
        if raw.get() == "null" {
            if key.nullable {
                tree.push((key.name, Tree::Null));
            } else {
                faults.add(under(key.name), "null says nothing; leave the key out");
            }
        } else if let Some(value) = value(raw, &key.shape, &under(key.name), faults) {
            tree.push((key.name, value));
        }
    }
    Some(Tree::Object(tree))
}

fn unknown(name: &str, keys: &[Key]) -> String {
    match nearest(name, keys.iter().map(|k| k.name)) {
        Some(near) => format!("no such key; {near}?"),
        None => "no such key".to_owned(),
    }
}

/// The name most like `name`, where one is near enough to have been meant.
pub(crate) fn nearest(
    name: &str,
    names: impl Iterator<Item = &'static str>,
) -> Option<&'static str> {
    let near = names
        .map(|n| (distance(n, name), n))
        .min_by_key(|(far, _)| *far);
    near.filter(|(far, _)| *far <= 3).map(|(_, n)| n)
}

/// How many letters must be changed, put in or left out to make one word of the other.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().take(60).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = change.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}
