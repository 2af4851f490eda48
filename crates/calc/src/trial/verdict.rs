//! What a trial proves: *fail* beats *not proven* beats *pass*, with every reason, worst first.

use super::assessment::{Flag, Outcome, Severity, Verdict};
use super::facts::Facts;
use super::ledger::{ever, stands};
use super::rules::Rule;
use super::{Kind, Trial, kinds};
use crate::show;

/// A stop of one of these fails a steam trial.
const FAILING: [Rule; 6] = [
    Rule::WaterOutOfSight,
    Rule::WaterBelowMark,
    Rule::PressureHigh,
    Rule::SafetyValveSilent,
    Rule::CarbonMonoxide,
    Rule::LeakSeen,
];
/// A stop of one of these fails a trial of a shell, with water or air.
const FAILING_SHELL: [Rule; 1] = [Rule::LeakSeen];
const FAILING_VALVE: [Rule; 2] = [Rule::SafetyValveSilent, Rule::LeakSeen];
const FAILING_BURNER: [Rule; 3] = [Rule::CarbonMonoxide, Rule::PoorCombustion, Rule::LeakSeen];
/// A stop of one of these leaves any trial not proven at best.
const DOUBTING: [Rule; 7] = [
    Rule::CheckMissed,
    Rule::ReadingOverdue,
    Rule::GlassSuspect,
    Rule::GlassesDisagree,
    Rule::WaterUnseen,
    Rule::NotClearedForPressure,
    Rule::NoLimitKnown,
];
/// Least readings of water and of pressure while hot.
const LEAST_READINGS: u32 = 5;
/// Working pressure must have been held for this long, and clean minutes follow a falling stop, s.
const HELD_S: f64 = 600.0;

pub(super) fn of(facts: &Facts, flags: &[Flag], end_s: f64) -> Verdict {
    let trial = &facts.setup.trial;
    let grounds = kinds::judge(facts, flags, end_s);
    let mut failed = failures(trial, flags);
    failed.extend(grounds.failed);
    let mut doubts = doubts(facts, trial, flags);
    match trial.kind {
        Kind::Steam => steam(facts, flags, end_s, &mut doubts),
        _ => doubts.extend(grounds.doubts),
    }
    let outcome = if !failed.is_empty() {
        Outcome::Fail
    } else if !doubts.is_empty() {
        Outcome::NotProven
    } else {
        Outcome::Pass
    };
    let mut because = failed;
    because.extend(doubts);
    if outcome == Outcome::Pass {
        because.push("Everything this trial was to show was shown.".to_owned());
    }
    because.extend(grounds.remarks);
    Verdict { outcome, because }
}

/// Rules of which a stop fails a trial of this kind.
fn failing(kind: Kind) -> &'static [Rule] {
    match kind {
        Kind::Steam => &FAILING,
        Kind::Hydraulic | Kind::Air => &FAILING_SHELL,
        Kind::SafetyValve => &FAILING_VALVE,
        Kind::Burner => &FAILING_BURNER,
        Kind::EngineRun => &[Rule::OverSpeed],
        Kind::FeedPump => &[],
    }
}

fn failures(trial: &Trial, flags: &[Flag]) -> Vec<String> {
    failing(trial.kind)
        .iter()
        .filter(|rule| ever(flags, **rule, Severity::Stop))
        .filter_map(|rule| {
            let flag = flags.iter().find(|f| {
                f.rule == *rule && f.severity == Severity::Stop && !f.cleared_by_correction
            })?;
            Some(format!("Stop, {}: {}", rule.name(), flag.says))
        })
        .collect()
}

fn doubts(facts: &Facts, trial: &Trial, flags: &[Flag]) -> Vec<String> {
    let mut doubts = Vec::new();
    let mut doubt = |says: String| doubts.push(says);
    if facts.entered == 0 {
        doubt("Nothing was entered.".to_owned());
    }
    // A stop overrides any pass; of a steam trial the table says which ones doubt and which fail.
    let doubting = Rule::ALL.into_iter().filter(|rule| {
        DOUBTING.contains(rule)
            || (trial.kind != Kind::Steam && !failing(trial.kind).contains(rule))
    });
    for rule in doubting.clone() {
        let stop =
            |f: &&Flag| f.rule == rule && f.severity == Severity::Stop && !f.cleared_by_correction;
        if let Some(flag) = flags.iter().find(stop) {
            doubt(format!("Stop, {}: {}", rule.name(), flag.says));
        }
    }
    for flag in flags
        .iter()
        .filter(|f| f.stands() && f.severity >= Severity::Caution)
    {
        let counted = flag.severity == Severity::Stop
            && (doubting.clone().any(|r| r == flag.rule)
                || failing(trial.kind).contains(&flag.rule));
        if !counted {
            doubt(format!("Still standing at the end: {}.", flag.rule.name()));
        }
    }
    let hot_ever = facts.fire.ever_lit || facts.pressure.hot_readings > 0;
    if hot_ever || trial.kind == Kind::Air {
        hydraulic(trial, &mut doubt);
    }
    if let Some(names) = &trial.hold_points {
        let open = facts.checks.not_done(names);
        if !open.is_empty() {
            doubt(format!(
                "Hold points skipped, overridden or open: {}.",
                open.join(", ").replace('-', " ")
            ));
        }
    }
    if needs_gauge(facts) && facts.setup.pressure_u_bar().is_none() {
        doubt("The pressure gauge's class and span are not both known.".to_owned());
    }
    if facts.fire.ever_lit && !facts.fire.put_out {
        doubt("The fire was lit and never put out.".to_owned());
    }
    doubts
}

/// Does what this kind shows rest on a pressure gauge?
fn needs_gauge(facts: &Facts) -> bool {
    match facts.setup.trial.kind {
        Kind::Steam | Kind::Hydraulic | Kind::Air | Kind::SafetyValve => true,
        Kind::FeedPump | Kind::Burner | Kind::EngineRun => facts.read.contains("pressure"),
    }
}

fn hydraulic(trial: &Trial, doubt: &mut impl FnMut(String)) {
    let Some(pass) = trial.plant.hydraulic_pass else {
        doubt("No hydraulic pass of this boiler is known.".to_owned());
        return;
    };
    if pass.since_structural_work.is_none() {
        doubt(
            "Whether the hydraulic pass is since the last structural work is not known.".to_owned(),
        );
    }
    if pass.valid_until.is_none() || trial.started_on.is_none() {
        doubt("Whether the hydraulic pass was in date is not known.".to_owned());
    }
}

fn steam(facts: &Facts, flags: &[Flag], end_s: f64, doubts: &mut Vec<String>) {
    let mut need = |met: bool, says: &str| {
        if !met {
            doubts.push(says.to_owned());
        }
    };
    let (water, pressure) = (&facts.water, &facts.pressure);
    need(
        water.hot_readings >= LEAST_READINGS,
        "Fewer than five water readings while hot.",
    );
    need(
        pressure.hot_readings >= LEAST_READINGS,
        "Fewer than five pressure readings while hot.",
    );
    need(
        pressure.reached_s.is_some(),
        "Working pressure was not reached.",
    );
    if pressure.reached_s.is_some() && pressure.held_s < HELD_S {
        let held = show::span(pressure.held_s);
        need(
            false,
            &format!("Working pressure was held for {held}, not for 10 min."),
        );
    }
    need(
        facts.valve.lifts > 0,
        "The safety valve was not seen to lift.",
    );
    need(
        facts.valve.lifts == 0 || facts.valve.reseats > 0,
        "The safety valve was not seen to reseat.",
    );
    need(
        !water.was_above_with_steam,
        "The water stood above the glass while steam was taken.",
    );
    need(facts.stretches.feed_gained, "No feed was proven to gain.");
    let falling = flags.iter().filter(|f| {
        f.rule == Rule::WaterFalling && f.severity == Severity::Stop && !f.cleared_by_correction
    });
    if let Some(last) = falling.max_by(|a, b| a.raised_at_s.total_cmp(&b.raised_at_s)) {
        let clean = last
            .cleared_at_s
            .is_some_and(|cleared| end_s - cleared >= HELD_S);
        let calm = stands(flags, Rule::WaterFalling).is_none();
        need(
            clean && calm,
            "The water fell to a stop, and ten clean minutes did not follow.",
        );
    }
    need(
        !water.was_below || ever(flags, Rule::WaterOutOfSight, Severity::Stop),
        "The water was out of sight.",
    );
}
