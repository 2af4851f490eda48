//! How things stand at the last moment judged: what a screen shows between entries.

use super::assessment::Flag;
use super::facts::{Facts, Sight};

/// Where the water was last seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Water {
    /// Nobody has read it.
    Unknown,
    /// Out of sight at the bottom.
    Below,
    /// Over the top of the glass.
    Above,
    /// At a level, mm above the glass's zero.
    Level(f64),
}

/// How things stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Now {
    /// The moment, seconds since the trial began.
    pub at_s: f64,
    /// Is the boiler hot?
    pub hot: bool,
    /// Is the fire lit?
    pub fire_lit: bool,
    /// When it was last lit.
    pub fire_lit_at_s: Option<f64>,
    /// Is steam taken?
    pub steam_taken: bool,
    /// Is the feed on?
    pub feed_on: bool,
    /// The water as last read, and when.
    pub water: Water,
    /// When the water was last read.
    pub water_read_s: Option<f64>,
    /// The pressure as last read, bar.
    pub pressure_bar: Option<f64>,
    /// Conservative time to the low mark, s.
    pub runway_s: Option<f64>,
    /// Time to the low mark as likely as not, s.
    pub runway_likely_s: Option<f64>,
    /// Conservative time to the low mark were the feed to stop now, s.
    pub runway_without_feed_s: Option<f64>,
    /// The level taken low, from all readings together, mm.
    pub level_low_mm: Option<f64>,
    /// When the water should next be looked at, seconds since the trial began.
    pub next_look_at_s: Option<f64>,
    /// The last reading was one that nothing expected: look again at once.
    pub look_again: bool,
}

/// Least time between two looks that the pace asks for, s.
const LEAST_PACE_S: f64 = 30.0;

pub(super) fn of(facts: &Facts, _flags: &[Flag], at_s: f64) -> Now {
    let hot = facts.hot();
    let runway = if hot {
        facts.watch.runway(at_s, true)
    } else {
        None
    };
    let without = if hot {
        facts.watch.runway(at_s, false)
    } else {
        None
    };
    let water = match facts.water.sight {
        Sight::Unknown => Water::Unknown,
        Sight::Below => Water::Below,
        Sight::Above => Water::Above,
        Sight::Level(mm) => Water::Level(mm),
    };
    let look_again = hot && facts.watch.strange();
    Now {
        at_s,
        hot,
        fire_lit: facts.fire.lit,
        fire_lit_at_s: facts.fire.lit_at_s,
        steam_taken: facts.steam_taken(),
        feed_on: facts.feed_on(),
        water,
        water_read_s: facts.water.read_s,
        pressure_bar: facts.pressure.bar,
        runway_s: runway.map(|r| r.least_s),
        runway_likely_s: runway.and_then(|r| r.likely_s),
        runway_without_feed_s: without.map(|r| r.least_s),
        level_low_mm: facts.watch.low_level_mm(),
        next_look_at_s: next_look(facts, runway.map(|r| r.least_s), at_s, look_again),
        look_again,
    }
}

/// Pace: the next look after the usual time or a third of the runway, the sooner.
fn next_look(facts: &Facts, runway_s: Option<f64>, at_s: f64, again: bool) -> Option<f64> {
    let since = facts.fire.hot_since_s?;
    let last = facts
        .water
        .looked_s
        .map_or(since, |looked| looked.max(since));
    if again {
        return Some(last);
    }
    let every = facts.setup.trial.limits.reading_every_s;
    let at_last = runway_s.map(|r| r + (at_s - last));
    let pace = at_last.map_or(every, |r| every.min((r / 3.0).max(LEAST_PACE_S)));
    Some(last + pace)
}
