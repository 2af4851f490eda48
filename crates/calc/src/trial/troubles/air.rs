//! The burner is unsteady or the air about it is bad; the pressure will not rise.

use super::{Bar, Sign, TRADE, Trouble};
use crate::show;
use crate::trial::{LeakAt, Rule};

/// A gas tank this cold gives little pressure, °C.
const COLD_C: f64 = 8.0;
/// Gas by the scale may be off what the jet should pass by this share.
const JET_SHARE: f64 = 0.2;

fn cold_tank(log: &super::Log<'_>) -> Option<(u32, String)> {
    let c = log.tank_c().filter(|c| *c <= COLD_C)?;
    Some((
        9,
        format!("The tank came down to {} °C.", show::fixed(c, 0)),
    ))
}

fn jet_off(log: &super::Log<'_>, over: bool) -> Option<(u32, String)> {
    let ratio = log.gas_over_jet()?;
    let off = if over {
        ratio > 1.0 + JET_SHARE
    } else {
        ratio < 1.0 - JET_SHARE
    };
    off.then(|| {
        let words = format!(
            "By the scale it used {} times what the jet should pass.",
            show::fixed(ratio, 2)
        );
        (9, words)
    })
}

pub(super) const TABLE: &[Trouble] = &[
    Trouble {
        name: "jet-against-its-bore",
        sign: Sign::BurnerOrAir,
        is: "The jet is not what it should be",
        tells: "Gas used by the scale over a few minutes against what bore and pressure should pass.",
        check: "Weigh the tank over five minutes; look through the jet against the light.",
        remedy: "A new jet of the right bore; a worn or drilled one passes too much.",
        source: "Flow through a jet; discharge 0.80 trade practice",
        bar: Bar::NoSteam,
        shows: |log| jet_off(log, true).or_else(|| jet_off(log, false)),
    },
    Trouble {
        name: "air-holes-of-the-burner",
        sign: Sign::BurnerOrAir,
        is: "Too little air at the burner",
        tells: "CO/CO₂ over 0.004 in the flue while the gas used is right.",
        check: "Look at the air holes and the mixing tube; sample the flue with them wider.",
        remedy: "Clean or open the air holes; the jet in the middle of its tube.",
        source: "CO/CO₂ 0.004 (BS 7967 practice)",
        bar: Bar::NoSteam,
        shows: |log| {
            log.flagged(Rule::PoorCombustion)?;
            let ratio = log.facts.air.flue_ratio?;
            Some((8, format!("CO/CO₂ {} in the flue.", show::fixed(ratio, 4))))
        },
    },
    Trouble {
        name: "gas-tank-cold",
        sign: Sign::BurnerOrAir,
        is: "The gas tank is cold and its pressure sinks",
        tells: "The tank's temperature: its pressure falls by about 3.5 % a kelvin, 4.5 K a minute at first.",
        check: "Read the tank's temperature and the gas pressure as the flame sags.",
        remedy: "Stand the tank in the warm air of the plant or in hand-warm water, never by a flame.",
        source: "Vapour pressure of the gas (Antoine); cooling trade practice",
        bar: Bar::Watch,
        shows: cold_tank,
    },
    Trouble {
        name: "flue-or-draught",
        sign: Sign::BurnerOrAir,
        is: "The flue does not draw",
        tells: "Carbon monoxide beside you rises while CO/CO₂ in the flue is good.",
        check: "Hold a smoking match at the fire hole: the smoke must go in.",
        remedy: "Clear tubes and chimney, a blower, and the trial outdoors until it is right.",
        source: TRADE,
        bar: Bar::NoSteam,
        shows: |log| {
            log.flagged(Rule::CarbonMonoxide)?;
            let clean = log.facts.air.flue_ratio.is_some_and(|r| r <= 0.004);
            let peak = show::fixed(log.facts.air.peak_ppm.unwrap_or(0.0), 0);
            let weight = if clean { 9 } else { 5 };
            Some((weight, format!("Carbon monoxide came to {peak} ppm.")))
        },
    },
    Trouble {
        name: "flame-lifts-or-runs-back",
        sign: Sign::BurnerOrAir,
        is: "The flame lifts or runs back",
        tells: "Gas pressure at which it begins, read at the jet.",
        check: "Turn it up from low and write down the pressure at which it lifts, and lights back.",
        remedy: "Gauze or ceramic whole and seated; jet and air as above.",
        source: TRADE,
        bar: Bar::NoSteam,
        shows: |log| {
            let bench = &log.facts.bench;
            let words = "The flame was entered as unsteady or lost.";
            (bench.flame_lost + bench.flame_unsteady > 0).then(|| (4, words.to_owned()))
        },
    },
    Trouble {
        name: "fire-too-small",
        sign: Sign::PressureDoesNotRise,
        is: "The fire is too small",
        tells: "Gas used by the scale is under what the jet should pass.",
        check: "Weigh the tank over five minutes.",
        remedy: "Clean the jet, or a larger one tried on the bench first.",
        source: "Heat of the fuel against heat of the water (first law)",
        bar: Bar::Watch,
        shows: |log| jet_off(log, false),
    },
    Trouble {
        name: "gas-pressure-sinks",
        sign: Sign::PressureDoesNotRise,
        is: "The gas tank has gone cold",
        tells: "The tank's temperature.",
        check: "Read the tank's temperature.",
        remedy: "Warm the tank by the plant's own warm air.",
        source: "Vapour pressure of the gas (Antoine)",
        bar: Bar::Watch,
        shows: cold_tank,
    },
    Trouble {
        name: "steam-goes-elsewhere",
        sign: Sign::PressureDoesNotRise,
        is: "Steam goes somewhere",
        tells: "The level falls while nothing is taken.",
        check: "Shut the stop valve; read the level every two minutes and look at valve and cocks.",
        remedy: "Lap the valve that passes; mend the leak.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            if log.facts.steam_taken() {
                return Some((8, "By the log steam is being taken.".to_owned()));
            }
            log.flagged(Rule::LeakSeen)
                .map(|_| (7, "A leak was seen.".to_owned()))
        },
    },
    Trouble {
        name: "gauge-does-not-follow",
        sign: Sign::PressureDoesNotRise,
        is: "The gauge does not follow",
        tells: "A second gauge, or the temperature at the boiler against that of steam at this pressure.",
        check: "Put the test gauge on.",
        remedy: "Clear its pipe and cock; have it put right.",
        source: "EN 837-1 class as limit of error",
        bar: Bar::NoSteam,
        shows: |log| {
            log.flagged(Rule::GaugesDisagree)
                .map(|_| (10, "The two gauges differ.".to_owned()))
        },
    },
    Trouble {
        name: "too-much-water-or-metal",
        sign: Sign::PressureDoesNotRise,
        is: "Too much water to warm, or no lagging",
        tells: "Heat of the fuel burnt against heat the water took: under a quarter is lost to the air.",
        check: "Weigh the fuel from cold to pressure; the efficiency stands among the figures.",
        remedy: "Begin at half a glass; lag the boiler.",
        source: "First law; models give 25 to 65 % (trade practice)",
        bar: Bar::Watch,
        shows: |log| {
            log.facts
                .water
                .over_mark
                .then(|| (6, "The water stands over the high mark.".to_owned()))
        },
    },
    Trouble {
        name: "gas-leaks",
        sign: Sign::Weeps,
        is: "Gas leaks at a joint",
        tells: "Soap: a bubble grows.",
        check: "Soap every joint with the flame out and the tank open. Never a flame.",
        remedy: "Remake the joint, soap it again.",
        source: TRADE,
        bar: Bar::NoSteam,
        shows: |log| leak(log, LeakAt::Gas, 10),
    },
    Trouble {
        name: "seam-or-shell-weeps",
        sign: Sign::Weeps,
        is: "A seam or the shell weeps",
        tells: "A water test by stages: at which pressure it begins.",
        check: "Dry it, raise it cold with water, write down the pressure of the first drop.",
        remedy: "Never tighten or caulk it: have it examined, repaired and tested again, or refuse to steam.",
        source: "Model boiler test codes: any leak at a joint fails; check the current issue",
        bar: Bar::NoSteam,
        shows: |log| leak(log, LeakAt::Seam, 10).or_else(|| leak(log, LeakAt::Shell, 10)),
    },
    Trouble {
        name: "gland-weeps",
        sign: Sign::Weeps,
        is: "A gland weeps",
        tells: "Drops in a minute, before and after a sixth of a turn.",
        check: "Count drops for a minute; see how much thread the nut has left.",
        remedy: "Nip it; at the end of its thread repack it, joints staggered.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| leak(log, LeakAt::Gland, 6),
    },
    Trouble {
        name: "union-gasket-or-fitting-weeps",
        sign: Sign::Weeps,
        is: "A union, gasket or fitting weeps",
        tells: "Whether it dries up hot or grows: look at two pressures.",
        check: "With the pressure gone, look at faces and thread.",
        remedy: "Clean the faces, a new washer or gasket; tighten cold only.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            [
                LeakAt::Union,
                LeakAt::Gasket,
                LeakAt::Fitting,
                LeakAt::Blank,
            ]
            .into_iter()
            .find_map(|at| leak(log, at, 6))
        },
    },
];

/// A leak of this kind; where another kind was seen, this is not the trouble.
fn leak(log: &super::Log<'_>, at: LeakAt, weight: u32) -> Option<(u32, String)> {
    if log.leaks(at) {
        return Some((weight, format!("Leak seen: {}.", at.word())));
    }
    let placed = log.facts.press.leaked.keys().any(|l| *l != LeakAt::Unsaid);
    placed.then(|| (0, String::new()))
}
