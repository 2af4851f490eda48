//! What a figure cannot be over in this trial, said beside its box before anything is kept.

use serde::Serialize;
use triallog::{COARSE_GLASS_MM, MOST_IN_STEAM_BAR};

use super::decimal;
use super::load::Judged;
use super::typed::Typed;
use crate::form::Faults;

/// The most that one figure of a reading can be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Bound {
    /// Its box.
    pub(super) key: &'static str,
    /// The most, in the unit of the box.
    pub(super) most: f64,
    /// What to do instead.
    pub(super) says: String,
}

/// Those of a trial: the glass's length and one step of reading it, and the pressure of a boiler in steam.
pub(super) fn bounds(trial: &Judged) -> Vec<Bound> {
    let file = trial.file.trial();
    let mut all = Vec::new();
    if let Some(visible) = file.plant.glass.and_then(|g| g.visible_mm) {
        let step = file.instruments.level.as_ref().and_then(|i| i.resolution);
        let keys = [
            ("level_mm", ", or press ABOVE if the water stands over it"),
            ("level_second_mm", ""),
        ];
        all.extend(keys.map(|(key, or)| Bound {
            key,
            most: visible + step.unwrap_or(COARSE_GLASS_MM),
            says: format!("the glass is {visible} mm long: read it again{or}"),
        }));
    }
    if trial.row.kind != "hydraulic" {
        let keys = ["pressure_bar", "pressure_second_bar"];
        all.extend(keys.map(|key| Bound {
            key,
            most: MOST_IN_STEAM_BAR,
            says: format!("no boiler in steam is reckoned over {MOST_IN_STEAM_BAR} bar here: read the gauge again, in bar"),
        }));
    }
    all
}

/// The figures of a reading that are over it; none for anything else.
pub(super) fn over(trial: &Judged, form: &Typed) -> Option<Faults> {
    let mut faults = Faults::default();
    if form.get("what") == "reading" {
        for bound in bounds(trial) {
            let typed = decimal::read(form.get(bound.key)).ok();
            let figure: Option<f64> = typed.and_then(|t| t.parse().ok());
            if figure.is_some_and(|f| f > bound.most) {
                faults.add(bound.key, bound.says);
            }
        }
    }
    (!faults.list().is_empty()).then_some(faults)
}
