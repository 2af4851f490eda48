//! How things stand at the last moment judged: what a screen shows between entries.

use super::Kind;
use super::assessment::Flag;
use super::facts::{Facts, Sight};
use super::kinds::shell;

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

/// How a shell under test stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressNow {
    /// Pressure it is raised to, or the cap of air, bar.
    pub target_bar: Option<f64>,
    /// The most it may come to, bar.
    pub most_bar: Option<f64>,
    /// Stages read on the way up.
    pub stages: u32,
    /// When the hold began and how long it is to be, seconds.
    pub hold_from_s: Option<f64>,
    /// How long it is to be held, s.
    pub hold_for_s: f64,
    /// When the hold ended.
    pub hold_ended_s: Option<f64>,
    /// The fall so far, corrected for temperature where one was read, and its expanded uncertainty,
    /// bar.
    pub fall_bar: Option<(f64, f64)>,
    /// What it may fall, bar.
    pub allowed_bar: Option<f64>,
    /// Was a temperature read at both ends of the hold?
    pub corrected: bool,
    /// Air left in it, % of its inside.
    pub air_pct: Option<f64>,
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
    /// When the call for that look is to be louder: half the time it had has gone by once more.
    pub louder_at_s: Option<f64>,
    /// The last reading was one that nothing expected: look again at once.
    pub look_again: bool,
    /// Was there ever fire, pressure, or a running engine?
    pub begun: bool,
    /// The shell, in a test with water or air.
    pub press: Option<PressNow>,
}

/// Pressure from which a trial has begun, bar.
const BEGUN_BAR: f64 = 0.2;
/// Least time between two looks that the pace asks for, s.
const LEAST_PACE_S: f64 = 30.0;
/// How late a look may be before the call for it is louder, as a share of the time it had.
const LOUDER_AFTER: f64 = 0.5;

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
    let look = next_look(facts, runway.map(|r| r.least_s), at_s, look_again);
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
        next_look_at_s: look.map(|l| l.due_s),
        louder_at_s: look.map(|l| l.louder_s),
        look_again,
        begun: hot
            || facts.fire.ever_lit
            || facts
                .pressure
                .highest_bar
                .is_some_and(|bar| bar > BEGUN_BAR)
            || facts.bench.engine.longest_s(at_s) > 0.0,
        press: press(facts),
    }
}

fn press(facts: &Facts) -> Option<PressNow> {
    let (setup, limits) = (&facts.setup, &facts.setup.trial.limits);
    let target_bar = match setup.trial.kind {
        Kind::Hydraulic => setup.target_bar(),
        Kind::Air => Some(setup.air_cap_bar()),
        _ => return None,
    };
    let over = match setup.trial.kind {
        Kind::Air => 1.0,
        _ => 1.0 + limits.over_target_pct / 100.0,
    };
    let fall = shell::fall(facts);
    Some(PressNow {
        target_bar,
        most_bar: target_bar.map(|bar| bar * over),
        stages: facts.press.stages,
        hold_from_s: facts.press.hold.map(|h| h.started_s),
        hold_for_s: limits.hydraulic_hold_s,
        hold_ended_s: facts.press.hold.and_then(|h| h.ended_s),
        fall_bar: fall.map(|f| (f.drop_bar, f.expanded_bar)),
        allowed_bar: fall.map(|f| f.allowed_bar),
        corrected: fall.is_some_and(|f| f.drift_k.is_some()),
        air_pct: match setup.trial.kind {
            Kind::Hydraulic => shell::trapped(facts).map(|a| a.pct),
            _ => None,
        },
    })
}

/// When the next look is due, and when the call for it is to be louder.
#[derive(Clone, Copy)]
struct Look {
    due_s: f64,
    louder_s: f64,
}

/// Pace: the next look after the usual time or a third of the runway, the sooner.
fn next_look(facts: &Facts, runway_s: Option<f64>, at_s: f64, again: bool) -> Option<Look> {
    let since = facts.fire.hot_since_s?;
    let last = facts
        .water
        .looked_s
        .map_or(since, |looked| looked.max(since));
    let look = |due_s: f64, had_s: f64| Look {
        due_s,
        louder_s: due_s + LOUDER_AFTER * had_s,
    };
    if again {
        return Some(look(last, LEAST_PACE_S));
    }
    let every = facts.setup.trial.limits.reading_every_s;
    let at_last = runway_s.map(|r| r + (at_s - last));
    let pace = at_last.map_or(every, |r| every.min((r / 3.0).max(LEAST_PACE_S)));
    Some(look(last + pace, pace))
}
