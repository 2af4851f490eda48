//! The feed will not gain.

use super::{Bar, Sign, TRADE, Trouble};
use crate::show;
use crate::trial::{Drive, LeakAt, Rule};

/// A feed tank this warm has had boiler water come back into it, °C.
const WARM_C: f64 = 35.0;
/// Water this hot boils in the suction of a pump, °C.
const HOT_C: f64 = 60.0;

pub(super) const TABLE: &[Trouble] = &[
    Trouble {
        name: "check-valve-passes-back",
        sign: Sign::FeedDoesNotGain,
        is: "The check valve passes back",
        tells: "The feed pipe is too hot to hold at the pump, or the tank warms above 35 °C.",
        check: "Feel the pipe from boiler to pump; take the check valve out cold and blow through it.",
        remedy: "Clean it, new ball, recut the seat; try it cold under water pressure.",
        source: TRADE,
        bar: Bar::NoSteam,
        shows: |log| {
            if let Some(c) = log.tank_c().filter(|c| (WARM_C..HOT_C).contains(c)) {
                return Some((9, format!("The tank came to {} °C.", show::fixed(c, 0))));
            }
            log.facts.hot_pipe_named.then(|| {
                (
                    8,
                    "A note speaks of the hot pipe or the check valve.".to_owned(),
                )
            })
        },
    },
    Trouble {
        name: "feed-tank-empty-or-hot",
        sign: Sign::FeedDoesNotGain,
        is: "The feed tank is empty or hot",
        tells: "The tank's level, and its temperature over 60 °C: hot water boils in the suction.",
        check: "Look into the tank and read its temperature.",
        remedy: "Cold water into the tank; vent the pump until it pumps solid.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| {
            if log.facts.works.tank_empty || log.flagged(Rule::FeedTankLow).is_some() {
                return Some((10, "The tank was low or empty.".to_owned()));
            }
            let c = log.tank_c().filter(|c| *c >= HOT_C)?;
            Some((9, format!("The tank came to {} °C.", show::fixed(c, 0))))
        },
    },
    Trouble {
        name: "bypass-not-shut",
        sign: Sign::FeedDoesNotGain,
        is: "The bypass is not shut, or does not shut",
        tells: "The tank does not fall while the pump works; water runs back at the bypass.",
        check: "Shut the bypass by hand and watch its return into the tank.",
        remedy: "New washer or recut seat of the bypass.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            log.facts
                .works
                .bypass_open
                .then(|| (9, "By the log the bypass still stands open.".to_owned()))
        },
    },
    Trouble {
        name: "pump-valve-stuck-or-dirty",
        sign: Sign::FeedDoesNotGain,
        is: "A pump valve is stuck or dirty",
        tells: "A catch against pressure: over 30 % slips by.",
        check: "Catch a minute against working pressure; take the valves out and look at ball and seat.",
        remedy: "Clean, new balls, seats recut; a strainer before the pump.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            if let Some((slip, _)) = log.slipping() {
                let pct = show::fixed(slip * 100.0, 0);
                return Some((9, format!("{pct} % slipped by at the catch.")));
            }
            (log.facts.bench.stalled > 0).then(|| (6, "The pump stalled.".to_owned()))
        },
    },
    Trouble {
        name: "suction-draws-air",
        sign: Sign::FeedDoesNotGain,
        is: "The suction draws air",
        tells: "The pump races or spits; the tank hardly falls for the strokes counted.",
        check: "Put the suction joints under water or oil and pump; look for bubbles in the catch.",
        remedy: "Remake the suction joints; the strainer well under water.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| (log.facts.bench.raced > 0).then(|| (8, "The pump raced.".to_owned())),
    },
    Trouble {
        name: "pump-gland-draws-air",
        sign: Sign::FeedDoesNotGain,
        is: "The pump's gland draws air",
        tells: "It drips on one stroke and spits on the other; a catch rises when the gland is nipped.",
        check: "Catch a minute, nip the gland a sixth of a turn, catch again.",
        remedy: "Repack the gland.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            log.leaks(LeakAt::Gland)
                .then(|| (7, "A gland was seen to leak.".to_owned()))
        },
    },
    Trouble {
        name: "pump-steam-end-starved",
        sign: Sign::FeedDoesNotGain,
        is: "The pump's steam end is starved",
        tells: "Strokes a minute fall with the boiler's pressure; the force is not there.",
        check: "Count strokes at two pressures; look at steam valve, its oil and its exhaust.",
        remedy: "Open its steam, oil it, drain it, clear its exhaust; reckon its force margin.",
        source: "Force on steam and water piston; limits trade practice",
        bar: Bar::NoHandover,
        shows: |log| {
            let drive = log.facts.setup.trial.plant.feed_drive;
            if drive != Some(Drive::Steam) {
                // No other pump has a steam end.
                return drive.map(|_| (0, String::new()));
            }
            let low = log
                .facts
                .pressure
                .bar
                .zip(log.facts.setup.working_bar())
                .is_some_and(|(bar, working)| bar < 0.6 * working);
            low.then(|| {
                (
                    7,
                    "The pressure is under 60 % of working pressure.".to_owned(),
                )
            })
        },
    },
];
