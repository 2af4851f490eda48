//! A hold point that was signed is void when what it covers changes before the fire: the log says so in an entry of its
//! own, and it has to be signed again.

use records::log::{self, Stored};
use records::{Error, Store, Write, sha256};

use super::entries::place_in;
use super::load::Judged;
use super::logbook::Held;
use super::own_entry::keyed;
use super::tree::{Tree, quoted};

/// How the reason of such an entry begins.
pub(super) const VOID: &str = "void: ";

/// What can be adjusted or changed, in the words of the page, and the hold points that cover it.
pub(super) const ADJUSTED: &[(&str, &[&str])] = &[
    ("the safety valve", &["safety-valve-tried"]),
    ("the pressure gauge", &["gauge-in-date"]),
    (
        "the water glass or its cocks",
        &["glass-blown-through", "water-in-glass-seen"],
    ),
    ("the burner or a gas joint", &["gas-joints-soaped"]),
    ("a joint or fitting of the boiler", &["hydraulic-in-date"]),
    ("the feed pump or its tank", &["tank-filled"]),
    ("the engine", &["turned-by-hand", "drains-open"]),
];

/// The hold points that an entry makes void.
fn covers(entry: &Tree) -> Vec<&'static str> {
    let (event, place) = (entry.typed_at("event"), entry.typed_at("where"));
    match (event.as_str(), place.as_str()) {
        ("adjusted", _) => {
            let what = entry.typed_at("what");
            let found = ADJUSTED.iter().find(|(words, _)| what.starts_with(words));
            found.map_or_else(Vec::new, |(_, holds)| holds.to_vec())
        }
        ("leak-seen", "gas") => vec!["gas-joints-soaped"],
        ("leak-seen", "seam" | "shell") => vec!["hydraulic-in-date"],
        ("tank-empty", _) => vec!["tank-filled"],
        ("drains-shut", _) => vec!["drains-open"],
        ("blow-down" | "water-added", _) => vec!["water-in-glass-seen"],
        _ => Vec::new(),
    }
}

/// Makes void what a new entry has changed, within the transaction that keeps it.
pub(super) async fn after(w: &mut Write, store: &Store, kept: &Stored) -> Result<(), Error> {
    let entry = Tree::read(&kept.text).map_err(|e| Error::Damaged(e.to_string()))?;
    let covers = covers(&entry);
    if covers.is_empty() || kept.again {
        return Ok(());
    }
    let trial = Judged::load(store, kept.trial).await?;
    if trial.judged.now.hot {
        return Ok(());
    }
    let what = entry.typed_at("what");
    let event = super::events::words(&entry.typed_at("event"));
    let why = format!("{VOID}{event} {what}");
    for name in covers {
        if !matches!(trial.log.held(name), Held::Signed { .. }) {
            continue;
        }
        let fields = format!(
            "\"check\":{},\"done\":false,\"reason\":{}",
            quoted(name),
            quoted(why.trim_end())
        );
        let key = sha256(format!("{} makes void {name}", kept.hash).as_bytes())
            .chars()
            .take(32)
            .collect();
        let (sent, coming) = keyed(kept.trial, key, fields);
        log::append_in(w, &sent, move |place| place_in(place, coming)).await?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_changed_names_the_hold_points_that_cover_it() {
        let of = |text: &str| covers(&Tree::read(text).unwrap());
        assert_eq!(
            of(r#"{"event":"adjusted","what":"the pressure gauge: another one"}"#),
            ["gauge-in-date"]
        );
        assert_eq!(
            of(r#"{"event":"leak-seen","where":"gas"}"#),
            ["gas-joints-soaped"]
        );
        assert!(of(r#"{"event":"feed-on"}"#).is_empty());
        assert!(of(r#"{"event":"adjusted","what":"the whistle"}"#).is_empty());
    }

    #[test]
    fn every_hold_point_that_can_be_void_is_one() {
        for (_, holds) in ADJUSTED {
            for name in *holds {
                assert!(super::super::holds::find(name).is_some(), "{name}");
            }
        }
    }
}
