//! Spells of an engine at one setting of its valve, and how far they have run it in.

use crate::trend::{Seen, Series, trend};
use crate::trial::EventName;

/// Turns are read to a whole one, a minute.
const STEP_RPM: f64 = 1.0;
/// Two-sided confidence of what is said of the turns.
const CONFIDENCE: f64 = 0.95;
/// The pressure at the engine may move by this share and the turns still be compared (trade practice).
const STEADY_SHARE: f64 = 0.05;
/// Most readings of a spell that are reckoned with, the latest.
const MOST: usize = 60;

/// What the turns of a spell do while nothing is touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turns {
    /// It still eases.
    Rise,
    /// They fall: something tightens.
    Fall,
    /// Neither is shown.
    Level,
}

/// The engine running, with nothing about it changed.
#[derive(Clone, Debug, Default)]
pub(crate) struct Spell {
    from_s: f64,
    to_s: Option<f64>,
    /// Time, rpm, and the pressure that went with it, bar.
    read: Vec<(f64, f64, Option<f64>)>,
}

impl Spell {
    /// How long it lasted, up to `end_s` where it still lasts, s.
    pub(crate) fn lasted_s(&self, end_s: f64) -> f64 {
        self.to_s.unwrap_or(end_s) - self.from_s
    }

    /// Mean of the turns read in it, rpm.
    pub(crate) fn mean_rpm(&self) -> Option<f64> {
        let (sum, n) = (self.read.iter()).fold((0.0, 0.0), |(s, n), r| (s + r.1, n + 1.0));
        (n > 0.0).then(|| sum / n)
    }

    /// The highest pressure read in it, bar.
    pub(crate) fn highest_bar(&self) -> Option<f64> {
        self.read.iter().filter_map(|r| r.2).reduce(f64::max)
    }

    /// What its turns do, as a change over an hour; none where five readings at one pressure do not
    /// stand behind it.
    ///
    /// Source: the median of slopes with its exact interval ([`trend`]), as for a level.
    pub(crate) fn turns(&self) -> Option<(Turns, f64)> {
        let latest = &self.read[self.read.len().saturating_sub(MOST)..];
        let bars: Vec<f64> = latest.iter().filter_map(|r| r.2).collect();
        let (least, most) = (
            bars.iter().copied().reduce(f64::min)?,
            bars.iter().copied().reduce(f64::max)?,
        );
        if bars.len() < latest.len() || most - least > STEADY_SHARE * most {
            return None;
        }
        let answer = trend(&Series {
            seconds: latest.iter().map(|r| r.0).collect(),
            seen: latest.iter().map(|r| Seen::At(r.1)).collect(),
            confidence: CONFIDENCE,
            resolution: Some(STEP_RPM),
        })
        .ok()?;
        let per_hour = answer.number("slope")? * 3600.0;
        match answer.word_of("may_state")? {
            "yes" if per_hour < 0.0 => Some((Turns::Fall, per_hour)),
            "yes" => Some((Turns::Rise, per_hour)),
            "no_too_few" | "no_span_too_short" => None,
            _ => Some((Turns::Level, per_hour)),
        }
    }
}

/// Every spell of the log, in order.
#[derive(Clone, Debug, Default)]
pub(crate) struct RunningIn {
    pub(crate) spells: Vec<Spell>,
    running: bool,
}

impl RunningIn {
    pub(super) fn event(&mut self, t_s: f64, name: EventName) {
        match name {
            EventName::EngineRunning => self.running = true,
            EventName::EngineStopped => self.running = false,
            EventName::Adjusted
            | EventName::StopValveOpen
            | EventName::StopValveShut
            | EventName::BypassOpen
            | EventName::BypassShut
            | EventName::FeedOn
            | EventName::FeedOff
            | EventName::DrainsOpen
            | EventName::DrainsShut => {}
            _ => return,
        }
        if let Some(last) = self.spells.last_mut().filter(|s| s.to_s.is_none()) {
            last.to_s = Some(t_s);
        }
        if self.running {
            self.spells.push(Spell {
                from_s: t_s,
                ..Spell::default()
            });
        }
    }

    pub(super) fn read(&mut self, t_s: f64, rpm: f64, bar: Option<f64>) {
        if let Some(last) = self.spells.last_mut().filter(|s| s.to_s.is_none())
            && last.read.last().is_none_or(|r| r.0 < t_s)
        {
            last.read.push((t_s, rpm, bar));
        }
    }
}
