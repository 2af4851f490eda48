//! What a flag tells the hand to do.
//!
//! With water out of sight nothing here ever says to feed; the words of a stop are short, because
//! they are read with a fire under a boiler.

use super::{Fuel, LeakAt};

pub(super) const OUT_OF_SIGHT: &str = "Fire out now. Do not feed. Do not touch the stop valve. Stand \
    clear, let it cool by itself, have it examined.";
pub(super) const OUT_OF_SIGHT_COLD: &str = "No fire until the water is seen in the glass.";
pub(super) const BELOW_MARK: &str =
    "Fire out now. Only while you still see water, feed gently. Out of sight: do not feed.";
pub(super) const BELOW_MARK_COLD: &str = "Fill it over the low mark before any fire.";
pub(super) const UNSEEN: &str = "Fire out before the water can be gone. Do not feed. Let it cool, then \
    measure what is left.";
pub(super) const GLASS: &str = "Blow the glass through and read it again. Until it moves, go by the \
    worse.";
pub(super) const GLASSES: &str =
    "Go by the lower. Blow both through and read them again; if they still differ, fire out.";
pub(super) const OVER_FULL: &str = "A full glass is no proof of water: over-full or blocked. Stop \
    feeding, blow the glass through, drains open, take steam gently.";
pub(super) const TANK: &str = "Fill the feed tank.";
pub(super) const PRESSURE_RISING: &str = "Turn the fire down and watch the gauge.";
pub(super) const NOT_RESEATING: &str =
    "Watch the water: steam is leaving. Fire down; if it does not shut, fire out.";
pub(super) const GAUGES: &str = "Go by the higher. Compare both with a test gauge.";
pub(super) const NO_LIMIT: &str = "Fire out. Enter a working pressure that somebody answers for.";
pub(super) const OVER_TARGET: &str = "Stop pumping. Let it down to the test pressure by the valve made for \
    it. Write down how far it went: the boiler may have been strained.";
pub(super) const OVER_CAP: &str = "Shut the air off and let it down now. Stand to one side. Air stores a \
    thousand times what water does.";
pub(super) const TRAPPED_AIR: &str =
    "Let it down, tilt it, vent at the highest point, and begin the pumping again.";
pub(super) const TRAPPED_AIR_STOP: &str = "Stop pumping and stand clear: squeezed air throws pieces. Let it \
    down, vent at the highest point, and begin again.";
pub(super) const PRESSURE_FALLING: &str = "Look at every joint, plug and stay from one side, a hand's \
    breadth from nothing. Read the temperature.";
pub(super) const DRIFT: &str = "Let water and shell come to one temperature, half an hour at least, and \
    begin the hold again.";
pub(super) const COARSE_GAUGE: &str = "A gauge of smaller span or finer steps; until then only a weep that \
    is seen tells anything.";
pub(super) const NOT_CLEARED_AIR: &str = "Let the air out. No air before a hydraulic test passed, in date \
    and since the last structural work.";
pub(super) const SPEED: &str = "Shut the regulator. Stand clear of the wheel.";
pub(super) const LOOK: &str = "Look at the water now. None to be seen: fire out, do not feed.";
pub(super) const MONOXIDE: &str = "Everybody out to fresh air first. Fire out only if it is one \
    movement on the way. Open up, stay out until it is clear.";
pub(super) const MONOXIDE_CAUTION: &str = "Open doors and windows, look at the flame, measure again. \
    Headache: everybody out.";
pub(super) const BACKGROUND: &str = "Zero the meter in fresh air, or find where it comes from.";
pub(super) const COMBUSTION: &str = "Fire down or out. Look at jet, air holes and flue.";
pub(super) const FLAME: &str = "Gas off at the tank. No relighting for five minutes of air.";
pub(super) const NO_RELIGHT: &str =
    "Leave it off. Let air through the flue for the full five minutes.";
pub(super) const NOT_CLEARED: &str =
    "No fire without a hydraulic test in date and since the last structural work.";
pub(super) const CALIBRATION: &str = "Compare with a test gauge, or enter the date.";
pub(super) const CHECK_MISSED: &str = "Do it now, or put the fire out and begin again.";
pub(super) const CHECK_MISSED_SHELL: &str =
    "Let the pressure down, do what was missed, and begin again.";
pub(super) const CHECK_LATE: &str = "It stays on the record.";

pub(super) const fn falling(feed_on: bool, out_of_sight: bool) -> &'static str {
    match (out_of_sight, feed_on) {
        (true, _) => OUT_OF_SIGHT,
        (false, true) => {
            "The feed is on: watch the glass. No rise at the next look: put the fire out."
        }
        (false, false) => {
            "Feed now and watch it rise. No rise at the next look, or no feed: put the fire out."
        }
    }
}

pub(super) const fn feed_not_gaining(out_of_sight: bool) -> &'static str {
    if out_of_sight {
        return OUT_OF_SIGHT;
    }
    "Feel the feed pipe: hot at the pump means the check valve passes back. Look at tank, strainer and \
     bypass. No rise at the next look: put the fire out."
}

pub(super) const fn pressure_over(out_of_sight: bool) -> &'static str {
    if out_of_sight {
        return "Fire out. Do not feed. Do not touch the stop valve. Leave the safety valve's setting alone.";
    }
    "Fire out. Feed if water is in sight. Take steam gently if the engine already runs. Leave the \
     safety valve's setting alone."
}

pub(super) const fn valve_silent(out_of_sight: bool) -> &'static str {
    if out_of_sight {
        return "Is the valve blowing? No: fire out. Do not feed. Do not touch the stop valve. Stand clear.";
    }
    "Is the valve blowing? Yes: enter the lift. No: fire out, take steam, ease it only by a lever made \
     for it."
}

pub(super) const fn leak(at: LeakAt, hot: bool) -> &'static str {
    match at {
        LeakAt::Gas => "No flame, no switch. Shut the tank. Back off and let it clear.",
        LeakAt::Seam | LeakAt::Shell if !hot => {
            "Stand clear of it. Let the pressure down by the valve made for it, have it examined."
        }
        LeakAt::Seam | LeakAt::Shell => {
            "Fire out. Stand clear of it. Let the pressure go by itself, have it examined."
        }
        _ if hot => "Keep hands and face away. If it grows: fire out.",
        _ => "Keep hands and face away. Let the pressure down before it is touched.",
    }
}

/// What to do about a stop that a phone found by itself, without knowing more than the last readings: nothing here says
/// to feed, for the phone does not know what the feed does.
///
/// ```
/// use calc::trial::remedy;
/// assert!(!remedy::without_more("water-falling").contains("Feed now"));
/// ```
pub fn without_more(rule: &str) -> &'static str {
    match rule {
        "water-out-of-sight" => OUT_OF_SIGHT,
        "water-below-mark" => BELOW_MARK,
        "water-falling" => {
            "Look at the glass now. No rise at the next look, or no feed: put the fire out. None to be seen: \
             fire out, do not feed."
        }
        "pressure-high" => {
            "Fire out. Take steam gently if the engine already runs. Leave the safety valve's setting alone."
        }
        "carbon-monoxide" => MONOXIDE,
        _ => LOOK,
    }
}

/// How the fire is put out, by what burns, one movement a step.
///
/// ```
/// use calc::trial::{Fuel, remedy};
/// assert!(remedy::put_the_fire_out(Some(Fuel::Electric))[0].contains("plug"));
/// ```
pub fn put_the_fire_out(fuel: Option<Fuel>) -> &'static [&'static str] {
    match fuel {
        Some(Fuel::Butane | Fuel::Propane | Fuel::ButanePropane) => {
            &["Shut the gas at the tank.", "Then shut it at the burner."]
        }
        Some(Fuel::Spirit) => &[
            "A tank: shut it at the tank, then at the burner.",
            "An open burner: cover it. Never blow, never pour.",
        ],
        Some(Fuel::Coal | Fuel::Charcoal) => &[
            "Shut dampers and blower.",
            "Draw the fire only if that needs no standing over it.",
            "No water on a hot firebox.",
            "The watch goes on until the pressure is gone.",
        ],
        Some(Fuel::Electric) => &["Pull the plug at the wall."],
        None => &[
            "Gas or spirit: shut it at the tank, then at the burner.",
            "Coal: shut dampers and blower. Electric: pull the plug at the wall.",
        ],
    }
}
