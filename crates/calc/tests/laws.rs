//! Laws of the water watch, on a boiler that is reckoned here and not taken from anywhere.

use calc::level::WaterSpace;
use calc::trial::{
    Entry, Event, EventName, Glass, Instrument, Instruments, LeakAt, Plant, Reading, Trial, What,
    assess,
};
use proptest::prelude::*;

fn event(t_s: f64, name: EventName) -> Entry {
    let event = Event {
        name,
        amount_ml: None,
        to_boiler: false,
        growth_pct: None,
        leak_at: LeakAt::Unsaid,
    };
    entry(t_s, What::Event(event))
}

fn reading(t_s: f64, level_mm: f64, pressure_bar: f64) -> Entry {
    let read = Reading {
        level_mm: Some(level_mm),
        pressure_bar: Some(pressure_bar),
        ..Reading::default()
    };
    entry(t_s, What::Reading(Box::new(read)))
}

fn entry(t_s: f64, what: What) -> Entry {
    let text = format!("{t_s} {what:?}");
    Entry {
        id: None,
        t_s,
        received_at_s: t_s,
        by: None,
        what,
        text,
    }
}

/// A lying boiler of 100 mm bore, `scale` times as long as wide, and a log for it.
fn trial(scale: f64, entries: Vec<Entry>) -> Trial {
    Trial {
        plant: Plant {
            working_pressure_bar: Some(4.0),
            water_space: Some(WaterSpace::Horizontal {
                bore_mm: 100.0,
                length_mm: 200.0 * scale,
                tubes: vec![],
            }),
            glass: Some(Glass {
                bottom_mm: Some(40.0),
                visible_mm: Some(40.0),
                low_mark_mm: Some(8.0),
                high_mark_mm: Some(34.0),
            }),
            ..Plant::default()
        },
        instruments: Instruments {
            level: Some(Instrument {
                resolution: Some(1.0),
                ..Instrument::default()
            }),
            ..Instruments::default()
        },
        entries,
        ..Trial::default()
    }
}

/// Lit, raised in ten minutes, then steam taken and the water falling by `fall` mm a reading.
fn falling(fall: f64, readings: u32) -> Vec<Entry> {
    let mut log = vec![
        reading(0.0, 26.0, 0.0),
        event(10.0, EventName::FireLit),
        reading(300.0, 27.0, 0.5),
        reading(600.0, 28.5, 3.2),
        event(610.0, EventName::EngineRunning),
    ];
    for n in 0..readings {
        let n = f64::from(n);
        log.push(reading(660.0 + 60.0 * n, 28.0 - fall * n, 3.2));
    }
    log
}

fn runway(trial: &Trial, until_s: f64) -> Option<f64> {
    assess(trial, Some(until_s)).now.runway_s
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Nothing that comes later changes the runway of now.
    #[test]
    fn the_runway_is_causal(fall in 0.2..2.0_f64, later in 0.0..40.0_f64) {
        let now = trial(1.0, falling(fall, 6));
        let mut after = now.clone();
        after.entries.push(reading(1100.0, later, 3.0));
        prop_assert_eq!(runway(&now, 1000.0), runway(&after, 1000.0));
    }

    /// With no entry between, the runway only ever falls.
    #[test]
    fn the_runway_shortens_with_time(fall in 0.6..2.0_f64) {
        let falls = trial(1.0, falling(fall, 6));
        let mut before = f64::INFINITY;
        for t in (960..1200).step_by(15) {
            let now = runway(&falls, f64::from(t)).unwrap_or(f64::INFINITY);
            prop_assert!(now <= before, "{} after {}", now, before);
            before = now;
        }
    }

    /// A lower last reading, within what surge explains, never lengthens the runway.
    #[test]
    fn a_lower_reading_never_lengthens_it(fall in 0.6..1.6_f64, lower in 0.0..1.5_f64) {
        let mut log = falling(fall, 6);
        let at = 660.0 + 60.0 * 6.0;
        let level = 28.0 - fall * 6.0;
        log.push(reading(at, level, 3.2));
        let as_read = runway(&trial(1.0, log.clone()), at).unwrap_or(f64::INFINITY);
        log.pop();
        log.push(reading(at, level - lower, 3.2));
        let lower = runway(&trial(1.0, log), at).unwrap_or(f64::INFINITY);
        prop_assert!(lower <= as_read + 1.0, "{} against {}", lower, as_read);
    }

    /// A boiler twice as long, losing as many millimetres, has as long to go.
    #[test]
    fn only_the_level_counts_not_the_size(fall in 1.0..2.0_f64) {
        let small = runway(&trial(1.0, falling(fall, 7)), 1020.0).unwrap_or(f64::INFINITY);
        let large = runway(&trial(2.0, falling(fall, 7)), 1020.0).unwrap_or(f64::INFINITY);
        prop_assert!((small - large).abs() < 0.05 * small + 5.0, "{} against {}", small, large);
    }

    /// No log of readings, however wild, brings the judge down, and its weights stay a judgement.
    #[test]
    fn wild_readings_are_judged_all_the_same(
        wild in prop::collection::vec((0.0..40.0_f64, 0.0..6.0_f64, 1.0..400.0_f64), 1..40)
    ) {
        let mut log = vec![event(0.0, EventName::FireLit), event(1.0, EventName::EngineRunning)];
        let mut t = 2.0;
        for (level, bar, gap) in wild {
            t += gap;
            log.push(reading(t, level, bar));
        }
        let judged = assess(&trial(1.0, log), None);
        prop_assert!(judged.now.runway_s.is_none_or(|s| s.is_finite() && s >= 0.0));
        let mass = judged.figures.iter().find(|f| f.name == "water-mass");
        prop_assert!(mass.is_some_and(|f| f.value.is_finite() && f.value >= 0.0));
    }
}

#[test]
fn one_misread_in_a_steady_fall_is_forgotten_at_the_next_reading() {
    let steady = falling(0.8, 11);
    let mut misread = steady.clone();
    let at = misread.len() - 2;
    let t = misread[at].t_s;
    misread[at] = reading(t, 28.0 - 0.8 * 9.0 - 8.0, 3.2);
    let end = steady.last().unwrap().t_s;
    let plain = runway(&trial(1.0, steady), end).unwrap();
    let after = runway(&trial(1.0, misread), end).unwrap();
    assert!(
        (after - plain).abs() < 0.2 * plain,
        "{after} against {plain}"
    );
}

#[test]
fn a_feed_that_raises_the_water_takes_the_runway_away() {
    let mut log = falling(1.2, 6);
    let end = log.last().unwrap().t_s;
    log.push(event(end + 5.0, EventName::FeedOn));
    for n in 1..=3 {
        let n = f64::from(n);
        log.push(reading(end + 60.0 * n, 22.0 + 2.0 * n, 3.2));
    }
    let judged = assess(&trial(1.0, log), None).now;
    let without = judged.runway_without_feed_s.unwrap();
    assert!(
        judged.runway_s.is_none_or(|s| s > 3.0 * without),
        "{judged:?}"
    );
}

#[test]
fn the_same_water_at_another_pressure_has_the_same_runway() {
    let at = |bar: f64| {
        // 1.2 kg of water: the level that the closed boiler shows at this pressure.
        let density = match bar {
            b if b < 1.0 => 950.3,
            b if b < 3.0 => 931.7,
            _ => 904.7,
        };
        let space = WaterSpace::Horizontal {
            bore_mm: 100.0,
            length_mm: 200.0,
            tubes: vec![],
        };
        let level = |kg: f64| {
            let ml = kg / density * 1e6;
            let (mut low, mut high) = (0.0, 100.0);
            for _ in 0..40 {
                let mid = (low + high) / 2.0;
                if space.volume_ml(mid) < ml {
                    low = mid
                } else {
                    high = mid
                }
            }
            low - 40.0
        };
        let mut log = vec![
            event(0.0, EventName::FireLit),
            reading(5.0, level(1.0), 0.3),
            reading(300.0, level(1.0), bar),
            event(310.0, EventName::EngineRunning),
        ];
        for n in 0..8 {
            let n = f64::from(n);
            log.push(reading(330.0 + 60.0 * n, level(1.0 - 0.010 * n), bar));
        }
        let mut plant = trial(1.0, log);
        // The low mark moves with the water: both are weights.
        plant.plant.glass = plant.plant.glass.map(|g| Glass {
            low_mark_mm: Some((level(0.85)).max(0.0)),
            ..g
        });
        runway(&plant, 330.0 + 420.0).unwrap()
    };
    let (low, high) = (at(2.0), at(5.4));
    assert!((low - high).abs() < 0.25 * low, "{low} against {high}");
}
