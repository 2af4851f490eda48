//! The feed pump: what it delivers against pressure, what slips by, and whether that is enough.

use super::{Grounds, figure};
use crate::answer::Answer;
use crate::feed_pump::{self, Acting, FeedMargin, delivery};
use crate::quantity::{Gauge, Temperature};
use crate::show;
use crate::steam_pump::{Gain, Push, force_margin, net_gain};
use crate::trial::Drive;
use crate::trial::assessment::Figure;
use crate::trial::facts::{Catch, Facts};
use crate::trial::setup::Setup;

/// Step of a measure of which nobody said how finely it reads, ml.
const MEASURE_ML: f64 = 0.5;
/// Share of working pressure from which a catch is one against pressure.
const AGAINST_SHARE: f64 = 0.9;
/// Delivery over what is swept that is good, and that fails (trade practice).
const DELIVERS: (f64, f64) = (0.70, 0.50);
/// Feed over evaporation that is good (trade practice).
const MARGIN: f64 = 1.25;
/// Clearance of a steam end, and by what factor steam condenses in one: the driest, the usual, the
/// wettest (trade practice).
const CLEARANCE: f64 = 0.1;
const CONDENSES: (f64, f64, f64) = (1.5, 3.0, 10.0);
/// Gain that is good, and under which a pump fails (trade practice).
const GAINS: (f64, f64) = (10.0, 3.0);
/// Force that is good, pressure lost in valves, what the steam end passes on, and what the glands hold
/// (trade practice).
const FORCE: f64 = 1.3;
const VALVES_BAR: f64 = 0.3;
const MECHANICAL: f64 = 0.8;
const FRICTION_N: f64 = 3.0;
/// Least of cycles, seconds and steps of the measure to judge a catch by (trade practice).
const LEAST: (f64, f64, f64) = (20.0, 30.0, 20.0);

/// The catch that is judged: the one against the highest pressure, of those the last.
fn judged_by(facts: &Facts) -> Option<Catch> {
    let bar = |c: &Catch| c.bar.unwrap_or(0.0);
    facts
        .bench
        .catches
        .iter()
        .copied()
        .max_by(|a, b| bar(a).total_cmp(&bar(b)).then(a.t_s.total_cmp(&b.t_s)))
}

/// Was it caught against the boiler's pressure?
fn against_pressure(setup: &Setup, catch: &Catch) -> bool {
    let bar = catch.bar.unwrap_or(0.0);
    match setup.working_bar() {
        Some(working) => bar >= AGAINST_SHARE * working,
        None => bar > 0.2,
    }
}

fn reckoned(setup: &Setup, catch: &Catch, open: bool) -> Option<Answer> {
    let pump = setup.trial.plant.feed_pump?;
    delivery(&feed_pump::Catch {
        bore_mm: pump.bore_mm?,
        stroke_mm: pump.stroke_mm?,
        rod_mm: pump.rod_mm.unwrap_or(0.0),
        acting: if pump.double_acting {
            Acting::Double
        } else {
            Acting::Single
        },
        cycles: catch.cycles?,
        catch_ml: catch.ml,
        seconds: catch.seconds,
        water: Temperature::from_celsius(20.0),
        catch_step_ml: MEASURE_ML,
        open_discharge: Some(open),
    })
    .ok()
}

/// What was caught in a minute and its expanded uncertainty, ml/min.
fn flow(catch: &Catch) -> (f64, f64) {
    let u_ml = (MEASURE_ML / 12.0_f64.sqrt()).hypot(0.005 * catch.ml);
    let per_min = 60.0 / catch.seconds;
    let u = u_ml.hypot(catch.ml * 0.3 / catch.seconds) * per_min;
    (catch.ml * per_min, 2.0 * u)
}

pub(super) fn judge(facts: &Facts, grounds: &mut Grounds) {
    let setup = &facts.setup;
    let Some(catch) = judged_by(facts).filter(|c| c.seconds > 0.0) else {
        grounds.doubt("No catch was measured: what was pumped, and in how long.");
        return;
    };
    let open = !against_pressure(setup, &catch);
    if open {
        grounds.doubt(
            "Open discharge: it was not caught against working pressure, and an open pipe flatters a \
             pump. Catch it through a needle valve set to that pressure.",
        );
    }
    let counted = catch.cycles.is_none_or(|n| n >= LEAST.0);
    if !counted || catch.seconds < LEAST.1 || catch.ml < LEAST.2 * MEASURE_ML {
        grounds.doubt(
            "Too little to judge by: at least 20 cycles, 30 s and 20 steps of the measure are asked.",
        );
    } else {
        delivers(setup, &catch, open, grounds);
        keeps_up(setup, &catch, grounds);
    }
    by_steam(setup, &catch, open, grounds);
    if facts.bench.stalled > 0 {
        grounds.doubt("The pump stalled.");
    }
}

fn delivers(setup: &Setup, catch: &Catch, open: bool, grounds: &mut Grounds) {
    if catch.cycles.is_none() {
        grounds.doubt("The strokes were not counted over the catch, so its slip is not known.");
        return;
    }
    let Some(answer) = reckoned(setup, catch, open) else {
        let says = if setup
            .trial
            .plant
            .feed_pump
            .is_none_or(|p| p.bore_mm.is_none())
        {
            "Bore and stroke of the pump are not known, so its slip is not known."
        } else {
            "More was caught than the pump can sweep, or its sizes cannot be: look at count, bore and \
             for air."
        };
        grounds.doubt(says);
        return;
    };
    let (Some(share), Some(slip)) = (answer.number("vol_eff"), answer.number("slip")) else {
        return;
    };
    let u = answer
        .figures
        .iter()
        .find(|f| f.name == "vol_eff")
        .and_then(|f| f.plus_minus)
        .unwrap_or(0.0);
    let about = format!(
        "It delivers {} ±{} % of what it sweeps; {} % slips by",
        show::fixed(share * 100.0, 0),
        show::fixed(u * 100.0, 0),
        show::fixed(slip * 100.0, 0)
    );
    if share + u < DELIVERS.1 {
        grounds.fail(format!("{about}: valves, packing or air."));
    } else if share - u >= DELIVERS.0 {
        grounds.remark(format!("{about}."));
    } else {
        grounds.doubt(format!(
            "{about}; {} % is good.",
            show::fixed(DELIVERS.0 * 100.0, 0)
        ));
    }
}

fn keeps_up(setup: &Setup, catch: &Catch, grounds: &mut Grounds) {
    let Some((evaporation, about)) = setup.trial.plant.past_evaporation_kg_h else {
        grounds.doubt(
            "What the boiler evaporates is not known, so whether the feed keeps up is not known.",
        );
        return;
    };
    let (delivered, u) = flow(catch);
    let margin = |ml_min: f64, kg_h: f64| {
        feed_pump::margin(&FeedMargin {
            delivery_ml_min: ml_min.max(0.0),
            bypass_frac: 0.0,
            evaporation_kg_h: kg_h.max(1e-4),
            required: MARGIN,
        })
        .ok()
        .and_then(|a| a.number("margin"))
    };
    let spread = about.unwrap_or(0.2 * evaporation);
    let (Some(likely), Some(least), Some(most)) = (
        margin(delivered, evaporation),
        margin(delivered - u, evaporation + spread),
        margin(delivered + u, evaporation - spread),
    ) else {
        return;
    };
    let about = format!(
        "It feeds {} times what the boiler evaporates ({} to {})",
        show::fixed(likely, 1),
        show::fixed(least, 1),
        show::fixed(most, 1)
    );
    if most < 1.0 {
        grounds.fail(format!("{about}: it cannot keep up."));
    } else if least >= MARGIN {
        grounds.remark(format!("{about}."));
    } else {
        grounds.doubt(format!("{about}; {} is asked.", show::fixed(MARGIN, 2)));
    }
}

/// Water a steam pump delivers over the steam it takes, at a factor by which steam condenses in it.
fn gain(setup: &Setup, catch: &Catch, condensation: f64) -> Option<f64> {
    let plant = &setup.trial.plant;
    let pump = plant
        .feed_pump
        .filter(|_| plant.feed_drive == Some(Drive::Steam))?;
    let open = !against_pressure(setup, catch);
    net_gain(&Gain {
        steam_bore_mm: pump.steam_bore_mm?,
        water_bore_mm: pump.bore_mm?,
        stroke_mm: pump.stroke_mm?,
        rod_mm: pump.rod_mm.unwrap_or(0.0),
        pressure: Gauge::from_bar(catch.bar?),
        barometer: setup.barometer,
        efficiency: reckoned(setup, catch, open)?.number("vol_eff")?,
        clearance: CLEARANCE,
        condensation,
    })
    .ok()?
    .number("net_gain_ratio")
}

/// A steam pump must gain on itself, and its steam end must push the water in.
fn by_steam(setup: &Setup, catch: &Catch, open: bool, grounds: &mut Grounds) {
    let (dry, wet) = (
        gain(setup, catch, CONDENSES.0),
        gain(setup, catch, CONDENSES.2),
    );
    if let (Some(likely), Some(most), Some(least)) = (gain(setup, catch, CONDENSES.1), dry, wet) {
        let about = format!(
            "It delivers {} times the weight of steam it takes ({} to {})",
            show::fixed(likely, 0),
            show::fixed(least, 0),
            show::fixed(most, 0)
        );
        if most < GAINS.1 {
            grounds.fail(format!(
                "{about}: valves stuck, air, or steam leaking past."
            ));
        } else if likely >= GAINS.0 {
            grounds.remark(format!("{about}."));
        } else {
            grounds.doubt(format!("{about}; {} is good.", show::fixed(GAINS.0, 0)));
        }
    }
    let pump = setup.trial.plant.feed_pump;
    let (Some(steam), Some(water), Some(working)) = (
        pump.and_then(|p| p.steam_bore_mm),
        pump.and_then(|p| p.bore_mm),
        setup.working_bar(),
    ) else {
        return;
    };
    let margin = force_margin(&Push {
        steam_bore_mm: steam,
        water_bore_mm: water,
        steam: Gauge::from_bar(working),
        boiler: Gauge::from_bar(working),
        valves_bar: VALVES_BAR,
        efficiency: MECHANICAL,
        friction_n: FRICTION_N,
    });
    let Some(margin) = margin.ok().and_then(|a| a.number("force_margin")) else {
        return;
    };
    let about = format!(
        "Its steam end pushes {} times what the water end needs at working pressure",
        show::fixed(margin, 2)
    );
    // Reckoned with assumed friction: what was caught against pressure outranks a fail.
    if margin < 1.0 && open {
        grounds.fail(format!("{about}: it cannot push the water in."));
    } else if margin < FORCE {
        grounds.doubt(format!("{about}; {} is good.", show::fixed(FORCE, 1)));
    } else {
        grounds.remark(format!("{about}."));
    }
}

pub(super) fn figures(facts: &Facts, out: &mut Vec<Figure>) {
    let Some(catch) = judged_by(facts).filter(|c| c.seconds > 0.0) else {
        return;
    };
    let span = (catch.t_s - catch.seconds, catch.t_s);
    let (delivered, u) = flow(&catch);
    out.push(figure("pump-delivery", delivered, Some(u), "ml/min", span));
    out.extend(gain_figure(facts, &catch, span));
    let open = !against_pressure(&facts.setup, &catch);
    if let Some(answer) = reckoned(&facts.setup, &catch, open)
        && let Some(slip) = answer.figures.iter().find(|f| f.name == "slip")
        && let Some(value) = answer.number("slip")
    {
        let u = slip.plus_minus.map(|u| u * 100.0);
        out.push(figure("pump-slip", value * 100.0, u, "%", span));
    }
}

/// Net gain of a steam pump, with half the span between the driest and the wettest of such pumps.
fn gain_figure(facts: &Facts, catch: &Catch, span: (f64, f64)) -> Option<Figure> {
    let setup = &facts.setup;
    let likely = gain(setup, catch, CONDENSES.1)?;
    let (most, least) = (
        gain(setup, catch, CONDENSES.0)?,
        gain(setup, catch, CONDENSES.2)?,
    );
    Some(figure(
        "net-gain",
        likely,
        Some((most - least) / 2.0),
        "–",
        span,
    ))
}

/// Share that slips by at the catch that is judged, and when that was.
pub(super) fn slip(facts: &Facts) -> Option<(f64, f64)> {
    let catch = judged_by(facts).filter(|c| c.seconds > 0.0)?;
    let open = !against_pressure(&facts.setup, &catch);
    let slip = reckoned(&facts.setup, &catch, open)?.number("slip")?;
    Some((slip, catch.t_s))
}

/// What a stroke there and back really moves, as this trial's catches show it: ml and its expanded
/// uncertainty.
pub(super) fn moved_ml(facts: &Facts) -> Option<(f64, f64)> {
    let catch = judged_by(facts)?;
    let cycles = catch.cycles.filter(|n| *n > 0.0)?;
    let (per_min, u) = flow(&catch);
    let minutes = catch.seconds / 60.0;
    Some((per_min * minutes / cycles, u * minutes / cycles))
}
