//! Hold points in words: what is to be done, what should be seen, and the answers that can be given.

pub(super) use super::hold_words::STEAM;
use super::hold_words::{AIR, BURNER, ENGINE_RUN, FEED_PUMP, HYDRAULIC};

/// How a hold point is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    /// One of these; the first signs it, the others are kept as seen and do not.
    Choice(&'static [(&'static str, bool)]),
    /// A level in mm.
    Level,
    /// The workshop's own records answer it.
    Records,
    /// What was seen, in words or figures.
    Words,
}

/// One hold point in words.
#[derive(Clone, Copy, Debug)]
pub(super) struct HoldWords {
    pub(super) name: &'static str,
    pub(super) short: &'static str,
    pub(super) does: &'static str,
    pub(super) sees: &'static str,
    pub(super) must_see: bool,
    pub(super) asks: Asks,
}

/// The hold points of a kind of trial, in the order they are gone through; a kind that may be in steam has those of a
/// steam trial after its own.
pub(super) fn of(kind: &str) -> Vec<&'static HoldWords> {
    let own: &[HoldWords] = match kind {
        "hydraulic" => HYDRAULIC,
        "air" => AIR,
        "feed-pump" => FEED_PUMP,
        "burner" => BURNER,
        "engine-run" => ENGINE_RUN,
        _ => &[],
    };
    let mut all: Vec<&'static HoldWords> = own.iter().collect();
    if !matches!(kind, "hydraulic" | "air") {
        let more = STEAM
            .iter()
            .filter(|h| !own.iter().any(|o| o.name == h.name));
        all.extend(more);
    }
    all
}

/// A hold point by its name; the workshop's own ones (`own-…`) are asked as they are written.
pub(super) fn find(name: &str) -> Option<&'static HoldWords> {
    let all = [STEAM, HYDRAULIC, AIR, FEED_PUMP, BURNER, ENGINE_RUN];
    all.into_iter().flatten().find(|h| h.name == name)
}

/// What a hold point is called on a page.
pub(super) fn short(name: &str) -> String {
    if let Some((list, n)) = super::in_order::named(name) {
        return format!("{}, item {n}", list.replace('-', " "));
    }
    find(name).map_or_else(
        || name.strip_prefix("own-").unwrap_or(name).replace('-', " "),
        |h| h.short.to_owned(),
    )
}

/// Is it on the list of a new trial of this kind, for this fuel?
pub(super) fn usual(kind: &str, name: &str, gas: bool) -> bool {
    let own = |all: &[HoldWords]| all.iter().any(|h| h.name == name);
    match kind {
        "hydraulic" => return own(HYDRAULIC),
        "air" => return own(AIR),
        "feed-pump" => return own(FEED_PUMP),
        "burner" => {
            return own(BURNER) || name == "co-alarm-on" || (gas && name == "gas-joints-soaped");
        }
        "engine-run" => return own(ENGINE_RUN),
        _ => {}
    }
    match name {
        "gas-joints-soaped" => gas,
        "drains-open" => !gas,
        "turned-by-hand" | "tank-filled" => false,
        _ => true,
    }
}

/// The most a list may hold before a pause.
pub(super) const MOST: usize = 9;

#[cfg(test)]
mod tests {
    use super::*;

    const KINDS: [&str; 7] = [
        "steam",
        "hydraulic",
        "air",
        "safety-valve",
        "feed-pump",
        "burner",
        "engine-run",
    ];

    #[test]
    fn the_usual_list_is_not_longer_than_a_hand_can_go_through() {
        for kind in KINDS {
            for gas in [true, false] {
                let usual = of(kind).into_iter().filter(|h| usual(kind, h.name, gas));
                assert!((1..=MOST).contains(&usual.count()), "{kind}");
            }
        }
    }

    #[test]
    fn every_must_see_item_takes_an_observation_and_not_a_tick() {
        for kind in KINDS {
            for hold in of(kind).into_iter().filter(|h| h.must_see) {
                match hold.asks {
                    Asks::Choice(answers) => {
                        assert!(answers.len() >= 2, "{}", hold.name);
                        let good = answers.iter().filter(|(_, good)| *good).count();
                        assert!(good >= 1 && good < answers.len(), "{}", hold.name);
                    }
                    Asks::Level | Asks::Words => {}
                    Asks::Records => panic!("{} takes no observation", hold.name),
                }
            }
        }
    }

    #[test]
    fn every_hold_point_says_what_to_do_and_what_is_to_be_seen() {
        for kind in KINDS {
            for hold in of(kind) {
                assert!(
                    super::super::procedures::is_order(hold.does),
                    "{}",
                    hold.does
                );
                assert!(!hold.sees.is_empty(), "{}", hold.name);
                let known = triallog::schema::HOLD_POINTS.contains(&hold.name);
                assert!(known || hold.name.starts_with("own-"), "{}", hold.name);
            }
        }
    }
}
