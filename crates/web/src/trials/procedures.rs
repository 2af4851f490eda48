//! The procedures that are shipped with each kind of trial: lists to read and do, as data.
//!
//! A list runs from one pause to the next and holds at most nine items. Each item is an order with what should be seen
//! then; a must-see item takes an observation, never a bare tick. What is confirmed before the start stands in
//! [`super::holds`].

use calc::trial::Fuel;

/// The version of the shipped procedures: written into each trial that is prepared with them.
pub(super) const VERSION: &str = "1";

/// What is observed at a must-see item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Observed {
    /// One of these.
    Choice(&'static [&'static str]),
    /// A figure in this unit.
    Figure(&'static str),
}

/// One item.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    pub(super) does: &'static str,
    pub(super) sees: &'static str,
    pub(super) must_see: Option<Observed>,
}

/// A list, from one pause to the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct List {
    pub(super) name: &'static str,
    pub(super) title: &'static str,
    pub(super) items: &'static [Item],
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

const FLAME: Observed = Observed::Choice(&["blue and steady", "yellow or lifting", "went out"]);
const DRY: Observed = Observed::Choice(&[
    "dry everywhere",
    "a weep at a fitting",
    "a weep at a seam or the shell",
]);

const LIGHT_GAS: List = List {
    name: "lighting-up",
    title: "Lighting up, gas",
    items: &[
        item(
            "See that the room or yard is free of gas.",
            "No smell low down; the CO alarm reads 0.",
        ),
        item(
            "Hold the flame at the burner first.",
            "A match or lighter burns there.",
        ),
        item(
            "Open the gas slowly, at the burner.",
            "It catches at once and does not run back.",
        ),
        see(
            "Look at the flame.",
            "It burns blue, steady and all over.",
            FLAME,
        ),
        item("Enter “fire lit”.", "The clock of the trial runs."),
        item(
            "Read gas, air and glass within five minutes.",
            "Gas weighed, CO low, water where it was.",
        ),
    ],
};
const LIGHT_SPIRIT: List = List {
    name: "lighting-up",
    title: "Lighting up, spirit",
    items: &[
        item(
            "Fill the burner cold and wipe it dry.",
            "Nothing spilt; the can is shut and far away.",
        ),
        item(
            "Light one wick.",
            "It burns; the flame can hardly be seen by day.",
        ),
        see(
            "Look at the flame with a hand's shade over it.",
            "All wicks burn alike.",
            FLAME,
        ),
        item("Enter “fire lit”.", "The clock of the trial runs."),
        item(
            "Read air and glass within five minutes.",
            "CO low, water where it was.",
        ),
    ],
};
const LIGHT_COAL: List = List {
    name: "lighting-up",
    title: "Lighting up, coal or charcoal",
    items: &[
        item("Open damper and ash pan.", "Air goes through the grate."),
        item(
            "Lay the fire thin and light it.",
            "It draws up the flue, not out of the door.",
        ),
        item(
            "Open the blower as soon as there is something to blow.",
            "The smoke clears.",
        ),
        see(
            "Look at the fire.",
            "It burns through, bright from below.",
            Observed::Choice(&["bright all over", "dull or smoking", "went out"]),
        ),
        item("Enter “fire lit”.", "The clock of the trial runs."),
        item(
            "Read air and glass within five minutes.",
            "CO low, water where it was.",
        ),
    ],
};
const LIGHT_ELECTRIC: List = List {
    name: "lighting-up",
    title: "Switching on",
    items: &[
        see(
            "See the water over the element.",
            "The glass shows it over the low mark.",
            Observed::Figure("mm"),
        ),
        item(
            "Put the plug in, with a protective switch before it.",
            "The pilot lamp burns, no switch trips.",
        ),
        item("Enter “fire lit”.", "The clock of the trial runs."),
        item("Read the glass within five minutes.", "Water where it was."),
    ],
};
const BLOW_DOWN: List = List {
    name: "blow-down",
    title: "Blow-down",
    items: &[
        item(
            "See the water well over the low mark.",
            "At least half a glass.",
        ),
        item(
            "Point the pipe where nobody stands.",
            "Nobody in front of it.",
        ),
        item(
            "Enter “blow-down”, and open the cock slowly.",
            "Water and mud come, not steam.",
        ),
        item("Watch the glass, not the pipe.", "It falls evenly."),
        item(
            "Shut the cock while you still see water.",
            "It shuts, and the pipe stops.",
        ),
        see(
            "Read the glass and enter “blow-down ended”.",
            "Still over the low mark.",
            Observed::Figure("mm"),
        ),
    ],
};
const RAISE: List = List {
    name: "raising-by-stages",
    title: "Raising by stages",
    items: &[
        item(
            "Pump to a quarter of the target.",
            "The gauge follows each stroke.",
        ),
        item(
            "Stop there and enter pressure and what was pumped.",
            "The pointer stands.",
        ),
        see(
            "Look at every joint, plug and stay.",
            "Dry everywhere.",
            DRY,
        ),
        item(
            "Pump to a half, then to three quarters, and look each time.",
            "Each stage takes about as much as the last.",
        ),
        item(
            "Pump the last quarter slowly.",
            "Not over the target by more than the limit.",
        ),
        see(
            "Shut the pump off from the boiler.",
            "The pointer stands still.",
            Observed::Choice(&["it stands", "it sinks"]),
        ),
        item(
            "Read pressure and water temperature, then enter “hold started”.",
            "The countdown runs.",
        ),
    ],
};
const HOLD: List = List {
    name: "hold-and-let-down",
    title: "Hold, and let down",
    items: &[
        item(
            "Read pressure and water temperature every five minutes.",
            "Both on the same gauge and thermometer.",
        ),
        see(
            "Look at every joint, plug and stay from one side.",
            "Dry everywhere.",
            DRY,
        ),
        item(
            "Read both once more, then enter “hold ended”.",
            "The full time has gone by.",
        ),
        item(
            "Let the pressure down by the valve made for it.",
            "The pointer comes back to its stop.",
        ),
        see(
            "Measure the shell where you measured before.",
            "The same figures.",
            Observed::Figure("% grown"),
        ),
        item(
            "Put valve, glass and gauge back before any fire.",
            "What was off is ticked off on the job.",
        ),
    ],
};
const AIR: List = List {
    name: "air-test",
    title: "Air, hold and soap",
    items: &[
        item(
            "Open the regulator slowly, standing to one side.",
            "Not over the cap.",
        ),
        item("Shut the air off.", "The pointer stands."),
        item(
            "Read pressure and temperature, then enter “hold started”.",
            "The countdown runs.",
        ),
        see(
            "Soap every joint.",
            "No bubble grows.",
            Observed::Choice(&[
                "no bubble",
                "bubbles at a fitting or gland",
                "bubbles at a seam or the shell",
            ]),
        ),
        item(
            "Read pressure and temperature again, then enter “hold ended”.",
            "On the same gauge and thermometer.",
        ),
        item("Let the air out.", "The pointer comes back to its stop."),
    ],
};
const LEVEL_OUT: List = List {
    name: "levelled-out",
    title: "Whole fire, everything shut",
    items: &[
        item(
            "See a third to a half of the glass full.",
            "The water is in sight and stays so.",
        ),
        item(
            "Shut stop valve and feed.",
            "No steam is taken, no water comes.",
        ),
        item("Put the whole fire on.", "The pressure rises steadily."),
        item(
            "Enter “valve lifted” as it lifts, with the pressure.",
            "It lifts at working pressure.",
        ),
        item(
            "Read the pressure every 15 s while it blows.",
            "It rises a little and stands.",
        ),
        see(
            "Wait five minutes of blowing and three readings alike.",
            "The pressure stands level.",
            Observed::Choice(&["it stands level", "it still rises"]),
        ),
        item(
            "Put the fire out and watch it shut.",
            "It shuts cleanly, a little under its lift.",
        ),
        item(
            "Enter “valve shut again”, with the pressure.",
            "No steam at the valve.",
        ),
    ],
};
const CATCH: List = List {
    name: "catch",
    title: "Catch against pressure",
    items: &[
        item(
            "Set the needle valve until the gauge stands at working pressure.",
            "It stands there while the pump works.",
        ),
        item(
            "Empty the measure and start the watch together.",
            "The first stroke falls in the measure.",
        ),
        item(
            "Count strokes for a minute at least, twenty at least.",
            "They are even.",
        ),
        see(
            "Read the measure and the watch.",
            "Enough to be read to a twentieth.",
            Observed::Figure("ml"),
        ),
        item(
            "Enter pressure, strokes, catch and seconds as one reading.",
            "Delivery and slip stand among the figures.",
        ),
    ],
};
const BURN: List = List {
    name: "burn",
    title: "Burning a quarter of an hour",
    items: &[
        item(
            "Weigh the tank as the flame stands.",
            "A figure to begin from.",
        ),
        item(
            "Read carbon monoxide every four minutes beside you.",
            "Low, and not rising.",
        ),
        see(
            "Read CO and CO₂ in the flue, three minutes apart.",
            "Carbon dioxide over 2 %.",
            Observed::Figure("ppm"),
        ),
        see(
            "Look at the flame every five minutes.",
            "As it was when lit.",
            FLAME,
        ),
        item(
            "Weigh the tank again before putting it out.",
            "What it used a minute is among the figures.",
        ),
    ],
};
const RUN_IN: List = List {
    name: "running-in",
    title: "Running in",
    items: &[
        item(
            "Run it slowly without load, ten minutes.",
            "It goes round evenly; water leaves the drains.",
        ),
        item("Shut the drains when only steam or air comes.", "No knock."),
        item(
            "Count its turns and enter them.",
            "Under the limit of piston speed.",
        ),
        see(
            "Feel each bearing, then measure the warmest.",
            "Not over 60 °C.",
            Observed::Figure("°C"),
        ),
        see(
            "Look at every gland.",
            "Dry, or a drop now and then.",
            Observed::Choice(&["glands dry", "a gland drips", "a gland blows"]),
        ),
        item(
            "Run it three times twenty minutes, faster each time.",
            "At one setting its turns rise, then level.",
        ),
    ],
};

/// The lists that go with a kind of trial, in their order.
pub(super) fn lists(kind: &str, fuel: Option<Fuel>) -> Vec<&'static List> {
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
pub(super) fn find(kind: &str, fuel: Option<Fuel>, name: &str) -> Option<&'static List> {
    lists(kind, fuel).into_iter().find(|l| l.name == name)
}

/// What must be so before a trial is closed: its name on the form, its words, and the event that shows it, if one does.
pub(super) type ShutDown = (&'static str, &'static str, Option<&'static str>);

/// The shut-down list of a kind.
pub(super) fn shut_down(kind: &str, lit: bool) -> Vec<ShutDown> {
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
pub(super) fn is_order(words: &str) -> bool {
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
