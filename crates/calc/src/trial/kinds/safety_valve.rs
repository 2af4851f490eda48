//! The safety valve: where it lifts, whether it carries the whole fire, where it shuts.

use super::Grounds;
use crate::answer::Finding;
use crate::quantity::Gauge;
use crate::show;
use crate::trial::facts::{Blow, Facts};
use crate::uncertainty::stays_under;
use crate::valve::{Capacity, Lift, capacity, lift_area};

/// It must have blown with the whole fire for so long, s (trade practice).
const BLOWN_S: f64 = 300.0;
/// Readings that must stand level at the end of that.
const LEVEL: usize = 3;
/// Discharge of a small valve that nobody certified (trade practice), and the exponent of saturated
/// steam in equilibrium (agrees with Napier's formula within 3 %).
const SMALL_VALVE: (f64, f64) = (0.5, 1.135);
/// A valve that opens under this share of working pressure weeps (trade practice).
const WEEPS_SHARE: f64 = 0.9;
/// A valve that has not shut at this share of its lift does not shut (trade practice).
const NOT_SHUT_SHARE: f64 = 0.8;

fn bars(bar: f64) -> String {
    format!("{} bar", show::fixed(bar, 2))
}

pub(super) fn judge(facts: &Facts, grounds: &mut Grounds) {
    let Some(working) = facts.setup.working_bar() else {
        grounds.doubt("No working pressure is known, so where it should lift is not known.");
        return;
    };
    if facts.valve.lifts == 0 {
        grounds.doubt("The safety valve was not seen to lift.");
        return;
    }
    set(facts, working, grounds);
    reseat(facts, grounds);
    accumulation(facts, working, grounds);
    match facts.blows.longest() {
        Some(blow) => levelled(facts, &blow, grounds),
        None => grounds.doubt("The valve was not seen to blow."),
    }
    margin(facts, working, grounds);
}

/// Source: ISO 4126-1:2013 Amd 1 (3 % or 0.1 bar, the greater).
fn set(facts: &Facts, working: f64, grounds: &mut Grounds) {
    let Some(lift) = facts.valve.lifted_bar else {
        grounds.doubt("No pressure was read within a minute of the lift.");
        return;
    };
    let Some(u) = facts.setup.pressure_u_bar().map(|u| 2.0 * u) else {
        return;
    };
    let most = working + (0.03 * working).max(0.1);
    let least = working - (0.03 * working).max(0.1);
    let about = format!(
        "It lifted at {} ±{}; the working pressure is {}",
        bars(lift),
        show::fixed(u, 2),
        bars(working)
    );
    match stays_under(lift, u, most) {
        Finding::Fail => grounds.fail(format!("{about}, so it is set too high.")),
        _ if lift + u < WEEPS_SHARE * working => {
            grounds.fail(format!("{about}, so it weeps or is set too low."));
        }
        Finding::Pass if lift >= least => grounds.remark(format!("{about}.")),
        Finding::Pass => grounds.doubt(format!("{about}: it lifts early.")),
        _ => grounds.doubt(format!(
            "{about}: whether it is within {} is not proven by this gauge.",
            bars(most)
        )),
    }
}

fn reseat(facts: &Facts, grounds: &mut Grounds) {
    let lift = facts.valve.lifted_bar;
    if facts.valve.lifted {
        let sunk = facts.valve.sunk_to_bar().zip(lift);
        match sunk {
            Some((bar, lift)) if bar <= NOT_SHUT_SHARE * lift => {
                grounds.fail(format!("It lifted and has not shut at {}.", bars(bar)))
            }
            _ => grounds.doubt("The safety valve was not seen to reseat."),
        }
        return;
    }
    let Some((shut, lift)) = facts.valve.reseated_bar.zip(lift) else {
        grounds.doubt("No pressure was read within a minute before the reseating.");
        return;
    };
    let down = lift - shut;
    let most = (0.15 * lift).max(0.3);
    if down > most {
        grounds.doubt(format!(
            "It blew down by {}; more than {} wastes water and fire.",
            bars(down),
            bars(most)
        ));
    } else {
        grounds.remark(format!("It shut at {}.", bars(shut)));
    }
}

fn accumulation(facts: &Facts, working: f64, grounds: &mut Grounds) {
    let (Some(highest), Some(u)) = (facts.pressure.highest_bar, facts.setup.pressure_u_bar())
    else {
        grounds.doubt("The highest pressure is not known to any accuracy.");
        return;
    };
    let limit = facts.setup.pressure_stop_bar().unwrap_or(1.1 * working);
    let about = format!(
        "Highest pressure {} ±{}; the limit is {}",
        bars(highest),
        show::fixed(2.0 * u, 2),
        bars(limit)
    );
    match stays_under(highest, 2.0 * u, limit) {
        Finding::Pass => grounds.remark(format!("{about}.")),
        Finding::Fail => grounds.fail(format!("{about}: it does not carry the whole fire.")),
        _ => grounds.doubt(format!(
            "{about}: not proven by this gauge; a finer class or a smaller span would."
        )),
    }
}

/// Did the pressure stand level under the whole fire, everything shut?
fn levelled(facts: &Facts, blow: &Blow, grounds: &mut Grounds) {
    let (whole_s, read) = blow.whole_fire();
    if whole_s < BLOWN_S {
        let why = blow
            .broken
            .map_or_else(String::new, |(_, why)| format!(" before {why}"));
        grounds.doubt(format!(
            "It blew with the whole fire, everything shut, for {}{why}; {} is asked.",
            show::span(whole_s),
            show::span(BLOWN_S)
        ));
    }
    let last: Vec<f64> = read.iter().rev().take(LEVEL).copied().collect();
    if last.len() < LEVEL {
        grounds.doubt("Fewer than three pressures were read while it blew.");
        return;
    }
    let rise = last[0] - last[LEVEL - 1];
    let spread = last.iter().copied().fold(f64::MIN, f64::max)
        - last.iter().copied().fold(f64::MAX, f64::min);
    let step = facts.setup.gauge_read_to_bar() * 1.001;
    if rise > step || (rise > 0.0 && spread > step) {
        grounds.doubt("The pressure was still rising while it blew: it had not levelled out.");
    } else if spread > step {
        grounds.doubt("The last three pressures while it blew do not stand level.");
    } else {
        grounds.remark("The pressure levelled out under the whole fire.");
    }
}

/// Steam the valve can pass over steam the boiler makes.
fn margin(facts: &Facts, working: f64, grounds: &mut Grounds) {
    let plant = &facts.setup.trial.plant;
    let Some((bore, lift)) = plant.safety_valve.and_then(|v| v.bore_mm.zip(v.lift_mm)) else {
        grounds
            .remark("Bore and lift of the valve are not both known: its capacity is not reckoned.");
        return;
    };
    let Some((evaporation, _)) = plant.past_evaporation_kg_h else {
        grounds.remark("What the boiler evaporates is not known: the margin is not reckoned.");
        return;
    };
    let count = plant.safety_valve.and_then(|v| v.count).unwrap_or(1.0);
    let area = lift_area(&Lift {
        bore_mm: bore,
        lift_mm: lift,
    });
    let Some(area) = area.ok().and_then(|a| a.number("effective_mm2")) else {
        return;
    };
    let answer = capacity(&Capacity {
        set: Gauge::from_bar(facts.setup.set_bar().unwrap_or(working)),
        overpressure_frac: 0.1,
        barometer: facts.setup.barometer,
        area_mm2: area * count,
        discharge: SMALL_VALVE.0,
        exponent: SMALL_VALVE.1,
        evaporation_kg_h: Some(evaporation),
    });
    let Some(most) = answer.ok().and_then(|a| a.number("Qm_iso_kg_h")) else {
        return;
    };
    let margin = most / evaporation;
    let about = format!(
        "Reckoned from bore and lift the valve passes {} kg/h, {} times what the boiler makes",
        show::fixed(most, 1),
        show::fixed(margin, 1)
    );
    if margin < 1.0 {
        grounds.fail(format!("{about}: it cannot carry the fire."));
    } else if margin < 1.5 {
        grounds.remark(format!("{about}: little to spare."));
    } else {
        grounds.remark(format!("{about}."));
    }
}
