//! Pressure, the safety valve, gauges that differ, and the engine's speed.

use super::{Finding, Flag, Severity, View};
use crate::show;
use crate::trial::facts::ROUNDING;
use crate::trial::{Kind, remedy};

/// Under its limit by this share of working pressure a flag clears.
const CLEAR_SHARE: f64 = 0.02;
/// A valve that has not shut when the pressure sank to this share of its setting.
const RESEAT_SHARE: f64 = 0.80;
const SPEED_CAUTION_SHARE: f64 = 0.9;
/// Time allowed over normal speed, s.
const PROOF_RUN_S: f64 = 30.0;

fn bars(bar: f64) -> String {
    format!("{} bar", show::fixed(bar, 2))
}

pub(super) fn high(view: &View) -> Option<Finding> {
    let bar = view.facts.pressure.bar?;
    let stop = view.setup.pressure_stop_bar()?;
    let caution = view.setup.pressure_caution_bar()?;
    let says = |limit: f64| format!("{} is over {}.", bars(bar), bars(limit));
    if bar > stop + ROUNDING {
        let todo = remedy::pressure_over(view.out_of_sight());
        let finding = Finding::new(Severity::Stop, says(stop), todo).limit(stop);
        return Some(finding.with("pressure_bar", bar).with("limit_bar", stop));
    }
    let judged = view.setup.trial.kind != Kind::SafetyValve;
    (judged && view.facts.pressure.over_caution >= 2).then(|| {
        Finding::new(Severity::Caution, says(caution), remedy::PRESSURE_RISING)
            .limit(caution)
            .with("pressure_bar", bar)
            .with("limit_bar", caution)
    })
}

pub(super) fn high_clears(flag: &Flag, view: &View) -> bool {
    let under = CLEAR_SHARE * view.setup.working_bar().unwrap_or(0.0);
    view.facts
        .pressure
        .bar
        .is_none_or(|bar| bar < flag.limit - under)
}

pub(super) fn valve_silent(view: &View) -> Option<Finding> {
    if view.facts.valve.lifted {
        return None;
    }
    let bar = view.facts.pressure.bar?;
    let todo = remedy::valve_silent(view.out_of_sight());
    if view
        .setup
        .pressure_stop_bar()
        .is_some_and(|stop| bar > stop + ROUNDING)
    {
        let says = format!("{} and the safety valve has not lifted.", bars(bar));
        return Some(Finding::new(Severity::Stop, says, todo).with("pressure_bar", bar));
    }
    (view.facts.pressure.over_set >= 2).then(|| {
        let says = format!("{}: the safety valve should have lifted.", bars(bar));
        Finding::new(Severity::Caution, says, todo).with("pressure_bar", bar)
    })
}

pub(super) fn valve_silent_clears(view: &View) -> bool {
    let under = view
        .facts
        .pressure
        .bar
        .zip(view.setup.set_bar())
        .is_some_and(|(p, set)| p < set);
    view.facts.valve.lifted || under
}

pub(super) fn not_reseating(view: &View) -> Option<Finding> {
    let sunk = view.facts.valve.sunk_to_bar()?;
    let set = view.setup.set_bar()?;
    (sunk <= RESEAT_SHARE * set).then(|| {
        let says = format!(
            "The safety valve lifted and has not shut at {}.",
            bars(sunk)
        );
        Finding::new(Severity::Caution, says, remedy::NOT_RESEATING).with("pressure_bar", sunk)
    })
}

pub(super) fn gauges_disagree(view: &View) -> Option<Finding> {
    let (differ, may) = view.facts.pressure.gauges?;
    (differ > may).then(|| {
        let says = format!(
            "The two gauges differ by {}; {} can be explained.",
            bars(differ),
            bars(may)
        );
        Finding::new(Severity::Caution, says, remedy::GAUGES).with("differ_bar", differ)
    })
}

pub(super) fn no_limit(view: &View) -> Option<Finding> {
    (view.facts.hot() && view.setup.working_bar().is_none()).then(|| {
        let says = "No working pressure is known for this boiler.";
        Finding::new(Severity::Stop, says, remedy::NO_LIMIT)
    })
}

pub(super) fn over_speed(view: &View) -> Option<Finding> {
    let speed = view.facts.speed.piston_m_s?;
    let limits = &view.setup.trial.limits;
    let says = |limit: f64| {
        format!(
            "Mean piston speed {} m/s; the limit is {} m/s.",
            show::fixed(speed, 2),
            show::fixed(limit, 2)
        )
    };
    let too_long = view
        .facts
        .speed
        .over_normal_since_s
        .is_some_and(|since| view.t_s - since > PROOF_RUN_S);
    if speed > limits.piston_speed_proof_m_s {
        let finding = Finding::new(
            Severity::Stop,
            says(limits.piston_speed_proof_m_s),
            remedy::SPEED,
        );
        return Some(finding.with("piston_speed_m_s", speed));
    }
    if too_long {
        let finding = Finding::new(Severity::Stop, says(limits.piston_speed_m_s), remedy::SPEED);
        return Some(finding.with("piston_speed_m_s", speed));
    }
    (speed > SPEED_CAUTION_SHARE * limits.piston_speed_m_s).then(|| {
        Finding::new(
            Severity::Caution,
            says(limits.piston_speed_m_s),
            remedy::SPEED,
        )
        .with("piston_speed_m_s", speed)
    })
}

pub(super) fn over_speed_clears(view: &View) -> bool {
    let normal = view.setup.trial.limits.piston_speed_m_s;
    view.facts
        .speed
        .piston_m_s
        .is_none_or(|v| v < SPEED_CAUTION_SHARE * normal)
}
