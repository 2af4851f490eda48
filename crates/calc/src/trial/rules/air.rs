//! The air and the flame.

use super::{Finding, Severity, View};
use crate::show;
use crate::trial::remedy;

/// All must have been under caution for this long, with samples, before the air is good again, s.
const GOOD_FOR_S: f64 = 300.0;
/// Air through the flue before relighting, s.
const PURGE_S: f64 = 300.0;
/// More than this before lighting is background, ppm.
const BACKGROUND_PPM: f64 = 2.0;

struct Figures {
    now_ppm: Option<f64>,
    mean_15min_ppm: Option<f64>,
    mean_8h_ppm: Option<f64>,
    age_s: f64,
}

fn figures(view: &View) -> Figures {
    let air = &view.facts.air;
    let last = air.last();
    Figures {
        now_ppm: last.map(|s| s.1),
        mean_15min_ppm: air.mean_15min_ppm(view.t_s),
        mean_8h_ppm: air.mean_8h_ppm(view.t_s),
        age_s: last.map_or(0.0, |s| view.t_s - s.0),
    }
}

fn at_least(value: Option<f64>, limit: f64) -> bool {
    value.is_some_and(|v| v >= limit)
}

/// The last moment at which the air was at or over a caution figure or something was noticed, up to
/// now.
pub(super) fn last_bad_s(view: &View, before: Option<f64>) -> Option<f64> {
    let f = figures(view);
    let limits = &view.setup.trial.limits;
    let air = &view.facts.air;
    let over = at_least(f.now_ppm, limits.co_peak_caution_ppm)
        || at_least(f.mean_15min_ppm, limits.co_15min_caution_ppm)
        || at_least(f.mean_8h_ppm, limits.co_8h_stop_ppm);
    let noticed = [air.alarm_s, air.symptom_s, air.fumes_s]
        .into_iter()
        .flatten();
    noticed
        .chain(before)
        .chain(over.then_some(view.t_s))
        .reduce(f64::max)
}

/// Has everything been under caution for five minutes, with samples?
pub(super) fn is_good(view: &View) -> bool {
    let last = view.facts.air.last().map(|s| s.0);
    last.is_some_and(|s| s > view.t_s - GOOD_FOR_S)
        && view
            .bad_air_s
            .is_none_or(|bad| view.t_s - bad >= GOOD_FOR_S && last.is_some_and(|s| s > bad))
}

pub(super) fn carbon_monoxide(view: &View) -> Option<Finding> {
    let f = figures(view);
    let limits = &view.setup.trial.limits;
    let air = &view.facts.air;
    let ppm =
        |name: &str, v: Option<f64>| format!("{name} {} ppm.", show::fixed(v.unwrap_or(0.0), 0));
    let fresh = |s: Option<f64>| view.still_bad(s);
    let stop = |says: String| {
        Finding::new(Severity::Stop, says, remedy::MONOXIDE)
            .with("co_ppm", f.now_ppm.unwrap_or(0.0))
            .with("co_15min_ppm", f.mean_15min_ppm.unwrap_or(0.0).round())
    };
    if fresh(air.symptom_s) {
        return Some(stop(
            "Somebody feels ill: headache, dizziness or sickness.".to_owned(),
        ));
    }
    if fresh(air.alarm_s) {
        return Some(stop("The carbon monoxide alarm sounds.".to_owned()));
    }
    if at_least(f.now_ppm, limits.co_peak_stop_ppm) {
        return Some(stop(ppm("Carbon monoxide", f.now_ppm)));
    }
    if at_least(f.mean_15min_ppm, limits.co_15min_stop_ppm) {
        return Some(stop(ppm(
            "Carbon monoxide, mean of 15 min,",
            f.mean_15min_ppm,
        )));
    }
    if at_least(f.mean_8h_ppm, limits.co_8h_stop_ppm) {
        return Some(stop(ppm(
            "Carbon monoxide, dose of a working day,",
            f.mean_8h_ppm,
        )));
    }
    caution(view, &f).or_else(|| background(view, &f))
}

fn caution(view: &View, f: &Figures) -> Option<Finding> {
    let limits = &view.setup.trial.limits;
    let fumes = view.still_bad(view.facts.air.fumes_s);
    let at_figure = at_least(f.now_ppm, limits.co_peak_caution_ppm)
        || at_least(f.mean_15min_ppm, limits.co_15min_caution_ppm);
    if !at_figure && !fumes {
        return None;
    }
    let says = if fumes {
        "Fumes were noticed.".to_owned()
    } else if f.age_s > GOOD_FOR_S {
        "Carbon monoxide was at the caution figure and has not been measured since: sample again."
            .to_owned()
    } else {
        format!(
            "Carbon monoxide {} ppm.",
            show::fixed(f.now_ppm.unwrap_or(0.0), 0)
        )
    };
    Some(
        Finding::new(Severity::Caution, says, remedy::MONOXIDE_CAUTION)
            .with("co_ppm", f.now_ppm.unwrap_or(0.0))
            .with("co_15min_ppm", f.mean_15min_ppm.unwrap_or(0.0).round()),
    )
}

fn background(view: &View, f: &Figures) -> Option<Finding> {
    let ppm = f.now_ppm.filter(|ppm| *ppm > BACKGROUND_PPM)?;
    (!view.facts.fire.ever_lit).then(|| {
        let says = format!(
            "{} ppm of carbon monoxide before lighting.",
            show::fixed(ppm, 0)
        );
        Finding::new(Severity::Note, says, remedy::BACKGROUND).with("co_ppm", ppm)
    })
}

pub(super) fn poor_combustion(view: &View) -> Option<Finding> {
    let ratio = view.facts.air.flue_ratio?;
    let limits = &view.setup.trial.limits;
    let (severity, limit) = if ratio > limits.co_co2_stop {
        (Severity::Stop, limits.co_co2_stop)
    } else if ratio > limits.co_co2_caution {
        (Severity::Caution, limits.co_co2_caution)
    } else {
        return None;
    };
    let says = format!(
        "CO/CO₂ {} is over {}.",
        show::fixed(ratio, 4),
        show::fixed(limit, 3)
    );
    Some(Finding::new(severity, says, remedy::COMBUSTION).with("co_co2", ratio))
}

pub(super) fn flame_lost(view: &View) -> Option<Finding> {
    let flame = &view.facts.flame;
    if flame.lost {
        return Some(Finding::new(
            Severity::Stop,
            "The flame is lost.",
            remedy::FLAME,
        ));
    }
    let air_for = view.t_s - flame.shut_off_s?;
    (air_for < PURGE_S).then(|| {
        let says = format!("No relighting for {} yet.", show::span(PURGE_S - air_for));
        Finding::new(Severity::Caution, says, remedy::NO_RELIGHT)
    })
}
