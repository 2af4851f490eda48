//! Whether the gauge suits what was to be read on it. A remark: it changes no verdict, since the gauge's
//! class and span stand in every uncertainty already.

use super::Grounds;
use crate::show;
use crate::trial::Kind;
use crate::trial::facts::Facts;

/// A steady pressure is to be read within this part of the scale (the usual advice for dial gauges; no
/// clause was re-read).
const STEADY: (f64, f64) = (0.25, 0.75);
/// Full scale of a test gauge over the test pressure, at the least and at the most (trade practice).
const TEST_SCALE: (f64, f64) = (1.25, 4.0);

pub(super) fn remark(facts: &Facts, grounds: &mut Grounds) {
    let setup = &facts.setup;
    let gauge = setup.trial.instruments.pressure.as_ref();
    let full = gauge.and_then(|g| g.full_scale_bar).filter(|f| *f > 0.0);
    let (Some(full), true) = (full, facts.read.contains("pressure")) else {
        return;
    };
    match setup.trial.kind {
        Kind::Hydraulic => {
            let Some(target) = setup.target_bar().filter(|t| *t > 0.0) else {
                return;
            };
            let times = full / target;
            if !(TEST_SCALE.0..=TEST_SCALE.1).contains(&times) {
                grounds.remark(format!(
                    "The gauge's full scale, {} bar, is {} times the test pressure; 1¼ to 4 times is wanted, 1½ to 2 \
                     is best (trade practice).",
                    show::fixed(full, 1),
                    show::fixed(times, 1)
                ));
            }
        }
        Kind::Steam | Kind::SafetyValve => {
            let Some(working) = setup.working_bar().filter(|p| *p > 0.0) else {
                return;
            };
            let part = working / full;
            if !(STEADY.0..=STEADY.1).contains(&part) {
                grounds.remark(format!(
                    "Working pressure stands at {} % of the gauge's scale; between 25 and 75 % is where a steady \
                     pressure is to be read.",
                    show::fixed(part * 100.0, 0)
                ));
            }
        }
        _ => {}
    }
}
