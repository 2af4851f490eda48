//! Figures that can hardly be so: asked about once, before they are kept.

use super::decimal;
use super::load::Judged;
use super::typed::{Typed, one};
use crate::form::Faults;

/// A figure that the gauge can hardly have shown is asked about once, never changed and never refused.
pub(super) fn doubtful(trial: &Judged, form: &Typed) -> Option<Faults> {
    if form.get("what") != "reading" || form.get("sure") == "yes" {
        return None;
    }
    let typed: f64 = decimal::read(form.get("pressure_bar")).ok()?.parse().ok()?;
    let file = trial.file.trial();
    let gauge = file
        .instruments
        .pressure
        .as_ref()
        .and_then(|i| i.full_scale_bar);
    let (most, why) = match (gauge, file.plant.working_pressure_bar) {
        (Some(scale), _) => (scale, format!("the gauge goes to {scale} bar")),
        (None, Some(working)) => (
            working * 2.0,
            format!("the working pressure is {working} bar"),
        ),
        (None, None) => (20.0, "hardly any such boiler goes there".to_owned()),
    };
    (typed > most).then(|| {
        one(
            "pressure_bar",
            format!("{typed} bar? {why}. Tick “it is so” to keep it as typed, or type it again"),
        )
    })
}
