//! The water: out of sight, under its mark, falling, unseen, over full, and whether the glass can be
//! believed.

use super::{Finding, Flag, Severity, View};
use crate::show;
use crate::trial::facts::Sight;
use crate::trial::remedy;
use crate::trial::watch::prior;

/// Share of the charge that may be boiled away unseen.
const UNSEEN_SHARE: f64 = 0.6;
/// Time allowed unseen where nothing is known of the fire, s.
const UNSEEN_S: f64 = 600.0;
/// Steps of the glass that water must have moved for it to be suspect, and for a stop.
const SUSPECT_STEPS: (f64, f64) = (4.0, 8.0);
/// A falling flag clears when the runway is this much over the figure that raised it.
const CLEAR_FACTOR: f64 = 1.3;

fn hot_or_note(view: &View) -> Severity {
    if view.facts.hot() {
        Severity::Stop
    } else {
        Severity::Note
    }
}

pub(super) fn out_of_sight(view: &View) -> Option<Finding> {
    if !view.out_of_sight() {
        return None;
    }
    Some(if view.facts.hot() {
        Finding::new(
            Severity::Stop,
            "No water seen in the glass, and it is hot.",
            remedy::OUT_OF_SIGHT,
        )
    } else {
        Finding::new(
            Severity::Note,
            "No water seen in the glass.",
            remedy::OUT_OF_SIGHT_COLD,
        )
    })
}

pub(super) fn below_mark(view: &View) -> Option<Finding> {
    let mark = view.setup.low_mark_mm()?;
    let Sight::Level(level) = view.facts.water.sight else {
        return None;
    };
    if level > mark {
        return None;
    }
    let severity = hot_or_note(view);
    let todo = if severity == Severity::Stop {
        remedy::BELOW_MARK
    } else {
        remedy::BELOW_MARK_COLD
    };
    let says = format!(
        "Water at {} mm: at or under the low mark of {} mm.",
        show::fixed(level, 1),
        show::fixed(mark, 1)
    );
    Some(
        Finding::new(severity, says, todo)
            .with("level_mm", level)
            .with("low_mark_mm", mark),
    )
}

pub(super) fn falling(view: &View) -> Option<Finding> {
    let runway = view.runway?;
    let limits = &view.setup.trial.limits;
    let stop = limits.runway_stop_s.max(1.2 * view.usual_gap_s);
    let caution = limits.runway_caution_s.max(2.5 * view.usual_gap_s);
    let (severity, limit) = if runway.least_s < stop && !second_look_pending(view) {
        (Severity::Stop, stop)
    } else if runway.least_s < caution {
        (Severity::Caution, caution)
    } else {
        return None;
    };
    let likely = match runway.likely_s {
        Some(s) if s - runway.least_s >= 30.0 => format!("; most likely in {}", show::span(s)),
        _ => String::new(),
    };
    let says = if runway.least_s <= 0.0 {
        "Water may be at the low mark now.".to_owned()
    } else {
        format!(
            "Water may reach the low mark in {}{likely}.",
            show::span(runway.least_s)
        )
    };
    let todo = remedy::falling(view.facts.feed_on(), view.out_of_sight());
    let mut finding = Finding::new(severity, says, todo)
        .limit(limit)
        .with("runway_s", runway.least_s.round());
    if let Some(likely) = runway.likely_s {
        finding = finding.with("likely_s", likely.round());
    }
    if let Some(level) = view.facts.water.level_mm {
        finding = finding.with("level_mm", level);
    }
    if let Some([slope, high, low]) = view.facts.watch.slope_mm_min() {
        let tenth = |x: f64| (x * 10.0).round() / 10.0;
        finding = finding
            .with("slope_mm_per_min", tenth(slope))
            .with("slope_low", tenth(low))
            .with("slope_high", tenth(high));
    }
    Some(finding.with("readings", f64::from(view.facts.water.hot_readings)))
}

/// A reading that nothing expected gets a second look before it cries stop: for one usual gap, and
/// only while the reading itself stands clear of the mark.
fn second_look_pending(view: &View) -> bool {
    let Some(read) = view.facts.water.read_s else {
        return false;
    };
    let clear = match (view.facts.water.sight, view.setup.low_mark_mm()) {
        (Sight::Level(mm), Some(mark)) => mm > mark + view.setup.resolution_mm,
        _ => false,
    };
    clear && view.facts.watch.strange() && view.t_s - read < view.usual_gap_s.min(60.0)
}

pub(super) fn falling_clears(flag: &Flag, view: &View) -> bool {
    view.new_reading
        && view
            .runway
            .is_none_or(|r| r.least_s > CLEAR_FACTOR * flag.limit)
}

pub(super) fn unseen(view: &View) -> Option<Finding> {
    if !view.facts.water_unseen() || !view.facts.fire.ever_lit {
        return None;
    }
    let lit = view.t_s - view.facts.fire.hot_since_s?;
    let plant = &view.setup.trial.plant;
    let heat_kw = plant
        .burner
        .as_ref()
        .and_then(prior::heat_kw)
        .map(|(kw, _)| kw);
    let share = plant.burner.and_then(|b| b.efficiency_pct).unwrap_or(65.0) / 100.0;
    let allowed = match (plant.charge_ml, heat_kw) {
        (Some(ml), Some(kw)) if kw > 0.0 => UNSEEN_SHARE * ml / 1000.0 * 2107.6 / (kw * share),
        _ => UNSEEN_S,
    };
    if view.facts.fire.lit && lit > allowed {
        let says = format!(
            "Lit for {}: over half the charge may be gone, and the water cannot be seen.",
            show::span(lit)
        );
        return Some(Finding::new(Severity::Stop, says, remedy::UNSEEN).with("lit_s", lit));
    }
    let says = format!(
        "The water cannot be seen. Fire out by {} after lighting.",
        show::span(allowed)
    );
    Some(Finding::new(Severity::Caution, says, remedy::UNSEEN).with("allowed_s", allowed.round()))
}

pub(super) fn glass_suspect(view: &View) -> Option<Finding> {
    let stuck = &view.facts.stuck;
    let step_kg = view.setup.resolution_mm * view.facts.watch.kg_per_mm();
    let steps = stuck.unmoved_kg() / step_kg.max(1e-9);
    let seen = "The level does not move, yet water has gone or come";
    if steps >= SUSPECT_STEPS.1 {
        let says = format!("{seen}: the glass cannot be believed.");
        return Some(
            Finding::new(Severity::Stop, says, remedy::GLASS).with("steps", steps.floor()),
        );
    }
    if steps >= SUSPECT_STEPS.0 {
        let says = format!("{seen}: the glass may be blocked.");
        return Some(
            Finding::new(Severity::Caution, says, remedy::GLASS).with("steps", steps.floor()),
        );
    }
    stuck.found_sluggish.then(|| {
        Finding::new(
            Severity::Caution,
            "The glass was found sluggish.",
            remedy::GLASS,
        )
    })
}

pub(super) fn glasses_disagree(view: &View) -> Option<Finding> {
    let says = view.facts.water.disagree?;
    Some(Finding::new(
        Severity::Stop,
        format!("{says}."),
        remedy::GLASSES,
    ))
}

pub(super) fn over_mark(view: &View) -> Option<Finding> {
    let water = &view.facts.water;
    if water.carry_over {
        let says = "Water was carried over into the engine or exhaust.";
        return Some(Finding::new(Severity::Caution, says, remedy::OVER_FULL));
    }
    if water.over_with_steam >= 2 {
        let says = "Water over the high mark, with steam being taken.";
        return Some(Finding::new(Severity::Caution, says, remedy::OVER_FULL));
    }
    (water.over_mark && !view.facts.steam_taken()).then(|| {
        Finding::new(
            Severity::Note,
            "Water over the high mark.",
            remedy::OVER_FULL,
        )
    })
}

pub(super) fn overdue(view: &View) -> Option<Finding> {
    let since = view.facts.fire.hot_since_s?;
    let from = view
        .facts
        .water
        .looked_s
        .map_or(since, |looked| looked.max(since));
    let gone = view.t_s - from;
    let every = view.setup.trial.limits.reading_every_s;
    let says = format!("Nobody has looked at the water for {}.", show::span(gone));
    let severity = if gone >= 2.0 * every {
        Severity::Stop
    } else if gone >= every {
        Severity::Caution
    } else {
        return None;
    };
    Some(Finding::new(severity, says, remedy::LOOK).with("since_s", gone.round()))
}
