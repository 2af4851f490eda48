//! Lists without a fire: shells under water and air, the pump's catch, running in.

use super::{List, Observed, item, see};

const DRY: Observed = Observed::Choice(&[
    "dry everywhere",
    "a weep at a fitting",
    "a weep at a seam or the shell",
]);

pub(super) const RAISE: List = List {
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
pub(super) const HOLD: List = List {
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
pub(super) const AIR: List = List {
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
pub(super) const CATCH: List = List {
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
pub(super) const RUN_IN: List = List {
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
