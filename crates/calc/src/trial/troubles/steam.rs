//! Over-full water that carries over; gauge and safety valve that disagree.

use super::{Bar, Sign, TRADE, Trouble};
use crate::show;
use crate::trial::Rule;

pub(super) const TABLE: &[Trouble] = &[
    Trouble {
        name: "over-filled",
        sign: Sign::OverFull,
        is: "Filled too high for the swell",
        tells: "The cold level: water swells by a tenth from cold to 4 bar.",
        check: "Read the level cold and at pressure.",
        remedy: "Begin lower; stop the feed at the high mark.",
        source: "IAPWS-IF97 (density of hot water)",
        bar: Bar::Watch,
        shows: |log| {
            log.facts
                .water
                .over_mark
                .then(|| (8, "The water stands over the high mark.".to_owned()))
        },
    },
    Trouble {
        name: "dirty-water-primes",
        sign: Sign::OverFull,
        is: "Dirty or oily water foams",
        tells: "It carries over with the level under the high mark.",
        check: "Draw a cup from the blow-down: froth, oil, colour.",
        remedy: "Blow down, flush with clean water, find where the oil comes from.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            let water = &log.facts.water;
            let words = "Water carried over, and the level is not over the high mark.";
            (water.carry_over && !water.over_mark).then(|| (9, words.to_owned()))
        },
    },
    Trouble {
        name: "steam-taken-too-fast",
        sign: Sign::OverFull,
        is: "Steam is taken too suddenly",
        tells: "Pressure in the half minute after the stop valve is opened.",
        check: "Open it slowly, drains open, and read the pressure each 10 s.",
        remedy: "Open slowly; a drier or a higher take-off.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| {
            (log.facts.water.carry_over && log.facts.steam_taken())
                .then(|| (5, "Water carried over while steam was taken.".to_owned()))
        },
    },
    Trouble {
        name: "bypass-feeds-too-much",
        sign: Sign::OverFull,
        is: "A geared pump gives more than is used",
        tells: "Catch in a minute against evaporation: axle pumps commonly give twice.",
        check: "Catch a minute at running speed.",
        remedy: "Set the bypass; write its setting in the operating notes.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| {
            let geared = log
                .facts
                .setup
                .trial
                .plant
                .feed_drive
                .is_some_and(crate::trial::Drive::goes_with_engine);
            geared
                .then(|| (4, "The pump goes with the engine.".to_owned()))
                .or_else(|| Some((0, String::new())))
        },
    },
    Trouble {
        name: "gauge-reads-wrong",
        sign: Sign::GaugeAndValve,
        is: "The gauge reads wrong",
        tells: "The plant's gauge beside a test gauge, up and down.",
        check: "Compare both at five pressures, rising and falling.",
        remedy: "Have it set, or another gauge; write its error down.",
        source: "EN 837-1 class as limit of error (JCGM 100)",
        bar: Bar::NoSteam,
        shows: |log| {
            log.flagged(Rule::GaugesDisagree)
                .map(|_| (10, "The two gauges differ.".to_owned()))
        },
    },
    Trouble {
        name: "valve-set-wrong",
        sign: Sign::GaugeAndValve,
        is: "The safety valve is set wrong",
        tells: "Lift by a gauge of known class against working pressure: within 3 % or 0.1 bar.",
        check: "Lift it three times on a test gauge, cold water or steam, and write each down.",
        remedy: "Set by whoever answers for it, then sealed; never above working pressure.",
        source: "ISO 4126-1:2013 Amd 1",
        bar: Bar::NoSteam,
        shows: |log| {
            let off = log.lifted_off_by()?;
            let way = if off > 0.0 { "over" } else { "under" };
            let bar = show::fixed(off.abs(), 2);
            Some((9, format!("It lifted {bar} bar {way} its setting.")))
        },
    },
    Trouble {
        name: "valve-stuck",
        sign: Sign::GaugeAndValve,
        is: "The safety valve sticks",
        tells: "Pressure at a second lift against the first: a stuck valve opens late once.",
        check: "Cold: lift it by hand, look at stem, ball and seat for lime.",
        remedy: "Clean it, free stem, new ball; tried again before any fire.",
        source: TRADE,
        bar: Bar::NoSteam,
        shows: |log| {
            log.flagged(Rule::SafetyValveSilent)
                .map(|_| (10, "It was silent over its setting.".to_owned()))
        },
    },
    Trouble {
        name: "valve-does-not-seat",
        sign: Sign::GaugeAndValve,
        is: "The safety valve does not seat",
        tells: "Reseating pressure: more than 15 % under the lift, or weeping under 90 %.",
        check: "Read lift and reseat; look at the seat with a glass.",
        remedy: "Lap the seat, new ball or disc, spring not coil-bound.",
        source: "ISO 4126-1:2013 Amd 1 (blowdown 2 to 15 %)",
        bar: Bar::NoHandover,
        shows: |log| {
            log.flagged(Rule::ValveNotReseating).map(|_| {
                (
                    9,
                    "It lifted and had not shut at 80 % of its setting.".to_owned(),
                )
            })
        },
    },
];
