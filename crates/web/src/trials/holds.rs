//! Hold points in words: what is to be done, what should be seen, and the answers that can be given.

/// How a hold point is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    /// One of these; the first signs it, the others are kept as seen and do not.
    Choice(&'static [(&'static str, bool)]),
    /// A level in mm.
    Level,
    /// The workshop's own records answer it.
    Records,
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

/// Every hold point that a steam trial can have, in the order they are gone through.
pub(super) const STEAM: &[HoldWords] = &[
    HoldWords {
        name: "temporary-states-ended",
        short: "Nothing off, plugged or tied for now",
        does: "See that nothing is off, plugged, tied or borrowed that steam needs.",
        sees: "Valve, glass and gauge are their own and in their places.",
        must_see: false,
        asks: Asks::Records,
    },
    HoldWords {
        name: "no-steam-clear",
        short: "No bar against steam stands",
        does: "See that no defect with the bar no steam stands.",
        sees: "The job's defects say so.",
        must_see: false,
        asks: Asks::Records,
    },
    HoldWords {
        name: "hydraulic-in-date",
        short: "Water test in date",
        does: "See that the boiler passed a hydraulic test, in date and since the last structural work.",
        sees: "Date and pressure are in the trial's head.",
        must_see: false,
        asks: Asks::Records,
    },
    HoldWords {
        name: "gauge-in-date",
        short: "Pressure gauge in date",
        does: "See that the pressure gauge is in date and stands at nothing.",
        sees: "Its pointer rests on its stop, cold.",
        must_see: false,
        asks: Asks::Records,
    },
    HoldWords {
        name: "co-alarm-on",
        short: "CO alarm on, beside me",
        does: "Press the test button of the CO alarm and set it beside you.",
        sees: "It shouts.",
        must_see: true,
        asks: Asks::Choice(&[
            ("It shouted; it stands beside me", true),
            ("It was silent, or there is none", false),
        ]),
    },
    HoldWords {
        name: "gas-joints-soaped",
        short: "Gas joints soaped",
        does: "Open the gas, burner shut, and soap every joint.",
        sees: "No bubble grows. Never look with a flame.",
        must_see: true,
        asks: Asks::Choice(&[("No bubbles", true), ("A joint bubbles", false)]),
    },
    HoldWords {
        name: "safety-valve-tried",
        short: "Safety valve tried",
        does: "Lift the safety valve by its lever, and let go.",
        sees: "It should lift freely and drop back dry.",
        must_see: true,
        asks: Asks::Choice(&[
            ("It lifted freely and dropped back", true),
            ("It was stiff, or came back slowly", false),
            ("It did not lift", false),
        ]),
    },
    HoldWords {
        name: "glass-blown-through",
        short: "Glass blown through",
        does: "Open each cock of the glass in turn.",
        sees: "Each way is clear, and the water comes back smartly.",
        must_see: true,
        asks: Asks::Choice(&[
            ("Both ways clear, water back at once", true),
            ("One way is blocked or slow", false),
        ]),
    },
    HoldWords {
        name: "water-in-glass-seen",
        short: "Water seen in the glass",
        does: "See the water in the glass, and say how high it stands.",
        sees: "It moves when the plant is tilted.",
        must_see: true,
        asks: Asks::Level,
    },
    HoldWords {
        name: "drains-open",
        short: "Cylinder drains open",
        does: "Open the cylinders' drain cocks.",
        sees: "Water cannot be compressed.",
        must_see: false,
        asks: Asks::Choice(&[("They are open", true), ("They cannot be opened", false)]),
    },
    HoldWords {
        name: "turned-by-hand",
        short: "Engine turned by hand",
        does: "Turn the engine once round by hand.",
        sees: "It goes round freely.",
        must_see: true,
        asks: Asks::Choice(&[
            ("It goes round freely", true),
            ("It is tight or stops", false),
        ]),
    },
    HoldWords {
        name: "tank-filled",
        short: "Feed tank filled",
        does: "Fill the feed tank.",
        sees: "It is full of clean water.",
        must_see: false,
        asks: Asks::Choice(&[("It is full", true), ("It is not full", false)]),
    },
];

/// A hold point by its name; the workshop's own ones (`own-…`) are asked as they are written.
pub(super) fn find(name: &str) -> Option<&'static HoldWords> {
    STEAM.iter().find(|h| h.name == name)
}

/// What a hold point is called on a page.
pub(super) fn short(name: &str) -> String {
    find(name).map_or_else(
        || name.strip_prefix("own-").unwrap_or(name).replace('-', " "),
        |h| h.short.to_owned(),
    )
}

/// Is it on the list of a new steam trial, for this fuel?
pub(super) fn usual(name: &str, gas: bool) -> bool {
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

    #[test]
    fn the_usual_list_is_not_longer_than_a_hand_can_go_through() {
        for gas in [true, false] {
            assert!(STEAM.iter().filter(|h| usual(h.name, gas)).count() <= MOST);
        }
    }

    #[test]
    fn every_must_see_item_takes_an_observation_and_not_a_tick() {
        for hold in STEAM.iter().filter(|h| h.must_see) {
            match hold.asks {
                Asks::Choice(answers) => {
                    assert!(answers.len() >= 2, "{}", hold.name);
                    assert_eq!(
                        answers.iter().filter(|(_, good)| *good).count(),
                        1,
                        "{}",
                        hold.name
                    );
                }
                Asks::Level => {}
                Asks::Records => panic!("{} takes no observation", hold.name),
            }
        }
    }
}
