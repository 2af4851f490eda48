//! The air test: under its cap, after water, and how much it leaks.

use super::{Grounds, figure, hydraulic, shell};
use crate::air::brode_joules;
use crate::quantity::Gauge;
use crate::show;
use crate::trial::assessment::Figure;
use crate::trial::facts::Facts;

/// Leak of a fitting that is worth no more than a note, and that fails, standard ml/min
/// (trade practice).
const LEAK_ML_MIN: (f64, f64) = (1.0, 5.0);
/// Under this the gauge and its pipe hold as much as the vessel, ml.
const LEAST_ML: f64 = 20.0;

pub(super) fn judge(facts: &Facts, grounds: &mut Grounds) {
    hydraulic::seen_at_fittings(facts, grounds);
    stored(facts, grounds);
    let Some(volume) = facts.setup.trial.plant.volume_ml else {
        grounds.doubt("The size of what is tested is not known, so the leak cannot be reckoned.");
        return;
    };
    if volume < LEAST_ML {
        grounds.doubt("Under 20 ml the gauge and its pipe hold as much as what is tested.");
        return;
    }
    if !hydraulic::long_enough(facts, grounds) {
        return;
    }
    let Some((flow, u)) = shell::fall(facts).and_then(|f| f.leak_ml_min) else {
        grounds.doubt(
            "No temperature was read at both ends of the hold: one kelvin is worth a standard \
             millilitre a minute, so nothing is proven of the leak.",
        );
        return;
    };
    let about = format!(
        "Leak {} ±{} ml a minute of air at 101.325 kPa and 20 °C",
        show::fixed(flow, 1),
        show::fixed(u, 1)
    );
    if flow - u > LEAK_ML_MIN.1 {
        grounds.fail(format!("{about}: over {}.", show::fixed(LEAK_ML_MIN.1, 0)));
    } else if flow < -u {
        grounds.doubt(format!("{about}: it was warming, or the barometer moved."));
    } else if flow + u <= LEAK_ML_MIN.0 {
        grounds.remark(format!("{about}: tight."));
    } else if flow + u <= LEAK_ML_MIN.1 {
        grounds.doubt(format!("{about}: find it with soap and mend it."));
    } else {
        grounds.doubt(format!("{about}: neither tight nor shown to leak."));
    }
}

fn stored(facts: &Facts, grounds: &mut Grounds) {
    let (Some(bar), Some(ml)) = (
        facts.pressure.highest_bar,
        facts.setup.trial.plant.volume_ml,
    ) else {
        return;
    };
    grounds.remark(format!(
        "At the highest, {} bar, the air held {} J.",
        show::fixed(bar, 2),
        show::fixed(brode_joules(Gauge::from_bar(bar), ml), 0)
    ));
}

pub(super) fn figures(facts: &Facts, out: &mut Vec<Figure>) {
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
}
