//! What judging costs: the next entry of a live trial and a whole log, for logs of 100, 1,000 and
//! 10,000 entries, each beside one call of the steam table in the same run.
//!
//! `judge-cost` prints one line. The growth exponent is the slope of log cost against log length
//! from the shortest log to the longest: 0 where the length does not matter, 1 where it counts once.

use calc::quantity::{Absolute, Gauge};
use calc::trial::{Live, Trial, assess};
use std::hint::black_box;
use std::time::Instant;
use triallog::TrialFile;

const LENGTHS: [u32; 3] = [100, 1_000, 10_000];
/// Times that a cost is measured; the least counts, for anything else was somebody else's work.
const TIMES: u32 = 5;

fn main() {
    let table = least(|| {
        let began = Instant::now();
        for n in 0..1000_u32 {
            let inside = Gauge::from_bar(f64::from(n) * 0.01).above(Absolute::STANDARD_ATMOSPHERE);
            let _ = black_box(calc::steam::saturated(inside));
        }
        began.elapsed().as_secs_f64() / 1000.0
    });
    let costs: Vec<(f64, f64)> = LENGTHS
        .iter()
        .map(|n| (next_entry(*n), whole(*n)))
        .collect();
    let each: Vec<String> = LENGTHS
        .iter()
        .zip(&costs)
        .map(|(n, (next, whole))| {
            format!("{n}: next {:.1}, whole {:.0}", next / table, whole / table)
        })
        .collect();
    let growth = |f: fn(&(f64, f64)) -> f64| {
        let (short, long) = (&costs[0], &costs[costs.len() - 1]);
        (f(long) / f(short)).ln() / 100.0_f64.ln()
    };
    println!(
        "judge-cost, in calls of the steam table ({:.2} µs each): {}; growth exponent next {:.2}, whole {:.2}",
        table * 1e6,
        each.join("; "),
        growth(|c| c.0),
        growth(|c| c.1)
    );
}

fn least(measure: impl Fn() -> f64) -> f64 {
    (0..TIMES).map(|_| measure()).fold(f64::INFINITY, f64::min)
}

/// A trial that goes on and on: a reading a minute, the feed on every ten minutes for three.
fn trial(length: u32) -> Trial {
    let mut entries = vec![
        r#"{"t_s": 0, "event": "fire-lit"}"#.to_owned(),
        r#"{"t_s": 10, "reading": {"level_mm": 25, "pressure_bar": 3.2}}"#.to_owned(),
        r#"{"t_s": 20, "event": "engine-running"}"#.to_owned(),
    ];
    let mut minute = 1_u32;
    let mut level = 25.0;
    while entries.len() < usize::try_from(length).unwrap_or(0) {
        let t = minute * 60;
        match minute % 10 {
            7 => entries.push(format!(r#"{{"t_s": {}, "event": "feed-on"}}"#, t - 5)),
            0 => entries.push(format!(r#"{{"t_s": {}, "event": "feed-off"}}"#, t - 5)),
            _ => {}
        }
        level += if minute % 10 >= 7 { 0.7 } else { -0.3 };
        entries.push(format!(
            r#"{{"t_s": {t}, "reading": {{"level_mm": {level:.1}, "pressure_bar": 3.2}}}}"#
        ));
        minute += 1;
    }
    let text = format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {{"working_pressure_bar": 4,
        "glass": {{"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8, "high_mark_mm": 36}},
        "water_space": {{"horizontal": {{"bore_mm": 100, "length_mm": 200}}}}}},
        "instruments": {{"level": {{"resolution_mm": 1}}}}, "entries": [{}]}}"#,
        entries.join(", ")
    );
    match TrialFile::read(&text) {
        Ok(file) => file.trial().clone(),
        Err(faults) => panic!("{faults}"),
    }
}

/// The cost of the next entry with its ticks, after a log of this length.
fn next_entry(length: u32) -> f64 {
    let whole = trial(length);
    let (before, two) = whole.entries.split_at(whole.entries.len() - 2);
    let mut live = Live::new(&whole);
    for entry in before {
        live.take(vec![entry.clone()]);
    }
    least(|| {
        // The first entry after a copy makes room for more; it is the second that is measured.
        let mut one = live.clone();
        one.take(vec![two[0].clone()]);
        let last = vec![two[1].clone()];
        let began = Instant::now();
        one.take(last);
        black_box(&one);
        began.elapsed().as_secs_f64()
    })
}

/// The cost of judging a whole log of this length.
fn whole(length: u32) -> f64 {
    let trial = trial(length);
    least(|| {
        let began = Instant::now();
        black_box(assess(&trial, None));
        began.elapsed().as_secs_f64()
    })
}
