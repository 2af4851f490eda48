//! The engine is short of power; the lubricator gives too much or nothing.

use super::{Bar, Sign, TRADE, Trouble};
use crate::show;
use crate::trial::LeakAt;

/// Bearings hotter than this are too tight or too dry, °C.
const BEARING_C: f64 = 60.0;

pub(super) const TABLE: &[Trouble] = &[
    Trouble {
        name: "steam-chest-starved",
        sign: Sign::EngineShort,
        is: "Too little pressure reaches the engine",
        tells: "Pressure while it runs against pressure when it stands.",
        check: "Read the gauge running and standing; look at regulator and pipe.",
        remedy: "Open or clear regulator and pipe; lag the pipe.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| {
            let running = &log.facts.bench.running_bar;
            let (most, least) = (
                running.iter().copied().reduce(f64::max)?,
                running.iter().copied().reduce(f64::min)?,
            );
            (least < 0.7 * most).then(|| {
                let words = format!(
                    "The pressure sank from {} to {} bar while it ran.",
                    show::fixed(most, 1),
                    show::fixed(least, 1)
                );
                (9, words)
            })
        },
    },
    Trouble {
        name: "bearings-or-glands-tight",
        sign: Sign::EngineShort,
        is: "Bearings or glands are tight",
        tells: "Bearing temperature over 60 °C; force to turn it by hand, hot and cold.",
        check: "Measure each bearing as it stops; turn it by hand.",
        remedy: "Ease, oil, run in again slowly.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            let c = log.facts.bench.hottest_c.filter(|c| *c > BEARING_C)?;
            Some((9, format!("A bearing came to {} °C.", show::fixed(c, 0))))
        },
    },
    Trouble {
        name: "glands-or-rings-blow",
        sign: Sign::EngineShort,
        is: "Glands or piston rings blow",
        tells: "Exhaust with the engine held at half stroke and steam on: it should be silent.",
        check: "Hold it at half stroke on low air and listen at each drain and the exhaust.",
        remedy: "Repack, new rings.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            log.leaks(LeakAt::Gland)
                .then(|| (7, "A gland was seen to leak.".to_owned()))
        },
    },
    Trouble {
        name: "valve-gear-late",
        sign: Sign::EngineShort,
        is: "The valve gear is out of time",
        tells: "Port opening at each dead centre, measured; both ends alike.",
        check: "Measure the opening at both dead centres, each way round.",
        remedy: "Reset the eccentric or valve; write the figures down.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |_| None,
    },
    Trouble {
        name: "water-in-the-cylinders",
        sign: Sign::EngineShort,
        is: "Water lies in the cylinders",
        tells: "What leaves the drains in a minute.",
        check: "Open the drains while it runs.",
        remedy: "Warm it through, drains open; look at the boiler's level.",
        source: TRADE,
        bar: Bar::Watch,
        shows: |log| {
            log.facts
                .water
                .carry_over
                .then(|| (8, "Water was carried over.".to_owned()))
        },
    },
    Trouble {
        name: "lubricator-passes-steam",
        sign: Sign::Lubricator,
        is: "The lubricator gives oil too fast",
        tells: "Water drained over half an hour against what can condense in it: 10 cm² give about 2 ml an hour.",
        check: "Drain it, run half an hour, drain again and measure.",
        remedy: "A smaller hole or a needle; a longer cooling pipe.",
        source: "Heat through its wall in still air; expectation trade practice",
        bar: Bar::Watch,
        shows: |log| {
            let rate = log.oil_ml_h()?;
            if rate <= 0.0 {
                return Some((0, String::new()));
            }
            Some((8, format!("{} ml an hour.", show::fixed(rate, 1))))
        },
    },
    Trouble {
        name: "lubricator-blocked-or-flooded",
        sign: Sign::Lubricator,
        is: "The lubricator gives nothing",
        tells: "Water drained over half an hour: none.",
        check: "Drain it and look for water under the oil; blow its hole through cold.",
        remedy: "Clear the hole, fill with steam oil only, leave no air.",
        source: TRADE,
        bar: Bar::NoHandover,
        shows: |log| {
            let rate = log.oil_ml_h()?;
            if rate > 0.0 {
                return Some((0, String::new()));
            }
            Some((8, "Nothing condensed in it.".to_owned()))
        },
    },
];
