//! What a log shows, asked in the words of the table.

use super::Sign;
use crate::trial::assessment::{Flag, Severity};
use crate::trial::facts::Facts;
use crate::trial::{LeakAt, Rule};

/// Lit for so long without half of working pressure is too long, s (trade practice).
const SLOW_S: f64 = 1800.0;
/// Turns fallen to this share of the best are too few.
const SHORT_SHARE: f64 = 0.8;
/// Oil fed faster, ml/h, passes steam (trade practice).
const OIL_ML_H: f64 = 6.0;
/// Least time to judge a lubricator over, s (trade practice).
const OIL_S: f64 = 1800.0;

/// The log, its facts and its flags at the last moment judged.
#[derive(Clone, Copy)]
pub(in crate::trial) struct Log<'a> {
    pub(super) facts: &'a Facts,
    pub(super) flags: &'a [Flag],
    pub(super) end_s: f64,
}

impl Log<'_> {
    /// When a rule first raised a caution or a stop that no correction took back.
    pub(super) fn flagged(&self, rule: Rule) -> Option<f64> {
        let real =
            |f: &&Flag| f.rule == rule && f.severity > Severity::Note && !f.cleared_by_correction;
        self.flags
            .iter()
            .filter(real)
            .map(|f| f.raised_at_s)
            .reduce(f64::min)
    }

    /// When a sign first stood in the log.
    pub(super) fn since(&self, sign: Sign) -> Option<f64> {
        let any = |rules: &[Rule]| {
            let all = rules.iter().filter_map(|r| self.flagged(*r));
            all.reduce(f64::min)
        };
        let bench = &self.facts.bench;
        match sign {
            Sign::FeedDoesNotGain => any(&[Rule::FeedNotGaining, Rule::FeedTankLow])
                .or(bench.stalled_s)
                .or(self.slipping().map(|(_, t_s)| t_s)),
            Sign::PressureDoesNotRise => self.slow_to_rise(),
            Sign::BurnerOrAir => {
                any(&[Rule::CarbonMonoxide, Rule::PoorCombustion, Rule::FlameLost])
                    .or(bench.unsteady_s)
            }
            Sign::OverFull => self.flagged(Rule::WaterOverMark),
            Sign::Weeps => self.flagged(Rule::LeakSeen),
            Sign::Lubricator => self
                .oil_ml_h()
                .filter(|r| *r <= 0.0 || *r > OIL_ML_H)
                .map(|_| self.end_s),
            Sign::EngineShort => self.short_of_turns().map(|(_, t_s)| t_s),
            Sign::GaugeAndValve => any(&[
                Rule::GaugesDisagree,
                Rule::SafetyValveSilent,
                Rule::ValveNotReseating,
            ])
            .or(self.lifted_off_by().and(bench.lifted_s)),
        }
    }

    fn slow_to_rise(&self) -> Option<f64> {
        let lit = self.facts.fire.lit_at_s?;
        let half = self.facts.setup.working_bar()? / 2.0;
        let reached = self
            .facts
            .pressure
            .highest_bar
            .is_some_and(|bar| bar >= half);
        (self.end_s - lit >= SLOW_S && !reached).then_some(lit + SLOW_S)
    }

    /// Share of the best turns that are left, and when they were counted last.
    pub(super) fn short_of_turns(&self) -> Option<(f64, f64)> {
        let turns = &self.facts.bench.turns;
        let (t_s, last) = *turns.last()?;
        let best = turns.iter().map(|t| t.1).reduce(f64::max)?;
        let share = last / best;
        (turns.len() >= 3 && best > 0.0 && share < SHORT_SHARE).then_some((share, t_s))
    }

    /// Share of what the pump sweeps that slips by, by its last catch, where that is too much.
    pub(super) fn slipping(&self) -> Option<(f64, f64)> {
        let (slip, t_s) = crate::trial::kinds::pump_slip(self.facts)?;
        (slip > 0.3).then_some((slip, t_s))
    }

    /// Oil fed by the displacement lubricator, ml/h, as the condensate drained from it says.
    pub(super) fn oil_ml_h(&self) -> Option<f64> {
        let [first, last] = self.facts.bench.condensate?;
        let hours = (last.0 - first.0) / 3600.0;
        (last.0 - first.0 >= OIL_S).then(|| (last.1 - first.1) / hours)
    }

    /// How far the lift lay from the setting beyond what gauge and tolerance explain, bar; over is
    /// positive.
    pub(super) fn lifted_off_by(&self) -> Option<f64> {
        let (lift, set) = (self.facts.valve.lifted_bar?, self.facts.setup.set_bar()?);
        let u = self.facts.setup.pressure_u_bar().map_or(0.1, |u| 2.0 * u);
        let may = (0.03 * set).max(0.1) + u;
        let off = lift - set;
        (off.abs() > may).then_some(off)
    }

    /// Warmest and coldest that a tank was read, °C.
    pub(super) fn tank_c(&self) -> Option<f64> {
        self.facts.bench.tank_c
    }

    pub(super) fn leaks(&self, at: LeakAt) -> bool {
        self.facts.press.leaked.contains_key(&at)
    }

    /// Gas used by the scale over what the jet should pass.
    pub(super) fn gas_over_jet(&self) -> Option<f64> {
        let (first, last) = self.facts.bench.gas_lit?;
        let minutes = (last.t_s - first.t_s) / 60.0;
        let used = (first.grams - last.grams) / minutes;
        let by_jet = crate::trial::kinds::by_jet(self.facts)?;
        (minutes >= 2.0 && by_jet > 0.0).then(|| used / by_jet)
    }
}
