//! The rules: when each is raised, what it says, and when it clears. One copy of each.

mod air;
mod feed;
mod lists;
mod pressure;
mod shell;
mod water;

use super::assessment::{Flag, Severity};
use super::facts::Facts;
use super::ledger::Memory;
use super::remedy;
use super::setup::Setup;
use super::watch::Runway;

/// A rule, in the order of the trial file's table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Rule {
    WaterOutOfSight,
    WaterBelowMark,
    WaterFalling,
    WaterUnseen,
    GlassSuspect,
    GlassesDisagree,
    WaterOverMark,
    FeedNotGaining,
    FeedTankLow,
    PressureHigh,
    SafetyValveSilent,
    ValveNotReseating,
    ReadingOverdue,
    CarbonMonoxide,
    PoorCombustion,
    FlameLost,
    OverSpeed,
    NotClearedForPressure,
    OverTarget,
    TrappedAir,
    PressureFalling,
    TemperatureDrift,
    GaugeTooCoarse,
    GaugesDisagree,
    GaugeOutOfDate,
    LeakSeen,
    CheckMissed,
    NoLimitKnown,
}

impl Rule {
    /// Every rule that is judged, in the table's order.
    pub const ALL: [Self; 28] = [
        Self::WaterOutOfSight,
        Self::WaterBelowMark,
        Self::WaterFalling,
        Self::WaterUnseen,
        Self::GlassSuspect,
        Self::GlassesDisagree,
        Self::WaterOverMark,
        Self::FeedNotGaining,
        Self::FeedTankLow,
        Self::PressureHigh,
        Self::SafetyValveSilent,
        Self::ValveNotReseating,
        Self::ReadingOverdue,
        Self::CarbonMonoxide,
        Self::PoorCombustion,
        Self::FlameLost,
        Self::OverSpeed,
        Self::NotClearedForPressure,
        Self::OverTarget,
        Self::TrappedAir,
        Self::PressureFalling,
        Self::TemperatureDrift,
        Self::GaugeTooCoarse,
        Self::GaugesDisagree,
        Self::GaugeOutOfDate,
        Self::LeakSeen,
        Self::CheckMissed,
        Self::NoLimitKnown,
    ];

    /// Its name in the trial file.
    pub fn name(self) -> &'static str {
        match self {
            Self::WaterOutOfSight => "water-out-of-sight",
            Self::WaterBelowMark => "water-below-mark",
            Self::WaterFalling => "water-falling",
            Self::WaterUnseen => "water-unseen",
            Self::GlassSuspect => "glass-suspect",
            Self::GlassesDisagree => "glasses-disagree",
            Self::WaterOverMark => "water-over-mark",
            Self::FeedNotGaining => "feed-not-gaining",
            Self::FeedTankLow => "feed-tank-low",
            Self::PressureHigh => "pressure-high",
            Self::SafetyValveSilent => "safety-valve-silent",
            Self::ValveNotReseating => "valve-not-reseating",
            Self::ReadingOverdue => "reading-overdue",
            Self::CarbonMonoxide => "carbon-monoxide",
            Self::PoorCombustion => "poor-combustion",
            Self::FlameLost => "flame-lost",
            Self::OverSpeed => "over-speed",
            Self::NotClearedForPressure => "not-cleared-for-pressure",
            Self::OverTarget => "over-target",
            Self::TrappedAir => "trapped-air",
            Self::PressureFalling => "pressure-falling",
            Self::TemperatureDrift => "temperature-drift",
            Self::GaugeTooCoarse => "gauge-too-coarse",
            Self::GaugesDisagree => "gauges-disagree",
            Self::GaugeOutOfDate => "gauge-out-of-date",
            Self::LeakSeen => "leak-seen",
            Self::CheckMissed => "check-missed",
            Self::NoLimitKnown => "no-limit-known",
        }
    }

    /// Where it comes from.
    pub fn basis(self) -> &'static str {
        match self {
            Self::WaterOutOfSight | Self::WaterBelowMark => {
                "Low water: the fire comes out first, an overheated boiler is never fed; regulators \
                 and trade texts agree."
            }
            Self::WaterFalling => {
                "Weights of water from the glass, swell taken out; limits runway_stop_s and \
                 runway_caution_s (trade practice, editable)."
            }
            Self::WaterUnseen => "60 % of the charge boiled away (trade practice, editable).",
            Self::GlassSuspect | Self::GlassesDisagree => {
                "Two ways of knowing the water that cannot both be right (JCGM 100)."
            }
            Self::WaterOverMark => "Water carried over breaks engines (trade practice).",
            Self::FeedNotGaining => "Weights of water over the time of the feed, k = 2 (JCGM 100).",
            Self::FeedTankLow => "Ten minutes of feed left (trade practice, editable).",
            Self::PressureHigh => {
                "Limits pressure_caution_pct and pressure_stop_pct: no more than 10 % over working \
                 pressure (model boiler test codes; check the current issue)."
            }
            Self::SafetyValveSilent => {
                "Set within 3 % or 0.1 bar (ISO 4126-1:2013 Amd 1), no more than 10 % over working."
            }
            Self::ValveNotReseating => {
                "80 % of set (trade practice; ISO 4126-1 blowdown 2 to 15 %)."
            }
            Self::ReadingOverdue => "Limit reading_every_s (trade practice, editable).",
            Self::CarbonMonoxide => {
                "EH40/2005 4th edition: 20 ppm over 8 h, 100 ppm over 15 min; NIOSH ceiling 200 ppm; \
                 caution figures trade practice."
            }
            Self::PoorCombustion => "CO/CO₂ 0.004 (BS 7967 practice), 0.008 (trade practice).",
            Self::FlameLost => "Five minutes of air before relighting (trade practice).",
            Self::OverSpeed => "Mean piston speed (trade practice, editable).",
            Self::NotClearedForPressure => {
                "Hydraulic pass in date and since the last structural work (model boiler test codes; \
                 check the current issue)."
            }
            Self::OverTarget => {
                "Water: no more than 106 % of the test pressure (34 Pa. Code 3a.115). Air: 10 % of working \
                 pressure, 0.5 bar, 250 J (trade practice, editable)."
            }
            Self::TrappedAir => {
                "Air in the shell by pumped volume: 0.5, 2 and 5 % (trade practice, editable)."
            }
            Self::PressureFalling | Self::TemperatureDrift | Self::GaugeTooCoarse => {
                "Fall over the hold, k = 2 (JCGM 100), against allowed_drop_pct (trade practice, editable); \
                 water from IAPWS-IF97."
            }
            Self::GaugesDisagree => "EN 837-1 class as limit of error, combined (JCGM 100).",
            Self::GaugeOutOfDate => "The instrument's own calibration date.",
            Self::LeakSeen => "Any leak at gas, seam or shell ends the trial (trade practice).",
            Self::CheckMissed => "The trial's own hold points.",
            Self::NoLimitKnown => "Without a working pressure nothing can be too high.",
        }
    }

    /// Does it hold only while the boiler is hot, and end with that?
    fn ends_with_hot(self) -> bool {
        matches!(
            self,
            Self::WaterOutOfSight
                | Self::WaterBelowMark
                | Self::WaterFalling
                | Self::WaterUnseen
                | Self::GlassSuspect
                | Self::GlassesDisagree
                | Self::WaterOverMark
                | Self::FeedNotGaining
                | Self::FeedTankLow
                | Self::PressureHigh
                | Self::SafetyValveSilent
                | Self::ValveNotReseating
                | Self::ReadingOverdue
        )
    }

    pub(super) fn find(self, view: &View) -> Option<Finding> {
        let cold_too = matches!(self, Self::WaterOutOfSight | Self::WaterBelowMark);
        if self.ends_with_hot() && !cold_too && !view.facts.hot() {
            return None;
        }
        match self {
            Self::WaterOutOfSight => water::out_of_sight(view),
            Self::WaterBelowMark => water::below_mark(view),
            Self::WaterFalling => water::falling(view),
            Self::WaterUnseen => water::unseen(view),
            Self::GlassSuspect => water::glass_suspect(view),
            Self::GlassesDisagree => water::glasses_disagree(view),
            Self::WaterOverMark => water::over_mark(view),
            Self::FeedNotGaining => feed::not_gaining(view),
            Self::FeedTankLow => feed::tank_low(view),
            Self::PressureHigh => pressure::high(view),
            Self::SafetyValveSilent => pressure::valve_silent(view),
            Self::ValveNotReseating => pressure::not_reseating(view),
            Self::ReadingOverdue => water::overdue(view),
            Self::CarbonMonoxide => air::carbon_monoxide(view),
            Self::PoorCombustion => air::poor_combustion(view),
            Self::FlameLost => air::flame_lost(view),
            Self::OverSpeed => pressure::over_speed(view),
            Self::NotClearedForPressure => lists::not_cleared(view),
            Self::OverTarget => shell::over_target(view),
            Self::TrappedAir => shell::trapped_air(view),
            Self::PressureFalling => shell::falling(view),
            Self::TemperatureDrift => shell::drifting(view),
            Self::GaugeTooCoarse => shell::too_coarse(view),
            Self::GaugesDisagree => pressure::gauges_disagree(view),
            Self::GaugeOutOfDate => lists::gauge_out_of_date(view),
            Self::LeakSeen => lists::leak_seen(view),
            Self::CheckMissed => lists::check_missed(view),
            Self::NoLimitKnown => pressure::no_limit(view),
        }
    }

    /// Does a standing flag clear now? Asked only when nothing as grave is found.
    pub(super) fn clears(self, flag: &Flag, view: &View) -> bool {
        if self.ends_with_hot() && !view.facts.hot() && flag.severity != Severity::Note {
            return true;
        }
        match self {
            Self::WaterOutOfSight
            | Self::NotClearedForPressure
            | Self::GaugeOutOfDate
            | Self::NoLimitKnown => false,
            Self::WaterBelowMark => view.facts.water.clear_of_mark >= 2,
            Self::WaterFalling => water::falling_clears(flag, view),
            Self::WaterUnseen => !view.facts.water_unseen(),
            Self::GlassSuspect => view.facts.stuck.proven,
            Self::GlassesDisagree => view.facts.water.disagree.is_none(),
            Self::WaterOverMark => {
                !view.facts.water.carry_over && view.facts.water.well_under_high(view.setup)
            }
            Self::FeedNotGaining => feed::not_gaining_clears(view),
            Self::PressureHigh => pressure::high_clears(flag, view),
            Self::SafetyValveSilent => pressure::valve_silent_clears(view),
            Self::CarbonMonoxide => air::is_good(view),
            Self::OverSpeed => pressure::over_speed_clears(view),
            Self::CheckMissed => view.facts.checks.missed().is_empty(),
            Self::FeedTankLow => feed::tank_low_clears(view),
            Self::TrappedAir => shell::trapped_air_clears(flag, view),
            Self::PressureFalling | Self::TemperatureDrift | Self::GaugeTooCoarse => {
                shell::hold_clears(view)
            }
            Self::ValveNotReseating
            | Self::ReadingOverdue
            | Self::PoorCombustion
            | Self::FlameLost
            | Self::OverTarget
            | Self::GaugesDisagree
            | Self::LeakSeen => true,
        }
    }
}

/// With water out of sight in a hot boiler no standing flag may still say to feed or to take steam,
/// whatever it said when it was raised.
pub(super) fn never_say_feed(facts: &Facts, flags: &mut [Flag]) {
    if !facts.hot() || facts.water.sight != super::facts::Sight::Below {
        return;
    }
    for flag in flags.iter_mut().filter(|f| f.stands()) {
        let todo = match flag.rule {
            Rule::WaterFalling | Rule::WaterBelowMark | Rule::FeedNotGaining => {
                remedy::OUT_OF_SIGHT
            }
            Rule::PressureHigh => remedy::pressure_over(true),
            Rule::SafetyValveSilent => remedy::valve_silent(true),
            _ => continue,
        };
        todo.clone_into(&mut flag.todo);
    }
}

/// What a rule found.
#[derive(Clone, Debug)]
pub(super) struct Finding {
    pub(super) severity: Severity,
    pub(super) says: String,
    pub(super) todo: String,
    pub(super) evidence: Vec<(&'static str, f64)>,
    pub(super) limit: f64,
}

impl Finding {
    fn new(severity: Severity, says: impl Into<String>, todo: impl Into<String>) -> Self {
        let (says, todo) = (says.into(), todo.into());
        Self {
            severity,
            says,
            todo,
            evidence: Vec::new(),
            limit: 0.0,
        }
    }

    fn with(mut self, name: &'static str, value: f64) -> Self {
        self.evidence.push((name, value));
        self
    }

    fn limit(mut self, limit: f64) -> Self {
        self.limit = limit;
        self
    }
}

/// What the rules look at, at one moment; what several of them need is reckoned once.
pub(super) struct View<'a> {
    pub(super) facts: &'a Facts,
    pub(super) setup: &'a Setup,
    pub(super) t_s: f64,
    pub(super) usual_gap_s: f64,
    pub(super) runway: Option<Runway>,
    /// A water reading has come since the last judgement.
    pub(super) new_reading: bool,
    /// The last moment at which the air was bad, s, and at which it had been good again.
    pub(super) bad_air_s: Option<f64>,
    good_air_s: Option<f64>,
}

impl<'a> View<'a> {
    pub(super) fn at(facts: &'a Facts, t_s: f64, memory: &mut Memory) -> Self {
        let setup: &Setup = &facts.setup;
        let every = setup.trial.limits.reading_every_s;
        let mut view = Self {
            facts,
            setup,
            t_s,
            usual_gap_s: facts.water.usual_gap_s(every),
            runway: if facts.hot() {
                facts.watch.runway(t_s, true)
            } else {
                None
            },
            new_reading: facts.water.readings != memory.readings,
            bad_air_s: None,
            good_air_s: memory.good_air_s,
        };
        view.bad_air_s = air::last_bad_s(&view, memory.bad_air_s);
        memory.bad_air_s = view.bad_air_s;
        if air::is_good(&view) {
            view.good_air_s = Some(t_s);
            memory.good_air_s = view.good_air_s;
        }
        view
    }

    /// Was this noticed since the air was last good?
    fn still_bad(&self, noticed_s: Option<f64>) -> bool {
        noticed_s.is_some_and(|s| self.good_air_s.is_none_or(|good| s > good))
    }

    /// Is the water, as last seen, out of sight at the bottom?
    fn out_of_sight(&self) -> bool {
        self.facts.water.sight == super::facts::Sight::Below
    }
}
