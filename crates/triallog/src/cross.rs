//! What one key alone cannot tell: an entry that is two things, a level above the glass, a
//! correction of nothing.

use crate::build;
use crate::fault::Faults;
use crate::tree::Tree;
use std::collections::{HashMap, HashSet};

/// The keys of which an entry has exactly one; `reading` also goes with `corrects`.
const KINDS: [&str; 8] = [
    "corrects",
    "reading",
    "event",
    "check",
    "acknowledges",
    "answer",
    "signs",
    "keeps",
];

/// Keys that belong to one kind of entry, and to which.
const BELONGS: [(&str, &str); 12] = [
    ("withdrawn", "corrects"),
    ("by_hand", "event"),
    ("amount_ml", "event"),
    ("to", "event"),
    ("what", "event"),
    ("where", "event"),
    ("growth_pct", "event"),
    ("done", "check"),
    ("value", "check"),
    ("override", "check"),
    ("reason", "check"),
    ("until_s", "keeps"),
];

/// Checks one entry by itself.
pub(crate) fn entry(entry: &Tree, place: &str, faults: &mut Faults) {
    let has = |key: &str| entry.get(key).is_some();
    let mut kinds: Vec<&str> = KINDS.iter().copied().filter(|k| has(k)).collect();
    if has("corrects") {
        kinds.retain(|k| *k != "reading");
    }
    match kinds.as_slice() {
        [] => {
            let any = KINDS.join(", ");
            faults.add(
                place,
                format!("this entry says nothing; it needs one of {any}"),
            );
        }
        [_] => {}
        several => {
            let both = several.join(" and ");
            faults.add(
                place,
                format!("this entry is {} things at once: {both}", several.len()),
            );
        }
    }
    for (key, belongs) in BELONGS {
        let reason_of_keeping = key == "reason" && has("keeps");
        if has(key) && !has(belongs) && !reason_of_keeping {
            faults.add(
                format!("{place}.{key}"),
                format!("this belongs to an entry with {belongs}"),
            );
        }
    }
    correction(entry, place, faults);
    check(entry, place, faults);
    if entry.text("event") == Some("water-added") && has("to") && !has("amount_ml") {
        faults.add(
            format!("{place}.amount_ml"),
            "how much water was added is missing",
        );
    }
}

fn correction(entry: &Tree, place: &str, faults: &mut Faults) {
    if entry.get("corrects").is_none() {
        if let Some(Tree::Object(keys)) = entry.get("reading") {
            for (name, value) in keys {
                if *value == Tree::Null {
                    let says = "null withdraws a key, and only in a correction; leave the key out";
                    faults.add(format!("{place}.reading.{name}"), says);
                }
            }
            if keys.is_empty() {
                faults.add(format!("{place}.reading"), "nothing was read");
            }
        }
        return;
    }
    if entry.get("reading").is_none() && entry.bool("withdrawn") != Some(true) {
        faults.add(
            place,
            "a correction needs a reading, or \"withdrawn\": true",
        );
    }
}

fn check(entry: &Tree, place: &str, faults: &mut Faults) {
    if entry.get("check").is_none() {
        return;
    }
    let overridden = entry.bool("override") == Some(true);
    if entry.get("done").is_none() && !overridden {
        faults.add(format!("{place}.done"), "this is missing: was it done?");
    }
    if overridden && entry.text("reason").is_none_or(|r| r.trim().is_empty()) {
        faults.add(
            format!("{place}.reason"),
            "going on against a hold point needs a reason",
        );
    }
}

/// The most that a boiler in steam is reckoned at, bar.
pub const MOST_IN_STEAM_BAR: f64 = 19.0;
/// What a glass is read to where nobody said, mm.
pub const COARSE_GLASS_MM: f64 = 2.0;

/// Checks levels against the glass and pressures against what a boiler of this program can hold.
pub(crate) fn reading(head: &Tree, entry: &Tree, place: &str, faults: &mut Faults) {
    let Some(reading) = entry.get("reading") else {
        return;
    };
    if let Some(top) = head
        .get("plant")
        .and_then(|p| p.get("glass")?.number("visible_mm"))
    {
        let step = head
            .get("instruments")
            .and_then(|i| i.get("level")?.number("resolution_mm"))
            .unwrap_or(COARSE_GLASS_MM);
        for (key, seen) in [
            ("level_mm", "level_seen"),
            ("level_second_mm", "level_second_seen"),
        ] {
            if let Some(level) = reading.number(key).filter(|mm| *mm > top + step) {
                let says = format!("{level} is above the glass ({top}); use {seen} \"above\"");
                faults.add(format!("{place}.reading.{key}"), says);
            }
        }
    }
    if head.text("kind") == Some("hydraulic") {
        return;
    }
    for key in ["pressure_bar", "pressure_second_bar"] {
        if let Some(bar) = reading.number(key).filter(|bar| *bar > MOST_IN_STEAM_BAR) {
            let says = format!(
                "{bar} is over what a boiler in steam is reckoned at ({MOST_IN_STEAM_BAR})"
            );
            faults.add(format!("{place}.reading.{key}"), says);
        }
    }
}

/// Checks what only the whole file can tell, as far as what was read so far is good: a part that
/// has faults already is not asked again.
pub(crate) fn file(file: &Tree, faults: &mut Faults) {
    let faulty: HashSet<String> = faults.iter().map(|f| part(&f.place).to_owned()).collect();
    if let Some(plant) = file.get("plant").filter(|_| !faulty.contains("plant")) {
        shape(plant, faults);
    }
    let entries = file.list("entries");
    let last = entries
        .iter()
        .filter_map(|e| e.number("t_s"))
        .reduce(f64::max);
    if let (Some(end), Some(last)) = (file.number("ended_at_s"), last)
        && end < last
    {
        faults.add(
            "ended_at_s",
            format!("{end} is before the last entry ({last})"),
        );
    }
    for (n, one) in entries.iter().enumerate() {
        let place = format!("entries[{n}]");
        if !faulty.contains(&place) {
            entry(one, &place, faults);
            reading(file, one, &place, faults);
        }
    }
    if !faulty.iter().any(|f| f.starts_with("entries[")) {
        targets(entries, faults);
    }
}

/// The part of the file that a place lies in: `entries[14]`, `plant`.
fn part(place: &str) -> &str {
    place.split('.').next().unwrap_or(place)
}

fn shape(plant: &Tree, faults: &mut Faults) {
    let Some(space) = plant.get("water_space") else {
        return;
    };
    let kinds: Vec<&str> = ["horizontal", "vertical", "calibrated"]
        .into_iter()
        .filter(|k| space.get(k).is_some())
        .collect();
    match kinds.as_slice() {
        [kind] => {
            if let Some(Err(unusable)) = build::water_space(plant).map(|s| s.check()) {
                faults.add(format!("plant.water_space.{kind}"), unusable.to_string());
            }
        }
        [] => faults.add(
            "plant.water_space",
            "this needs horizontal, vertical or calibrated",
        ),
        _ => faults.add(
            "plant.water_space",
            "this is several shapes at once; keep one",
        ),
    }
}

/// Every id once; every correction of something that is there.
fn targets(entries: &[Tree], faults: &mut Faults) {
    let mut ids = HashSet::new();
    let mut at_time: HashMap<u64, usize> = HashMap::new();
    for (n, entry) in entries.iter().enumerate() {
        if let Some(id) = entry.text("id")
            && !ids.insert(id)
        {
            faults.add(format!("entries[{n}].id"), format!("{id:?} stands twice"));
        }
        if entry.get("corrects").is_none()
            && let Some(t) = entry.number("t_s")
        {
            *at_time.entry(t.to_bits()).or_default() += 1;
        }
    }
    for (n, entry) in entries.iter().enumerate() {
        let place = format!("entries[{n}].corrects");
        match entry.get("corrects") {
            Some(Tree::Text(id)) if !ids.contains(id.as_str()) => {
                faults.add(place, format!("there is no entry with the id {id:?}"));
            }
            Some(Tree::Number(t)) => match at_time.get(&t.value.to_bits()) {
                Some(1) => {}
                Some(n) => faults.add(
                    place,
                    format!("{n} entries stand at {}; name the one by its id", t.text),
                ),
                None => faults.add(place, format!("no entry stands at {}", t.text)),
            },
            _ => {}
        }
    }
}
