//! The procedures that are shipped with each kind of trial: lists to read and do, as data.
//!
//! A list runs from one pause to the next and holds at most nine items. Each item is an order with what should be seen
//! then; a must-see item takes an observation, never a bare tick. What is confirmed before the start stands in
//! [`super::holds`].

mod bench;
mod fire;

use calc::trial::Fuel;

use bench::{AIR, CATCH, HOLD, RAISE, RUN_IN};
use fire::{BLOW_DOWN, BURN, LEVEL_OUT, LIGHT_COAL, LIGHT_ELECTRIC, LIGHT_GAS, LIGHT_SPIRIT};

/// The version of the shipped procedures: written into each trial that is prepared with them.
pub(in crate::trials) const VERSION: &str = "1";

/// What is observed at a must-see item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::trials) enum Observed {
    /// One of these.
    Choice(&'static [&'static str]),
    /// A figure in this unit.
    Figure(&'static str),
}

/// One item.
#[derive(Clone, Copy, Debug)]
pub(in crate::trials) struct Item {
    pub(in crate::trials) does: &'static str,
    pub(in crate::trials) sees: &'static str,
    pub(in crate::trials) must_see: Option<Observed>,
}

/// A list, from one pause to the next.
#[derive(Clone, Copy, Debug)]
pub(in crate::trials) struct List {
    pub(in crate::trials) name: &'static str,
    pub(in crate::trials) title: &'static str,
    pub(in crate::trials) items: &'static [Item],
}

const fn item(does: &'static str, sees: &'static str) -> Item {
    Item {
        does,
        sees,
        must_see: None,
    }
}

const fn see(does: &'static str, sees: &'static str, observed: Observed) -> Item {
    Item {
        does,
        sees,
        must_see: Some(observed),
    }
}

/// The lists that go with a kind of trial, in their order.
pub(in crate::trials) fn lists(kind: &str, fuel: Option<Fuel>) -> Vec<&'static List> {
    let lighting = match fuel {
        Some(Fuel::Spirit) => &LIGHT_SPIRIT,
        Some(Fuel::Coal | Fuel::Charcoal) => &LIGHT_COAL,
        Some(Fuel::Electric) => &LIGHT_ELECTRIC,
        _ => &LIGHT_GAS,
    };
    match kind {
        "hydraulic" => vec![&RAISE, &HOLD],
        "air" => vec![&AIR],
        "safety-valve" => vec![lighting, &LEVEL_OUT],
        "feed-pump" => vec![&CATCH],
        "burner" => vec![lighting, &BURN],
        "engine-run" => vec![&RUN_IN],
        _ => vec![lighting, &BLOW_DOWN],
    }
}

/// A list of a kind by its name.
pub(in crate::trials) fn find(kind: &str, fuel: Option<Fuel>, name: &str) -> Option<&'static List> {
    lists(kind, fuel).into_iter().find(|l| l.name == name)
}

/// What must be so before a trial is closed: its name on the form, its words, and the event that shows it, if one does.
pub(in crate::trials) type ShutDown = (&'static str, &'static str, Option<&'static str>);

/// The shut-down list of a kind.
pub(in crate::trials) fn shut_down(kind: &str, lit: bool) -> Vec<ShutDown> {
    let pressure = (
        "down-pressure",
        "The pressure is gone",
        Some("pressure-released"),
    );
    let look = (
        "down-look",
        "Looked over once more: leaks, scorched paint, loose nuts",
        None,
    );
    let drained = (
        "down-drained",
        "Drained, or filled for standing; frost thought of",
        None,
    );
    match kind {
        "hydraulic" => vec![
            pressure,
            (
                "down-back",
                "What came off for the test is back, or written on the job as off",
                None,
            ),
            drained,
        ],
        "air" => vec![
            pressure,
            (
                "down-supply",
                "The air supply is off and disconnected",
                None,
            ),
        ],
        "feed-pump" | "engine-run" if !lit => vec![pressure, look],
        _ => vec![
            (
                "down-fire",
                "The fire is out, the fuel shut at the tank",
                Some("fire-out"),
            ),
            pressure,
            (
                "down-water",
                "Water is still in the glass, or the boiler was let cool untouched",
                None,
            ),
            drained,
            look,
        ],
    }
}

/// Does this begin with what is to be done?
#[cfg(test)]
pub(in crate::trials) fn is_order(words: &str) -> bool {
    const ORDERS: &[&str] = &[
        "Count", "Empty", "Enter", "Feel", "Fill", "Hold", "Lay", "Let", "Lift", "Light", "Look",
        "Measure", "Oil", "Open", "Point", "Press", "Pump", "Put", "Read", "Run", "See", "Set",
        "Shut", "Soap", "Stand", "Stop", "Take", "Tilt", "Turn", "Wait", "Watch", "Weigh",
    ];
    let first = words.split([' ', ',']).next().unwrap_or_default();
    ORDERS.contains(&first) && words.contains(' ')
}

/// What is wrong with a list; nothing when it is good.
#[cfg(test)]
fn faults(list: &List) -> Vec<String> {
    let mut found = Vec::new();
    if list.items.is_empty() || list.items.len() > super::holds::MOST {
        found.push(format!("{}: {} items", list.name, list.items.len()));
    }
    for item in list.items {
        if !is_order(item.does) {
            found.push(format!("no order: {}", item.does));
        }
        if item.sees.trim().is_empty() {
            found.push(format!("nothing is to be seen: {}", item.does));
        }
        if let Some(Observed::Choice(answers)) = item.must_see
            && answers.len() < 2
        {
            found.push(format!("a bare tick: {}", item.does));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_list_is_short_and_every_item_says_what_to_do_and_see() {
        let fuels = [
            None,
            Some(Fuel::Butane),
            Some(Fuel::Spirit),
            Some(Fuel::Coal),
            Some(Fuel::Electric),
        ];
        for kind in triallog::schema::KINDS {
            for fuel in fuels {
                let lists = lists(kind, fuel);
                assert!(!lists.is_empty(), "{kind}");
                assert_eq!(
                    lists.iter().flat_map(|l| faults(l)).collect::<Vec<_>>(),
                    [""; 0]
                );
                let seen = lists
                    .iter()
                    .flat_map(|l| l.items)
                    .filter(|i| i.must_see.is_some());
                assert!(seen.count() > 0, "{kind} has nothing that must be seen");
            }
        }
    }

    #[test]
    fn a_list_that_is_too_long_or_an_item_without_its_sight_is_refused() {
        const LONG: List = List {
            name: "long",
            title: "",
            items: &[item("Look at it.", "It is there."); 10],
        };
        assert_eq!(faults(&LONG), ["long: 10 items"]);
        const BARE: List = List {
            name: "bare",
            title: "",
            items: &[
                item("Look at it.", " "),
                item("The valve", "it is shut"),
                see("Look at it.", "dry", Observed::Choice(&["yes"])),
            ],
        };
        assert_eq!(faults(&BARE).len(), 3);
    }
}
