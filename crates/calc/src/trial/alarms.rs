//! What is called out at a trial, as data: when, what comes of leaving it, what to do, and how long there is.
//!
//! A flag calls only where something has to be done now; all else is a note. Times are trade practice unless a limit of the
//! trial gives them; what a flag says at the moment is its own and goes before these words.

use super::rules::Rule;
use super::{LeakAt, Severity, remedy};

/// One thing that is called out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alarm {
    /// The rule that calls.
    pub rule: Rule,
    /// Stop or caution.
    pub severity: Severity,
    /// When it calls.
    pub when: &'static str,
    /// What comes of leaving it.
    pub otherwise: &'static str,
    /// What to do.
    pub act: &'static str,
    /// How long there is to do it.
    pub within: &'static str,
}

/// The alarm of a rule at a severity; none for what is a note, or is never so grave.
///
/// ```
/// use calc::trial::{Rule, Severity, alarms};
///
/// let low = alarms::of(Rule::WaterOutOfSight, Severity::Stop).unwrap();
/// assert!(low.act.contains("Do not feed"));
/// assert!(alarms::of(Rule::WaterOutOfSight, Severity::Note).is_none());
/// ```
pub fn of(rule: Rule, severity: Severity) -> Option<&'static Alarm> {
    ALL.iter()
        .find(|a| a.rule == rule && a.severity == severity)
}

/// Every alarm, stops first, each kind in the order of [`Rule::ALL`].
pub const ALL: &[Alarm] = &[
    stop(
        Rule::WaterOutOfSight,
        "No water is seen in a glass or at the bottom cock of a hot boiler.",
        "Plates and tubes over the fire lose their water and their strength; fed hot, they burst or crack.",
        remedy::OUT_OF_SIGHT,
        "now",
    ),
    stop(
        Rule::WaterBelowMark,
        "The level is at or under the low mark while it is hot.",
        "The next minutes bare the plates that the fire heats.",
        remedy::BELOW_MARK,
        "now",
    ),
    stop(
        Rule::WaterFalling,
        "The low mark may be reached sooner than the trial's limits allow for a stop, or than 1.2 times the usual gap between looks.",
        "It is at the mark before anybody looks again.",
        remedy::falling(false, false),
        "before the next look",
    ),
    stop(
        Rule::WaterUnseen,
        "A boiler without a glass has been lit for longer than 60 % of its charge takes to boil away.",
        "It can be dry with nothing to show it.",
        remedy::UNSEEN,
        "now",
    ),
    stop(
        Rule::GlassSuspect,
        "Eight steps' worth of water has gone or come and the level has not moved.",
        "A blocked glass shows water that is not there.",
        remedy::GLASS,
        "1 min",
    ),
    stop(
        Rule::GlassesDisagree,
        "Two ways of seeing the water differ by more than both can be wrong.",
        "The one that is believed may be the one that lies.",
        remedy::GLASSES,
        "1 min",
    ),
    stop(
        Rule::PressureHigh,
        "The gauge is over the trial's limit for a stop, a share of the working pressure.",
        "The shell is strained beyond what it was proven for.",
        remedy::pressure_over(false),
        "now",
    ),
    stop(
        Rule::SafetyValveSilent,
        "The pressure is over the trial's limit for a stop and no lift has been seen.",
        "Nothing else holds the pressure down.",
        remedy::valve_silent(false),
        "now",
    ),
    stop(
        Rule::ReadingOverdue,
        "Nobody has looked at the water for twice the time that the trial's limits allow.",
        "What is not looked at is not known, and the fire goes on.",
        remedy::LOOK,
        "now",
    ),
    stop(
        Rule::CarbonMonoxide,
        "A reading or a mean is over a stop figure, an alarm sounded, or somebody felt it.",
        "It takes the judgement first, then the legs.",
        remedy::MONOXIDE,
        "now",
    ),
    stop(
        Rule::PoorCombustion,
        "CO to CO₂ in the flue is over the trial's limit for a stop.",
        "The room fills with carbon monoxide.",
        remedy::COMBUSTION,
        "1 min",
    ),
    stop(
        Rule::FlameLost,
        "The flame went out by itself and the gas is not shut.",
        "Gas gathers in firebox and flue until something lights it.",
        remedy::FLAME,
        "now",
    ),
    stop(
        Rule::OverSpeed,
        "The piston is over its proof speed, or over its normal one for half a minute.",
        "Rods and wheels come loose.",
        remedy::SPEED,
        "now",
    ),
    stop(
        Rule::NotClearedForPressure,
        "Fire, or air over 0.05 bar, on a boiler with no water test in date since its last structural work.",
        "A shell that nobody has proven cold is tried with what can burst it.",
        remedy::NOT_CLEARED,
        "now",
    ),
    stop(
        Rule::OverTarget,
        "Proven to be over the most that the test may reach; with air, over the cap in pressure or in what it stores.",
        "Water strains the shell for good; air throws it.",
        remedy::OVER_TARGET,
        "now",
    ),
    stop(
        Rule::TrappedAir,
        "More air in the shell than the trial's limits allow for a stop.",
        "Squeezed air throws pieces where water would only weep.",
        remedy::TRAPPED_AIR_STOP,
        "now",
    ),
    stop(
        Rule::LeakSeen,
        "Gas, a seam or the shell leaks.",
        "Gas finds a flame; a seam that weeps can open.",
        "Fire out. Stand clear of it. Let the pressure go by itself, have it examined. Gas: no flame, no switch, shut the \
         tank.",
        "now",
    ),
    stop(
        Rule::CheckMissed,
        "Fire or pressure came before a hold point was signed.",
        "What the hold was for is not known to be there.",
        remedy::CHECK_MISSED,
        "5 min",
    ),
    stop(
        Rule::NoLimitKnown,
        "It is hot and no working pressure is known.",
        "Nothing can be called too high.",
        remedy::NO_LIMIT,
        "now",
    ),
    caution(
        Rule::WaterFalling,
        "The low mark may be reached sooner than the trial's limits allow for a caution, or than 2.5 times the usual gap between looks.",
        "In a few minutes it is a stop.",
        remedy::falling(false, false),
        "one gap between looks",
    ),
    caution(
        Rule::WaterUnseen,
        "A boiler without a glass has been lit.",
        "When its water is gone nothing shows it.",
        remedy::UNSEEN,
        "the time that the flag names",
    ),
    caution(
        Rule::GlassSuspect,
        "Four steps' worth of water has gone or come and the level has not moved, or the glass was found sluggish.",
        "The level that is read may be an old one.",
        remedy::GLASS,
        "2 min",
    ),
    caution(
        Rule::WaterOverMark,
        "Over the high mark at two readings running while steam is taken, or water was carried over.",
        "Water goes into the engine and breaks it.",
        remedy::OVER_FULL,
        "2 min",
    ),
    caution(
        Rule::FeedNotGaining,
        "The feed is on, the runway short, and the level is proven not to rise as it should.",
        "The water goes on falling behind a feed that is believed in.",
        remedy::feed_not_gaining(false),
        "one gap between looks",
    ),
    caution(
        Rule::FeedTankLow,
        "Under ten minutes of feed are left in the tank, or it was found empty.",
        "The feed draws air and stops.",
        remedy::TANK,
        "10 min",
    ),
    caution(
        Rule::PressureHigh,
        "Over the trial's limit for a caution and half a step of the gauge at two readings running.",
        "In a few minutes it is a stop.",
        remedy::PRESSURE_RISING,
        "2 min",
    ),
    caution(
        Rule::SafetyValveSilent,
        "Over the valve's set pressure at two readings running and no lift has been seen.",
        "The one thing that limits the pressure may be stuck.",
        remedy::valve_silent(false),
        "1 min",
    ),
    caution(
        Rule::ValveNotReseating,
        "It lifted, and has not shut at 80 % of its set pressure.",
        "Steam and water leave that nobody reckons with.",
        remedy::NOT_RESEATING,
        "2 min",
    ),
    caution(
        Rule::ReadingOverdue,
        "Nobody has looked at the water for the time that the trial's limits allow.",
        "What is not looked at is not known.",
        remedy::LOOK,
        "1 min",
    ),
    caution(
        Rule::CarbonMonoxide,
        "A reading or a mean is over a caution figure, or fumes were noticed.",
        "It builds up while one works in it.",
        remedy::MONOXIDE_CAUTION,
        "1 min",
    ),
    caution(
        Rule::PoorCombustion,
        "CO to CO₂ in the flue is over the trial's limit for a caution.",
        "The flame makes carbon monoxide.",
        remedy::COMBUSTION,
        "5 min",
    ),
    caution(
        Rule::FlameLost,
        "The gas was shut less than five minutes ago.",
        "Gas that is still in the flue lights at once.",
        remedy::NO_RELIGHT,
        "until the five minutes are over",
    ),
    caution(
        Rule::OverSpeed,
        "The piston is over 90 % of its normal speed.",
        "It runs away when the load comes off.",
        remedy::SPEED,
        "1 min",
    ),
    caution(
        Rule::OverTarget,
        "The gauge shows more than the most that the test may reach; its own error may be why.",
        "Water strains the shell for good.",
        remedy::OVER_TARGET,
        "now",
    ),
    caution(
        Rule::TrappedAir,
        "More air in the shell than the trial's limits allow for a caution.",
        "The test stores more than water would, and a fall in pressure tells less.",
        remedy::TRAPPED_AIR,
        "before more pressure",
    ),
    caution(
        Rule::PressureFalling,
        "The pressure falls in the hold by more than reading, gauge and temperature explain.",
        "A leak goes unseen and the test proves nothing.",
        remedy::PRESSURE_FALLING,
        "within the hold",
    ),
    caution(
        Rule::TemperatureDrift,
        "The temperature moves in the hold by enough to hide or feign the fall that is looked for.",
        "The test proves nothing.",
        remedy::DRIFT,
        "before the hold is begun again",
    ),
    caution(
        Rule::GaugeTooCoarse,
        "The gauge cannot see the fall that is looked for.",
        "The test proves nothing.",
        remedy::COARSE_GAUGE,
        "before the hold is begun again",
    ),
    caution(
        Rule::GaugesDisagree,
        "Two gauges differ by more than their classes allow.",
        "The one that is believed may show too little.",
        remedy::GAUGES,
        "5 min",
    ),
    caution(
        Rule::GaugeOutOfDate,
        "An instrument that was read was due for calibration before the trial began.",
        "What it says cannot be proven.",
        remedy::CALIBRATION,
        "before the next trial",
    ),
    caution(
        Rule::LeakSeen,
        "A gland, a joint or a fitting leaks.",
        "It scalds a hand, and it grows.",
        remedy::leak(LeakAt::Gland, true),
        "now",
    ),
];

const fn stop(
    rule: Rule,
    when: &'static str,
    otherwise: &'static str,
    act: &'static str,
    within: &'static str,
) -> Alarm {
    Alarm {
        rule,
        severity: Severity::Stop,
        when,
        otherwise,
        act,
        within,
    }
}

const fn caution(
    rule: Rule,
    when: &'static str,
    otherwise: &'static str,
    act: &'static str,
    within: &'static str,
) -> Alarm {
    Alarm {
        rule,
        severity: Severity::Caution,
        when,
        otherwise,
        act,
        within,
    }
}
