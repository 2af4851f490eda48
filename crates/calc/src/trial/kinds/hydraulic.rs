//! The hydraulic test: seen first, then reached, then held, and how much air was in it.

use super::{Grounds, figure, shell};
use crate::answer::Finding;
use crate::show;
use crate::trial::assessment::Figure;
use crate::trial::facts::Facts;
use crate::uncertainty::{reaches, stays_under};

/// Growth for good that says the metal has yielded, % (the proof stress is defined by 0.2 %).
const GROWTH_PCT: f64 = 0.2;
/// Drift of the water over a hold after which it says nothing, K (trade practice).
const DRIFT_K: f64 = 1.0;
/// What a correction by more than that drift is off by at most, as a share of it (shell and air not
/// being known better; trade practice).
const CORRECTION_SHARE: f64 = 0.3;
/// A hold's readings may begin and end this much inside it, s.
const EDGE_S: f64 = 60.0;

fn bars(bar: f64) -> String {
    format!("{} bar", show::fixed(bar, 2))
}

pub(super) fn judge(facts: &Facts, grounds: &mut Grounds) {
    if let Some(pct) = facts.press.growth_pct {
        if pct > GROWTH_PCT {
            grounds.fail(format!(
                "It grew by {} % for good: more than {} %, so the metal has yielded.",
                show::fixed(pct, 2),
                show::fixed(GROWTH_PCT, 1)
            ));
        } else {
            grounds.remark(format!("Growth for good {} %.", show::fixed(pct, 2)));
        }
    }
    seen_at_fittings(facts, grounds);
    attained(facts, grounds);
    held(facts, grounds);
    air(facts, grounds);
    if shell::shell(&facts.setup).1 {
        grounds.remark(
            "Reckoned with an assumed shell (copper, 100 mm inside, 2.5 mm thick) where it was not \
             given.",
        );
    }
}

/// A weep at a blank or a fitting is mended and tested again: it must not have come in the hold.
pub(super) fn seen_at_fittings(facts: &Facts, grounds: &mut Grounds) {
    let began = facts.press.hold.map_or(f64::MAX, |h| h.started_s);
    let weeps: Vec<&str> = facts
        .press
        .leaked
        .iter()
        .filter(|(at, seen_s)| !at.is_grave() && **seen_s >= began)
        .map(|(at, _)| at.word())
        .collect();
    if !weeps.is_empty() {
        grounds.doubt(format!(
            "A weep was seen in the hold ({}): mend it and test again.",
            weeps.join(", ")
        ));
    }
}

fn attained(facts: &Facts, grounds: &mut Grounds) {
    let setup = &facts.setup;
    let Some(target) = setup.target_bar() else {
        grounds.doubt("No working pressure is known, so what it must be tested to is not known.");
        return;
    };
    let Some(highest) = highest_bar(facts) else {
        grounds.doubt("No pressure was read.");
        return;
    };
    if let Some(u) = setup.pressure_u_bar() {
        match reaches(highest, 2.0 * u, target) {
            Finding::Yes => grounds.remark(format!(
                "{} was reached: {} ±{}.",
                bars(target),
                bars(highest),
                show::fixed(2.0 * u, 2)
            )),
            Finding::No => grounds.doubt(format!(
                "The test pressure of {} was not reached: {} ±{}.",
                bars(target),
                bars(highest),
                show::fixed(2.0 * u, 2)
            )),
            _ => grounds.doubt(format!(
                "That {} was reached is not proven: {} ±{}. This gauge proves it from {} shown.",
                bars(target),
                bars(highest),
                show::fixed(2.0 * u, 2),
                bars(target + 2.0 * u)
            )),
        }
    }
    if setup.trial.limits.first_test {
        grounds.need(
            facts.press.stages > 0,
            "It was not seen to be raised by stages: no pressure was read on the way up.",
        );
    }
}

fn highest_bar(facts: &Facts) -> Option<f64> {
    let held = facts.press.hold.filter(|h| h.first.is_some());
    held.map(|h| h.highest_bar).or(facts.pressure.highest_bar)
}

/// Doubts a hold that is missing or too short; answers whether there is one to judge.
pub(super) fn long_enough(facts: &Facts, grounds: &mut Grounds) -> bool {
    let need_s = facts.setup.trial.limits.hydraulic_hold_s;
    let Some(hold) = facts.press.hold else {
        grounds.doubt("No hold was entered.");
        return false;
    };
    let end = hold.ended_s.unwrap_or(facts.at_s);
    let length = end - hold.started_s;
    if length < need_s || hold.read_for_s() < need_s - EDGE_S {
        grounds.doubt(format!(
            "Held for {}, read over {}; {} is asked.",
            show::span(length),
            show::span(hold.read_for_s()),
            show::span(need_s)
        ));
    }
    true
}

fn held(facts: &Facts, grounds: &mut Grounds) {
    if !long_enough(facts, grounds) {
        return;
    }
    let Some(fall) = shell::fall(facts) else {
        grounds.doubt("The hold has fewer than two pressure readings.");
        return;
    };
    let about = format!(
        "The fall in the hold, corrected for temperature, is {} ±{}; {} is allowed.",
        bars(fall.drop_bar),
        show::fixed(fall.expanded_bar, 2),
        bars(fall.allowed_bar)
    );
    let Some(drift_k) = fall.drift_k else {
        grounds.doubt(format!(
            "No temperature was read at both ends of the hold, and one kelvin is worth {} here: \
             nothing is proven of the fall.",
            bars(fall.bar_per_k.abs())
        ));
        return;
    };
    match stays_under(fall.drop_bar, fall.expanded_bar, fall.allowed_bar) {
        // A large correction is itself uncertain: it must not make a fail that it may have feigned.
        Finding::Fail if !feigned(&fall) => {
            grounds.fail(about);
            return;
        }
        _ if fall.expanded_bar > fall.allowed_bar => grounds.doubt(too_coarse(&fall)),
        Finding::Pass => grounds.remark(about),
        _ => grounds.doubt(about),
    }
    if drift_k.abs() > DRIFT_K {
        grounds.doubt(format!(
            "The water drifted by {} K over the hold; more than {} K proves nothing.",
            show::fixed(drift_k, 1),
            show::fixed(DRIFT_K, 0)
        ));
    }
    if fall.drop_bar < -fall.expanded_bar {
        grounds.doubt("The pressure rose by more than the temperature explains: was it pumped?");
    }
}

/// Could the drift of the temperature, no better known than its share, have feigned the fall?
fn feigned(fall: &shell::Fall) -> bool {
    let drift = fall.drift_bar().unwrap_or(0.0).abs();
    let drifted = fall.drift_k.is_some_and(|k| k.abs() > DRIFT_K);
    drifted && fall.drop_bar - fall.expanded_bar - CORRECTION_SHARE * drift <= fall.allowed_bar
}

/// The honest sentence about thermometers.
fn too_coarse(fall: &shell::Fall) -> String {
    format!(
        "The fall in the hold cannot be told to better than ±{}, and {} is allowed: at {} a kelvin an \
         ordinary thermometer cannot prove such a hold. Soak it warm and long, read hundredths of a \
         degree, and look at every joint: a weep shows more than any gauge.",
        bars(fall.expanded_bar),
        bars(fall.allowed_bar),
        bars(fall.bar_per_k.abs())
    )
}

fn air(facts: &Facts, grounds: &mut Grounds) {
    if facts.setup.trial.plant.volume_ml.is_none() {
        grounds.doubt("The boiler's size is not known, so the air left in it is not known.");
        return;
    }
    match shell::trapped(facts) {
        None => grounds.doubt(
            "What was pumped in was not entered with a pressure, so the air left in it is not known.",
        ),
        Some(_) if shell::pumped_too_little(facts) => grounds.doubt(
            "Less was pumped in than water and shell alone would take: look at size, wall, gauge \
             and measure.",
        ),
        Some(air) => grounds.remark(format!(
            "Air left in it: {} % of its inside.",
            show::fixed(air.pct, 1)
        )),
    }
}

pub(super) fn figures(facts: &Facts, out: &mut Vec<Figure>) {
    let hold = facts.press.hold;
    let span = hold.map_or((0.0, facts.at_s), |h| {
        (h.started_s, h.ended_s.unwrap_or(facts.at_s))
    });
    if let Some(bar) = highest_bar(facts) {
        let u = facts.setup.pressure_u_bar().map(|u| 2.0 * u);
        out.push(figure("attained", bar, u, "bar", span));
    }
    if let Some(fall) = shell::fall(facts) {
        let span = (fall.from_s, fall.to_s);
        if fall.drift_k.is_some() {
            let u = Some(fall.expanded_bar);
            out.push(figure("drop-corrected", fall.drop_bar, u, "bar", span));
        }
        if let Some((flow, u)) = fall.leak_ml_min {
            out.push(figure("leak", flow, Some(u), "ml/min", span));
        }
    }
    if let Some(air) = shell::trapped(facts) {
        out.push(figure(
            "trapped-air",
            air.pct,
            air.plus_minus_pct,
            "%",
            (0.0, span.0),
        ));
    }
}
