//! What should have been done or known beforehand, and leaks.

use super::{Finding, Severity, View};
use crate::trial::{Instrument, Kind, remedy};

/// Air over this is air under pressure, bar.
const AIR_BAR: f64 = 0.05;

pub(super) fn not_cleared(view: &View) -> Option<Finding> {
    let air = view.setup.trial.kind == Kind::Air;
    let over = |bar: f64| bar > AIR_BAR;
    let pressed = view.facts.pressure.highest_bar.is_some_and(over);
    let blown_up = air && (pressed || view.facts.fire.ever_lit);
    if !view.facts.hot() && !blown_up {
        return None;
    }
    let todo = if air {
        remedy::NOT_CLEARED_AIR
    } else {
        remedy::NOT_CLEARED
    };
    let Some(pass) = view.setup.trial.plant.hydraulic_pass else {
        let says = "No hydraulic test of this boiler is known.";
        let severity = if blown_up {
            Severity::Stop
        } else {
            Severity::Note
        };
        return Some(Finding::new(severity, says, todo));
    };
    if !view.facts.fire.ever_lit && !blown_up {
        return None;
    }
    let today = view.setup.trial.started_on;
    let over = pass
        .valid_until
        .zip(today)
        .is_some_and(|(until, today)| today > until);
    if over {
        let says = "The hydraulic pass of this boiler is out of date.";
        return Some(Finding::new(Severity::Stop, says, todo));
    }
    (pass.since_structural_work == Some(false)).then(|| {
        let says = "There was structural work after the hydraulic pass of this boiler.";
        Finding::new(Severity::Stop, says, todo)
    })
}

pub(super) fn gauge_out_of_date(view: &View) -> Option<Finding> {
    let instruments = &view.setup.trial.instruments;
    let read: Vec<(&str, Option<&Instrument>)> = [
        ("pressure", "pressure gauge", &instruments.pressure),
        (
            "pressure_second",
            "second pressure gauge",
            &instruments.pressure_second,
        ),
        ("temperature", "thermometer", &instruments.temperature),
        ("co", "carbon monoxide meter", &instruments.co),
        ("scale", "scale", &instruments.scale),
        ("level", "glass scale", &instruments.level),
        ("stopwatch", "stopwatch", &instruments.stopwatch),
    ]
    .into_iter()
    .filter(|(key, _, _)| view.facts.read.contains(key))
    .map(|(_, name, instrument)| (name, instrument.as_ref()))
    .collect();
    let due = |i: &Option<&Instrument>| i.and_then(|i| i.calibration_due);
    if let Some(today) = view.setup.trial.started_on {
        let over: Vec<&str> = read
            .iter()
            .filter(|(_, i)| due(i).is_some_and(|day| day < today))
            .map(|(name, _)| *name)
            .collect();
        if !over.is_empty() {
            let says = format!(
                "Calibration was due before this trial: {}.",
                over.join(", ")
            );
            return Some(Finding::new(Severity::Caution, says, remedy::CALIBRATION));
        }
    }
    let unknown: Vec<&str> = read
        .iter()
        .filter(|(name, i)| due(i).is_none() && *name != "glass scale")
        .map(|(name, _)| *name)
        .collect();
    (!unknown.is_empty()).then(|| {
        let says = format!("No calibration date is known: {}.", unknown.join(", "));
        Finding::new(Severity::Note, says, remedy::CALIBRATION)
    })
}

pub(super) fn leak_seen(view: &View) -> Option<Finding> {
    let worst = view.facts.leaks.iter().next()?;
    let places: Vec<&str> = view.facts.leaks.iter().map(|l| l.word()).collect();
    let severity = if worst.is_grave() {
        Severity::Stop
    } else {
        Severity::Caution
    };
    let says = format!("Leak seen: {}.", places.join(", "));
    Some(Finding::new(
        severity,
        says,
        remedy::leak(*worst, view.facts.hot()),
    ))
}

pub(super) fn check_missed(view: &View) -> Option<Finding> {
    let checks = &view.facts.checks;
    if !checks.missed().is_empty() {
        let says = format!(
            "Not done before fire or pressure: {}.",
            plain(checks.missed())
        );
        let todo = match view.setup.trial.kind {
            Kind::Hydraulic | Kind::Air => remedy::CHECK_MISSED_SHELL,
            _ => remedy::CHECK_MISSED,
        };
        return Some(Finding::new(Severity::Stop, says, todo));
    }
    (!checks.late().is_empty()).then(|| {
        let says = format!(
            "Done only after fire or pressure had come: {}.",
            plain(checks.late())
        );
        Finding::new(Severity::Note, says, remedy::CHECK_LATE)
    })
}

/// Names of hold points as words.
fn plain(names: &[String]) -> String {
    let own = |name: &String| name.strip_prefix("own-").unwrap_or(name).replace('-', " ");
    let words: Vec<String> = names.iter().map(own).collect();
    words.join(", ")
}
