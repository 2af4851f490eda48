//! How far an engine is run in, by this log: turned by hand, run easily, run three times longer and
//! faster, loaded; and whether its turns ease, hold or fall at a fixed valve.
//!
//! The steps are remarks, since a trial of an engine need not be one of running in. Turns that are
//! shown to fall while nothing is touched are a doubt: something tightens.

use super::Grounds;
use crate::show;
use crate::trial::Supply;
use crate::trial::facts::{Facts, Spell, Turns};

/// Hold point of the first step.
const BY_HAND: &str = "turned-by-hand";
/// The easy run: so long, s, with so much air at most, bar (trade practice).
const EASY_S: f64 = 600.0;
const EASY_AIR_BAR: f64 = 0.5;
/// and no faster than this share of normal piston speed (trade practice).
const EASY_SHARE: f64 = 0.5;
/// The longer runs: so many, each so long, s, and each faster than the one before (trade practice).
const LONGER: (u32, f64) = (3, 1200.0);

pub(super) fn judge(facts: &Facts, end_s: f64, grounds: &mut Grounds) {
    let spells = &facts.bench.running_in.spells;
    if spells.is_empty() {
        return;
    }
    let by_hand = if facts.checks.is_done(BY_HAND) {
        "turned by hand"
    } else {
        "not signed as turned by hand"
    };
    let easy = spells.iter().any(|s| is_easy(facts, s, end_s));
    let easy = if easy {
        format!("an easy run of {}", show::span(EASY_S))
    } else {
        format!("no easy run of {} shown", show::span(EASY_S))
    };
    grounds.remark(format!(
        "Running in, by this log: {by_hand}; {easy}; {} of {} runs of {} at rising turns; the load is not read here.",
        longer(spells, end_s),
        LONGER.0,
        show::span(LONGER.1)
    ));
    at_a_fixed_valve(spells, grounds);
}

/// Long, slow, and on air with little of it; what was not read does not count.
fn is_easy(facts: &Facts, spell: &Spell, end_s: f64) -> bool {
    let on_air = matches!(
        facts.setup.trial.supply,
        Some(Supply::AirDirect | Supply::AirThroughBoiler)
    );
    let gentle = !on_air || spell.highest_bar().is_some_and(|bar| bar <= EASY_AIR_BAR);
    let slow = (spell.mean_rpm().zip(facts.setup.longest_stroke_mm())).is_some_and(|(rpm, mm)| {
        let piston = 2.0 * mm / 1000.0 * rpm / 60.0;
        piston <= EASY_SHARE * facts.setup.trial.limits.piston_speed_m_s
    });
    spell.lasted_s(end_s) >= EASY_S && gentle && slow
}

/// How many of the longer runs there were, each faster than the one before that counted.
fn longer(spells: &[Spell], end_s: f64) -> u32 {
    let long = spells.iter().filter(|s| s.lasted_s(end_s) >= LONGER.1);
    let (mut count, mut before) = (0, 0.0);
    for rpm in long.filter_map(Spell::mean_rpm) {
        if rpm > before && count < LONGER.0 {
            (count, before) = (count + 1, rpm);
        }
    }
    count
}

fn at_a_fixed_valve(spells: &[Spell], grounds: &mut Grounds) {
    let known: Vec<(Turns, f64)> = spells.iter().filter_map(Spell::turns).collect();
    let Some((last, per_hour)) = known.last() else {
        grounds.remark(
            "Whether its turns hold at a fixed valve is not proven: five counts over two minutes, \
             each with a pressure that stands still, with nothing touched between, would show it.",
        );
        return;
    };
    if let Some((_, falls)) = known.iter().find(|k| k.0 == Turns::Fall) {
        grounds.doubt(format!(
            "Its turns fell at a fixed valve and pressure, by {} an hour: something tightens.",
            show::fixed(falls.abs(), 0)
        ));
    }
    match last {
        Turns::Rise => grounds.remark(format!(
            "At a fixed valve its turns still rise, by {} an hour: it is not run in yet.",
            show::fixed(*per_hour, 0)
        )),
        Turns::Level if known.iter().any(|k| k.0 == Turns::Rise) => {
            grounds.remark("Its turns rose at a fixed valve and then stood level.");
        }
        Turns::Level => {
            grounds.remark("At a fixed valve neither rise nor fall of its turns is shown.");
        }
        Turns::Fall => {}
    }
}
