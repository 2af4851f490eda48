//! A shell under test: over its target, with air left in it, falling, drifting, or read too coarsely.

use super::{Finding, Severity, View};
use crate::air::brode_joules;
use crate::quantity::Gauge;
use crate::show;
use crate::trial::kinds::shell::{self, Fall};
use crate::trial::{Kind, remedy};

/// More than this in the shell is worth a note, % of its inside (trade practice).
const NOTE_PCT: f64 = 0.5;

fn bars(bar: f64) -> String {
    format!("{} bar", show::fixed(bar, 2))
}

fn is_test(view: &View) -> bool {
    matches!(view.setup.trial.kind, Kind::Hydraulic | Kind::Air)
}

pub(super) fn over_target(view: &View) -> Option<Finding> {
    let bar = view.facts.pressure.bar?;
    match view.setup.trial.kind {
        Kind::Hydraulic => over_water(view, bar),
        Kind::Air => over_air(view, bar),
        _ => None,
    }
}

fn over_water(view: &View, bar: f64) -> Option<Finding> {
    let target = view.setup.target_bar()?;
    let limit = target * (1.0 + view.setup.trial.limits.over_target_pct / 100.0);
    if bar <= limit {
        return None;
    }
    let proven = view
        .setup
        .pressure_u_bar()
        .is_some_and(|u| bar - 2.0 * u > limit);
    let severity = if proven {
        Severity::Stop
    } else {
        Severity::Caution
    };
    let says = format!(
        "{} is over the test pressure of {}; {} is the most.",
        bars(bar),
        bars(target),
        bars(limit)
    );
    let finding = Finding::new(severity, says, remedy::OVER_TARGET).limit(limit);
    Some(finding.with("pressure_bar", bar).with("limit_bar", limit))
}

fn over_air(view: &View, bar: f64) -> Option<Finding> {
    let limits = &view.setup.trial.limits;
    let cap = view.setup.air_cap_bar();
    let volume = view.setup.trial.plant.volume_ml;
    let joules = volume.map(|ml| brode_joules(Gauge::from_bar(bar), ml));
    let says = if bar > cap {
        format!("{} of air is over its cap of {}.", bars(bar), bars(cap))
    } else {
        let joules = joules.filter(|j| *j > limits.air_energy_max_j)?;
        format!(
            "The air in it holds {} J; {} J is the most.",
            show::fixed(joules, 0),
            show::fixed(limits.air_energy_max_j, 0)
        )
    };
    let mut finding = Finding::new(Severity::Stop, says, remedy::OVER_CAP)
        .limit(cap)
        .with("pressure_bar", bar)
        .with("limit_bar", cap);
    if let Some(joules) = joules {
        finding = finding.with("energy_j", joules.round());
    }
    Some(finding)
}

pub(super) fn trapped_air(view: &View) -> Option<Finding> {
    if view.setup.trial.kind != Kind::Hydraulic {
        return None;
    }
    let air = shell::trapped(view.facts)?;
    let limits = &view.setup.trial.limits;
    let (severity, limit) = if air.pct > limits.trapped_air_stop_pct {
        (Severity::Stop, limits.trapped_air_stop_pct)
    } else if air.pct > limits.trapped_air_caution_pct {
        (Severity::Caution, limits.trapped_air_caution_pct)
    } else if air.pct > NOTE_PCT {
        (Severity::Note, NOTE_PCT)
    } else {
        return None;
    };
    let says = format!(
        "Air left in it: {} ml, {} % of its inside; {} % is the figure.",
        show::fixed(air.ml, 0),
        show::fixed(air.pct, 1),
        show::fixed(limit, 1)
    );
    let todo = match severity {
        Severity::Stop => remedy::TRAPPED_AIR_STOP,
        _ => remedy::TRAPPED_AIR,
    };
    Some(
        Finding::new(severity, says, todo)
            .limit(limit)
            .with("air_pct", (air.pct * 100.0).round() / 100.0)
            .with("air_ml", (air.ml * 10.0).round() / 10.0)
            .with("begun_again", f64::from(view.facts.press.begun_again)),
    )
}

/// It clears when the pumping is begun again, and by nothing else.
pub(super) fn trapped_air_clears(flag: &super::Flag, view: &View) -> bool {
    let at = |name: &str| flag.evidence.iter().find(|e| e.0 == name).map(|e| e.1);
    at("begun_again").is_some_and(|n| f64::from(view.facts.press.begun_again) > n)
}

/// The hold that runs, judged; none once it has ended.
fn running(view: &View) -> Option<Fall> {
    let held = view.facts.press.hold.filter(|h| h.ended_s.is_none());
    held.filter(|_| is_test(view))
        .and_then(|_| shell::fall(view.facts))
}

/// With water a gauge can be known to be too coarse as the hold begins: what may fall does not depend
/// on how long it lasts.
fn before_any_fall(view: &View) -> Option<(f64, f64)> {
    let runs = view.facts.press.hold.is_some_and(|h| h.ended_s.is_none());
    let target = view
        .setup
        .target_bar()
        .filter(|_| runs && view.setup.trial.kind == Kind::Hydraulic)?;
    let allowed = view.setup.trial.limits.allowed_drop_pct / 100.0 * target;
    Some((shell::reading_bar(view.setup), allowed))
}

fn hold_ended(view: &View) -> bool {
    view.facts.press.hold.is_none_or(|h| h.ended_s.is_some())
}

pub(super) fn hold_clears(view: &View) -> bool {
    hold_ended(view)
}

pub(super) fn falling(view: &View) -> Option<Finding> {
    let fall = running(view)?;
    if fall.drop_bar <= fall.expanded_bar {
        return None;
    }
    let says = if fall.drift_k.is_some() {
        format!(
            "The pressure has fallen by {} more than the temperature did; {} can be explained.",
            bars(fall.drop_bar),
            bars(fall.expanded_bar)
        )
    } else {
        format!(
            "The pressure has fallen by {}; no temperature was read, so cooling is not ruled out.",
            bars(fall.drop_bar)
        )
    };
    Some(
        Finding::new(Severity::Caution, says, remedy::PRESSURE_FALLING)
            .with("drop_bar", fall.drop_bar)
            .with("plus_minus_bar", fall.expanded_bar),
    )
}

pub(super) fn drifting(view: &View) -> Option<Finding> {
    let fall = running(view)?;
    let (kelvin, bar) = (fall.drift_k?, fall.drift_bar()?);
    (bar.abs() > fall.allowed_bar).then(|| {
        let says = format!(
            "It drifted by {} K, worth {}; the verdict turns on {}.",
            show::fixed(kelvin, 1),
            bars(bar.abs()),
            bars(fall.allowed_bar)
        );
        Finding::new(Severity::Caution, says, remedy::DRIFT)
            .with("drift_k", kelvin)
            .with("drift_bar", bar)
            .with("allowed_bar", fall.allowed_bar)
    })
}

pub(super) fn too_coarse(view: &View) -> Option<Finding> {
    let (reading_bar, allowed_bar) = running(view)
        .map(|fall| (fall.reading_bar, fall.allowed_bar))
        .or_else(|| before_any_fall(view))?;
    (reading_bar > allowed_bar).then(|| {
        let says = format!(
            "Read on this gauge a fall is known to ±{}; the verdict turns on {}.",
            bars(reading_bar),
            bars(allowed_bar)
        );
        Finding::new(Severity::Caution, says, remedy::COARSE_GAUGE)
            .with("plus_minus_bar", reading_bar)
            .with("allowed_bar", allowed_bar)
    })
}
