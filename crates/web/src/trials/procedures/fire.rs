//! Lists with a fire in them: lighting up, blow-down, the levelled-out test of the safety valve, burning.

use super::{List, Observed, item, see};

const FLAME: Observed = Observed::Choice(&["blue and steady", "yellow or lifting", "went out"]);
pub(super) const LIGHT_GAS: List = List {
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
pub(super) const LIGHT_SPIRIT: List = List {
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
pub(super) const LIGHT_COAL: List = List {
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
pub(super) const LIGHT_ELECTRIC: List = List {
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
pub(super) const BLOW_DOWN: List = List {
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
pub(super) const LEVEL_OUT: List = List {
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
pub(super) const BURN: List = List {
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
