//! Hold points of each kind of trial: what to do, then what is confirmed.

use super::holds::{Asks, HoldWords};

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

const fn own(
    name: &'static str,
    short: &'static str,
    does: &'static str,
    sees: &'static str,
    answers: &'static [(&'static str, bool)],
) -> HoldWords {
    HoldWords {
        name,
        short,
        does,
        sees,
        must_see: true,
        asks: Asks::Choice(answers),
    }
}

const fn records(
    name: &'static str,
    short: &'static str,
    does: &'static str,
    sees: &'static str,
) -> HoldWords {
    HoldWords {
        name,
        short,
        does,
        sees,
        must_see: false,
        asks: Asks::Records,
    }
}

const GAUGE: HoldWords = records(
    "gauge-in-date",
    "Pressure gauge in date",
    "See that the pressure gauge is in date and stands at nothing.",
    "Its pointer rests on its stop, cold.",
);
const STAND_CLEAR: HoldWords = own(
    "own-stand-clear",
    "Nobody in line with ends and plugs",
    "Stand to one side of ends, plugs and hoses, and keep others there.",
    "Nobody is in line with anything that could fly.",
    &[
        ("Everybody stands to one side", true),
        ("Somebody is in the way", false),
    ],
);

/// Before water is pumped into a shell.
pub(super) const HYDRAULIC: &[HoldWords] = &[
    HoldWords {
        name: "own-measured",
        short: "Measured before",
        does: "Measure the shell across and between its stays, and write it down.",
        sees: "A figure to measure against when the pressure is gone.",
        must_see: true,
        asks: Asks::Words,
    },
    own(
        "valve-and-glass-off",
        "Valve, glass and gauge off, bushes plugged",
        "Take off safety valve, glass and its own gauge, and plug every bush.",
        "Every bush has its plug; what is off is written on the job.",
        &[
            ("All off, every bush plugged", true),
            ("Something could not come off", false),
        ],
    ),
    GAUGE,
    own(
        "own-stood-full",
        "Water and shell stood together",
        "Fill it with clean water and let both stand half an hour.",
        "Water and shell come to one temperature: a kelvin is worth two bar.",
        &[
            ("They stood half an hour or more", true),
            ("It was filled just now", false),
        ],
    ),
    own(
        "vented",
        "Vented at the highest point",
        "Tilt it and vent it at the highest point.",
        "Water comes without a bubble.",
        &[
            ("Water without a bubble", true),
            ("Bubbles still come", false),
        ],
    ),
    own(
        "own-pump-shuts-off",
        "Pump can be shut off",
        "Shut the valve between pump and boiler, and open it again.",
        "It shuts: its check valve must not be what holds.",
        &[
            ("It shuts off", true),
            ("There is none, or it does not shut", false),
        ],
    ),
    STAND_CLEAR,
];

/// Before air is let into anything.
pub(super) const AIR: &[HoldWords] = &[
    records(
        "hydraulic-in-date",
        "Water test in date",
        "See that it passed a hydraulic test, in date and since the last structural work.",
        "Date and pressure are in the trial's head.",
    ),
    GAUGE,
    own(
        "own-relief-set",
        "Regulator and relief set",
        "Set the regulator under the cap and its relief a tenth over it.",
        "The relief blows where it should; no shop line straight to the boiler.",
        &[
            ("The relief blows where it should", true),
            ("There is no relief, or it does not blow", false),
        ],
    ),
    own(
        "shield-up",
        "Shield up",
        "Put the shield between it and you.",
        "Nothing that flies off can reach you.",
        &[("It stands", true), ("There is none", false)],
    ),
    STAND_CLEAR,
];

const TANK: HoldWords = HoldWords {
    name: "tank-filled",
    short: "Feed tank filled",
    does: "Fill the feed tank.",
    sees: "It is full of clean water.",
    must_see: false,
    asks: Asks::Choice(&[("It is full", true), ("It is not full", false)]),
};

/// Before a pump is measured.
pub(super) const FEED_PUMP: &[HoldWords] = &[
    TANK,
    GAUGE,
    own(
        "own-catch-against-pressure",
        "Catch through a needle valve",
        "Set a needle valve so that the pump works against the boiler's pressure, and a measure under it.",
        "The gauge at the pump stands at working pressure while it delivers.",
        &[
            ("It delivers against working pressure", true),
            ("Only an open pipe can be caught", false),
        ],
    ),
    own(
        "own-primed",
        "Primed",
        "Pump until no air comes.",
        "Water comes without spitting.",
        &[("Water without air", true), ("It spits", false)],
    ),
];

/// Before a burner is tried by itself.
pub(super) const BURNER: &[HoldWords] = &[
    own(
        "own-filled-outside",
        "Fuel filled outside",
        "Fill the fuel outside, away from any flame, to four fifths and no more.",
        "The filler is dry and shut, and the vapour has cleared.",
        &[
            ("Filled, dry and shut", true),
            ("It leaks or was overfilled", false),
        ],
    ),
    own(
        "own-water-over-burner",
        "Water in what it heats",
        "See that there is water in the boiler over the burner, or no boiler at all.",
        "The glass shows it.",
        &[
            ("Water stands over the low mark", true),
            ("There is no boiler over it", true),
            ("The water is not seen", false),
        ],
    ),
    own(
        "own-flue-clear",
        "Flue clear",
        "Look through flue and air holes.",
        "Nothing in the way of air or gases.",
        &[("Clear", true), ("Something is in the way", false)],
    ),
];

/// Before an engine is run.
pub(super) const ENGINE_RUN: &[HoldWords] = &[
    own(
        "turned-by-hand",
        "Engine turned by hand",
        "Turn the engine once round by hand.",
        "It goes round freely.",
        &[
            ("It goes round freely", true),
            ("It is tight or stops", false),
        ],
    ),
    own(
        "own-oiled",
        "Oiled",
        "Oil bearings and motion, and fill the lubricator with steam oil.",
        "Oil shows at every bearing.",
        &[
            ("Oil at every bearing", true),
            ("One would not take oil", false),
        ],
    ),
    own(
        "drains-open",
        "Cylinder drains open",
        "Open the cylinders' drain cocks.",
        "They stand open: water cannot be compressed.",
        &[("They are open", true), ("They cannot be opened", false)],
    ),
    own(
        "own-guarded",
        "Flywheel guarded",
        "Put the guard over crank and flywheel, and clear the bench.",
        "No sleeve, rag or finger can reach them.",
        &[("Guarded", true), ("There is no guard", false)],
    ),
];
